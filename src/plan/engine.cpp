#include "engine.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "kerfmark/measure/odds.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::plan {
namespace {

using measure::grain;
using measure::ReadingIndex;
using measure::Slopes;
using measure::Status;

// A limit with its guards: uncut, and at any cut above zero, where the saw's doubt comes in.
struct GuardedLimit {
  const RuleRow* row;
  double margin;
  Slopes slopes;
  double guard_uncut;
  double guard_cut;

  [[nodiscard]] Sense sense() const { return row->sense(); }
  [[nodiscard]] bool hard() const { return is_hard(row->origin); }
  [[nodiscard]] Standing at(double cut) const {
    const double m = margin + row->slope * cut;
    const double g = cut > 0.0 ? guard_cut : guard_uncut;
    return {.margin = m, .guard = g, .status = measure::status_of(m, g)};
  }
};

std::vector<GuardedLimit> with_guards(const std::vector<Limit>& limits,
                                      const measure::Readings& readings, double coverage) {
  std::vector<GuardedLimit> all;
  all.reserve(limits.size());
  for (const Limit& limit : limits) {
    const RuleRow& row = limit.row();
    measure::Amount margin = limit.margin();
    double uncut = 0.0;
    double cut = 0.0;
    if (is_guarded(row)) {
      uncut = measure::guard(margin.slopes, readings, coverage);
      cut = measure::guard(slopes_with_saw(margin.slopes, row.slope), readings, coverage);
    }
    all.push_back({&row, margin.base, std::move(margin.slopes), uncut, cut});
  }
  return all;
}

// The ends of the window, also where they have crossed; hi is infinite without an upper limit.
struct WindowEnds {
  double lo = 0.0;
  double hi = std::numeric_limits<double>::infinity();
  std::optional<std::size_t> lo_limit, hi_limit;  // the governing limits
};

WindowEnds window_ends(const std::vector<GuardedLimit>& all) {
  WindowEnds ends;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const GuardedLimit& w = all[i];
    if (w.sense() == Sense::fixed) {
      continue;
    }
    const double spare = as_change_of_cut(w.margin - w.guard_cut, w.row->slope);
    if (w.sense() == Sense::helps && -spare > ends.lo + grain) {
      ends.lo = -spare;
      ends.lo_limit = i;
    }
    if (w.sense() == Sense::hurts && spare < ends.hi - grain) {
      ends.hi = spare;
      ends.hi_limit = i;
    }
  }
  return ends;
}

// The sum of two margins in lengths of cut: the cut, the saw and what their readings share cancel.
double sum_as_change_of_cut(const GuardedLimit& lower, const GuardedLimit& upper) {
  return as_change_of_cut(lower.margin, lower.row->slope) +
         as_change_of_cut(upper.margin, upper.row->slope);
}

Slopes slopes_of_sum(const GuardedLimit& lower, const GuardedLimit& upper) {
  return measure::combined(as_change_of_cut(1.0, lower.row->slope), lower.slopes,
                           as_change_of_cut(1.0, upper.row->slope), upper.slopes);
}

// Whether two limits exclude each other at every cut.
bool exclude_each_other(const GuardedLimit& lower, const GuardedLimit& upper,
                        const DecisionInput& q) {
  const double sum = sum_as_change_of_cut(lower, upper);
  if (sum >= 0.0) {
    return false;
  }
  const Slopes slopes = slopes_of_sum(lower, upper);
  return measure::status_of(sum, measure::guard(slopes, q.readings, q.coverage)) == Status::broken;
}

struct Collisions {
  std::optional<Conflict> worst;
  bool hard = false;  // some hard pair excludes each other
};

Collisions collisions_of(const std::vector<GuardedLimit>& all, const DecisionInput& q) {
  Collisions found;
  for (std::size_t i = 0; i < all.size(); ++i) {
    for (std::size_t j = 0; j < all.size(); ++j) {
      if (all[i].sense() != Sense::helps || all[j].sense() != Sense::hurts ||
          !exclude_each_other(all[i], all[j], q)) {
        continue;
      }
      const bool hard = all[i].hard() && all[j].hard();
      const double short_by = -sum_as_change_of_cut(all[i], all[j]);
      const bool worse = !found.worst || (hard && !found.hard) ||
                         (hard == found.hard && short_by > found.worst->short_by.in_mm() + grain);
      if (worse) {
        found.worst = Conflict{
            i, j, measure::millimetres(short_by),
            measure::millimetres(short_by + as_change_of_cut(all[i].guard_cut, all[i].row->slope) +
                                 as_change_of_cut(all[j].guard_cut, all[j].row->slope))};
      }
      found.hard = found.hard || hard;
    }
  }
  return found;
}

