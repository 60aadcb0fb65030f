#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdlib>
#include <fstream>
#include <type_traits>
#include <utility>

/// What tests/mutate writes into a copy of the sources: every operator and constant with a number,
/// and one of them does something else when the environment names it. All are compiled once, and a
/// change costs a run of the tests.
namespace mutant {

inline constexpr std::size_t most = 8192;

/// Which were reached; told at the end in the file that the environment names.
class Reached {
 public:
  ~Reached() {
    if (const char* file = std::getenv("MUTANTS_REACHED"); file != nullptr) {
      std::ofstream out(file);
      for (std::size_t id = 0; id < most; ++id) {
        if (seen_[id]) {
          out << id << '\n';
        }
      }
    }
  }
  void note(std::size_t id) { seen_[id] = true; }

 private:
  std::array<bool, most> seen_{};
};

inline bool is_active(std::size_t id) {
  static Reached reached;
  static const char* const named = std::getenv("MUTANT");
  static const std::size_t active = named == nullptr ? most : std::strtoul(named, nullptr, 10);
  reached.note(id);
  return id == active;
}

template <std::size_t id>
bool on() {
  return is_active(id);
}

template <std::size_t id, class T>
T number(T value) {
  return !on<id>() ? value : value == T{} ? T{1} : static_cast<T>(value + value);
}

template <std::size_t id>
bool truth(bool value) {
  return on<id>() ? !value : value;
}

template <std::size_t id, class... Values>
auto least(const Values&... values) {
  return on<id>() ? std::max(values...) : std::min(values...);
}

template <std::size_t id, class... Values>
auto greatest(const Values&... values) {
  return on<id>() ? std::min(values...) : std::max(values...);
}

// -x is written negative<id>() * x.
template <std::size_t id>
struct Negative {};
template <std::size_t id>
constexpr Negative<id> negative() {
  return {};
}
template <std::size_t id, class T>
auto operator*(Negative<id>, T&& value) {
  using Result = std::remove_cvref_t<decltype(-std::forward<T>(value))>;
  return on<id>() ? Result(value) : Result(-value);
}

// a < b is written a < below<id>() < b: the same precedence, and b is worked out once.
#define MUTANT_OPERATOR(symbol, instead, name, Name)                      \
  template <std::size_t id>                                               \
  struct Name {};                                                         \
  template <std::size_t id>                                               \
  constexpr Name<id> name() {                                             \
    return {};                                                            \
  }                                                                       \
  template <std::size_t id, class A>                                      \
  struct Name##With {                                                     \
    A left;                                                               \
  };                                                                      \
  template <std::size_t id, class A>                                      \
  constexpr Name##With<id, A&&> operator symbol(A&& left, Name<id>) {     \
    return {std::forward<A>(left)};                                       \
  }                                                                       \
  template <std::size_t id, class A, class B>                             \
  auto operator symbol(Name##With<id, A> held, B&& right) {               \
    using Result = std::remove_cvref_t<decltype(held.left symbol right)>; \
    if constexpr (requires { Result(held.left instead right); }) {        \
      if (on<id>()) {                                                     \
        return Result(held.left instead right);                           \
      }                                                                   \
    }                                                                     \
    return Result(held.left symbol right);                                \
  }

MUTANT_OPERATOR(<, <=, below, Below)
MUTANT_OPERATOR(<=, <, at_most, AtMost)
MUTANT_OPERATOR(>, >=, above, Above)
MUTANT_OPERATOR(>=, >, at_least, AtLeast)
MUTANT_OPERATOR(==, !=, same, Same)
MUTANT_OPERATOR(!=, ==, other, Other)
MUTANT_OPERATOR(+, -, plus, Plus)
MUTANT_OPERATOR(-, +, minus, Minus)
MUTANT_OPERATOR(*, /, times, Times)
MUTANT_OPERATOR(/, *, over, Over)
#undef MUTANT_OPERATOR

}  // namespace mutant
