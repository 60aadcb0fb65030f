// Geometry of a steerer, in the letters of its drawing. Lengths in millimetres along the steerer
// unless said otherwise.
//
//   S      crown race seat to the top of the steerer, uncut
//   c      what comes off at the top
//   Q      lower headset stack + head tube + upper headset stack
//   K      height of the stem's clamp
//   B_low  rings below the stem in its lowest position;  B_high  in its highest
//   A      rings above the stem in its highest position; moving the stem down moves rings up
//   G0     gap uncut: top of the stack minus top of the steerer, positive when the steerer ends
//          below the top of the stack
//   G      gap after the cut, G0 + c
//   F      flange: what the rim of the expander adds on top of the steerer; the cap's own gap is
//          G − F
//   phi    head angle, to the horizontal
//   alpha  stem angle against the perpendicular of the steerer, rise positive
//   L      stem length, steerer axis to handlebar clamp centre

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "after.hpp"
#include "cut_line.hpp"
#include "engine.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/rings.hpp"
#include "kind_rows.hpp"
#include "part.hpp"

namespace kerfmark::plan {
namespace {

using measure::AngleEstimate;
using measure::grain;
using measure::LengthEstimate;

LengthEstimate sum(const Rings& rings, const measure::Readings& readings) {
  LengthEstimate total;
  if (rings) {
    for (const Measured<Length>& ring : *rings) {
      total = total + estimate(ring, readings);
    }
  }
  return total;
}

struct BarGeometry {
  Length height_without_rings;  // handlebar clamp centre above the BB centre, B = 0
  std::optional<Length> reach_without_rings;
  double sin_phi = 0.0;
  double cos_phi = 0.0;

