// Geometry of a handlebar that is cut alike at both ends. Lengths in millimetres along the straight
// line between its ends.
//
//   W     width, end to end, uncut
//   V     the width that the rider wants
//   c     what comes off each end
//   R     end inward to where the bar bends or grows thicker, the shorter side
//   sum   of the widths of all controls on the fuller side
//
// A bar with sweep comes out a little wider than W - 2c, as what comes off lies at an angle to the
// width: harmless, it can be cut again.

#include <algorithm>
#include <cmath>

#include "after.hpp"
#include "cut_line.hpp"
#include "engine.hpp"
#include "kind_rows.hpp"
#include "part.hpp"

namespace kerfmark::plan {
namespace {

using measure::grain;
using measure::LengthEstimate;
using measure::millimetres;

// How far a bar may stand out farther on one side than on the other before somebody has to know
// why (common practice: less is seen by nobody).
constexpr double centred_within_mm = 2.0;

struct MeasuredBar {
  const Job& job;
  LengthEstimate W;
  std::optional<LengthEstimate> off_centre;  // left less right
  LengthEstimate cut;                        // what has come off each end, nothing before the cut
  bool by_halves = false;                    // W is left + right
  std::vector<Hold> contradictions;
};

LengthEstimate sum_of_controls(const Job& job) {
  LengthEstimate sum;
  for (const Control& control : job.controls) {
    sum = sum + value(control.width, job.readings);
  }
  return sum;
}

double guard_of(const measure::Slopes& slopes, const Job& job) {
  const double u = measure::standard_uncertainty(slopes, job.readings);
  return job.measuring.coverage * u;
}

// Nothing where left and right differ by no more than their readings and the eye allow.
std::optional<Hold> not_centred(const LengthEstimate& off, HoldReason reason, const Job& job) {
  const double apart = std::abs(off.nominal().in_mm());
  const double allowed = guard_of(off.slopes(), job) + centred_within_mm;
  if (apart <= allowed + grain) {
    return std::nullopt;
  }
  Hold hold;
  hold.reason = reason;
  hold.apart = apart;
  hold.allowed = allowed;
  hold.remedies.push_back({.kind = RemedyKind::find_the_middle});
  return hold;
}

// The width of both halves is a second route to that from end to end.
void choose_width(MeasuredBar& bar) {
  const Job& job = bar.job;
  if (!job.handlebar.left || !job.handlebar.right) {
    return;
  }
  const LengthEstimate left = value(job.handlebar.left, job.readings);
  const LengthEstimate right = value(job.handlebar.right, job.readings);
  bar.off_centre = left - right;
  const LengthEstimate halves = left + right;
  if (auto hold = contradiction(bar.W - halves, job.handlebar.left->reading, job)) {
    hold->reason = HoldReason::halves_against_width;
    bar.contradictions.push_back(*std::move(hold));
  }
  if (auto hold = not_centred(*bar.off_centre, HoldReason::off_centre, job)) {
    bar.contradictions.push_back(*std::move(hold));
  }
  const auto u_of = [&](const LengthEstimate& width) {
    return measure::standard_uncertainty(width.slopes(), job.readings);
  };
  if (u_of(halves) < u_of(bar.W) - grain) {
    bar.W = halves;
    bar.by_halves = true;
  }
}

MeasuredBar bar_of(const Job& job) {
  MeasuredBar bar{.job = job,
                  .W = value(job.handlebar.width, job.readings),
                  .off_centre = {},
                  .cut = {},
                  .by_halves = false,
                  .contradictions = {}};
  choose_width(bar);
  return bar;
}

bool cutting_closed(const Job& job) { return job.part.cutting == Cutting::forbidden; }

bool knows_the_room(const Job& job) {
  return job.handlebar.straight.has_value() && !job.controls.empty();
}

void add_width_limits(const MeasuredBar& bar, std::vector<Limit>& limits) {
  const Job& job = bar.job;
  const Handlebar& h = job.handlebar;
  limits.push_back({Rule::width_most, bar.W, value(h.widest, job.readings)});
  limits.push_back({Rule::width_least, bar.W, value(h.narrowest, job.readings)});
  if (h.min_width) {
    limits.push_back({Rule::bar_minimum, bar.W, value(h.min_width, job.readings)});
  }
  limits.push_back({Rule::norm_least, bar.W, millimetres(*row_of(Rule::norm_least).figure)});
}

// What has to stay on each end: `cut` is what has come off it.
void add_end_limits(const MeasuredBar& bar, const LengthEstimate& cut, std::vector<Limit>& limits) {
  const Job& job = bar.job;
  const Handlebar& h = job.handlebar;
  if (h.to_mark) {
    limits.push_back({Rule::cut_mark, cut, value(h.to_mark, job.readings)});
  }
  if (knows_the_room(job)) {
    limits.push_back({Rule::controls, value(h.straight, job.readings) - cut,
                      sum_of_controls(job) + value(h.air, job.readings)});
  }
  if (h.grip_zone && !job.controls.empty()) {
    limits.push_back(
        {Rule::grip_zone, value(h.grip_zone, job.readings) - cut, sum_of_controls(job)});
  }
}

std::vector<Limit> limits_of(const MeasuredBar& bar) {
  std::vector<Limit> limits;
  add_width_limits(bar, limits);
  add_end_limits(bar, bar.cut, limits);
  add_maker_limits(bar.job, cutting_closed(bar.job), &bar.cut, nullptr, limits);
  add_mass_limits(bar.job, limits);
  return limits;
}

// Whoever cuts must know that grips, levers and clamps still find room.
Hold room_unknown() {
  Hold hold;
  hold.reason = HoldReason::room_unknown;
  hold.remedies = {{.kind = RemedyKind::measure_room}};
  return hold;
}

HandlebarFigures figures_of(const MeasuredBar& bar, Length at) {
  const Job& job = bar.job;
  HandlebarFigures figures;
  figures.width_uncut = bar.W.nominal();
  figures.width = bar.W.nominal() - 2.0 * at;
  figures.by_halves = bar.by_halves;
  figures.controls = sum_of_controls(job).nominal();
  if (bar.off_centre) {
    figures.off_centre = bar.off_centre->nominal();
    figures.left = job.handlebar.left->nominal - at;
    figures.right = job.handlebar.right->nominal - at;
  }
  return figures;
}

// ---- after the cut ----

// What came off an end: the more of the two, kerf and all, or half of what the width has lost.
LengthEstimate cut_of_an_end(const MeasuredBar& uncut, const LengthEstimate& width) {
  const Job& job = uncut.job;
  const Maybe<Length>& left = job.as_cut.offcut;
  const Maybe<Length>& right = job.as_cut.offcut_right;
  if (!left || !right) {
    return 0.5 * (uncut.W - width);
  }
  const Maybe<Length>& more = left->nominal < right->nominal ? right : left;
  return value(more, job.readings) + kerf_of(job);
}

std::vector<Hold> unknowns_after(const MeasuredBar& uncut) {
  const Job& job = uncut.job;
  std::vector<Hold> unknowns;
  if (!knows_the_room(job)) {
    unknowns.push_back(room_unknown());
  }
  if (job.as_cut.offcut && job.as_cut.offcut_right) {
    const LengthEstimate before = uncut.off_centre.value_or(LengthEstimate{});
    const LengthEstimate off = before - (value(job.as_cut.offcut, job.readings) -
                                         value(job.as_cut.offcut_right, job.readings));
    if (auto hold = not_centred(off, HoldReason::off_centre_now, job)) {
      unknowns.push_back(*std::move(hold));
    }
  }
  return unknowns;
}

// `by_halves`: the width is that of both halves together.
std::vector<Limit> limits_for_readings(const Job& job, bool by_halves) {
  MeasuredBar bar = bar_of(job);
  bar.W = by_halves
              ? value(job.handlebar.left, job.readings) + value(job.handlebar.right, job.readings)
              : value(job.handlebar.width, job.readings);
  return limits_of(bar);
}

Plan plan_handlebar(const Job& job) {
  const MeasuredBar bar = bar_of(job);
  DecisionInput question = decision_input(job, cutting_closed(job));
  question.limits = limits_of(bar);
  question.contradictions = bar.contradictions;
  question.preferred = 0.5 * (bar.W.nominal() - job.handlebar.wanted->nominal);
  if (!knows_the_room(job)) {
    question.unknown_if_cut.push_back(room_unknown());
  }
  Plan plan = decide(question);
  const Length at = plan.before.at;
  plan.before.remaining = bar.W.nominal() - 2.0 * at;
  plan.before.handlebar = figures_of(bar, at);
  // Half the width is laid off from the middle; of both ends, two pieces come off.
  plan.line =
      cut_line(job, plan, {.stays = 0.5 * bar.W, .gap = std::nullopt, .whole = bar.W, .pieces = 3});
  if (at > Length{}) {
    plan.cautions.push_back(Caution::local_law);
  }
  add_part_cautions(job, plan);
  return plan;
}

Judgement check_cut_bar(const Job& job) {
  const MeasuredBar uncut = bar_of(job);
  const LengthEstimate width = value(job.as_cut.length, job.readings);
  MeasuredBar bar = uncut;
  bar.W = width;
  bar.cut = cut_of_an_end(uncut, width);
  Judgement after = judge_after(job, {.original = uncut.W,
                                      .remaining = width,
                                      .off_an_end = bar.cut,
                                      .limits = limits_of(bar),
                                      .contradictions = bar.contradictions,
                                      .unknowns = unknowns_after(uncut)});
  HandlebarFigures figures;
  figures.width_uncut = figures.width = width.nominal();
  figures.controls = sum_of_controls(job).nominal();
  after.handlebar = figures;
  return after;
}

}  // namespace

constinit const KindRow handlebar_row = {
    .kind = Kind::handlebar,
    .part = {.end = "both", .ends = 2, .stays_above = true},
    .plan = plan_handlebar,
    .after = [](const Job& job, const Judgement&) { return check_cut_bar(job); },
    .limits =
        [](const Job& job, const Judgement& before) {
          return limits_for_readings(job, before.handlebar->by_halves);
        },
    .length = [](const Job& job) -> const Maybe<Length>& { return job.handlebar.width; },
    .mending = {.tried_on = as_it_is,
                .stuck_hold = RemedyKind::other_bar,
                .reject_last = RemedyKind::other_bar},
};

}  // namespace kerfmark::plan
