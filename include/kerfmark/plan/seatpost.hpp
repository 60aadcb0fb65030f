#pragma once

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The plan of a seatpost job but for what moves and other parts can do: see plan.hpp. The job has
/// passed the reader: needed values are there, defaults are filled in, no triangle is impossible.
[[nodiscard]] Plan plan_seatpost(const Job& job);

}  // namespace kerfmark::plan
