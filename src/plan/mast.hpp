#pragma once

#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The plan of a seat mast that is cut at its top, but for what moves and other parts can do. The
/// job has passed the reader: needed values are there, defaults are filled in, no triangle is
/// impossible.
[[nodiscard]] Plan plan_mast(const Job& job);

/// The limits of a mast for other values of its readings.
[[nodiscard]] std::vector<Limit> mast_limits(const Job& job);

/// The mast as it is once it is cut.
[[nodiscard]] Judgement mast_after(const Job& job);

}  // namespace kerfmark::plan
