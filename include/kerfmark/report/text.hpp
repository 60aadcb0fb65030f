#pragma once

#include <string>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::report {

/// The report for a terminal or a printer of plain text; lines end in '\n'. Text of the job that
/// could move a cursor is made visible.
[[nodiscard]] std::string text_report(const plan::Job& job, const plan::Plan& plan);

/// The answer of the quick check of a post as it stands.
[[nodiscard]] std::string insertion_report(const plan::InsertionCheck& check);

/// Every built-in limit with its origin, source and default.
[[nodiscard]] std::string rules_table();

}  // namespace kerfmark::report
