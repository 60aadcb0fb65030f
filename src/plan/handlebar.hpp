#pragma once

#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The plan of a handlebar that is cut alike at both ends, but for what other parts can do. The job
/// has passed the reader: needed values are there, defaults are filled in.
[[nodiscard]] Plan plan_handlebar(const Job& job);

/// The limits of a handlebar for other values of its readings; `by_halves`: the width is that of
/// both halves together.
[[nodiscard]] std::vector<Limit> handlebar_limits(const Job& job, bool by_halves);

}  // namespace kerfmark::plan