// The whole multiple of `step` in [lo, hi] that is nearest to `preferred`, the smaller on a tie.
std::optional<double> nearest_on_grid(double lo, double hi, double preferred, double step) {
  const double first = std::ceil((lo - grain) / step);
  const double last = std::floor((hi + grain) / step);
  if (first > last) {
    return std::nullopt;
  }
  const double nearest = std::ceil((preferred - grain) / step - 0.5);
  return std::clamp(nearest, first, last) * step;
}

double least_cut(const DecisionInput& q) { return q.kerf.in_mm() + least_beyond_kerf_mm; }

std::optional<double> planned_cut(const DecisionInput& q, const WindowEnds& ends) {
  constexpr auto finer_steps = std::to_array<double>({1.0, 0.5, 0.1});  // mm
  const double lo = std::max(ends.lo, least_cut(q));
  const double preferred = q.preferred ? q.preferred->in_mm() : ends.lo;
  const double step = q.step.in_mm();
  auto planned = nearest_on_grid(lo, ends.hi, preferred, step);
  for (const double finer : finer_steps) {
    if (!planned && finer < step - grain) {
      planned = nearest_on_grid(lo, ends.hi, preferred, finer);
    }
  }
  return planned;
}

// Everything that the verdict is made of.
struct Evidence {
  const DecisionInput& q;
  const std::vector<GuardedLimit>& guarded;
  const WindowEnds& ends;
  const Collisions& collisions;
  const Judgement& judgement;  // limits judged, the cut and the wanted one set
  const std::optional<Length>& planned;

  // Uncut, or with a wanted cut, at that.
  [[nodiscard]] const Standing& standing(const JudgedLimit& limit) const {
    return as_judged(limit, judgement);
  }
  [[nodiscard]] bool any_limit(auto predicate) const {
    return std::ranges::any_of(judgement.limits, predicate);
  }
  [[nodiscard]] bool hard(const JudgedLimit& limit) const {
    return decides(limit.row(), judgement.wanted.has_value());
  }
  [[nodiscard]] bool breaks_hard(Sense sense) const {
    return any_limit([&](const JudgedLimit& l) {
      return hard(l) && l.row().sense() == sense && standing(l).status == Status::broken;
    });
  }
  [[nodiscard]] bool breaks_any_hard() const {
    return breaks_hard(Sense::helps) || breaks_hard(Sense::hurts) || breaks_hard(Sense::fixed);
  }
  [[nodiscard]] bool needs_cut() const { return !judgement.wanted && breaks_hard(Sense::helps); }
  [[nodiscard]] bool no_cut_can_do() const {
    return q.cutting_closed || breaks_hard(Sense::hurts) || collisions.hard;
  }
  [[nodiscard]] bool is_rejected() const {
    return breaks_hard(Sense::fixed) || breaks_hard(Sense::hurts) ||
           (breaks_hard(Sense::helps) && (judgement.wanted || no_cut_can_do()));
  }
  [[nodiscard]] bool all_hold_uncut() const {
    return !any_limit([](const JudgedLimit& l) { return l.uncut.status != Status::holds; });
  }
};

// The shares worth a word, largest first: the saw is no reading, and one that makes less than a
// twentieth of the doubt is not worth measuring again (common practice) unless it is the largest.
std::vector<measure::Share> notable_shares(const Slopes& slopes,
                                           const measure::Readings& readings) {
  constexpr double twentieth = 0.05;
  std::vector<measure::Share> worth;
  for (const measure::Share& part : measure::shares(slopes, readings)) {
    if (part.reading != Job::saw_row && (worth.empty() || part.of_variance >= twentieth)) {
      worth.push_back(part);
    }
  }
  return worth;
}

// What the doubt of one or two margins would be, were one of their readings without any.
Slopes slopes_without(const Slopes& slopes, ReadingIndex reading) {
  Slopes others = slopes;
  std::erase_if(others, [&](const measure::Slope& s) { return s.reading == reading; });
  return others;
}

