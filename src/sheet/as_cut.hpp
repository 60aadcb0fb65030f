#pragma once

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::sheet {

/// A part that was cut, as the sheet of a part without a cut has it: the job with what was measured
/// afterwards in place of what was before, the plan that only judges it, and what is said of it.
/// Fit stands for keep, unfit for reject.
struct AsCut {
  plan::Job job;
  plan::Plan plan;
  report::Statement says;
};

/// `plan.after` is there.
[[nodiscard]] AsCut as_cut(const plan::Job& job, const plan::Plan& plan, const text::Words& words);

}  // namespace kerfmark::sheet
