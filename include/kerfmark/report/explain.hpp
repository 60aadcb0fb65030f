#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// One limit of a plan as a sum that can be checked on paper: how the quantity is made from the
/// readings, its margin, and the doubt reading by reading. Empty when the plan has no such limit.
[[nodiscard]] std::optional<std::string> explain(std::string_view limit, const Telling& telling,
                                                 const View& view);

/// The ids that explain() knows for this plan.
[[nodiscard]] std::vector<std::string> limit_ids(const plan::Plan& plan);

}  // namespace kerfmark::report
