#pragma once

#include <optional>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// Whether a part that was cut may be ridden, by what was measured after the saw.
namespace kerfmark::plan {

/// Empty where the job says nothing of the time after the cut. The job has passed the reader. No
/// further cut is made and so no saw enters; readings taken before the cut keep their doubt.
[[nodiscard]] std::optional<After> check_after(const Job& job);

/// The part as it stands after the cut, in the form of a plan without one: for whoever words limits
/// and holds. `plan.after` must be there.
[[nodiscard]] Plan as_it_stands(const Plan& plan);

/// A reading that was taken on the part before it was cut, and cannot be taken any more.
[[nodiscard]] bool is_gone(const measure::Reading& reading);

}  // namespace kerfmark::plan
