#include "kerfmark/measure/quantity_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>

namespace kerfmark::measure {
namespace {

struct Unit {
  std::string_view word;
  Dimension dimension;
  double in_base;
};

constexpr auto units = std::to_array<Unit>({
    {"mm", Dimension::length, 1.0},
    {"cm", Dimension::length, 10.0},
    {"m", Dimension::length, 1000.0},
    {"in", Dimension::length, mm_per_inch},
    {"inch", Dimension::length, mm_per_inch},
    {"inches", Dimension::length, mm_per_inch},
    {"\"", Dimension::length, mm_per_inch},
    {"″", Dimension::length, mm_per_inch},
    {"deg", Dimension::angle, 1.0},
    {"degree", Dimension::angle, 1.0},
    {"degrees", Dimension::angle, 1.0},
    {"°", Dimension::angle, 1.0},
    {"kg", Dimension::mass, 1.0},
    {"g", Dimension::mass, 0.001},
    {"lb", Dimension::mass, kg_per_pound},
    {"lbs", Dimension::mass, kg_per_pound},
});

struct Fraction {
  std::string_view sign;
  double value;
};

constexpr auto vulgar_fractions = std::to_array<Fraction>({
    {"½", 1.0 / 2},
    {"¼", 1.0 / 4},
    {"¾", 3.0 / 4},
    {"⅛", 1.0 / 8},
    {"⅜", 3.0 / 8},
    {"⅝", 5.0 / 8},
    {"⅞", 7.0 / 8},
});

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t'; }

std::string lower_case(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') {
      c = static_cast<char>(c - 'A' + 'a');
    }
  }
  return out;
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) {
    text.remove_prefix(1);
  }
  while (!text.empty() && is_blank(text.back())) {
    text.remove_suffix(1);
  }
  return text;
}

bool take(std::string_view& text, std::string_view prefix) {
  if (!text.starts_with(prefix)) {
    return false;
  }
  text.remove_prefix(prefix.size());
  return true;
}

// Digits with at most one decimal point; no exponent, no sign, no "inf".
std::optional<double> take_decimal(std::string_view& text) {
  if (text.empty() || !(is_digit(text.front()) || text.front() == '.')) {
    return std::nullopt;
  }
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc{} || !std::isfinite(value)) {
    return std::nullopt;
  }
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

std::optional<double> take_vulgar_fraction(std::string_view& text) {
  for (const Fraction& fraction : vulgar_fractions) {
    if (take(text, fraction.sign)) {
      return fraction.value;
    }
  }
  return std::nullopt;
}

// "/8" after a numerator.
std::optional<double> take_denominator(std::string_view& text) {
  std::string_view rest = text;
  if (!take(rest, "/")) {
    return std::nullopt;
  }
  const auto denominator = take_decimal(rest);
  if (!denominator || *denominator == 0.0) {
    return std::nullopt;
  }
  text = rest;
  return denominator;
}

// "3/8" or "⅜" behind a whole number, set off by a blank, a hyphen or nothing.
double take_fraction_part(std::string_view& text) {
  std::string_view rest = text;
  if (!rest.empty() && rest.front() == '-') {
    rest.remove_prefix(1);
  } else {
    rest = trimmed(rest);
  }
  if (const auto vulgar = take_vulgar_fraction(rest)) {
    text = rest;
    return *vulgar;
  }
  const auto numerator = take_decimal(rest);
  if (!numerator) {
    return 0.0;
  }
  const auto denominator = take_denominator(rest);
  if (!denominator) {
    return 0.0;
  }
  text = rest;
  return *numerator / *denominator;
}

std::optional<double> take_number(std::string_view& text) {
  const bool negative = take(text, "-") || take(text, "−");
  if (!negative) {
    take(text, "+");
  }
  std::optional<double> value = take_vulgar_fraction(text);
  if (!value) {
    value = take_decimal(text);
    if (!value) {
      return std::nullopt;
    }
    if (const auto denominator = take_denominator(text)) {
      *value /= *denominator;
    } else {
      *value += take_fraction_part(text);
    }
  }
  return negative ? -*value : *value;
}

const Unit* unit_named(std::string_view word) {
  const std::string lower = lower_case(word);
  const auto found = std::ranges::find(units, std::string_view(lower), &Unit::word);
  return found == units.end() ? nullptr : &*found;
}

std::string_view example_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "212 mm, 21.2 cm or 8 3/8 in";
    case Dimension::angle:
      return "73.5 deg";
    case Dimension::mass:
      return "80 kg or 176 lb";
    case Dimension::ratio:
      return "a plain number";
  }
  return {};
}

