#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "kerfmark/text/printable.hpp"
#include "steps.hpp"
#include "subject.hpp"

/// What the steps of all kinds of part are made with.
namespace kerfmark::sheet {

/// Units are written alike in every language.
inline constexpr std::string_view millimetre = "mm";
inline constexpr std::string_view newton_metre = "N·m";

/// A part of which nobody says what it is made of is handled as carbon: the more careful way.
[[nodiscard]] bool is_carbon(const Subject& subject);

/// A figure of the job or of the cut's grid, as it was given.
[[nodiscard]] std::string in_mm(const Subject& subject, plan::Length length);

/// A figure that comes of readings.
[[nodiscard]] std::string reckoned_mm(const Subject& subject, plan::Length length);

/// The steps of one sheet as they are found.
class Steps {
 public:
  explicit Steps(const Subject& subject) : subject_(subject) {}

  void add(Task task, const std::string& key, std::initializer_list<text::Filling> fillings = {}) {
    steps_.push_back({.text = subject_.words().say(key, fillings), .task = task});
  }
  /// In the words of the kind of part.
  void own(Task task, report::KindSentence key,
           std::initializer_list<text::Filling> fillings = {}) {
    add(task, std::string(subject_.own(key).key()), fillings);
  }
  /// With a box for a figure.
  void ask(Task task, std::string_view unit, std::string_view key,
           std::initializer_list<text::Filling> fillings = {}) {
    steps_.push_back({subject_.words().say(key, fillings), std::string(unit), task});
  }
  void add_those_of_the_shop() {
    for (const std::string& step : subject_.options.shop.steps) {
      steps_.push_back({.text = text::harmless(step), .task = Task::of_the_shop});
    }
  }

  [[nodiscard]] std::vector<BenchStep> take() { return std::move(steps_); }

 private:
  const Subject& subject_;
  std::vector<BenchStep> steps_;
};

}  // namespace kerfmark::sheet
