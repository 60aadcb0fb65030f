#include "kerfmark/measure/quantity_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

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

// What a rule is divided into; nobody reads another fraction off one (common practice).
constexpr auto rule_denominators = std::to_array<double>({2, 4, 8, 16, 32, 64});

struct Lookalike {
  std::string_view sign, plain;
};

// Blanks that look like any other: they come along with text that is pasted.
constexpr auto odd_blanks = std::to_array<std::string_view>(
    {"\u00a0", "\u2002", "\u2003", "\u2007", "\u2008", "\u2009", "\u200a", "\u202f", "\u3000"});

// Signs that are not what they look like, in the place of a digit or a sign.
constexpr auto lookalikes = std::to_array<Lookalike>({
    {"０", "0"},
    {"１", "1"},
    {"２", "2"},
    {"３", "3"},
    {"４", "4"},
    {"５", "5"},
    {"６", "6"},
    {"７", "7"},
    {"８", "8"},
    {"９", "9"},
    {"．", "."},
    {"，", ","},
    {"／", "/"},
    {"⁄", "/"},
    {"∕", "/"},
    {"–", "-"},
    {"‐", "-"},
    {"‑", "-"},
});

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t'; }

std::string replaced(std::string text, std::string_view from, std::string_view to) {
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
  return text;
}

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

// A number as it is written: 8.375, 8 3/8, 3/8, 8⅜.
struct Written {
  std::string_view sign, whole, numerator, denominator;  ///< empty: not there
  double value = 0.0;
  bool has_fraction = false;
};

double value_of(std::string_view decimal) {
  double value = 0.0;
  std::from_chars(decimal.data(), decimal.data() + decimal.size(), value, std::chars_format::fixed);
  return value;
}

// Digits with at most one decimal point; no exponent, no sign, no "inf".
std::optional<std::string_view> take_decimal(std::string_view& text) {
  if (text.empty() || !(is_digit(text.front()) || text.front() == '.')) {
    return std::nullopt;
  }
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc{} || !std::isfinite(value)) {
    return std::nullopt;
  }
  const auto taken = static_cast<std::size_t>(end - text.data());
  const std::string_view decimal = text.substr(0, taken);
  text.remove_prefix(taken);
  return decimal;
}

// "⅜", behind a whole number or alone.
bool take_vulgar_fraction(std::string_view& text, Written& number) {
  const auto found = std::ranges::find_if(
      vulgar_fractions, [&](const Fraction& fraction) { return text.starts_with(fraction.sign); });
  if (found == vulgar_fractions.end()) {
    return false;
  }
  text.remove_prefix(found->sign.size());
  number.value += found->value;
  number.has_fraction = true;
  return true;
}

// "/8" after a numerator.
bool take_denominator(std::string_view& text, std::string_view numerator, Written& number) {
  std::string_view rest = text;
  const auto denominator = take(rest, "/") ? take_decimal(rest) : std::nullopt;
  if (!denominator || value_of(*denominator) == 0.0) {
    return false;
  }
  text = rest;
  number.numerator = numerator;
  number.denominator = *denominator;
  number.has_fraction = true;
  number.value += value_of(numerator) / value_of(*denominator);
  return true;
}

// "3/8" or "⅜" behind a whole number, set off by a blank, a hyphen or nothing.
void take_fraction_part(std::string_view& text, Written& number) {
  std::string_view rest = text;
  if (!rest.empty() && rest.front() == '-') {
    rest.remove_prefix(1);
  } else {
    rest = trimmed(rest);
  }
  if (take_vulgar_fraction(rest, number)) {
    text = rest;
    return;
  }
  const auto numerator = take_decimal(rest);
  if (numerator && take_denominator(rest, *numerator, number)) {
    text = rest;
  }
}

std::optional<Written> take_number(std::string_view& text) {
  Written number;
  number.sign = take(text, "-") || take(text, "−") ? "-" : "";
  if (number.sign.empty()) {
    take(text, "+");
  }
  if (!take_vulgar_fraction(text, number)) {
    const auto first = take_decimal(text);
    if (!first) {
      return std::nullopt;
    }
    if (!take_denominator(text, *first, number)) {
      number.whole = *first;
      number.value = value_of(*first);
      take_fraction_part(text, number);
    }
  }
  number.value = number.sign.empty() ? number.value : -number.value;
  return number;
}

