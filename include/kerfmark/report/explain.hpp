#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/view.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::report {

/// One limit of a plan as a sum that can be checked on paper: how the quantity is made from the
/// readings, its margin, and the doubt reading by reading. Empty when the plan has no such limit.
[[nodiscard]] std::optional<std::string> explain(std::string_view limit, const plan::Job& job,
                                                 const plan::Plan& plan, const View& view,
                                                 const text::Words& words);

/// The ids that explain() knows for this plan.
[[nodiscard]] std::vector<std::string> limit_ids(const plan::Plan& plan);

}  // namespace kerfmark::report
