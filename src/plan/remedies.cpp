#include "remedies.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>

#include "after.hpp"
#include "engine.hpp"
#include "kerfmark/plan/after.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kind_rows.hpp"
#include "remedied_job.hpp"
#include "ring_stock.hpp"

namespace kerfmark::plan {
namespace {

using measure::grain;
using measure::Status;

// ---- the table: what mends a limit, the first to think of first ----

constexpr std::size_t most_ways = 6;
using Ways = std::array<std::optional<RemedyKind>, most_ways>;

// In the order of the families.
constexpr auto mendings = std::to_array<Ways>({
    {RemedyKind::raise_saddle},
    {RemedyKind::lower_saddle},
    {RemedyKind::check_diameter},
    // A ring above the stem leaves the bar where it is.
    {RemedyKind::ring_above, RemedyKind::ring_below},
    {RemedyKind::fewer_above, RemedyKind::rings_out, RemedyKind::lower_parts},
    {RemedyKind::move_above, RemedyKind::rings_out, RemedyKind::lower_parts},
    {RemedyKind::move_above, RemedyKind::rings_out, RemedyKind::lower_parts,
     RemedyKind::approved_recess},
    {RemedyKind::longer_expander, RemedyKind::stem_lowest_up, RemedyKind::move_below},
    {RemedyKind::move_above, RemedyKind::rings_out, RemedyKind::stem_with_rise},
    {RemedyKind::ring_above, RemedyKind::move_above},
    {RemedyKind::fewer_above, RemedyKind::move_below, RemedyKind::stem_lowest_up},
    {RemedyKind::wider_wish, RemedyKind::other_bar},
    {RemedyKind::narrower_wish, RemedyKind::other_bar},
    {RemedyKind::narrower_controls},
    {RemedyKind::lower_inside},
    {RemedyKind::respect_maker},
    {RemedyKind::other_part},
});
static_assert(mendings.size() == static_cast<std::size_t>(Family::other_part) + 1);

Ways ways_for(Rule rule) { return mendings.at(static_cast<std::size_t>(row_of(rule).family)); }

bool is_about_recess(Family family) {
  return family == Family::shallower_recess || family == Family::approved_recess;
}

// What makes room between two limits that exclude each other.
Ways ways_between(const RuleRow& lower, const RuleRow& upper) {
  const bool maker = upper.family == Family::maker;
  if (lower.family == Family::higher_saddle) {
    return upper.family == Family::lower_saddle ? Ways{RemedyKind::narrow_range}
                                                : Ways{RemedyKind::raise_saddle};
  }
  if (lower.family == Family::wider_wish) {
    return upper.family == Family::narrower_controls
               ? Ways{RemedyKind::wider_wish, RemedyKind::narrower_controls, RemedyKind::other_bar}
               : Ways{RemedyKind::wider_wish, RemedyKind::other_bar};
  }
  if (lower.family == Family::longer_reach) {
    return {RemedyKind::longer_expander, RemedyKind::stem_lowest_up, RemedyKind::move_below,
            RemedyKind::fewer_above};
  }
  if (is_about_recess(upper.family)) {
    return {RemedyKind::ring_above, RemedyKind::move_above};
  }
  return maker ? Ways{RemedyKind::ring_above, RemedyKind::ring_below}
               : Ways{RemedyKind::respect_maker};
}

// A fork whose steerer ends too low, and nothing that is there brings the stack down to it.
bool asks_for_a_longer_steerer(Rule rule) {
  const Family family = row_of(rule).family;
  return family == Family::shorter_stack || is_about_recess(family);
}

// ---- how a job stands ----

struct Stands {
  std::vector<bool> open;  // by place in the limits: keeps a yes away
  std::vector<Status> status;
  bool needs_cut = false;
  bool lacks_cut = false;  // needs one, and none does
};

// The rules of the verdict, limit by limit: also those that a worse one keeps out of sight.
Stands stands(const Plan& plan) {
  const Judgement& before = plan.before;
  const bool wanted = before.wanted.has_value();
  Stands now;
  bool any_broken = false;
  for (const JudgedLimit& limit : before.limits) {
    const bool broken =
        decides(limit.row(), wanted) && as_judged(limit, before).status == Status::broken;
    any_broken = any_broken || broken;
    now.needs_cut = now.needs_cut || (broken && !wanted && limit.row().sense() == Sense::helps);
  }
  now.lacks_cut = now.needs_cut && !plan.planned;
  const auto keeps_a_yes_away = [&](const JudgedLimit& limit, Status status) {
    const bool fixed = limit.row().sense() == Sense::fixed;
    if (!decides(limit.row(), wanted)) {
      // What is wished for can come off later.
      return !is_hard(limit.row().origin) && status == Status::broken && (!now.needs_cut || fixed);
    }
    if (status == Status::broken) {
      return wanted || limit.row().sense() != Sense::helps || now.lacks_cut;
    }
    return status == Status::in_doubt && (fixed || !any_broken);
  };
  for (const JudgedLimit& limit : before.limits) {
    const Status status = as_judged(limit, before).status;
    now.open.push_back(keeps_a_yes_away(limit, status));
    now.status.push_back(status);
  }
  return now;
}

Stands stands_after(const Judgement& after) {
  Stands now;
  for (const JudgedLimit& limit : after.limits) {
    now.open.push_back(limit.at.status != Status::holds);
    now.status.push_back(limit.at.status);
  }
  return now;
}

// ---- trying ----

using Named = std::vector<std::size_t>;  // limits, by their places

// A job to try things on: rings in lists, and how it stands as it is.
struct Tried {
  Job job;
  RingStock ring_stock;
  std::function<Stands(const Job&)> look;
  Stands before;
  // What to do instead of a wanted cut, where the answer without it is a yes.
  std::optional<RemedyKind> unasked = std::nullopt;

