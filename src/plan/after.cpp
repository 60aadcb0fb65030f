#include "after.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "kerfmark/plan/keys.hpp"
#include "kind_rows.hpp"
#include "part.hpp"
#include "remedies.hpp"

namespace kerfmark::plan {
namespace {

using measure::grain;
using measure::LengthEstimate;
using measure::Slopes;
using measure::Status;

double guard_of(const Slopes& slopes, const Job& job) {
  return measure::guard(slopes, job.readings, job.measuring.coverage);
}

// The sum closes when nothing is missing and nothing too much, within its guard.
struct Sum {
  LengthEstimate off;
  Closure closure;
};

std::optional<Sum> sum_of(const Job& job, const CutPart& part) {
  const auto lost = part.lost();
  if (!lost || !job.as_cut.offcut) {
    return std::nullopt;
  }
  Sum sum;
  sum.off = *lost - (value(job.as_cut.offcut, job.readings) + kerf_of(job));
  if (job.as_cut.offcut_right) {
    sum.off = sum.off - (value(job.as_cut.offcut_right, job.readings) + kerf_of(job));
  }
  sum.closure.off = sum.off.nominal();
  sum.closure.guard_mm = guard_of(sum.off.slopes(), job);
  sum.closure.closed = std::abs(sum.closure.off.in_mm()) <= sum.closure.guard_mm + grain;
  return sum;
}

// The maker's limit on the cut is not doubted for what two readings may be off by: a cut made right
// up to it would else never hold. It is broken where no doubt explains the excess.
void judge_cut(const Job& job, const CutPart& part, JudgedLimit& limit) {
  Standing& s = limit.at;
  s.guard = guard_of(part.cut()->slopes(), job);
  s.status = s.margin >= -s.guard - grain ? Status::holds : Status::broken;
  limit.uncut = s;
}

double spare(const JudgedLimit& limit) {
  const double spare = limit.rule == Rule::max_cut ? limit.at.margin + limit.at.guard
                                                   : limit.at.margin - limit.at.guard;
  return as_change_of_cut(spare, limit.row().slope);
}

// The limit of each sense that is nearest to being broken; one that a longer cut would help only
// while it does not hold.
void mark_governing(std::vector<JudgedLimit>& limits) {
  for (const Sense sense : {Sense::helps, Sense::hurts}) {
    JudgedLimit* tightest = nullptr;
    for (JudgedLimit& limit : limits) {
      if (limit.row().sense() == sense && (sense == Sense::hurts || spare(limit) < -grain) &&
          (tightest == nullptr || spare(limit) < spare(*tightest) - grain)) {
        tightest = &limit;
      }
    }
    if (tightest != nullptr) {
      tightest->governs = true;
    }
  }
}

std::vector<JudgedLimit> judged(const Job& job, const CutPart& part) {
  std::vector<JudgedLimit> limits =
      judge_as_it_stands(part.limits, job.readings, job.measuring.coverage);
  for (JudgedLimit& limit : limits) {
    if (limit.rule == Rule::max_cut) {
      judge_cut(job, part, limit);
    }
  }
  mark_governing(limits);
  return limits;
}

Hold open_sum(const Job& job, const Sum& sum) {
  Hold hold;
  hold.reason = HoldReason::sum_open;
  hold.apart = sum.closure.off.in_mm();
  hold.allowed = sum.closure.guard_mm;
  hold.remedies = remedies_by_share(RemedyKind::check_sum, sum.off.slopes(), job.readings);
  const bool loss = hold.apart > 0.0;
  hold.remedies.push_back({.kind = loss ? RemedyKind::look_for_loss : RemedyKind::look_for_surplus,
                           .amount = std::abs(hold.apart)});
  return hold;
}

// No saw makes a part longer: then the two lengths are not those of one part, or one is wrong.
std::optional<Hold> grown(const Job& job, const CutPart& part) {
  const auto lost = part.lost();
  if (!lost || lost->nominal().in_mm() >= -guard_of(lost->slopes(), job) - grain) {
    return std::nullopt;
  }
  Hold hold;
  hold.reason = HoldReason::longer_than_before;
  hold.apart = -lost->nominal().in_mm();
  hold.allowed = guard_of(lost->slopes(), job);
  hold.remedies = remedies_by_share(RemedyKind::compare_routes, lost->slopes(), job.readings);
  return hold;
}

std::vector<Hold> contradictions_of(const Job& job, const CutPart& part,
                                    const std::optional<Sum>& sum) {
  std::vector<Hold> holds;
  if (sum) {
    if (!sum->closure.closed) {
      holds.push_back(open_sum(job, *sum));
    }
  } else if (auto longer = grown(job, part)) {
    holds.push_back(*std::move(longer));
  }
  std::ranges::move(contradicting_readings(job.readings, job.measuring.coverage),
                    std::back_inserter(holds));
  holds.insert(holds.end(), part.contradictions.begin(), part.contradictions.end());
  return holds;
}

std::vector<Hold> missing_seconds(const Job& job, const std::vector<JudgedLimit>& limits) {
  std::vector<Slopes> guarded;
  for (const JudgedLimit& limit : limits) {
    // After the cut the limit on the cut has a guard: the doubt of the two lengths.
    if (is_guarded(limit.row()) || limit.rule == Rule::max_cut) {
      guarded.push_back(limit.slopes);
    }
  }
  return second_readings_missing(guarded, job.readings);
}

std::vector<Hold> open_questions(const Job& job, const CutPart& part,
                                 const std::vector<JudgedLimit>& limits) {
  std::vector<Hold> holds = part.unknowns;
  if (job.measuring.twice) {
    std::ranges::move(missing_seconds(job, limits), std::back_inserter(holds));
  }
  for (std::size_t i = 0; i < limits.size(); ++i) {
    const JudgedLimit& limit = limits[i];
    if (limit.at.status == Status::holds) {
      continue;
    }
    Hold hold;
    hold.reason = is_hard_after(limit.row().origin) ? HoldReason::limit_in_doubt
                                                    : HoldReason::practice_missed;
    hold.limit = i;
    hold.at_the_cut = true;
    if (is_hard_after(limit.row().origin)) {
      hold.remedies = better_readings(limit.slopes, job.readings, job.measuring.coverage,
                                      limit.at.margin, is_gone);
    }
    holds.push_back(std::move(hold));
  }
  return holds;
}

// Where a reading can no longer be taken, the advice says so instead.
void retire_gone_readings(const Job& job, std::vector<Hold>& holds) {
  for (Hold& hold : holds) {
    for (Remedy& remedy : hold.remedies) {
      if (remedy.reading && is_gone(job.readings[*remedy.reading])) {
        remedy = {RemedyKind::gone_reading, remedy.reading, remedy.share, 0.0};
      }
    }
    std::ranges::stable_partition(hold.remedies, [](const Remedy& remedy) {
      return remedy.kind != RemedyKind::gone_reading;
    });
  }
}

bool is_broken_hard(const JudgedLimit& limit) {
  return is_hard_after(limit.row().origin) && limit.at.status == Status::broken;
}

}  // namespace

std::optional<LengthEstimate> CutPart::lost() const {
  return original && remaining ? std::optional(*original - *remaining) : std::nullopt;
}

bool is_gone(const measure::Reading& reading) {
  const auto key = std::ranges::find(keys(), std::string_view(reading.key), &Key::path);
  return key != keys().end() && key->spec.gone_once_cut;
}

bool breaks(const Judgement& after, Sense sense) {
  return std::ranges::any_of(after.limits, [&](const JudgedLimit& limit) {
    return limit.row().sense() == sense && is_broken_hard(limit);
  });
}

bool is_past_mending(const Judgement& after) {
  return std::ranges::any_of(after.limits, [](const JudgedLimit& limit) {
    return limit.row().family == Family::maker && limit.at.status == Status::broken;
  });
}

Judgement judge_after(const Job& job, const CutPart& part) {
  Judgement after;
  CutMade& made = after.made.emplace();
  if (part.remaining) {
    after.remaining = part.remaining->nominal();
  }
  if (const auto cut = part.cut()) {
    made.cut = cut->nominal();
    made.guard_mm = guard_of(cut->slopes(), job);
  }
  const std::optional<Sum> sum = sum_of(job, part);
  if (sum) {
    made.closure = sum->closure;
  }
  after.limits = judged(job, part);
  if (auto contradictions = contradictions_of(job, part, sum); !contradictions.empty()) {
    after.holds = std::move(contradictions);
  } else if (std::ranges::any_of(after.limits, is_broken_hard)) {
    after.verdict = Verdict::unfit;
  } else if (auto open = open_questions(job, part, after.limits); !open.empty()) {
    after.holds = std::move(open);
  } else {
    after.verdict = Verdict::fit;
  }
  retire_gone_readings(job, after.holds);
  return after;
}

void offer_further_cut(Judgement& after) {
  for (Hold& hold : after.holds) {
    if (hold.limit && hold.at_the_cut && after.limits[*hold.limit].row().sense() == Sense::helps) {
      hold.remedies.push_back({.kind = RemedyKind::cut_again});
    }
  }
}

std::optional<Judgement> check_after(const Job& job, const Judgement& before) {
  if (!job.as_cut.given()) {
    return std::nullopt;
  }
  Judgement after = row_of(job.kind).after(job, before);
  add_remedies_after(job, before, after);
  return after;
}

}  // namespace kerfmark::plan
