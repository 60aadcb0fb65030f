#include "kerfmark/plan/plan.hpp"

#include "kerfmark/plan/after.hpp"
#include "kind_rows.hpp"
#include "remedies.hpp"

namespace kerfmark::plan {

const Standing& as_judged(const JudgedLimit& limit, const Judgement& judgement) {
  return judgement.wanted ? limit.at : limit.uncut;
}

bool shown_at_the_cut(const Judgement& judgement) {
  return is_yes(judgement.verdict) || judgement.wanted;
}

std::vector<const JudgedLimit*> in_the_way(const Judgement& judgement) {
  std::vector<const JudgedLimit*> found;
  for (const JudgedLimit& limit : judgement.limits) {
    const bool by_itself = limit.row().sense() != Sense::helps || judgement.wanted;
    if (decides(limit.row(), judgement.wanted.has_value()) && by_itself &&
        as_judged(limit, judgement).status == measure::Status::broken) {
      found.push_back(&limit);
    }
  }
  return found;
}

const JudgedLimit* first_in_the_way(const Judgement& judgement) {
  std::optional<std::size_t> place;
  if (judgement.verdict == Verdict::hold && !judgement.holds.empty()) {
    place = judgement.holds.front().limit;
  } else if (judgement.verdict == Verdict::reject) {
    if (const auto broken = in_the_way(judgement); !broken.empty()) {
      return broken.front();
    }
    if (judgement.conflict) {
      place = judgement.conflict->lower;
    }
  }
  return place ? &judgement.limits[*place] : nullptr;
}

Plan plan_cut(const Job& job) {
  Plan plan = row_of(job.kind).plan(job);
  add_remedies(job, plan);
  plan.after = check_after(job, plan.before);
  return plan;
}

}  // namespace kerfmark::plan