  [[nodiscard]] bool mends(const Stands& then, const Named& named) const {
    return !then.lacks_cut &&
           std::ranges::none_of(named, [&](std::size_t i) { return then.open.at(i); });
  }
  [[nodiscard]] bool breaks_nothing(const Stands& then, const Named& named,
                                    bool cut_may_come) const {
    bool worse = then.needs_cut && !before.needs_cut && !cut_may_come;
    for (std::size_t i = 0; i < then.open.size(); ++i) {
      worse = worse || (then.open[i] && then.status[i] > before.status[i]);
    }
    return !worse && mends(then, named);
  }
};

bool can_be_built(const Job& job) { return impossible_triangles(job).empty(); }

struct Range {
  double least_mm = 0.0;
  double most_mm = 0.0;
};

constexpr double tenth = 0.1;  // mm, the finest that is printed

// Whether one way is looked for that settles several limits, or what there is for the very limit.
enum class Search { quick, thorough };

// An amount that mends, in tenths up to `most`; 0 where none was found. Beyond what breaks
// something not even the limit itself need hold, so from above it is halved; where two limits leave
// little between them, halves may pass it by, and it is gone up to in even steps.
int any_that_mends(const std::function<bool(double)>& mends, int most, Search search) {
  constexpr int steps = 30;  // rings go by two millimetres so
  for (int at = most; at > 0; at /= 2) {
    if (mends(at * tenth)) {
      return at;
    }
  }
  for (int step = 1; search == Search::thorough && step < steps; ++step) {
    const int at = most * step / steps;
    if (at > 0 && mends(at * tenth)) {
      return at;
    }
  }
  return 0;
}

// From the least that mends to the most that breaks nothing, in tenths up to `most`: where each
// begins is found by halving.
std::optional<Range> range_of(const std::function<bool(double)>& mends,
                              const std::function<bool(double)>& is_good, double most_mm,
                              Search search) {
  const auto all = static_cast<int>(std::floor(most_mm / tenth + grain));
  int least = any_that_mends(mends, all, search);
  if (least == 0) {
    return std::nullopt;
  }
  int too_little = 0;
  while (least - too_little > 1) {
    const int middle = (least + too_little) / 2;
    (mends(middle * tenth) ? least : too_little) = middle;
  }
  if (!is_good(least * tenth)) {
    return std::nullopt;
  }
  int most = least;
  int too_much = all + 1;
  while (too_much - most > 1) {
    const int middle = (most + too_much) / 2;
    (is_good(middle * tenth) ? most : too_much) = middle;
  }
  return Range{least * tenth, most * tenth};
}

// How much of each move there can be, in millimetres, whatever the limits say.
struct Reach {
  RemedyKind kind;
  double (*most_mm)(const Job&);
  bool is_figure = false;  // nothing on this bicycle ends it there
};

// More than any rider moves the saddle, anybody stacks of new rings, there is between the tallest
// and the flattest headset cover, or an expander is longer than another (common practice).
constexpr double of_saddle = 200;
constexpr double of_new_rings = 60;
constexpr double of_covers = 10;
constexpr double of_expanders = 100;
// As wide and as narrow as a job can ask for (handlebar.widest, handlebar.narrowest).
constexpr double widest_bar = 1000;
constexpr double narrowest_bar = 300;

double rings_below(const Job& job) { return sum_mm(job.spacers.highest); }
double rings_above(const Job& job) { return sum_mm(job.spacers.above); }

double controls_together(const Job& job) {
  double sum = 0.0;
  for (const Control& control : job.controls) {
    sum += control.width->nominal.in_mm();
  }
  return sum;
}

constexpr auto reaches = std::to_array<Reach>({
    {RemedyKind::raise_saddle, [](const Job&) { return of_saddle; }, true},
    {RemedyKind::lower_saddle, [](const Job&) { return of_saddle; }, true},
    {RemedyKind::narrow_range,
     [](const Job& job) {
       return (job.saddle.highest->nominal - job.saddle.lowest->nominal).in_mm();
     }},
    {RemedyKind::ring_above, [](const Job&) { return of_new_rings; }, true},
    {RemedyKind::ring_below, [](const Job&) { return of_new_rings; }, true},
    {RemedyKind::rings_out, rings_below},
    {RemedyKind::move_above, rings_below},
    {RemedyKind::fewer_above, rings_above},
    {RemedyKind::move_below, rings_above},
    {RemedyKind::stem_lowest_up,
     [](const Job& job) { return rings_below(job) - sum_mm(job.spacers.lowest); }},
    {RemedyKind::lower_parts,
     [](const Job& job) {
       const Maybe<Length>& upper = job.headset.upper;
       return upper ? std::min(of_covers, upper->nominal.in_mm()) : of_covers;
     },
     true},
    {RemedyKind::wider_wish,
     [](const Job& job) { return widest_bar - job.handlebar.widest->nominal.in_mm(); }, true},
    {RemedyKind::narrower_wish,
     [](const Job& job) { return job.handlebar.narrowest->nominal.in_mm() - narrowest_bar; }, true},
    {RemedyKind::narrower_controls, controls_together},
    {RemedyKind::longer_expander, [](const Job&) { return of_expanders; }, true},
    // No maker's word goes beyond the published limit.
    {RemedyKind::approved_recess,
     [](const Job&) { return row_of(Rule::stem_recess).figure.value(); }, true},
});

const Reach* reach_of(RemedyKind kind) {
  const auto found = std::ranges::find(reaches, kind, &Reach::kind);
  return found == reaches.end() ? nullptr : &*found;
}

bool is_a_move(RemedyKind kind) { return reach_of(kind) != nullptr; }

// ---- rings that do it ----

bool is_above(RemedyKind kind) {
  return kind == RemedyKind::ring_above || kind == RemedyKind::fewer_above ||
         kind == RemedyKind::move_below;
}

const std::optional<std::vector<Length>>& rings_at(const RingStock& stock, RemedyKind kind) {
  return is_above(kind) ? stock.above : stock.below;
}

// Whether anybody has said which rings there are.
bool are_known(const RingStock& stock, RemedyKind kind) {
  return puts_rings_on(kind) ? stock.spare.has_value() : rings_at(stock, kind).has_value();
}

// Which of those that are known make it.
std::optional<RingExchange> picked_rings(const Tried& on, RemedyKind kind, const Range& range) {
  const std::vector<Length> none;
  const RingStock& stock = on.ring_stock;
  const auto& here = rings_at(stock, kind);
  const bool on_hand_counts = kind != RemedyKind::move_above && kind != RemedyKind::move_below;
  const std::vector<Length>& spare = stock.spare && on_hand_counts ? *stock.spare : none;
  if (puts_rings_on(kind)) {
    return pick_rings(here ? *here : none, spare, range.least_mm, range.most_mm);
  }
  if (kind == RemedyKind::stem_lowest_up) {
    const double now = sum_mm(on.job.spacers.lowest);
    return pick_rings(none, *here, now + range.least_mm, now + range.most_mm);
  }
  return pick_rings(*here, spare, -range.most_mm, -range.least_mm);
}

RingChange change_by(const RingExchange& picked) {
  RingChange change;
  for (const Length ring : picked.out) {
    change.out_mm += ring.in_mm();
  }
  for (const Length ring : picked.in) {
    change.in_mm.push_back(ring.in_mm());
  }
  return change;
}

// The same, and that the rings themselves, each with its own doubt, do what their sum does.
bool name_rings(const Tried& on, const Named& named, bool cut_may_come, Remedy& way) {
  if (!is_about_rings(way.kind) && way.kind != RemedyKind::stem_lowest_up) {
    return true;
  }
  const bool known = are_known(on.ring_stock, way.kind);
  const auto picked = known ? picked_rings(on, way.kind, {way.amount, way.most}) : std::nullopt;
  const bool good =
      picked && (way.kind == RemedyKind::stem_lowest_up ||
                 on.breaks_nothing(on.look(with_remedy(on.job, way.kind, change_by(*picked))),
                                   named, cut_may_come));
  if (good) {
    way.take_out = picked->out;
    way.put_in = picked->in;
  }
  way.none_on_hand = known && !good;
  return good || !known || puts_rings_on(way.kind);  // a ring can be bought
}

// ---- one way for one or more limits ----

bool all_fixed(const std::vector<JudgedLimit>& limits, const Named& named) {
  return std::ranges::all_of(
      named, [&](std::size_t i) { return limits[i].row().sense() == Sense::fixed; });
}

std::optional<Remedy> tried(const Tried& on, const std::vector<JudgedLimit>& limits,
                            RemedyKind kind, const Named& named, Search search) {
  const bool cut_may_come = all_fixed(limits, named);
  const auto after_it = [&](RemedyKind which, double mm) -> std::optional<Stands> {
    const Job then = with_remedy(on.job, which, mm);
    return can_be_built(then) ? std::optional(on.look(then)) : std::nullopt;
  };
  // A range of heights may be narrowed at either end.
  const bool narrows = kind == RemedyKind::narrow_range;
  const auto mends = [&](double mm) {
    const auto then = after_it(kind, mm);
    const auto other = narrows ? after_it(RemedyKind::lower_saddle, mm) : then;
    return then && other && on.mends(*then, named) && on.mends(*other, named);
  };
  const auto is_good = [&](double mm) {
    const auto then = after_it(kind, mm);
    const auto other = narrows ? after_it(RemedyKind::lower_saddle, mm) : then;
    return then && other && on.breaks_nothing(*then, named, cut_may_come) &&
           on.breaks_nothing(*other, named, cut_may_come);
  };
  const Reach& reach = *reach_of(kind);
  const double most = reach.most_mm(on.job);
  const auto range = range_of(mends, is_good, most, search);
  if (!range) {
    return std::nullopt;
  }
  Remedy way;
  way.kind = kind;
  way.amount = range->least_mm;
  way.most = range->most_mm;
  if (!name_rings(on, named, cut_may_come, way)) {
    return std::nullopt;
  }
  if (reach.is_figure && way.most > most - tenth + grain) {
    way.most = 0.0;
  }
  return way;
}

// The stem angle that keeps the bar where it is with `rings` mm less below the stem.
std::optional<double> rise_for(const Job& job, double rings) {
  if (!job.frame.head_angle || !job.stem.length || !job.stem.angle) {
    return std::nullopt;
  }
  constexpr double radians = std::numbers::pi / 180.0;
  const double phi = job.frame.head_angle->nominal.in_deg() * radians;
  const double alpha = job.stem.angle->nominal.in_deg() * radians;
  const double up =
      std::cos(phi - alpha) + rings * std::sin(phi) / job.stem.length->nominal.in_mm();
  if (up >= 1.0) {
    return std::nullopt;
  }
  return (phi - std::acos(up)) / radians;
}

double missing(const Standing& s) { return s.guard - s.margin; }

bool has_way(Rule rule, RemedyKind kind) {
  const Ways ways = ways_for(rule);
  return std::ranges::find(ways, std::optional(kind)) != ways.end();
}

// Everything that is asked of one limit or of two that collide.
class Mender {
 public:
  Mender(const Tried& on, const std::vector<JudgedLimit>& limits) : on_(on), limits_(limits) {}

