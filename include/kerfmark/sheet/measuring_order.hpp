#pragma once

#include <cstddef>
#include <string_view>

/// The order in which a mechanic asks and measures, for the blank form and for the table of a
/// sheet.
namespace kerfmark::sheet {

enum class Stage { job, maker, bike, mock_up, tube, bench, shop, after, more };

/// Whether its keys can be read only while the part is in the bicycle.
[[nodiscard]] bool needs_bike_whole(Stage stage);

/// Where a key of the table stands among the others: 0 is first. One that is not named stands where
/// its table does, or else at the end.
[[nodiscard]] std::size_t place_in_order(std::string_view path);
[[nodiscard]] Stage stage_of(std::string_view path);

}  // namespace kerfmark::sheet
