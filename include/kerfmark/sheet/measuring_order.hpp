#pragma once

#include <compare>
#include <cstddef>
#include <string_view>

#include "kerfmark/plan/keys.hpp"

/// The order in which a mechanic asks and measures, for the blank form and for the table of a
/// sheet.
namespace kerfmark::sheet {

using plan::Stage;

/// Whether its keys can be read only while the part is in the bicycle.
[[nodiscard]] bool needs_bike_whole(Stage stage);

/// Where a key of the table stands among the others.
struct PlaceInOrder {
  plan::Turn turn;
  std::size_t in_table;
  auto operator<=>(const PlaceInOrder&) const = default;
};
[[nodiscard]] PlaceInOrder place_in_order(std::string_view path);

}  // namespace kerfmark::sheet