  // One figure that settles all of them, where there is one: nobody moves a saddle twice.
  void mend(std::size_t limit, double missing_mm, std::vector<Remedy>& ways) const {
    const Rule rule = limits_[limit].rule;
    std::vector<Remedy> for_all;  // of what is open
    std::vector<Remedy> for_it;
    for (const auto& kind : ways_for(rule)) {
      if (!kind) {
        continue;
      }
      std::optional<Remedy> way;
      if (*kind == RemedyKind::stem_with_rise) {
        // What it keeps is the height of the bar, so it is told beside any ring that comes out.
        if (const auto rise = stem_with_rise(limit)) {
          (for_all.empty() ? for_it : for_all).push_back(*rise);
        }
      } else if (!is_a_move(*kind)) {
        way = Remedy{.kind = *kind};
      } else if (const auto all = tried(on_, limits_, *kind, open_with(limit), Search::quick)) {
        for_all.push_back(*all);
      } else {
        way = move_for(*kind, limit);
      }
      if (way) {
        for_it.push_back(*way);
      }
    }
    // Nobody is sent half the way where one way settles everything.
    for (const Remedy& way : for_all.empty() ? for_it : for_all) {
      add(way, ways);
    }
    if (for_all.empty() && for_it.empty() && asks_for_a_longer_steerer(rule) && !on_.unasked) {
      add({.kind = RemedyKind::longer_steerer, .amount = missing_mm}, ways);
    }
  }

