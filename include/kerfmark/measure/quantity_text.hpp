#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::measure {

/// A text that is no quantity: what is wrong with it, and what was meant, each of which reads as a
/// quantity, or an example of how one is written.
struct Misread {
  std::string wrong;
  std::vector<std::string> choices;  ///< without quotes; several: nobody can tell which
  std::string example;               ///< with quotes; where there are no choices
  bool measured_so = true;           ///< false: the text may as well be a slip for something else
  bool operator==(const Misread&) const = default;
};

/// `write "15.5 in" or "3 1/2 in", whichever was measured`: in quotes, as a job file and a command
/// line need them alike.
[[nodiscard]] std::string to_write(const Misread& misread);

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