  [[nodiscard]] Length height(Length B) const { return height_without_rings + sin_phi * B; }
  [[nodiscard]] std::optional<Length> reach(Length B) const {
    return reach_without_rings ? std::optional(*reach_without_rings - cos_phi * B) : std::nullopt;
  }
};

std::optional<BarGeometry> bar_geometry(const Job& job) {
  if (!job.frame.stack || !job.frame.head_angle || !job.headset.upper || !job.stem.length ||
      !job.stem.angle) {
    return std::nullopt;
  }
  const Angle phi = job.frame.head_angle->nominal;
  const Angle alpha = job.stem.angle->nominal;
  const auto sin_of = [](Angle angle) { return sin(AngleEstimate(angle)).nominal().value(); };
  const auto cos_of = [](Angle angle) { return cos(AngleEstimate(angle)).nominal().value(); };
  const Length L = job.stem.length->nominal;
  const Length to_clamp = job.headset.upper->nominal + 0.5 * job.stem.clamp->nominal;
  BarGeometry bar;
  bar.sin_phi = sin_of(phi);
  bar.cos_phi = cos_of(phi);
  bar.height_without_rings =
      job.frame.stack->nominal + bar.sin_phi * to_clamp + cos_of(phi - alpha) * L;
  if (job.frame.reach) {
    bar.reach_without_rings =
        job.frame.reach->nominal - bar.cos_phi * to_clamp + sin_of(phi - alpha) * L;
  }
  return bar;
}

struct Stack {
  const Job& job;
  std::optional<BarGeometry> bar;
  LengthEstimate K, A, B, B_low, B_high, F;
  bool starts_below_top;             // the expander: it clamps from some way down the steerer
  std::optional<LengthEstimate> G0;  // empty: no route is complete
  std::optional<LengthEstimate> S;
  std::optional<LengthEstimate> cut;  // what has come off S, nothing before the cut
  GapRoute gap_by = GapRoute::parts;  // the route that gave it
  std::vector<Hold> contradictions;
};

// The ring sum on hand whose bar height is nearest to the wish, the smaller on a tie.
Length nearest_sum(const BarGeometry& bar, const std::vector<Length>& sums, Length wish) {
  Length best;
  double least = std::numeric_limits<double>::infinity();
  for (const Length candidate : sums) {
    const double off = std::abs((bar.height(candidate) - wish).in_mm());
    if (off < least - grain) {
      best = candidate;
      least = off;
    }
  }
  return best;
}

void set_rings(Stack& stack) {
  const Job& job = stack.job;
  const auto& r = job.readings;
  stack.A = sum(job.spacers.above, r);
  stack.B = sum(job.wished.below ? job.wished.below : job.spacers.below, r);
  const auto end = [&](const Rings& wished, const Rings& rings) {
    if (wished) {
      return sum(wished, r);
    }
    return rings ? sum(rings, r) : stack.B;
  };
  stack.B_low = end(job.wished.lowest, job.spacers.lowest);
  stack.B_high = end(job.wished.highest, job.spacers.highest);
}

std::optional<LengthEstimate> gap_from_parts(const Stack& stack) {
  const Job& job = stack.job;
  if (!job.frame.head_tube || !job.headset.lower || !job.headset.upper || !stack.S) {
    return std::nullopt;
  }
  const auto& r = job.readings;
  const LengthEstimate Q =
      value(job.headset.lower, r) + value(job.frame.head_tube, r) + value(job.headset.upper, r);
  return Q + stack.B_high + stack.K + stack.A - *stack.S;
}

// Rings and clamp alone must fit between crown race seat and top of the stack, S + G0. Where they
// do not, the steerer's length and the measured gap contradict each other, and the cut would be
// made up.
void add_impossible_gap(const LengthEstimate& gap, const Maybe<Length>& measured, Stack& stack) {
  const LengthEstimate room =
      *stack.S + gap - (stack.B_high + stack.K + stack.A);  // for headset and head tube
  if (room.nominal() >= Length{}) {
    return;
  }
  if (auto hold = contradiction(room, measured->reading, stack.job)) {
    hold->reason = HoldReason::no_room_for_stack;
    stack.contradictions.push_back(*std::move(hold));
  }
}

std::optional<LengthEstimate> gap_from_mock_up(const Job& job) {
  const Maybe<Length>& proud = job.mock_up.stands_proud;
  return proud ? std::optional(-estimate(*proud, job.readings)) : std::nullopt;
}

// Both routes to the gap must agree; the one with the smaller doubt is used, the parts on a tie.
void choose_gap(Stack& stack) {
  const Job& job = stack.job;
  const auto parts = gap_from_parts(stack);
  const auto mock_up = gap_from_mock_up(job);
  const auto u_of = [&](const LengthEstimate& x) {
    return measure::standard_uncertainty(x.slopes(), job.readings);
  };
  if (parts && mock_up) {
    if (auto hold = contradiction(*parts - *mock_up, job.mock_up.stands_proud->reading, job)) {
      stack.contradictions.push_back(*std::move(hold));
    }
  }
  if (mock_up && stack.S && !parts) {
    add_impossible_gap(*mock_up, job.mock_up.stands_proud, stack);
  }
  const bool by_mock_up = mock_up && (!parts || u_of(*mock_up) < u_of(*parts) - grain);
  stack.gap_by = by_mock_up ? GapRoute::mock_up : GapRoute::parts;
  stack.G0 = by_mock_up ? mock_up : parts;
}

Stack bare_stack(const Job& job) {
  Stack stack{.job = job,
              .bar = bar_geometry(job),
              .K = value(job.stem.clamp, job.readings),
              .A = {},
              .B = {},
              .B_low = {},
              .B_high = {},
              .F = value(job.expander.flange, job.readings),
              .starts_below_top = job.expander.from && job.expander.from->nominal > Length{},
              .G0 = {},
              .S = std::nullopt,
              .cut = LengthEstimate{},
              .gap_by = GapRoute::parts,
              .contradictions = {}};
  if (job.steerer.length) {
    stack.S = value(job.steerer.length, job.readings);
  }
  return stack;
}

Stack stack_of(const Job& job) {
  Stack stack = bare_stack(job);
  set_rings(stack);
  choose_gap(stack);
  return stack;
}

LengthEstimate figure(Rule rule) { return measure::millimetres(*row_of(rule).figure); }

void add_gap_limits(const Stack& stack, std::vector<Limit>& limits) {
  const Job& job = stack.job;
  const auto& r = job.readings;
  const LengthEstimate below_cap = *stack.G0 - stack.F;
  limits.push_back({Rule::preload, below_cap, Length{}});
  if (job.cap.gap_min) {
    limits.push_back({Rule::gap_least_maker, below_cap, value(job.cap.gap_min, r)});
  } else {
    limits.push_back({Rule::gap_least, below_cap, figure(Rule::gap_least)});
  }
  if (job.cap.gap_max) {
    limits.push_back({Rule::gap_most_maker, below_cap, value(job.cap.gap_max, r)});
  } else {
    limits.push_back({Rule::gap_most, below_cap, figure(Rule::gap_most)});
  }
}

// From the top of the steerer down to the lower end of the clamp, stem at its lowest, uncut.
LengthEstimate clamp_end(const Stack& stack) {
  return stack.K + stack.A + stack.B_high - stack.B_low - *stack.G0;
}

void add_stem_limits(const Stack& stack, std::vector<Limit>& limits) {
  const Job& job = stack.job;
  const auto& r = job.readings;
  const LengthEstimate recess = *stack.G0 - stack.A;  // of the steerer below the top of the stem
  limits.push_back({Rule::stem_recess, recess, figure(Rule::stem_recess)});
  if (job.stem.recess_max) {
    limits.push_back({Rule::stem_cover_maker, recess, value(job.stem.recess_max, r)});
  } else if (job.part.material == Material::carbon) {
    limits.push_back({Rule::stem_cover, recess, figure(Rule::stem_cover)});
  }
  if (job.expander.to) {
    limits.push_back({Rule::expander_reach, clamp_end(stack), value(job.expander.to, r)});
  }
  if (stack.starts_below_top) {
    limits.push_back({Rule::expander_top, -recess, value(job.expander.from, r)});
  }
}

// Rings count by their nominal heights here, exact.
void add_ring_limits(const Stack& stack, std::vector<Limit>& limits) {
  const Spacers& spacers = stack.job.spacers;
  const Length A = stack.A.nominal();
  const Length B_high = stack.B_high.nominal();
  if (spacers.max_below) {
    limits.push_back({Rule::spacers_below, B_high, spacers.max_below->nominal});
  }
  if (spacers.min_above) {
    limits.push_back({Rule::spacers_above_least, A, spacers.min_above->nominal});
  }
  if (spacers.max_above) {
    limits.push_back(
        {Rule::spacers_above_most, A + B_high - stack.B_low.nominal(), spacers.max_above->nominal});
  }
}

bool cutting_closed(const Job& job) { return job.part.cutting == Cutting::forbidden; }

std::vector<Limit> limits_of(const Stack& stack, bool closed) {
  std::vector<Limit> limits;
  if (stack.G0) {
    add_gap_limits(stack, limits);
    add_stem_limits(stack, limits);
  }
  add_maker_limits(stack.job, closed, stack.cut ? &*stack.cut : nullptr,
                   stack.S ? &*stack.S : nullptr, limits);
  add_ring_limits(stack, limits);
  add_mass_limits(stack.job, limits);
  return limits;
}

StemPosition position_at(const Stack& stack, RingSplit split) {
  StemPosition position{
      .below = split.below, .above = split.above, .bar_height = {}, .bar_reach = {}};
  if (stack.bar) {
    position.bar_height = stack.bar->height(split.below);
    position.bar_reach = stack.bar->reach(split.below);
  }
  return position;
}

// The rings that make the target; of the positions on hand the one nearest to it.
void set_target(const Stack& stack, SteererFigures& figures) {
  const Length B = stack.B.nominal();
  const Length total = (stack.B_high + stack.A).nominal();
  figures.target = position_at(stack, {B, total - B});
  const auto off = [&](const StemPosition& p) {
    const Length d = p.below - B;
    return std::max(d, -d);
  };
  const auto nearest = std::ranges::min_element(figures.positions, {}, off);
  if (nearest != figures.positions.end() && off(*nearest).in_mm() <= ring_tolerance_mm + grain) {
    figures.target = *nearest;
    figures.rings = rings_for(stack.job.spacers.on_hand, {nearest->below, nearest->above});
  }
}

// Where nobody has said how far the expander of a carbon steerer reaches: how far it must.
std::optional<Length> expander_needs(const Stack& stack, Length cut) {
  const Job& job = stack.job;
  if (job.part.material != Material::carbon || job.expander.to || !stack.G0) {
    return std::nullopt;
  }
  const LengthEstimate end = clamp_end(stack);
  const measure::Slopes slopes =
      cut > Length{} ? slopes_with_saw(end.slopes(), -1.0) : end.slopes();
  return end.nominal() - cut +
         measure::millimetres(measure::guard(slopes, job.readings, job.measuring.coverage));
}

// What the parts' route to the gap lacks, in the order of the keys.
std::vector<std::string_view> missing_parts(const Job& job) {
  std::vector<std::string_view> missing;
  const auto ask = [&](std::string_view key, const Maybe<Length>& given) {
    if (!given) {
      missing.push_back(key);
    }
  };
  ask("frame.head_tube", job.frame.head_tube);
  ask("steerer.length", job.steerer.length);
  ask("headset.lower", job.headset.lower);
  ask("headset.upper", job.headset.upper);
  return missing;
}

SteererFigures figures_of(const Stack& stack, Length cut) {
  SteererFigures figures;
  if (stack.G0) {
    figures.gap_uncut = stack.G0->nominal();
    figures.gap = stack.G0->nominal() + cut;
  }
  figures.clamp = stack.K.nominal();
  figures.below_low = stack.B_low.nominal();
  figures.below_high = stack.B_high.nominal();
  figures.above = stack.A.nominal();
  figures.gap_by = stack.gap_by;
  figures.missing_parts = missing_parts(stack.job);
  figures.expander_needs = expander_needs(stack, cut);
  if (!stack.job.spacers.on_hand.empty()) {
    for (const RingSplit& split :
         ring_splits(stack.job.spacers.on_hand, figures.below_low, figures.below_high,
                     figures.below_high + figures.above)) {
      figures.positions.push_back(position_at(stack, split));
    }
  }
  set_target(stack, figures);
  return figures;
}

// The rings on hand come no nearer to the wished bar than this (common practice: a thin ring).
bool bar_is_missed(const Stack& stack) {
  constexpr double thin_ring = 2.5;  // mm
  const Maybe<Length>& wish = stack.job.bar.height;
  return wish &&
         std::abs((stack.bar->height(stack.B.nominal()) - wish->nominal).in_mm()) > thin_ring;
}

// The stem's heights, by wish or by rings, must rise from lowest to highest.
std::optional<std::string_view> out_of_order(const Stack& stack) {
  const Job& job = stack.job;
  if (stack.B_low.nominal().in_mm() > stack.B.nominal().in_mm() + grain) {
    return job.bar.lowest ? "bar.lowest" : "spacers.lowest";
  }
  if (stack.B_high.nominal().in_mm() < stack.B.nominal().in_mm() - grain) {
    return job.bar.highest ? "bar.highest" : "spacers.highest";
  }
  return std::nullopt;
}

// ---- after the cut ----

struct Route {
  GapRoute kind;
  LengthEstimate gap;
};

// Every route to the gap that is complete, the one to be named first on a tie first.
std::vector<Route> routes_after(const Stack& stack, const std::optional<LengthEstimate>& original) {
  const Job& job = stack.job;
  std::vector<Route> routes;
  if (const auto parts = gap_from_parts(stack)) {
    routes.push_back({GapRoute::parts, *parts});
  }
  if (job.mock_up.stands_proud && original && stack.S) {
    const LengthEstimate uncut = -estimate(*job.mock_up.stands_proud, job.readings);
    routes.push_back({GapRoute::mock_up, uncut + *original - *stack.S});
  }
  if (job.as_cut.gap) {
    routes.push_back({GapRoute::measured, estimate(*job.as_cut.gap, job.readings)});
  }
  return routes;
}

// Any two routes must agree.
void compare_routes(const std::vector<Route>& routes, Stack& stack) {
  for (std::size_t i = 0; i < routes.size(); ++i) {
    for (std::size_t j = i + 1; j < routes.size(); ++j) {
      const bool measured = routes[j].kind == GapRoute::measured;
      const Maybe<Length>& second =
          measured ? stack.job.as_cut.gap : stack.job.mock_up.stands_proud;
      auto hold = contradiction(routes[i].gap - routes[j].gap, second->reading, stack.job);
      if (!hold) {
        continue;
      }
      if (measured) {
        hold->reason = routes[i].kind == GapRoute::parts ? HoldReason::gap_against_parts
                                                         : HoldReason::gap_against_mock_up;
      }
      stack.contradictions.push_back(*std::move(hold));
    }
  }
}

// The stack on the steerer as it is now; the route with the smallest doubt gives the gap.
struct StackAfter {
  Stack stack;
  std::optional<LengthEstimate> original;
};

StackAfter stack_after(const Job& job) {
  StackAfter after{.stack = bare_stack(job), .original = {}};
  Stack& stack = after.stack;
  set_rings(stack);
  after.original = stack.S;
  stack.S =
      job.as_cut.length ? std::optional(estimate(*job.as_cut.length, job.readings)) : std::nullopt;
  stack.cut = stack.S && after.original ? std::optional(*after.original - *stack.S) : std::nullopt;
  const std::vector<Route> routes = routes_after(stack, after.original);
  compare_routes(routes, stack);
  const auto u_of = [&](const Route& route) {
    return measure::standard_uncertainty(route.gap.slopes(), job.readings);
  };
  const Route* best = nullptr;
  for (const Route& route : routes) {
    if (best == nullptr || u_of(route) < u_of(*best) - grain) {
      best = &route;
    }
    if (route.kind != GapRoute::parts && routes.front().kind != GapRoute::parts && stack.S) {
      add_impossible_gap(
          route.gap, route.kind == GapRoute::measured ? job.as_cut.gap : job.mock_up.stands_proud,
          stack);
    }
  }
  if (best != nullptr) {
    stack.G0 = best->gap;
    stack.gap_by = best->kind;
  }
  return after;
}

// What the maker limits and no reading can be held against.
std::optional<Hold> lengths_unknown(const StackAfter& after, bool closed) {
  const Stack& stack = after.stack;
  const bool limits_cut = closed || stack.job.part.max_cut;
  if (!(limits_cut && !stack.cut) && !(stack.job.part.min_length && !stack.S)) {
    return std::nullopt;
  }
  Hold hold;
  hold.reason = HoldReason::lengths_unknown;
  if (!stack.S) {
    hold.remedies.push_back({.kind = RemedyKind::measure_what_is_left});
  }
  if (limits_cut && !after.original) {
    hold.remedies.push_back({.kind = RemedyKind::recall_length});
  }
  return hold;
}

std::vector<Hold> unknowns_after(const StackAfter& after, bool closed) {
  std::vector<Hold> unknowns;
  if (!after.stack.G0) {
    Hold hold;
    hold.reason = HoldReason::measured_gap_unknown;
    hold.remedies = {{.kind = RemedyKind::measure_gap_again}};
    unknowns.push_back(std::move(hold));
  }
  if (auto hold = lengths_unknown(after, closed)) {
    unknowns.push_back(*std::move(hold));
  }
  return unknowns;
}

// What measuring the gap itself would do for a limit in doubt that hangs on it.
void offer_measured_gap(const Stack& stack, bool closed, Judgement& after) {
  const Job& job = stack.job;
  if (job.as_cut.gap || !stack.G0) {
    return;
  }
  Stack measured = stack;
  measured.G0 = LengthEstimate::of_reading(stack.G0->nominal(), Job::stock_row);  // by steel rule
  const std::vector<JudgedLimit> then =
      judge_as_it_stands(limits_of(measured, closed), job.readings, job.measuring.coverage);
  for (Hold& hold : after.holds) {
    if (hold.reason != HoldReason::limit_in_doubt ||
        then[*hold.limit].at.guard > after.limits[*hold.limit].at.guard - grain) {
      continue;
    }
    const Standing& now = after.limits[*hold.limit].at;
    Remedy remedy;
    remedy.kind = RemedyKind::measure_gap_again;
    remedy.guard_now = now.guard;
    remedy.guard_then = then[*hold.limit].at.guard;
    remedy.settles = remedy.guard_then <= std::abs(now.margin) + grain;
    hold.remedies.insert(hold.remedies.begin(), remedy);
  }
}

// Finds the rings on hand for each wish for the bar: the sum whose bar height is nearest, the
// smaller on a tie, made of the fewest rings. Each counts as a reading of its own, named like a
// ring of the list it stands for, with this half-width. What a wish needs is there.
void choose_rings(Job& job, Length caliper_half_width) {
  if (!job.bar.height && !job.bar.lowest && !job.bar.highest) {
    return;
  }
  const std::optional<BarGeometry> bar = bar_geometry(job);
  require(bar.has_value(), "a bar height without its geometry");
  const std::vector<Length>& on_hand = job.spacers.on_hand;
  const std::vector<Length> sums = ring_sums(on_hand);
  const auto choose = [&](const Maybe<Length>& wish, std::string_view key, Rings& wished) {
    if (!wish) {
      return;
    }
    const auto rings = fewest_rings(on_hand, nearest_sum(*bar, sums, wish->nominal));
    require(rings.has_value(), "a sum of rings that none of them make");
    wished.emplace();
    for (const Length ring : *rings) {
      measure::Reading reading;
      reading.key = std::string(key) + "-" + std::to_string(wished->size() + 1);
      reading.values_base = {ring.in_mm()};
      reading.half_width_base = caliper_half_width.in_mm();
      reading.instrument = key_at(key).spec.instrument;
      reading.chosen = true;
      job.readings.push_back(std::move(reading));
      wished->push_back({ring, job.readings.size() - 1});
    }
  };
  choose(job.bar.height, "spacers.below", job.wished.below);
  choose(job.bar.lowest, "spacers.lowest", job.wished.lowest);
  choose(job.bar.highest, "spacers.highest", job.wished.highest);
}

// The key of a stem's lowest or highest height that lies on the wrong side of its height, where
// one is given by rings and the other by a wish for the bar: they meet only when the sums are
// known.
std::optional<std::string_view> complete_stem(Job& job, Length caliper_half_width) {
  choose_rings(job, caliper_half_width);
  Stack stack = bare_stack(job);
  set_rings(stack);
  return out_of_order(stack);
}

// With the rings below the stem written out for its lowest, its own and its highest position, and
// no wish for the bar.
Job with_rings_listed(const Job& job) {
  Stack stack = bare_stack(job);
  set_rings(stack);
  const auto listed = [](const Maybe<Length>& wish, const Rings& given, const LengthEstimate& sum) {
    return wish ? Rings{{{sum.nominal(), std::nullopt}}} : given;
  };
  Job other = job;
  Spacers& s = other.spacers;
  s.below = listed(job.bar.height, s.below, stack.B);
  s.lowest = listed(job.bar.lowest, s.lowest ? s.lowest : s.below, stack.B_low);
  s.highest = listed(job.bar.highest, s.highest ? s.highest : s.below, stack.B_high);
  other.bar = {};
  other.wished = {};
  return other;
}

// The limits and the route of the plan, whatever was drawn.
std::vector<Limit> limits_for_readings(const Job& job, const Judgement& before) {
  Stack stack = bare_stack(job);
  set_rings(stack);
  const bool by_mock_up = before.steerer->gap_by == GapRoute::mock_up;
  stack.G0 = by_mock_up ? gap_from_mock_up(job) : gap_from_parts(stack);
  stack.starts_below_top = has_limit(before, Rule::expander_top);
  return limits_of(stack, cutting_closed(job));
}

// Without a complete route to the gap it ends in a hold.
Plan plan_steerer(const Job& job) {
  const Stack stack = stack_of(job);
  DecisionInput question = decision_input(job, cutting_closed(job));
  question.limits = limits_of(stack, cutting_closed(job));
  // The cut that leaves the gap which the cap wants.
  if (stack.G0) {
    question.preferred = job.cap.gap->nominal - (*stack.G0 - stack.F).nominal();
  } else {
    Hold hold;
    hold.reason = HoldReason::gap_unknown;
    hold.remedies = {{.kind = RemedyKind::measure_parts}, {.kind = RemedyKind::measure_gap}};
    question.unknowns.push_back(std::move(hold));
  }
  question.contradictions = stack.contradictions;
  Plan plan = decide(question);
  if (stack.S) {
    plan.before.remaining = stack.S->nominal() - plan.before.at;
  }
  plan.line = cut_line(job, plan, {.stays = stack.S, .gap = stack.G0, .whole = stack.S});
  plan.before.steerer = figures_of(stack, plan.before.at);
  if (job.part.material == Material::carbon && !job.expander.to) {
    plan.cautions.push_back(Caution::expander_unknown);
  }
  if (bar_is_missed(stack)) {
    plan.cautions.push_back(Caution::bar_out_of_reach);
  }
  add_part_cautions(job, plan);
  return plan;
}

Judgement check_cut_steerer(const Job& job, const SteererFigures& before) {
  const StackAfter now = stack_after(job);
  const Stack& stack = now.stack;
  const bool closed = job.part.cutting == Cutting::forbidden;
  Judgement after = judge_after(job, {.original = now.original,
                                      .remaining = stack.S,
                                      .limits = limits_of(stack, closed),
                                      .contradictions = stack.contradictions,
                                      .unknowns = unknowns_after(now, closed)});
  // What a cut does not change is as it was before.
  after.steerer = before;
  after.steerer->gap_by = stack.gap_by;
  after.steerer->gap = stack.G0 ? std::optional(stack.G0->nominal()) : std::nullopt;
  after.steerer->gap_uncut = after.steerer->gap;
  offer_measured_gap(stack, closed, after);
  return after;
}

}  // namespace

std::optional<Length> Judgement::gap() const { return steerer ? steerer->gap : std::nullopt; }

constinit const KindRow steerer_row = {
    .kind = Kind::steerer,
    .part = {.end = "top"},
    .plan = plan_steerer,
    .after = [](const Job& job,
                const Judgement& before) { return check_cut_steerer(job, *before.steerer); },
    .limits = limits_for_readings,
    .length = [](const Job& job) -> const Maybe<Length>& { return job.steerer.length; },
    .mending = {.tried_on = with_rings_listed,
                .another_cut_will_do = false,
                .stuck_hold = RemedyKind::respect_maker,
                .stuck = RemedyKind::respect_maker},
    .complete = complete_stem,
};

}  // namespace kerfmark::plan
