#pragma once

#include <optional>

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// How the line of a plan's cut is found: empty where the plan is about no cut. `whole` is the
/// length of the uncut part; `gap` that of the uncut steerer, negative where it stands above the
/// stack, which is the only time that the top of the stack can be marked on it. Each mark is laid
/// off by a steel rule of its own.
[[nodiscard]] std::optional<CutLine> cut_line(const Job& job, const Plan& plan,
                                              const std::optional<measure::LengthEstimate>& whole,
                                              const std::optional<measure::LengthEstimate>& gap);

}  // namespace kerfmark::plan
