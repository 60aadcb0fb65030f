#include "as_cut.hpp"

#include <utility>

#include "kerfmark/plan/after.hpp"
#include "kerfmark/report/after.hpp"

namespace kerfmark::sheet {
namespace {

using plan::AfterVerdict;
using plan::Verdict;

Verdict like(AfterVerdict verdict) {
  switch (verdict) {
    case AfterVerdict::fit:
      return Verdict::keep;
    case AfterVerdict::hold:
      return Verdict::hold;
    case AfterVerdict::unfit:
      return Verdict::reject;
  }
  return Verdict::hold;
}

// Who measured last is who signs now.
void take_over(const std::string& after, std::string& before) {
  if (!after.empty()) {
    before = after;
  }
}

plan::Job job_as_cut(const plan::Job& job) {
  plan::Job now = job;
  plan::Maybe<plan::Length>& length =
      job.kind == plan::Kind::seatpost ? now.post.length : now.steerer.length;
  if (job.as_cut.length) {
    length = job.as_cut.length;
  }
  take_over(job.as_cut.by, now.paperwork.by);
  take_over(job.as_cut.checked_by, now.paperwork.checked_by);
  take_over(job.as_cut.date, now.paperwork.date);
  return now;
}

plan::Plan plan_as_cut(const plan::Plan& plan) {
  plan::Plan now = plan::as_it_stands(plan);
  const plan::After& after = *plan.after;
  now.verdict = like(after.verdict);
  now.remedies = after.remedies;
  if (now.seatpost) {
    now.seatpost->insertion = now.seatpost->insertion_uncut =
        after.insertion.value_or(now.seatpost->insertion_uncut);
    now.seatpost->new_mark = after.new_mark;
  }
  if (now.steerer) {
    now.steerer->gap = now.steerer->gap_uncut = after.gap;
    now.steerer->by_mock_up = false;
  }
  return now;
}

report::Statement statement_of(const plan::Job& job, const plan::Plan& plan,
                               const text::Words& words) {
  report::Statement says = report::statement_of(job, plan, words);
  report::AfterStatement after = report::after_statement_of(job, plan, words);
  says.verdict = std::move(after.verdict);
  says.headline = std::move(after.headline);
  says.because = std::move(after.because);
  says.figures = std::move(after.figures);
  says.limits_title = std::move(after.limits_title);
  says.limits = std::move(after.limits);
  says.next = std::move(after.next);
  says.if_settled.clear();
  return says;
}

}  // namespace

AsCut as_cut(const plan::Job& job, const plan::Plan& plan, const text::Words& words) {
  return {job_as_cut(job), plan_as_cut(plan), statement_of(job, plan, words)};
}

}  // namespace kerfmark::sheet
