#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::measure {

/// Why a text is no quantity.
enum class Flaw {
  empty,
  no_number,
  odd_signs,  ///< that only look like digits, points or dashes
  decimal_comma,
  no_unit,
  other_unit,  ///< of another dimension
  unknown_unit,
  point_beside_fraction,
  odd_denominator,
  improper_fraction,
  too_large,
};

/// A text that is no quantity: what is wrong with it, and what was meant, each of which reads as a
/// quantity.
struct Misread {
  Flaw flaw = Flaw::empty;
  Dimension wanted = Dimension::length;
  std::vector<std::string> choices = {};  ///< several: nobody can tell which
  bool measured_so = true;                ///< false: the text may as well be a slip for another
  Dimension found = Dimension::length;    ///< that of other_unit
  std::string denominator = {};           ///< the odd one
  bool operator==(const Misread&) const = default;
};

/// Reads a quantity with its unit: "212 mm", "21.2 cm", "8 3/8 in", "8-3/8 in", "8⅜\"", "0.5 in",
/// "73.5 deg", "73.5°", "176 lb", "80 kg". Units may be written in capitals; a minus sign may stand
/// before the number. A number without a unit is refused: the writer would have to guess. So is a
/// fraction that no rule shows, for "31/2 in" has lost a space: it must be less than 1, of whole
/// numbers, with 2, 4, 8, 16, 32 or 64 below.
template <Dimension D>
[[nodiscard]] std::variant<Quantity<D>, Misread> read_quantity(std::string_view text);

/// The words that a unit of this dimension may be written with, in small letters.
[[nodiscard]] std::vector<std::string_view> unit_words(Dimension dimension);

/// With plain blanks for all sorts of them: nobody sees the difference, so they read alike.
[[nodiscard]] std::string with_plain_blanks(std::string_view text);

/// With plain digits, points, slashes and hyphens for signs that only look like them.
[[nodiscard]] std::string with_plain_signs(std::string_view text);

/// The dimension of the unit at the end of `text`, if it ends in a known one.
[[nodiscard]] std::optional<Dimension> dimension_of(std::string_view text);

/// Whether `text` is a length in inches.
[[nodiscard]] bool is_in_inches(std::string_view text);

/// The shortest text that reads back as the same number; with an exponent where that is shorter.
[[nodiscard]] std::string shortest(double value);

/// The shortest text that reads back as the same value: "212.5 mm", "73.5 deg", "80 kg".
[[nodiscard]] std::string written(Length length);
[[nodiscard]] std::string written(Angle angle);
[[nodiscard]] std::string written(Mass mass);

}  // namespace kerfmark::measure