// The half-width of one reading at which the guard would be no larger than `room`, all other
// readings as they are; 0 where no half-width does that. The guard is the smaller of two sums, so
// the larger of the two answers counts.
double settling_half_width(const Slopes& slopes, ReadingIndex reading,
                           const measure::Readings& readings, double coverage, double room) {
  const auto one = std::ranges::find(slopes, reading, &measure::Slope::reading);
  const Slopes others = slopes_without(slopes, reading);
  const double u_rest = measure::standard_uncertainty(others, readings);
  const double u_room = room / coverage;
  const double by_u = u_room > u_rest ? std::sqrt(3.0 * (u_room * u_room - u_rest * u_rest)) : 0.0;
  const double by_worst = room - measure::worst_case(others, readings);
  return std::max({0.0, by_u, by_worst}) / std::abs(one->coefficient);
}

// What may be measured again, and what may not: the saw is no reading, and others may be gone.
struct Remeasuring {
  const measure::Readings& readings;
  IsGone is_gone;

  [[nodiscard]] bool can_measure(ReadingIndex i) const {
    return i != Job::saw_row && (is_gone == nullptr || !is_gone(readings[i]));
  }
  // All of them with no half-width larger than this.
  [[nodiscard]] measure::Readings with_half_widths_up_to(double half_width) const {
    measure::Readings better = readings;
    for (ReadingIndex i = 0; i < better.size(); ++i) {
      double& now = better[i].half_width_base;
      now = can_measure(i) ? std::min(now, half_width) : now;
    }
    return better;
  }
};

// What is to be said where no reading alone settles a limit: the half-width at which all of them
// together do, or that no measuring can. Nothing where what doubt there is lies in readings that
// are gone.
std::optional<Remedy> remedy_by_all_readings(const Slopes& slopes, const Remeasuring& remeasuring,
                                             double coverage, double room) {
  const auto guard_within = [&](double half_width) {
    return measure::guard(slopes, remeasuring.with_half_widths_up_to(half_width), coverage);
  };
  Remedy remedy;
  remedy.kind = RemedyKind::no_measuring;
  remedy.guard_now = measure::guard(slopes, remeasuring.readings, coverage);
  remedy.guard_then = guard_within(finest_reading);
  const std::vector<measure::Share> shares = measure::shares(slopes, remeasuring.readings);
  const auto largest = std::ranges::find_if(
      shares, [&](const measure::Share& s) { return remeasuring.can_measure(s.reading); });
  if (largest == shares.end()) {
    const auto saw =
        std::ranges::find(slopes, ReadingIndex{Job::saw_row}, &measure::Slope::reading);
    if (saw == slopes.end()) {
      return std::nullopt;
    }
    remedy.settles_within =
        settling_half_width(slopes, Job::saw_row, remeasuring.readings, coverage, room);
    return remedy;
  }
  remedy.reading = largest->reading;
  remedy.share = largest->of_variance;
  if (remedy.guard_then > room + grain) {
    return remedy;
  }
  // The guard grows with the half-width, so halving finds where it is as large as the room; a
  // thousandth of a millimetre is nearer than anybody reads.
  constexpr double near_enough = 1e-3;
  double settles = finest_reading;
  double too_wide = half_widths_of_lengths.most;
  while (too_wide - settles > near_enough) {
    const double middle = (settles + too_wide) / 2.0;
    (guard_within(middle) <= room + grain ? settles : too_wide) = middle;
  }
  remedy.kind = RemedyKind::measure_all;
  remedy.settles_within = settles;
  return remedy;
}

// Both margins' readings, each with the root sum of squares of its slopes: what it has to do with
// either of them.
Slopes root_sum_squares(const Slopes& a, const Slopes& b) {
  Slopes both = a;
  for (const measure::Slope& slope : b) {
    const auto twin = std::ranges::find(both, slope.reading, &measure::Slope::reading);
    if (twin == both.end()) {
      both.push_back(slope);
    } else {
      twin->coefficient = std::hypot(twin->coefficient, slope.coefficient);
    }
  }
  std::ranges::sort(both, {}, &measure::Slope::reading);
  return both;
}

Hold hold_for(HoldReason reason, std::size_t limit, bool at_the_cut,
              std::vector<Remedy> remedies = {}) {
  Hold hold;
  hold.reason = reason;
  hold.limit = limit;
  hold.at_the_cut = at_the_cut;
  hold.remedies = std::move(remedies);
  return hold;
}

