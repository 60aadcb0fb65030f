#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::measure {

/// A text that is no quantity: what is wrong with it, and what to write instead.
struct Misread {
  std::string wrong;
  std::string write;
  bool operator==(const Misread&) const = default;
};

/// Reads a quantity with its unit: "212 mm", "21.2 cm", "8 3/8 in", "8-3/8 in", "8⅜\"", "0.5 in",
/// "73.5 deg", "73.5°", "176 lb", "80 kg". Units may be written in capitals; a minus sign may stand
/// before the number. A number without a unit is refused: the writer would have to guess.
template <Dimension D>
[[nodiscard]] std::variant<Quantity<D>, Misread> read_quantity(std::string_view text);

/// The dimension of the unit at the end of `text`, if it ends in a known one.
[[nodiscard]] std::optional<Dimension> dimension_of(std::string_view text);

/// Whether `text` is a length in inches.
[[nodiscard]] bool is_in_inches(std::string_view text);

/// The shortest text that reads back as the same value: "212.5 mm", "73.5 deg", "80 kg".
[[nodiscard]] std::string written(Length length);
[[nodiscard]] std::string written(Angle angle);
[[nodiscard]] std::string written(Mass mass);

}  // namespace kerfmark::measure