// The inch sign would close the quotes that a suggestion stands in.
std::string_view spelt(const Unit& unit) {
  return unit.word == "\"" || unit.word == "″" ? "in" : unit.word;
}

const Unit* unit_named(std::string_view word) {
  const std::string lower = lower_case(word);
  const auto found = std::ranges::find(units, std::string_view(lower), &Unit::word);
  return found == units.end() ? nullptr : &*found;
}

// Without an exponent, which read_quantity does not take: the smallest double has 323 zeros, the
// largest 309 digits.
std::string shortest_fixed(double value) {
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

bool is_whole(std::string_view digits) { return std::ranges::all_of(digits, is_digit); }

bool is_of_a_rule(std::string_view denominator) {
  return is_whole(denominator) &&
         std::ranges::find(rule_denominators, value_of(denominator)) != rule_denominators.end();
}

bool is_proper(std::string_view numerator, std::string_view denominator) {
  return is_whole(numerator) && is_of_a_rule(denominator) &&
         value_of(numerator) < value_of(denominator);
}

// Why a fraction is none that is read off a rule; none: it is one, or there is no fraction.
std::optional<Flaw> flaw_of(const Written& number) {
  if (!number.has_fraction) {
    return std::nullopt;
  }
  if (!is_whole(number.whole) || !is_whole(number.numerator) || !is_whole(number.denominator)) {
    return Flaw::point_beside_fraction;
  }
  if (number.denominator.empty()) {
    return std::nullopt;  // ⅜ is proper
  }
  if (!is_of_a_rule(number.denominator)) {
    return Flaw::odd_denominator;
  }
  return is_proper(number.numerator, number.denominator) ? std::nullopt
                                                         : std::optional(Flaw::improper_fraction);
}

// To a millionth, which no rule shows and which holds every 64th exactly.
std::string in_decimals(double value) {
  constexpr int digits = 6;
  std::array<char, 400> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, digits)
                       .ptr;
  std::string text(buffer.data(), end);
  text.erase(text.find_last_not_of('0') + 1);
  return text.ends_with('.') ? text.substr(0, text.size() - 1) : text;
}

// A fraction with more digits above its line is no slip of a measure, and nothing is to be made of
// it.
constexpr std::size_t most_digits = 9;

// What a number with such a fraction may mean: its value, and its digits above the line parted
// into a whole number and a proper fraction in every way.
std::vector<std::string> choices_for(const Written& number, std::string_view unit) {
  const std::string behind = " " + std::string(unit);
  std::vector<std::string> choices = {in_decimals(number.value) + behind};
  const std::string digits = std::string(number.whole) + std::string(number.numerator);
  if (!is_whole(digits)) {
    return choices;
  }
  for (std::size_t split = digits.size(); split-- > 1;) {
    const std::string numerator = digits.substr(split);
    if (!numerator.starts_with('0') && is_proper(numerator, number.denominator)) {
      choices.push_back(std::string(number.sign) + digits.substr(0, split) + " " + numerator + "/" +
                        std::string(number.denominator) + behind);
    }
  }
  return choices;
}

std::variant<double, Misread> read_base(std::string_view text, Dimension dimension);

// The text in other signs, if that makes it a quantity; what is wrong with that else, if it is
// known what was meant.
std::optional<Misread> better_as(const std::string& other, Flaw flaw, Dimension dimension) {
  const auto read = read_base(other, dimension);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    return misread->choices.empty() ? std::nullopt
                                    : std::optional(Misread{.flaw = flaw,
                                                            .wanted = dimension,
                                                            .choices = misread->choices,
                                                            .measured_so = misread->measured_so});
  }
  return Misread{.flaw = flaw, .wanted = dimension, .choices = {other}};
}

// A decimal comma, or signs that only look like digits.
std::optional<Misread> misread_signs(std::string_view text, Dimension dimension) {
  const std::string plain = with_plain_signs(text);
  if (plain != text) {
    return better_as(plain, Flaw::odd_signs, dimension);
  }
  if (std::ranges::count(text, ',') != 1) {
    return std::nullopt;
  }
  return better_as(replaced(std::string(text), ",", "."), Flaw::decimal_comma, dimension);
}

