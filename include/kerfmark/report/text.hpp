#pragma once

#include <string>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// The report for a terminal or a printer of plain text; lines end in '\n'. Text of the job that
/// could move a cursor is made visible.
[[nodiscard]] std::string text_report(const plan::Job& job, const plan::Plan& plan,
                                      const View& view);

/// The verdict and what it asks, on one line.
[[nodiscard]] std::string verdict_line(const plan::Job& job, const plan::Plan& plan,
                                       const View& view);

/// The answer of the quick check of a post as it stands.
[[nodiscard]] std::string insertion_report(const plan::InsertionCheck& check, const View& view);

/// Every built-in limit with its origin, source and default.
[[nodiscard]] std::string rules_table(const View& view);

}  // namespace kerfmark::report
