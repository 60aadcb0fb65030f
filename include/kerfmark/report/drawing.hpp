#pragma once

#include <string>

#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// A side view in characters, to the scale that it states, lying on its side: a post with its
/// saddle to the left, a steerer with its crown to the left. Below it the legend, in full with the
/// figure of each sign. A hold or reject shows the part uncut; after the cut it is shown as it was
/// measured.
[[nodiscard]] std::string side_view(const Telling& telling, Extent extent, const View& view);

}  // namespace kerfmark::report
