#pragma once

#include <optional>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// Whether a part that was cut may be ridden, by what was measured after the saw.
namespace kerfmark::plan {

/// Empty where the job says nothing of the time after the cut. The job has passed the reader. No
/// further cut is made and so no saw enters; readings taken before the cut keep their doubt.
/// What a cut leaves as it was is taken over from `before`.
[[nodiscard]] std::optional<Judgement> check_after(const Job& job, const Judgement& before);

/// A reading that was taken on the part before it was cut, and cannot be taken any more.
[[nodiscard]] bool is_gone(const measure::Reading& reading);

}  // namespace kerfmark::plan