  void make_room(std::size_t lower, std::size_t upper, std::vector<Remedy>& ways) const {
    for (const auto& kind : ways_between(limits_[lower].row(), limits_[upper].row())) {
      if (kind && !is_a_move(*kind)) {
        add({.kind = *kind}, ways);
      } else if (const auto way = kind
                                      ? tried(on_, limits_, *kind, {lower, upper}, Search::thorough)
                                      : std::nullopt) {
        add(*way, ways);
      }
    }
  }

 private:
  static void add(const Remedy& way, std::vector<Remedy>& ways) {
    if (std::ranges::find(ways, way) == ways.end()) {
      ways.push_back(way);
    }
  }

  [[nodiscard]] Named open_with(std::size_t limit,
                                const std::function<bool(Rule)>& which = nullptr) const {
    Named all;
    for (std::size_t i = 0; i < limits_.size(); ++i) {
      if (i == limit || (on_.before.open[i] && (!which || which(limits_[i].rule)))) {
        all.push_back(i);
      }
    }
    return all;
  }

  // For all that this helps, or else for the one.
  [[nodiscard]] std::optional<Remedy> move_for(RemedyKind kind, std::size_t limit) const {
    const Named all = open_with(limit, [&](Rule rule) { return has_way(rule, kind); });
    if (all.size() > 1) {
      if (auto way = tried(on_, limits_, kind, all, Search::quick)) {
        return way;
      }
    }
    return tried(on_, limits_, kind, {limit}, Search::thorough);
  }

