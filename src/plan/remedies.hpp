#pragma once

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// What saddle height, rings, other parts or the maker can do for limits that do not hold. By how
/// much is found by doing it to the job and planning that: from the least that mends the limit to
/// the most that breaks no other one, in tenths of a millimetre. What mends nothing, or what the
/// rings that are there cannot make, is not advised.
namespace kerfmark::plan {

/// For the holds of a plan, or for its reject.
void add_remedies(const Job& job, Plan& plan);

/// For the holds after the cut, or for a part that is unfit.
void add_remedies_after(const Job& job, const Judgement& before, Judgement& after);

}  // namespace kerfmark::plan