std::vector<Hold> contradictions_of(const DecisionInput& q) {
  std::vector<Hold> holds = contradicting_readings(q.readings, q.coverage);
  std::erase_if(holds, [&](const Hold& hold) {
    return std::ranges::find(q.of_later, *hold.reading) != q.of_later.end();
  });
  holds.insert(holds.end(), q.contradictions.begin(), q.contradictions.end());
  return holds;
}

// Values with doubt that have a share in a guarded limit and were read only once.
std::vector<Hold> missing_seconds(const DecisionInput& q, const std::vector<GuardedLimit>& all) {
  std::vector<Slopes> guarded;
  for (const GuardedLimit& w : all) {
    if (is_guarded(*w.row)) {
      guarded.push_back(w.slopes);
    }
  }
  return second_readings_missing(guarded, q.readings);
}

// Limits that keep the cut from being decided: hard ones in doubt, rules of thumb that are broken.
void add_open_limits(const Evidence& evidence, std::vector<Hold>& holds) {
  const bool doubt_counts = !evidence.breaks_any_hard();
  const bool at_reference = evidence.judgement.wanted.has_value();
  for (std::size_t i = 0; i < evidence.judgement.limits.size(); ++i) {
    const JudgedLimit& limit = evidence.judgement.limits[i];
    const bool hard = is_hard(limit.row().origin);
    const Standing& here = evidence.standing(limit);
    const bool fixed = limit.row().sense() == Sense::fixed;
    if (hard && here.status == Status::in_doubt && (doubt_counts || fixed)) {
      const Slopes slopes = at_reference
                                ? slopes_with_saw(evidence.guarded[i].slopes, limit.row().slope)
                                : evidence.guarded[i].slopes;
      holds.push_back(
          hold_for(HoldReason::limit_in_doubt, i, at_reference,
                   better_readings(slopes, evidence.q.readings, evidence.q.coverage, here.margin)));
    } else if (!hard && !at_reference && doubt_counts && here.status == Status::broken) {
      holds.push_back(hold_for(HoldReason::rule_of_thumb_broken, i, false));
    } else if (!hard && limit.at.status == Status::broken && (!evidence.needs_cut() || fixed)) {
      // Where a cut is needed and none was found, that is said once, by the limits that collide.
      holds.push_back(hold_for(HoldReason::rule_of_thumb_broken, i, true));
    }
  }
}

void add_missing_plan(const Evidence& evidence, std::vector<Hold>& holds) {
  if (!evidence.needs_cut() || evidence.planned) {
    return;
  }
  const bool empty = evidence.ends.lo > evidence.ends.hi + grain;
  Hold hold;
  hold.reason = empty ? HoldReason::window_empty : HoldReason::window_too_narrow;
  hold.limit =
      evidence.collisions.worst ? evidence.collisions.worst->lower : evidence.ends.lo_limit;
  hold.second =
      evidence.collisions.worst ? evidence.collisions.worst->upper : evidence.ends.hi_limit;
  if (hold.limit && hold.second) {
    const GuardedLimit& lower = evidence.guarded[*hold.limit];
    const GuardedLimit& upper = evidence.guarded[*hold.second];
    hold.apart = evidence.collisions.worst ? evidence.collisions.worst->short_by.in_mm()
                                           : evidence.ends.lo - evidence.ends.hi;
    hold.collides = evidence.collisions.worst.has_value();
    hold.remedies = remedies_by_share(
        RemedyKind::check_reading,
        hold.collides ? slopes_of_sum(lower, upper) : root_sum_squares(lower.slopes, upper.slopes),
        evidence.q.readings);
  }
  holds.push_back(std::move(hold));
}

// A wanted cut that no saw takes off.
void add_thin_cut(const Evidence& evidence, std::vector<Hold>& holds) {
  const double least = least_cut(evidence.q);
  if (!evidence.judgement.wanted || evidence.judgement.wanted->in_mm() >= least - grain) {
    return;
  }
  Hold hold;
  hold.reason = HoldReason::wanted_below_least;
  hold.remedies = {{.kind = RemedyKind::file_or_more, .amount = least}};
  holds.push_back(std::move(hold));
}

