#pragma once

#include <string>
#include <string_view>

#include "block.hpp"

namespace kerfmark::sheet {

/// A note in a frame below its signal word, which stands white on black for a warning.
struct Panel {
  Lines text;
  std::string word;
  bool dark = false;

  [[nodiscard]] double height_mm() const;
};

[[nodiscard]] Panel set_in_panel(std::string_view text, std::string word, bool dark,
                                 double width_mm, double size_pt);

/// At the top of a block, between two x, as high as its neighbours.
void put_panel(Block& block, const Panel& panel, double left, double right, double height_mm);

}  // namespace kerfmark::sheet
