#include "kerfmark/sheet/measuring_order.hpp"

#include <algorithm>

namespace kerfmark::sheet {

PlaceInOrder place_in_order(std::string_view path) {
  const auto key = std::ranges::find(plan::keys(), path, &plan::Key::path);
  return {plan::turn_of(path), static_cast<std::size_t>(key - plan::keys().begin())};
}

bool needs_bike_whole(Stage stage) { return stage == Stage::bike || stage == Stage::mock_up; }

}  // namespace kerfmark::sheet