  [[nodiscard]] std::optional<Remedy> stem_with_rise(std::size_t limit) const {
    auto way = move_for(RemedyKind::rings_out, limit);
    const auto rise = way ? rise_for(on_.job, way->amount) : std::nullopt;
    if (!rise) {
      return std::nullopt;
    }
    way->kind = RemedyKind::stem_with_rise;
    way->angle_deg = *rise;
    return way;
  }

  const Tried& on_;
  const std::vector<JudgedLimit>& limits_;
};

Tried ready(const Job& job, std::function<Stands(const Job&)> look) {
  Tried on;
  on.job = row_of(job.kind).mending.tried_on(job);
  on.ring_stock = ring_stock_of(on.job);
  on.look = std::move(look);
  on.before = on.look(on.job);
  return on;
}

// ---- holds ----

bool is_of_a_limit(HoldReason reason) {
  return reason == HoldReason::limit_in_doubt || reason == HoldReason::rule_of_thumb_broken ||
         reason == HoldReason::practice_missed;
}

bool is_of_a_window(HoldReason reason) {
  return reason == HoldReason::window_empty || reason == HoldReason::window_too_narrow;
}

// Whether something else that holds the saddle would move what stands in the way.
bool is_about_head(const RuleRow& row) {
  return row.family == Family::higher_saddle || row.family == Family::lower_saddle;
}

bool is_about_head(const Hold& hold, const std::vector<JudgedLimit>& limits) {
  return hold.limit && hold.reason != HoldReason::limit_in_doubt &&
         is_about_head(limits[*hold.limit].row());
}

void mend_holds(const Tried& on, const std::vector<JudgedLimit>& limits, std::vector<Hold>& holds) {
  const Mender mender(on, limits);
  const KindMending& kind = row_of(on.job.kind).mending;
  for (Hold& hold : holds) {
    std::vector<Remedy> first;
    std::vector<Remedy> last;
    if (is_of_a_limit(hold.reason) && hold.limit) {
      const JudgedLimit& limit = limits[*hold.limit];
      mender.mend(*hold.limit, missing(hold.at_the_cut ? limit.at : limit.uncut), last);
    } else if (is_of_a_window(hold.reason)) {
      if (hold.limit && hold.second) {
        mender.make_room(*hold.limit, *hold.second, kind.moves_last ? last : first);
      }
      if (hold.reason == HoldReason::window_too_narrow && hold.limit) {
        mender.mend(*hold.limit, missing(limits[*hold.limit].uncut), last);
      }
      if (kind.no_window) {
        last.push_back({.kind = *kind.no_window});
      }
    }
    if (on.unasked && hold.at_the_cut) {
      first.push_back({.kind = *on.unasked});
    }
    hold.remedies.insert(hold.remedies.begin(), first.begin(), first.end());
    hold.remedies.insert(hold.remedies.end(), last.begin(), last.end());
    // A hold says what to do even where nothing can move.
    if (kind.stuck_hold && hold.remedies.empty()) {
      hold.remedies.push_back({.kind = *kind.stuck_hold});
    }
    if (kind.other_head && is_about_head(hold, limits)) {
      hold.remedies.push_back({.kind = *kind.other_head});
    }
  }
}

// ---- a reject ----

std::vector<Remedy> ways_out(const Tried& on, const Plan& plan) {
  const Judgement& before = plan.before;
  const KindMending& kind = row_of(on.job.kind).mending;
  const Mender mender(on, before.limits);
  const std::vector<const JudgedLimit*> broken = in_the_way(before);
  std::vector<Remedy> ways;
  if (on.unasked) {
    ways.push_back({.kind = *on.unasked});
  }
  if (kind.reject_first != nullptr) {
    const std::vector<Remedy> first = kind.reject_first(before, broken);
    ways.insert(ways.end(), first.begin(), first.end());
  }
  for (const JudgedLimit* limit : broken) {
    if (kind.another_cut_will_do && on.unasked) {
      continue;
    }
    mender.mend(static_cast<std::size_t>(limit - before.limits.data()),
                missing(as_judged(*limit, before)), ways);
  }
  if (broken.empty() && before.conflict) {
    mender.make_room(before.conflict->lower, before.conflict->upper, ways);
  }
  const bool head =
      std::ranges::any_of(broken, [](const auto* l) { return is_about_head(l->row()); }) ||
      (broken.empty() && before.conflict &&
       is_about_head(before.limits[before.conflict->lower].row()));
  if (kind.other_head && head) {
    ways.push_back({.kind = *kind.other_head});
  }
  if (kind.stuck && ways.empty()) {
    ways.push_back({.kind = *kind.stuck});
  }
  if (kind.reject_last &&
      std::ranges::find(ways, Remedy{.kind = *kind.reject_last}) == ways.end()) {
    ways.push_back({.kind = *kind.reject_last});
  }
  return ways;
}

// ---- after the cut ----

// What makes an unfit part fit once more: rings, other parts, a further cut, or nothing. Rules of
// thumb have their say in how much, so that what mends one limit need not be done twice.
std::vector<Remedy> ways_on(const Tried& on, const Judgement& after) {
  if (is_past_mending(after)) {
    return {{.kind = RemedyKind::scrap}};
  }
  const Mender mender(on, after.limits);
  std::vector<Remedy> ways;
  for (std::size_t i = 0; i < after.limits.size(); ++i) {
    if (after.limits[i].at.status != Status::holds) {
      mender.mend(i, missing(after.limits[i].at), ways);
    }
  }
  if (breaks(after, Sense::helps) && !breaks(after, Sense::hurts)) {
    ways.push_back({.kind = RemedyKind::cut_again});
  }
  const auto& other_head = row_of(on.job.kind).mending.other_head;
  if (other_head && std::ranges::any_of(after.limits, [](const JudgedLimit& limit) {
        return limit.at.status != Status::holds && is_about_head(limit.row());
      })) {
    ways.push_back({.kind = *other_head});
  }
  if (ways.empty()) {
    ways.push_back({.kind = RemedyKind::respect_maker});
  }
  return ways;
}

std::optional<RemedyKind> without_the_wanted_cut(const Job& job, const Judgement& before) {
  if (!before.wanted) {
    return std::nullopt;
  }
  Job unasked = job;
  unasked.saw.wanted.reset();
  const Verdict verdict = row_of(job.kind).plan(unasked).before.verdict;
  return verdict == Verdict::cut    ? std::optional(RemedyKind::another_cut)
         : verdict == Verdict::keep ? std::optional(RemedyKind::no_cut)
                                    : std::nullopt;
}

}  // namespace

void add_remedies(const Job& job, Plan& plan) {
  Judgement& before = plan.before;
  if (is_yes(before.verdict)) {
    return;
  }
  Tried on = ready(job, [](const Job& other) { return stands(row_of(other.kind).plan(other)); });
  on.unasked = without_the_wanted_cut(job, before);
  mend_holds(on, before.limits, before.holds);
  if (before.verdict == Verdict::reject) {
    before.remedies = ways_out(on, plan);
  }
}

void add_remedies_after(const Job& job, const Judgement& before, Judgement& after) {
  if (after.verdict == Verdict::fit) {
    return;
  }
  const Tried on = ready(
      job, [&](const Job& other) { return stands_after(row_of(other.kind).after(other, before)); });
  if (after.verdict == Verdict::unfit) {
    const auto unfit = row_of(job.kind).mending.unfit;
    after.remedies = unfit != nullptr ? unfit(after) : ways_on(on, after);
  }
  mend_holds(on, after.limits, after.holds);
  offer_further_cut(after);
}

}  // namespace kerfmark::plan