Misread misread_unit(std::string_view number, std::string_view word, bool fraction,
                     Dimension dimension) {
  if (word.empty()) {
    // Nobody reads a fraction off a metric rule.
    const bool inches = dimension == Dimension::length && fraction;
    const std::string_view unit = inches ? " in" : usual_unit(dimension);
    return {.flaw = Flaw::no_unit,
            .wanted = dimension,
            .choices = {std::string(trimmed(number)) + std::string(unit)}};
  }
  if (const Unit* unit = unit_named(word)) {
    return {.flaw = Flaw::other_unit, .wanted = dimension, .found = unit->dimension};
  }
  return {.flaw = Flaw::unknown_unit, .wanted = dimension};
}

std::variant<double, Misread> read_base(std::string_view text, Dimension dimension) {
  const std::string_view whole = trimmed(text);
  if (whole.empty()) {
    return Misread{.flaw = Flaw::empty, .wanted = dimension};
  }
  if (auto misread = misread_signs(whole, dimension)) {
    return *misread;
  }
  std::string_view rest = whole;
  const auto number = take_number(rest);
  if (!number) {
    return Misread{.flaw = Flaw::no_number, .wanted = dimension};
  }
  const std::string_view word = trimmed(rest);
  const Unit* unit = unit_named(word);
  if (const auto flaw = flaw_of(*number)) {
    Misread misread{.flaw = *flaw,
                    .wanted = dimension,
                    .denominator = *flaw == Flaw::odd_denominator ? std::string(number->denominator)
                                                                  : std::string()};
    if (number->whole.size() + number->numerator.size() > most_digits) {
      return misread;
    }
    if (word.empty() || (unit != nullptr && unit->dimension == dimension)) {
      const bool inches = dimension == Dimension::length && word.empty();
      const std::string_view known = inches            ? "in"
                                     : unit == nullptr ? trimmed(usual_unit(dimension))
                                                       : spelt(*unit);
      misread.choices = choices_for(*number, known);
      misread.measured_so = false;
      return misread;
    }
  }
  if (unit == nullptr || unit->dimension != dimension) {
    return misread_unit(whole.substr(0, whole.size() - rest.size()), word, number->has_fraction,
                        dimension);
  }
  const double base = number->value * unit->in_base;
  if (!std::isfinite(base)) {
    return Misread{.flaw = Flaw::too_large, .wanted = dimension};
  }
  return base;
}

// Of a number; none where there is no number or no unit that is known.
const Unit* unit_behind(std::string_view text) {
  const std::string plain = with_plain_blanks(text);
  std::string_view rest = trimmed(plain);
  return take_number(rest) ? unit_named(trimmed(rest)) : nullptr;
}

}  // namespace

std::vector<std::string_view> unit_words(Dimension dimension) {
  std::vector<std::string_view> words;
  for (const Unit& unit : units) {
    if (unit.dimension == dimension) {
      words.push_back(unit.word);
    }
  }
  return words;
}

std::string with_plain_blanks(std::string_view text) {
  std::string plain(text);
  for (const std::string_view blank : odd_blanks) {
    plain = replaced(std::move(plain), blank, " ");
  }
  return plain;
}

std::string with_plain_signs(std::string_view text) {
  std::string plain(text);
  for (const Lookalike& lookalike : lookalikes) {
    plain = replaced(std::move(plain), lookalike.sign, lookalike.plain);
  }
  return plain;
}

template <Dimension D>
std::variant<Quantity<D>, Misread> read_quantity(std::string_view text) {
  const auto read = read_base(with_plain_blanks(text), D);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    return *misread;
  }
  return Quantity<D>::from_base(std::get<double>(read));
}

template std::variant<Length, Misread> read_quantity<Dimension::length>(std::string_view);
template std::variant<Angle, Misread> read_quantity<Dimension::angle>(std::string_view);
template std::variant<Mass, Misread> read_quantity<Dimension::mass>(std::string_view);

std::optional<Dimension> dimension_of(std::string_view text) {
  const Unit* unit = unit_behind(text);
  return unit == nullptr ? std::nullopt : std::optional(unit->dimension);
}

bool is_in_inches(std::string_view text) {
  const Unit* unit = unit_behind(text);
  return unit != nullptr && unit->dimension == Dimension::length && unit->in_base == mm_per_inch;
}

std::string shortest(double value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

std::string written(Length length) { return shortest_fixed(length.in_mm()) + " mm"; }
std::string written(Angle angle) { return shortest_fixed(angle.in_deg()) + " deg"; }
std::string written(Mass mass) { return shortest_fixed(mass.in_kg()) + " kg"; }

}  // namespace kerfmark::measure
