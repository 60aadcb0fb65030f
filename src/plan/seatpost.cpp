// Geometry of a seatpost, in the letters of its drawing. Lengths in millimetres along the post
// axis; what a saddle height comes to there is in saddle_height.cpp.
//
//   P     rail clamp centre down to the lower end, uncut
//   c     what comes off at the lower end
//   E     extension: rail clamp centre down to the collar edge
//   I     insertion: collar edge down to the lower end, P − c − E

#include <algorithm>
#include <array>
#include <cmath>

#include "after.hpp"
#include "cut_line.hpp"
#include "engine.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kind_rows.hpp"
#include "part.hpp"
#include "saddle_height.hpp"

namespace kerfmark::plan {
namespace {

using measure::Amount;
using measure::grain;
using measure::LengthEstimate;
using measure::Readings;

// BlockageDepth of a blockage below the collar edge, by the route that is used for it.
struct BlockageDepth {
  LengthEstimate depth;
  LengthEstimate clearance;
};

// The values from which limits and figures are made.
struct MeasuredPost {
  const Job& job;
  SaddleGeometry geometry;
  LengthEstimate P, hang, diameter;
  LengthEstimate cut;  // what has come off P, nothing before the cut
  LengthEstimate E_low, E, E_high;
  LengthEstimate clamp_below;  // where the post is held, below the collar edge
  bool is_held_below;
  std::vector<BlockageDepth> blockages;
  std::vector<Hold> contradictions;       // probe and mock-up
  std::optional<std::size_t> by_mock_up;  // the blockage, from 1, whose depth the mock-up gives