std::vector<Hold> open_questions(const Evidence& evidence) {
  std::vector<Hold> holds = evidence.q.unknowns;
  if (evidence.judgement.at.in_mm() > 0.0) {
    holds.insert(holds.end(), evidence.q.unknown_if_cut.begin(), evidence.q.unknown_if_cut.end());
  }
  if (evidence.q.twice) {
    std::ranges::move(missing_seconds(evidence.q, evidence.guarded), std::back_inserter(holds));
  }
  add_thin_cut(evidence, holds);
  add_open_limits(evidence, holds);
  add_missing_plan(evidence, holds);
  if (evidence.q.ask_maker && evidence.judgement.at.in_mm() > 0.0) {
    Hold hold;
    hold.reason = HoldReason::maker_not_asked;
    hold.remedies = {{.kind = RemedyKind::ask_maker}};
    holds.push_back(std::move(hold));
  }
  return holds;
}

struct Conclusion {
  Verdict verdict;
  std::vector<Hold> holds;
};

Conclusion conclude(const Evidence& evidence) {
  if (auto contradictions = contradictions_of(evidence.q); !contradictions.empty()) {
    return {Verdict::hold, std::move(contradictions)};
  }
  if (evidence.is_rejected()) {
    return {Verdict::reject, {}};
  }
  if (auto open = open_questions(evidence); !open.empty()) {
    return {Verdict::hold, std::move(open)};
  }
  return {!evidence.judgement.wanted && evidence.all_hold_uncut() ? Verdict::keep : Verdict::cut,
          {}};
}

double odds(const Standing& standing, const Slopes& slopes, const measure::Readings& readings) {
  return measure::probability_of_at_least_0(standing.margin, measure::spread_of(slopes, readings));
}

std::vector<JudgedLimit> judge(const std::vector<Limit>& limits, const measure::Readings& readings,
                               const std::vector<GuardedLimit>& all, const WindowEnds& ends,
                               double cut) {
  std::vector<JudgedLimit> judged;
  judged.reserve(all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Limit& limit = limits[i];
    const GuardedLimit& w = all[i];
    JudgedLimit j;
    j.rule = limit.rule;
    j.number = limit.number;
    j.dimension = limit.has.dimension;
    j.needs = limit.needs.base;
    const double towards = w.row->bound == Bound::at_least ? w.row->slope : -w.row->slope;
    j.has = limit.has.base + towards * cut;
    j.has_uncut = limit.has.base;
    j.uncut = w.at(0.0);
    j.at = w.at(cut);
    j.governs = i == ends.lo_limit || i == ends.hi_limit ||
                (w.sense() == Sense::fixed && j.at.status == Status::broken);
    j.slopes = cut > 0.0 ? slopes_with_saw(w.slopes, w.row->slope) : w.slopes;
    j.uncut.odds = odds(j.uncut, w.slopes, readings);
    j.at.odds = odds(j.at, j.slopes, readings);
    j.doubt = measure::shares(j.slopes, readings);
    judged.push_back(std::move(j));
  }
  return judged;
}

bool every_cut_dependent_limit_holds(const std::vector<GuardedLimit>& all) {
  return std::ranges::all_of(all, [](const GuardedLimit& w) {
    return w.sense() == Sense::fixed || w.at(0.0).status == Status::holds;
  });
}

}  // namespace

measure::Amount Limit::margin() const {
  return row().bound == Bound::at_least ? has - needs : needs - has;
}

Slopes slopes_with_saw(const Slopes& slopes, double slope) {
  return slope == 0.0 ? slopes
                      : measure::combined(1.0, slopes, slope,
                                          {{static_cast<std::uint32_t>(Job::saw_row), 1.0}});
}

double as_change_of_cut(double margin, double slope) { return margin / std::abs(slope); }

std::vector<Remedy> remedies_by_share(RemedyKind kind, const Slopes& slopes,
                                      const measure::Readings& readings) {
  std::vector<Remedy> remedies;
  for (const measure::Share& part : notable_shares(slopes, readings)) {
    remedies.push_back({kind, part.reading, part.of_variance, 0.0});
  }
  return remedies;
}

