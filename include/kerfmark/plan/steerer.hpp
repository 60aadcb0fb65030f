#pragma once

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The whole plan of a steerer job: see plan.hpp. The job has passed the reader: needed values are
/// there, one route to the gap is complete, defaults are filled in.
[[nodiscard]] Plan plan_steerer(const Job& job);

}  // namespace kerfmark::plan
