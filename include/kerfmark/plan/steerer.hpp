#pragma once

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The whole plan of a steerer job: see plan.hpp. The job has passed the reader: needed values are
/// there, defaults are filled in. Without a complete route to the gap it ends in a hold.
[[nodiscard]] Plan plan_steerer(const Job& job);

}  // namespace kerfmark::plan