std::string_view name_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "a length";
    case Dimension::angle:
      return "an angle";
    case Dimension::mass:
      return "a mass";
    case Dimension::ratio:
      return "a ratio";
  }
  return {};
}

std::string for_example(Dimension dimension) {
  return "for example " + std::string(example_of(dimension));
}

// Without an exponent, which read_quantity does not take: the smallest double has 323 zeros, the
// largest 309 digits.
std::string shortest(double value) {
  std::array<char, 400> buffer{};
  const auto end =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, std::chars_format::fixed)
          .ptr;
  return {buffer.data(), end};
}

std::string_view usual_unit(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return " mm";
    case Dimension::angle:
      return " deg";
    case Dimension::mass:
      return " kg";
    case Dimension::ratio:
      return "";
  }
  return {};
}

// The text with its decimal comma written as a point, if that makes it a quantity.
std::optional<std::string> with_point(std::string_view text, Dimension dimension) {
  if (std::ranges::count(text, ',') != 1) {
    return std::nullopt;
  }
  std::string point(text);
  std::ranges::replace(point, ',', '.');
  std::string_view rest = point;
  if (!take_number(rest)) {
    return std::nullopt;
  }
  const std::string_view word = trimmed(rest);
  if (word.empty()) {
    return point + std::string(usual_unit(dimension));
  }
  const Unit* unit = unit_named(word);
  return unit != nullptr && unit->dimension == dimension ? std::optional(point) : std::nullopt;
}

Misread misread_unit(std::string_view number, std::string_view word, Dimension dimension) {
  if (word.empty()) {
    // Nobody reads a fraction off a metric rule.
    const bool fraction = dimension == Dimension::length &&
                          (number.find('/') != std::string_view::npos ||
                           std::ranges::any_of(vulgar_fractions, [&](const Fraction& f) {
                             return number.find(f.sign) != std::string_view::npos;
                           }));
    return {"has no unit",
            std::string(trimmed(number)) + std::string(fraction ? " in" : usual_unit(dimension))};
  }
  if (const Unit* unit = unit_named(word)) {
    return {"is " + std::string(name_of(unit->dimension)) + ", and " +
                std::string(name_of(dimension)) + " belongs here",
            for_example(dimension)};
  }
  return {"has no unit that is known here", for_example(dimension)};
}

std::variant<double, Misread> read_base(std::string_view text, Dimension dimension) {
  const std::string_view whole = trimmed(text);
  if (whole.empty()) {
    return Misread{"is empty", for_example(dimension)};
  }
  if (const auto point = with_point(whole, dimension)) {
    return Misread{"has a decimal comma", *point};
  }
  std::string_view rest = whole;
  const auto number = take_number(rest);
  if (!number) {
    return Misread{"does not start with a number", for_example(dimension)};
  }
  const std::string_view word = trimmed(rest);
  const Unit* unit = unit_named(word);
  if (unit == nullptr || unit->dimension != dimension) {
    return misread_unit(whole.substr(0, whole.size() - rest.size()), word, dimension);
  }
  const double base = *number * unit->in_base;
  if (!std::isfinite(base)) {
    return Misread{"is no number that a bicycle can have", for_example(dimension)};
  }
  return base;
}

}  // namespace

template <Dimension D>
std::variant<Quantity<D>, Misread> read_quantity(std::string_view text) {
  const auto read = read_base(text, D);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    return *misread;
  }
  return Quantity<D>::from_base(std::get<double>(read));
}

template std::variant<Length, Misread> read_quantity<Dimension::length>(std::string_view);
template std::variant<Angle, Misread> read_quantity<Dimension::angle>(std::string_view);
template std::variant<Mass, Misread> read_quantity<Dimension::mass>(std::string_view);

std::optional<Dimension> dimension_of(std::string_view text) {
  std::string_view rest = trimmed(text);
  if (!take_number(rest)) {
    return std::nullopt;
  }
  const Unit* unit = unit_named(trimmed(rest));
  return unit == nullptr ? std::nullopt : std::optional(unit->dimension);
}

bool is_in_inches(std::string_view text) {
  std::string_view rest = trimmed(text);
  if (!take_number(rest)) {
    return false;
  }
  const Unit* unit = unit_named(trimmed(rest));
  return unit != nullptr && unit->dimension == Dimension::length && unit->in_base == mm_per_inch;
}

std::string written(Length length) { return shortest(length.in_mm()) + " mm"; }
std::string written(Angle angle) { return shortest(angle.in_deg()) + " deg"; }
std::string written(Mass mass) { return shortest(mass.in_kg()) + " kg"; }

}  // namespace kerfmark::measure