std::vector<Remedy> better_readings(const Slopes& slopes, const measure::Readings& readings,
                                    double coverage, double margin, IsGone is_gone) {
  const Remeasuring remeasuring{readings, is_gone};
  const double room = std::abs(margin);
  std::vector<Remedy> remedies = remedies_by_share(RemedyKind::measure_again, slopes, readings);
  for (Remedy& remedy : remedies) {
    const ReadingIndex reading = *remedy.reading;
    remedy.guard_now = measure::guard(slopes, readings, coverage);
    remedy.guard_then = measure::guard(slopes_without(slopes, reading), readings, coverage);
    remedy.settles_within = settling_half_width(slopes, reading, readings, coverage, room);
  }
  const bool one_settles = std::ranges::any_of(remedies, [&](const Remedy& r) {
    return remeasuring.can_measure(*r.reading) && r.settles_within >= finest_reading;
  });
  if (one_settles) {
    return remedies;
  }
  if (const auto all = remedy_by_all_readings(slopes, remeasuring, coverage, room)) {
    if (all->kind == RemedyKind::no_measuring) {
      std::erase_if(remedies, [&](const Remedy& r) { return remeasuring.can_measure(*r.reading); });
    }
    remedies.insert(remedies.begin(), *all);
  }
  return remedies;
}

std::vector<Hold> contradicting_readings(const measure::Readings& readings, double coverage) {
  std::vector<Hold> holds;
  for (const measure::Disagreement& d : measure::disagreements(readings, coverage)) {
    Hold hold;
    hold.reason = HoldReason::readings_disagree;
    hold.reading = d.reading;
    hold.apart = d.apart_base;
    hold.allowed = d.allowed_base;
    hold.remedies = {{RemedyKind::measure_again, d.reading, 0.0, 0.0}};
    holds.push_back(std::move(hold));
  }
  return holds;
}

std::vector<Hold> second_readings_missing(const std::vector<Slopes>& margins,
                                          const measure::Readings& readings) {
  std::vector<bool> wanted(readings.size(), false);
  for (const Slopes& slopes : margins) {
    for (const measure::Slope& slope : slopes) {
      const auto& reading = readings[slope.reading];
      wanted[slope.reading] =
          wanted[slope.reading] || (reading.half_width_base > 0.0 && slope.coefficient != 0.0 &&
                                    reading.values_base.size() < 2 && !reading.chosen);
    }
  }
  std::vector<Hold> holds;
  for (ReadingIndex i = 0; i < wanted.size(); ++i) {
    if (wanted[i] && i != Job::saw_row) {
      Hold hold;
      hold.reason = HoldReason::second_reading_missing;
      hold.reading = i;
      hold.remedies = {{RemedyKind::read_twice, i, 0.0, 0.0}};
      holds.push_back(std::move(hold));
    }
  }
  return holds;
}

std::string JudgedLimit::id() const {
  std::string id(row().id);
  return row().numbered ? id + "-" + std::to_string(number) : id;
}

std::vector<JudgedLimit> judge_as_it_stands(const std::vector<Limit>& limits,
                                            const measure::Readings& readings, double coverage) {
  return judge(limits, readings, with_guards(limits, readings, coverage), {}, 0.0);
}

Plan decide(const DecisionInput& question) {
  const std::vector<GuardedLimit> guarded =
      with_guards(question.limits, question.readings, question.coverage);
  const WindowEnds ends = window_ends(guarded);
  const Collisions collisions = collisions_of(guarded, question);

  Plan plan;
  plan.kerf = question.kerf;
  if (ends.lo <= ends.hi + grain) {
    plan.window = Window{measure::millimetres(ends.lo), std::nullopt};
    if (ends.hi_limit) {
      plan.window->hi = measure::millimetres(ends.hi);
    }
  }
  if (!question.cutting_closed && !every_cut_dependent_limit_holds(guarded)) {
    if (const auto planned = planned_cut(question, ends)) {
      plan.planned = measure::millimetres(*planned);
    }
  }
  Judgement& judgement = plan.before;
  judgement.wanted = question.wanted;
  judgement.conflict = collisions.worst;
  judgement.at = judgement.wanted.value_or(plan.planned.value_or(Length{}));
  judgement.limits = judge(question.limits, question.readings, guarded, ends, judgement.at.in_mm());
  Conclusion conclusion = conclude({question, guarded, ends, collisions, judgement, plan.planned});
  judgement.verdict = conclusion.verdict;
  judgement.holds = std::move(conclusion.holds);
  return plan;
}

}  // namespace kerfmark::plan
