#pragma once

#include <string>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// A side view in characters, to the scale that it states, lying on its side: a post with its
/// saddle to the left, a steerer with its crown to the left. Below it the legend, with the figure
/// of each sign. A hold or reject shows the part uncut.
[[nodiscard]] std::string side_view(const plan::Job& job, const plan::Plan& plan, const View& view);

}  // namespace kerfmark::report
