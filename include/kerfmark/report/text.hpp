#pragma once

#include <string>

#include "kerfmark/plan/trials.hpp"
#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// The report for a terminal or a printer of plain text; lines end in '\n'. Text of the job that
/// could move a cursor is made visible. In brief it has what somebody at the stand reads; in full
/// every limit, figure and position of the stem, and after the cut the plan before it. With trials,
/// they follow the limits. Where it is longer than the terminal, the verdict is its last line too.
[[nodiscard]] std::string text_report(const Telling& telling, const View& view,
                                      Extent extent = Extent::brief,
                                      const plan::Trials* trials = nullptr);

/// The verdict and what it asks, on one line.
[[nodiscard]] std::string verdict_line(const Telling& telling, const View& view);

}  // namespace kerfmark::report