  [[nodiscard]] LengthEstimate lowest_point() const {
    return P - E_low + hang;
  }  // below the collar
  [[nodiscard]] LengthEstimate least_insertion() const { return P - E_high; }
};

double u_of(const measure::Slopes& slopes, const Readings& readings) {
  return measure::standard_uncertainty(slopes, readings);
}

// The depth of the blockage on which the post rests in the mock-up.
LengthEstimate mock_up_depth(const MeasuredPost& post) {
  const LengthEstimate depth =
      post.P - estimate(*post.job.mock_up.exposed_bottomed, post.job.readings);
  return post.job.mock_up.hang_fitted ? depth + post.hang : depth;
}

// Takes the mock-up's depth for a blockage, counted from 1; for the only one where none was probed.
void use_mock_up(MeasuredPost& post, std::size_t number) {
  if (post.blockages.empty()) {
    const Length default_clearance =
        measure::millimetres(*key_at("frame.blockage.clearance").spec.fallback);
    post.blockages.push_back({{}, default_clearance});
  }
  post.blockages.at(number - 1).depth = mock_up_depth(post);
  post.by_mock_up = number;
}

// The mock-up is a second route to the shallowest depth. Both must agree; the one whose uncut
// margin has the smaller doubt is used, the probe on a tie.
void choose_route(MeasuredPost& post) {
  if (post.blockages.empty()) {
    use_mock_up(post, 1);
    return;
  }
  const Job& job = post.job;
  const LengthEstimate depth = mock_up_depth(post);
  const auto shallowest = std::ranges::min_element(
      post.blockages, {}, [](const BlockageDepth& d) { return d.depth.nominal(); });
  const auto place = static_cast<std::size_t>(shallowest - post.blockages.begin());
  const LengthEstimate difference = shallowest->depth - depth;
  if (auto hold = contradiction(difference, job.mock_up.exposed_bottomed->reading, job)) {
    hold->limit = place;
    post.contradictions.push_back(*std::move(hold));
  }
  const LengthEstimate reach = post.lowest_point();
  if (u_of((depth - reach).slopes(), job.readings) <
      u_of((shallowest->depth - reach).slopes(), job.readings) - grain) {
    use_mock_up(post, place + 1);
  }
}

// Everything but the mock-up.
MeasuredPost post_without_mock_up(const Job& job) {
  const Readings& r = job.readings;
  MeasuredPost post{.job = job,
                    .geometry = saddle_geometry(job),
                    .P = value(job.post.length, r),
                    .hang = value(job.post.hang, r),
                    .diameter = value(job.post.diameter, r),
                    .cut = {},
                    .E_low = {},
                    .E = {},
                    .E_high = {},
                    .clamp_below = value(job.frame.clamp_below, r),
                    .is_held_below = job.frame.clamp_below->nominal > Length{},
                    .blockages = {},
                    .contradictions = {},
                    .by_mock_up = {}};
  const Extensions E = extensions_of(post.geometry, job);
  post.E = E.height;
  post.E_low = E.lowest;
  post.E_high = E.highest;
  for (const Blockage& blockage : job.frame.blockages) {
    post.blockages.push_back({value(blockage.depth, r), value(blockage.clearance, r)});
  }
  return post;
}

MeasuredPost measured_post(const Job& job) {
  MeasuredPost post = post_without_mock_up(job);
  if (job.mock_up.exposed_bottomed) {
    choose_route(post);
  }
  return post;
}

bool cutting_closed(const Job& job) {
  return job.part.cutting == Cutting::forbidden || job.post.build != Build::rigid;
}

void add_blockages(const MeasuredPost& post, std::vector<Limit>& limits) {
  const LengthEstimate reach = post.lowest_point();
  for (std::size_t i = 0; i < post.blockages.size(); ++i) {
    limits.push_back({Rule::blockage, reach, post.blockages[i].depth, i + 1});
  }
  for (std::size_t i = 0; i < post.blockages.size(); ++i) {
    const BlockageDepth& d = post.blockages[i];
    limits.push_back({Rule::clearance, reach, d.depth - d.clearance, i + 1});
  }
}

// What insertion must reach, by rule: also what a post needs that fits uncut.
struct Minimum {
  Rule rule;
  LengthEstimate insertion;
};

std::vector<Minimum> insertion_minimums(const MeasuredPost& post) {
  const Job& job = post.job;
  const Readings& r = job.readings;
  std::vector<Minimum> minimums;
  if (job.post.mark) {
    minimums.push_back({Rule::mark, value(job.post.mark, r)});
  }
  if (job.post.min_insertion) {
    minimums.push_back({Rule::post_minimum, value(job.post.min_insertion, r)});
  }
  if (job.frame.min_insertion) {
    minimums.push_back({Rule::frame_minimum, value(job.frame.min_insertion, r)});
  }
  if (job.post.section == Section::round) {
    minimums.push_back({Rule::floor_round, *row_of(Rule::floor_round).figure * post.diameter});
  } else {
    minimums.push_back(
        {Rule::floor_other, measure::millimetres(*row_of(Rule::floor_other).figure)});
  }
  if (job.frame.junction && !job.frame.min_insertion) {
    minimums.push_back({Rule::junction, value(job.frame.junction, r) + post.diameter});
  }
  if (post.is_held_below) {
    minimums.push_back({Rule::clamp_held, post.clamp_below});
  }
  return minimums;
}

void add_fixed_limits(const MeasuredPost& post, std::vector<Limit>& limits) {
  const Job& job = post.job;
  const Readings& r = job.readings;
  limits.push_back({Rule::head, post.E_low, value(job.post.head, r)});
  if (job.post.grip) {
    limits.push_back({Rule::grip_upper, post.E_low + post.clamp_below, (*job.post.grip)[0]});
    limits.push_back({Rule::grip_lower, post.E_high + post.clamp_below, (*job.post.grip)[1]});
  }
  if (job.frame.bore && job.post.section == Section::round && !job.post.shim) {
    limits.push_back({Rule::bore_fit, magnitude(value(job.frame.bore, r) - post.diameter),
                      measure::millimetres(*row_of(Rule::bore_fit).figure)});
  }
  add_mass_limits(job, limits);
}

std::vector<Limit> limits_of(const MeasuredPost& post, const std::vector<Minimum>& minimums) {
  std::vector<Limit> limits;
  add_blockages(post, limits);
  const LengthEstimate insertion = post.least_insertion();
  for (const Minimum& minimum : minimums) {
    limits.push_back({minimum.rule, insertion, minimum.insertion});
  }
  add_maker_limits(post.job, cutting_closed(post.job), &post.cut, &post.P, limits);
  add_fixed_limits(post, limits);
  return limits;
}

std::optional<Span> range_of_saddle(const MeasuredPost& post,
                                    const std::vector<JudgedLimit>& limits, bool cut) {
  // A head that nobody has measured does not say how far down the post may go.
  const auto counts = [&](Rule rule) {
    return rule != Rule::head || post.job.post.head->reading.has_value();
  };
  return saddle_range(post.geometry, {post.E_low, post.E, post.E_high}, limits, cut, counts);
}

// Lengths P′ of another post that would fit uncut, P′ being a reading by steel rule of its own.
std::optional<UncutFit> uncut_fit(const MeasuredPost& post, const std::vector<Minimum>& minimums) {
  const Readings& r = post.job.readings;
  const double coverage = post.job.measuring.coverage;
  const auto guard_of = [&](Rule rule, const LengthEstimate& length) {
    const LengthEstimate new_post = LengthEstimate::of_reading({}, Job::stock_row);
    return is_guarded(row_of(rule)) ? measure::guard((length - new_post).slopes(), r, coverage)
                                    : 0.0;
  };
  UncutFit fit;
  for (const Minimum& minimum : minimums) {
    const LengthEstimate least = post.E_high + minimum.insertion;
    const Length end = least.nominal() + measure::millimetres(guard_of(minimum.rule, least));
    fit.length.lo = fit.length.lo ? std::max(*fit.length.lo, end) : end;
  }
  for (const BlockageDepth& d : post.blockages) {
    const LengthEstimate most = d.depth - post.hang + post.E_low;
    const Length touching = most.nominal() - measure::millimetres(guard_of(Rule::blockage, most));
    const Length with_air = most.nominal() - d.clearance.nominal();
    const Length end = std::min(touching, with_air);
    fit.length.hi = fit.length.hi ? std::min(*fit.length.hi, end) : end;
  }
  const double lo = fit.length.lo->in_mm() - grain;
  const auto fits = [&](Length length) {
    return length.in_mm() >= lo &&
           (!fit.length.hi || length.in_mm() <= fit.length.hi->in_mm() + grain);
  };
  if (fit.length.hi && fit.length.hi->in_mm() < lo) {
    return std::nullopt;
  }
  std::ranges::copy_if(post.job.stock_lengths, std::back_inserter(fit.stock), fits);
  return fit;
}

std::optional<std::array<double, 3>> scale_reading(const MeasuredPost& post) {
  const Scale& scale = post.job.post.scale;
  if (!scale.zero_at) {
    return std::nullopt;
  }
  const double sign = scale.rising == Rising::up ? -1.0 : 1.0;
  const auto at = [&](const LengthEstimate& E) {
    return sign * (E.nominal() - scale.zero_at->nominal).in_mm() / scale.per_unit->nominal.in_mm();
  };
  return std::array{at(post.E_low), at(post.E), at(post.E_high)};
}

// The line of least insertion on a post of that length, where the job knows one.
std::optional<NewMark> line_of(const Job& job, Length remaining) {
  if (!job.post.mark && !job.post.min_insertion) {
    return std::nullopt;
  }
  Length line;
  for (const auto& given : {job.post.mark, job.post.min_insertion}) {
    line = given ? std::max(line, given->nominal) : line;
  }
  return NewMark{line, remaining - line};
}

SeatpostFigures figures_of(const MeasuredPost& post, const std::vector<Minimum>& minimums,
                           const Judgement& judgement) {
  SeatpostFigures figures;
  figures.extension = {post.E_low.nominal(), post.E.nominal(), post.E_high.nominal()};
  const auto insertion_of = [&](Length length) {
    const AtHeights& E = figures.extension;
    return AtHeights{length - E.lowest, length - E.height, length - E.highest};
  };
  figures.insertion = insertion_of(*judgement.remaining);
  figures.insertion_uncut = insertion_of(post.P.nominal());
  figures.scale_reading = scale_reading(post);
  figures.saddle_range_uncut = range_of_saddle(post, judgement.limits, false);
  if (judgement.at.in_mm() > 0.0) {
    figures.saddle_range_cut = range_of_saddle(post, judgement.limits, true);
  }
  figures.uncut_fit = uncut_fit(post, minimums);
  if (judgement.at.in_mm() > 0.0) {
    figures.new_mark = line_of(post.job, *judgement.remaining);
  }
  figures.blockage_known = !post.blockages.empty();
  figures.by_mock_up = post.by_mock_up;
  return figures;
}

// What a mock-up would do for a blockage in doubt: the extension with the post resting on it takes
// the place of the probed depth and of the post's own length.
void offer_mock_up(const MeasuredPost& post, const JudgedLimit& limit, const Standing& standing,
                   Hold& hold) {
  if (limit.rule != Rule::blockage || post.job.mock_up.exposed_bottomed) {
    return;
  }
  const LengthEstimate exposed = LengthEstimate::of_reading({}, Job::stock_row);  // a rule reading
  Remedy mock_up;
  mock_up.kind = RemedyKind::mock_up;
  mock_up.guard_now = standing.guard;
  mock_up.guard_then = measure::guard((post.E_low - exposed).slopes(), post.job.readings,
                                      post.job.measuring.coverage);
  mock_up.settles = mock_up.guard_then <= std::abs(standing.margin) + grain;
  if (mock_up.guard_then < standing.guard - grain) {
    hold.remedies.push_back(mock_up);
    std::ranges::rotate(hold.remedies, hold.remedies.end() - 1);  // to the front
  }
}

void offer_mock_up(const MeasuredPost& post, Judgement& judgement) {
  for (Hold& hold : judgement.holds) {
    if (hold.reason == HoldReason::limit_in_doubt && !hold.at_the_cut) {
      const JudgedLimit& limit = judgement.limits[*hold.limit];
      offer_mock_up(post, limit, limit.uncut, hold);
    }
  }
}

std::vector<Hold> unknowns_of(const Job& job) {
  if (!job.post.mark_unknown || job.post.min_insertion) {
    return {};
  }
  Hold hold;
  hold.reason = HoldReason::mark_unknown;
  hold.remedies = {{.kind = RemedyKind::find_mark}, {.kind = RemedyKind::ask_maker}};
  return {hold};
}

void add_cautions(const Job& job, Plan& plan) {
  if (!plan.before.seatpost->blockage_known) {
    plan.cautions.push_back(Caution::not_probed);
  }
  add_part_cautions(job, plan);
}

// ---- after the cut ----

// The post as it stands; a depth by mock-up keeps the length that the post had at that time.
MeasuredPost measured_post_after(const Job& job) {
  MeasuredPost post = measured_post(job);
  const LengthEstimate remaining = value(job.as_cut.length, job.readings);
  post.cut = post.P - remaining;
  post.P = remaining;
  return post;
}

CutPart cut_part(const MeasuredPost& post) {
  const Job& job = post.job;
  CutPart part{.original = value(job.post.length, job.readings),
               .remaining = post.P,
               .limits = limits_of(post, insertion_minimums(post)),
               .contradictions = post.contradictions,
               .unknowns = unknowns_of(job)};
  for (Hold& hold : part.unknowns) {
    hold.remedies = {{.kind = RemedyKind::find_mark_and_add}, {.kind = RemedyKind::ask_maker}};
  }
  return part;
}

// What a cut does not change is as it was before.
SeatpostFigures figures_after(const MeasuredPost& post, const Judgement& after,
                              const SeatpostFigures& before) {
  SeatpostFigures figures = before;
  const Length P = post.P.nominal();
  figures.insertion = {P - post.E_low.nominal(), P - post.E.nominal(), P - post.E_high.nominal()};
  figures.insertion_uncut = figures.insertion;
  figures.saddle_range_uncut = range_of_saddle(post, after.limits, false);
  figures.saddle_range_cut = std::nullopt;
  figures.new_mark = std::nullopt;
  // As long as nothing was cut, the printed mark tells the truth.
  if (after.made->cut->in_mm() > after.made->guard_mm + grain) {
    figures.new_mark = line_of(post.job, P);
  }
  return figures;
}

// The limits and routes of the plan, whatever was drawn. No triangle is impossible.
std::vector<Limit> limits_for_readings(const Job& job, const Judgement& before) {
  MeasuredPost post = post_without_mock_up(job);
  if (before.seatpost->by_mock_up) {
    use_mock_up(post, *before.seatpost->by_mock_up);
  }
  post.is_held_below = has_limit(before, Rule::clamp_held);
  return limits_of(post, insertion_minimums(post));
}

Plan plan_seatpost(const Job& job) {
  const MeasuredPost post = measured_post(job);
  const std::vector<Minimum> minimums = insertion_minimums(post);
  DecisionInput question = decision_input(job, cutting_closed(job));
  question.limits = limits_of(post, minimums);
  question.contradictions = post.contradictions;
  question.unknowns = unknowns_of(job);
  Plan plan = decide(question);
  plan.before.remaining = post.P.nominal() - plan.before.at;
  plan.line = cut_line(job, plan, {.stays = post.P, .gap = {}, .whole = post.P});
  plan.before.seatpost = figures_of(post, minimums, plan.before);
  offer_mock_up(post, plan.before);
  add_cautions(job, plan);
  return plan;
}

Judgement check_cut_post(const Job& job, const SeatpostFigures& before) {
  const MeasuredPost post = measured_post_after(job);
  Judgement after = judge_after(job, cut_part(post));
  after.seatpost = figures_after(post, after, before);
  return after;
}

// ---- what else can be done ----

// A post of another length, which is surer than another saddle height.
std::vector<Remedy> other_length(const Judgement& before,
                                 const std::vector<const JudgedLimit*>& broken) {
  const auto any = [&](Sense sense) {
    return std::ranges::any_of(broken, [&](const auto* l) { return l->row().sense() == sense; });
  };
  // No other length helps a head in the frame or a clamp outside of its grip zone.
  if (!before.wanted && any(Sense::hurts)) {
    return {{.kind = RemedyKind::longer_post}};
  }
  if (before.seatpost->uncut_fit && !any(Sense::fixed)) {
    return {{.kind = RemedyKind::exchange_post}};
  }
  return {};
}

// What an unfit post is still good for: a range of saddle heights, a further cut, another rider's
// bicycle, or nothing.
std::vector<Remedy> good_for(const Judgement& after) {
  const bool too_short = breaks(after, Sense::hurts);
  if (is_past_mending(after) || (too_short && !after.seatpost->saddle_range_uncut)) {
    return {{.kind = RemedyKind::scrap}};
  }
  std::vector<Remedy> ways;
  const bool too_heavy = std::ranges::any_of(after.limits, [](const JudgedLimit& limit) {
    return limit.row().family == Family::other_part && limit.at.status == measure::Status::broken;
  });
  if (too_heavy) {
    ways.push_back({.kind = RemedyKind::other_part});
  }
  if (after.seatpost->saddle_range_uncut) {
    ways.push_back({.kind = RemedyKind::ride_within});
  }
  if (breaks(after, Sense::helps) && !too_short) {
    ways.push_back({.kind = RemedyKind::cut_again});
  }
  if (ways.empty()) {
    ways.push_back({.kind = RemedyKind::scrap});
  }
  return ways;
}

}  // namespace

std::optional<Length> Judgement::insertion() const {
  return seatpost ? std::optional(seatpost->insertion.height) : std::nullopt;
}

std::optional<NewMark> Judgement::new_mark() const {
  return seatpost ? seatpost->new_mark : std::nullopt;
}

constinit const KindRow seatpost_row = {
    .kind = Kind::seatpost,
    .part = {.end = "lower", .stays_above = true, .setback_key = "post.setback"},
    .plan = plan_seatpost,
    .after = [](const Job& job,
                const Judgement& before) { return check_cut_post(job, *before.seatpost); },
    .limits = limits_for_readings,
    .length = [](const Job& job) -> const Maybe<Length>& { return job.post.length; },
    .mending = {.tried_on = as_it_is,
                .moves_last = true,
                .no_window = RemedyKind::exchange_post,
                .stuck_hold = RemedyKind::exchange_post,
                .reject_first = other_length,
                .unfit = good_for},
    .heights_of_size =
        [](const Judgement& before) {
          return before.verdict == Verdict::cut ? before.seatpost->saddle_range_cut
                                                : before.seatpost->saddle_range_uncut;
        },
    .setback = [](const Job& job) -> const Maybe<Length>& { return job.post.setback; },
};

}  // namespace kerfmark::plan
