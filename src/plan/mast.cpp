// Geometry of a frame's own seat mast, cut at its top, and of the topper that sits on it. Lengths
// in millimetres along the axis of the mast; what a saddle height comes to there is in
// saddle_height.cpp.
//
//   M     datum up to the top of the mast, uncut; the datum is the maker's, else the upper edge of
//         the top tube
//   c     what comes off the top
//   E     extension: datum up to the rail clamp centre
//   t     top of the mast up to the rail clamp centre, the topper down on its stop, no spacers
//   J     how far the topper reaches over or into the mast then
//   N     the most of spacers, or of pulling out, that its maker allows
//   x     what it takes of them: E − (M − c) − t

#include <algorithm>

#include "after.hpp"
#include "cut_line.hpp"
#include "kind_rows.hpp"
#include "part.hpp"
#include "saddle_height.hpp"

namespace kerfmark::plan {
namespace {

using measure::grain;
using measure::LengthEstimate;

struct MeasuredMast {
  const Job& job;
  SaddleGeometry geometry;
  Extensions E;
  LengthEstimate M, t;
  LengthEstimate cut;  // what has come off the mast, nothing before the cut

  [[nodiscard]] LengthEstimate spacers_at(const LengthEstimate& extension) const {
    return extension - M - t;
  }
};

MeasuredMast mast_of(const Job& job) {
  MeasuredMast mast{.job = job,
                    .geometry = saddle_geometry(job),
                    .E = {},
                    .M = value(job.mast.length, job.readings),
                    .t = value(job.topper.rise, job.readings),
                    .cut = {}};
  mast.E = extensions_of(mast.geometry, job);
  return mast;
}

bool cutting_closed(const Job& job) { return job.part.cutting == Cutting::forbidden; }

void add_topper_limits(const MeasuredMast& mast, std::vector<Limit>& limits) {
  const Job& job = mast.job;
  const Topper& topper = job.topper;
  const LengthEstimate most = mast.spacers_at(mast.E.highest);
  limits.push_back({Rule::topper_low, mast.spacers_at(mast.E.lowest), -job.saddle.near->nominal});
  if (topper.spacers_most) {
    limits.push_back({Rule::topper_high, most, value(topper.spacers_most, job.readings)});
  }
  if (!topper.grip) {
    return;
  }
  const LengthEstimate J = value(topper.grip, job.readings);
  const bool meets_what_is_inside = topper.goes == Goes::into && job.mast.keep;
  limits.push_back({Rule::topper_room, mast.E.lowest - mast.t - J,
                    meets_what_is_inside ? value(job.mast.keep, job.readings) : LengthEstimate{}});
  if (topper.min_grip) {
    limits.push_back({Rule::topper_grip, J - most, value(topper.min_grip, job.readings)});
  }
}

std::vector<Limit> limits_of(const MeasuredMast& mast) {
  const Job& job = mast.job;
  std::vector<Limit> limits;
  add_topper_limits(mast, limits);
  if (job.mast.keep) {
    limits.push_back({Rule::mast_inside, mast.M, value(job.mast.keep, job.readings)});
  }
  add_maker_limits(job, cutting_closed(job), &mast.cut, &mast.M, limits);
  add_mass_limits(job, limits);
  return limits;
}

// Saddle heights that the topper reaches.
std::optional<Span> range_of_saddle(const MeasuredMast& mast,
                                    const std::vector<JudgedLimit>& limits, bool cut) {
  const auto counts = [](Rule rule) { return rule != Rule::topper_room; };
  return saddle_range(mast.geometry, mast.E, limits, cut, counts);
}

// Each of two cuts must be one that a saw takes off.
std::optional<Length> first_cut_above(const Job& job, Length cut) {
  const Length least = job.saw.kerf->nominal + measure::millimetres(least_beyond_kerf_mm);
  return cut.in_mm() >= 2.0 * least.in_mm() - grain ? std::optional(least) : std::nullopt;
}

MastFigures figures_of(const MeasuredMast& mast, const Judgement& judgement) {
  const auto& [low, height, high] = mast.E;
  const auto spacers_for = [&](Length cut) {
    const auto at = [&](const LengthEstimate& E) { return mast.spacers_at(E).nominal() + cut; };
    return AtHeights{at(low), at(height), at(high)};
  };
  MastFigures figures;
  figures.extension = {low.nominal(), height.nominal(), high.nominal()};
  figures.spacers_uncut = spacers_for({});
  figures.spacers = spacers_for(judgement.at);
  figures.saddle_range_uncut = range_of_saddle(mast, judgement.limits, false);
  figures.first_cut_above = first_cut_above(mast.job, judgement.at);
  if (judgement.at > Length{}) {
    figures.saddle_range_cut = range_of_saddle(mast, judgement.limits, true);
  }
  return figures;
}

// A topper that stands on more spacers than its maker lets it comes off.
std::vector<Hold> unknowns_of(const Job& job) {
  if (job.topper.spacers_most) {
    return {};
  }
  Hold hold;
  hold.reason = HoldReason::spacers_unknown;
  hold.remedies = {{.kind = RemedyKind::ask_topper_maker}};
  return {hold};
}

void add_cautions(const Job& job, Plan& plan) {
  if (!job.topper.grip || !job.topper.min_grip) {
    plan.cautions.push_back(Caution::grip_unknown);
  }
  if (job.topper.grip && job.mast.keep && !job.topper.goes) {
    plan.cautions.push_back(Caution::topper_taken_as_over);
  }
  if (plan.before.at > Length{} && plan.before.verdict != Verdict::reject) {
    plan.cautions.push_back(Caution::section_reaches);
    plan.cautions.push_back(Caution::other_saddle);
    plan.cautions.push_back(Caution::next_owner);
  }
  add_part_cautions(job, plan);
}

Plan plan_mast(const Job& job) {
  const MeasuredMast mast = mast_of(job);
  DecisionInput question = decision_input(job, cutting_closed(job));
  question.limits = limits_of(mast);
  question.unknowns = unknowns_of(job);
  // The longest mast that lets the topper down to the saddle's lowest: more can come off later.
  question.preferred = -mast.spacers_at(mast.E.lowest).nominal();
  Plan plan = decide(question);
  plan.before.remaining = mast.M.nominal() - plan.before.at;
  plan.line = cut_line(job, plan, {.stays = mast.M, .gap = std::nullopt, .whole = mast.M});
  plan.before.mast = figures_of(mast, plan.before);
  add_cautions(job, plan);
  return plan;
}

Judgement check_cut_mast(const Job& job) {
  MeasuredMast mast = mast_of(job);
  const LengthEstimate original = mast.M;
  mast.M = value(job.as_cut.length, job.readings);
  mast.cut = original - mast.M;
  Judgement after = judge_after(job, {.original = original,
                                      .remaining = mast.M,
                                      .limits = limits_of(mast),
                                      .contradictions = {},
                                      .unknowns = unknowns_of(job)});
  after.mast = figures_of(mast, after);
  return after;
}

}  // namespace

constinit const KindRow mast_row = {
    .kind = Kind::mast,
    .part = {.end = "top", .setback_key = "topper.setback"},
    .plan = plan_mast,
    .after = [](const Job& job, const Judgement&) { return check_cut_mast(job); },
    .limits = [](const Job& job, const Judgement&) { return limits_of(mast_of(job)); },
    .length = [](const Job& job) -> const Maybe<Length>& { return job.mast.length; },
    .mending = {.tried_on = as_it_is,
                .moves_last = true,
                .stuck = RemedyKind::respect_maker,
                .other_head = RemedyKind::other_topper},
    .heights_of_size =
        [](const Judgement& before) {
          return before.verdict == Verdict::cut ? before.mast->saddle_range_cut
                                                : before.mast->saddle_range_uncut;
        },
    .setback = [](const Job& job) -> const Maybe<Length>& { return job.topper.setback; },
    .is_the_frame = true,
};

}  // namespace kerfmark::plan
