#pragma once

#include <concepts>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::report {

/// JSON on one line, written as it goes: a tree of it would cost more than its plan. Numbers have
/// nine decimals, never −0 and never an exponent; characters outside ASCII are escaped, so that no
/// text can steer a terminal. The caller puts a name before each value of an object.
class JsonLine {
 public:
  template <class Fields>
  void object(Fields fields) {
    open('{');
    fields();
    close('}');
  }
  template <class Items>
  void list(Items items) {
    open('[');
    items();
    close(']');
  }
  /// The name of the value that comes next; plain ASCII without quotes.
  void name(std::string_view name);

  void put(std::nullopt_t);
  void put(double value);
  void put(measure::Length length) { put(length.in_mm()); }
  void put(std::string_view text);
  template <std::same_as<bool> Flag>
  void put(Flag value) {
    raw(value ? "true" : "false");
  }
  template <std::integral Whole>
  requires(!std::same_as<Whole, bool>) void put(Whole value) { raw(std::to_string(value)); }
  template <class T>
  void put(const std::optional<T>& value) {
    if (value) {
      put(*value);
    } else {
      put(std::nullopt);
    }
  }

  template <class T>
  void field(std::string_view its_name, const T& value) {
    name(its_name);
    put(value);
  }

  [[nodiscard]] std::size_t length() const { return line_.size(); }

  /// What was written so far; more may follow.
  [[nodiscard]] std::string take() { return std::exchange(line_, {}); }

 private:
  void open(char bracket);
  void close(char bracket);
  void raw(std::string_view json);
  void separate();
  void escape(std::string_view utf8);

  std::string line_;
  bool between_ = false;  ///< a value stands there, and the next one needs a comma
};

/// Rounded to nine decimals, without zeros at the end but for the first decimal, and never −0.0, so
/// that every machine and compiler writes the same.
void append_nine_decimals(double value, std::string& to);

}  // namespace kerfmark::report
