#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/sheet/pdf_canvas.hpp"

/// What a test asks about the ink that a canvas has recorded.
namespace drawn_ink {

using kerfmark::sheet::Area;
using kerfmark::sheet::Ink;

[[nodiscard]] bool is_text(const Ink& ink);

/// Boxes that only touch do not overlap; a micrometre forgives binary fractions.
[[nodiscard]] bool overlap(const Area& a, const Area& b);
[[nodiscard]] bool inside(const Area& a, const Area& outer);

/// The first text that meets other ink, but for boxes around it and fills under it; empty: none.
[[nodiscard]] std::string text_in_the_way(const std::vector<Ink>& ink);

/// The first ink that leaves an area; empty: none.
[[nodiscard]] std::string ink_outside(const std::vector<Ink>& ink, const Area& area);

}  // namespace drawn_ink
