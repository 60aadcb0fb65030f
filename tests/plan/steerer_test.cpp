#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "planned.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Caution;
using plan::HoldReason;
using plan::Plan;
using plan::Verdict;
using planned::find_limit;
using planned::guard;
using planned::limit_of;
using planned::Near;
using planned::plan_of;

namespace {

struct Fork {
  std::string steerer = "length = 300\n";
  std::string material = "aluminium";
  std::string frame = "head_tube = 150\n";
  std::string headset = "lower = { read = 0, within = 0 }\nupper = 12\n";
  std::string stem = "";
  std::string below = "below = 25\n";
  std::string above = "above = 5\n";
  std::string spacers = "";
  std::string rest = "";
};

std::string text_of(const Fork& fork) {
  return "kind = \"steerer\"\n[steerer]\nmaterial = \"" + fork.material + "\"\n" + fork.steerer +
         "[frame]\n" + fork.frame + "[headset]\n" + fork.headset + "[stem]\nclamp = 40\n" +
         fork.stem + "[spacers]\n" + fork.below + fork.above + fork.spacers + fork.rest;
}

Plan planned_for(const Fork& fork) { return plan_of(text_of(fork)); }

Fork by_mock_up(const std::string& proud) {
  return {.steerer = "",
          .frame = "",
          .headset = "",
          .rest = "[mock_up]\nstands_proud = " + proud + "\n"};
}

}  // namespace

TEST_CASE("worked cases of a steerer") {
  struct Row {
    std::string_view what;
    Fork fork;
    Verdict want;
    std::optional<double> planned;
    std::optional<double> lo, hi;
  };
  Fork carbon_short{.material = "carbon", .above = "above = 0\n"};
  Fork many_below{
      .material = "carbon", .below = "below = [10, 10, 15]\n", .spacers = "max_below = 30\n"};
  const Row rows[] = {
      // 68 proud of 12 + 150 + 25 + 40 + 5; 2 to 5 of gap are compared as marked.
      {"parts", {.material = "carbon"}, Verdict::cut, 71, 70, 73},
      {"a gap of 3 as it stands", by_mock_up("-3"), Verdict::keep, std::nullopt, 0, 2},
      {"a gap of 1: a thin ring, not the saw", by_mock_up("-1"), Verdict::hold, 3, 1, 4},
      {"ends 15 below the top of the stem",
       {.steerer = "length = 212\n"},
       Verdict::reject,
       std::nullopt,
       std::nullopt,
       std::nullopt},
      {"carbon without a ring above", carbon_short, Verdict::hold, std::nullopt, std::nullopt,
       std::nullopt},
      {"more rings below than the maker allows", many_below, Verdict::reject, 61, 60, 63},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan = planned_for(row.fork);
    CHECK(plan.before.verdict == row.want);
    CHECK(plan.planned.has_value() == row.planned.has_value());
    if (row.planned && plan.planned) {
      CHECK(*plan.planned == Near{*row.planned});
    }
    CHECK(plan.window.has_value() == row.lo.has_value());
    if (row.lo && plan.window) {
      CHECK(plan.window->lo == Near{*row.lo});
      CHECK(plan.window->hi == Near{*row.hi});
    }
  }
}

TEST_CASE("a carbon steerer without a ring above collides with the gap") {
  // A gap of 2 at least, the stem on steerer all the way up: short by 2.
  const Plan plan = planned_for({.material = "carbon", .above = "above = 0\n"});
  CHECK(plan.before.verdict == Verdict::hold);
  CHECK(planned::holds_for(plan, HoldReason::window_empty));
  REQUIRE(plan.before.conflict.has_value());
  CHECK(plan.before.limits.at(plan.before.conflict->lower).id() == "gap-least");
  CHECK(plan.before.limits.at(plan.before.conflict->upper).id() == "stem-cover");
  CHECK(plan.before.conflict->short_by == Near{2});
}

TEST_CASE("what nobody has measured is asked for and never taken as nothing") {
  // 68 of steerer stand above the stack if nothing lies below the head tube, 58 if 10 do: a cut
  // made for the one ruins the fork for the other.
  struct Row {
    std::string_view what;
    Fork fork;
    std::vector<std::string_view> missing;
  };
  const Row rows[] = {
      {"the lower headset stack", {.headset = "upper = 12\n"}, {"headset.lower"}},
      {"both", {.headset = ""}, {"headset.lower", "headset.upper"}},
      {"the steerer", {.steerer = ""}, {"steerer.length"}},
      {"all but the upper stack",
       {.steerer = "", .frame = "", .headset = "upper = 12\n"},
       {"frame.head_tube", "steerer.length", "headset.lower"}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan = planned_for(row.fork);
    CHECK(plan.before.verdict == Verdict::hold);
    CHECK(planned::holds_for(plan, HoldReason::gap_unknown));
    CHECK(plan.before.steerer->missing_parts == row.missing);
    CHECK_FALSE(plan.planned.has_value());
    CHECK_FALSE(plan.before.steerer->gap_uncut.has_value());
    CHECK(plan.window->lo == Near{0});
    CHECK_FALSE(plan.window->hi.has_value());
  }
  const Plan nothing = planned_for({.headset = "lower = 0\nupper = 12\n"});
  CHECK(nothing.before.verdict == Verdict::cut);
  CHECK(*nothing.planned == Near{71});
  const Plan ten = planned_for({.headset = "lower = 10\nupper = 12\n"});
  CHECK(*ten.planned == Near{61});
  // Where the crown race sits inside the head tube it takes away.
  const Plan inside = planned_for({.headset = "lower = -4\nupper = 12\n"});
  CHECK(*inside.planned == Near{75});
}

TEST_CASE("the rim of an expander takes its height from the gap below the cap") {
  Fork fork = by_mock_up("68");
  fork.material = "carbon";
  fork.rest += "[expander]\nflange = 2\n";
  // 3 free above a rim of 2: the steerer ends 5 below the top of the stack, just within the ring
  // of 5 above the stem. At the least 2 are free: 72.
  const Plan plan = planned_for(fork);
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK(*plan.planned == Near{73});
  CHECK(plan.window->lo == Near{72});
  CHECK(*plan.window->hi == Near{73});
  CHECK(*plan.before.steerer->gap == Near{5});
  CHECK(limit_of(plan, "preload").at.margin == Near{3});
  CHECK(limit_of(plan, "gap-least").at.margin == Near{1});
  CHECK(limit_of(plan, "gap-most").at.margin == Near{2});
  CHECK(limit_of(plan, "stem-recess").at.margin == Near{5});
  // Mock-up ±0.5 and caliper ±0.1.
  CHECK(limit_of(plan, "preload").uncut.guard == Near{guard({0.5, 0.1})});
  CHECK(limit_of(plan, "stem-recess").uncut.guard == Near{guard({0.5, 0.1})});
  // A gap of 3 that the rim fills but for 1.
  Fork filled = by_mock_up("-3");
  filled.rest += "[expander]\nflange = 2\n";
  CHECK(planned_for(filled).before.verdict == Verdict::hold);
  CHECK(limit_of(planned_for(filled), "gap-least").uncut.margin == Near{-1});
  // One of 4 lies on the cap: it presses the steerer, not the stack.
  Fork pressed = by_mock_up("-3");
  pressed.rest += "[expander]\nflange = 4\n";
  CHECK(limit_of(planned_for(pressed), "preload").uncut.margin == Near{-1});
  CHECK(limit_of(planned_for(pressed), "preload").uncut.status == measure::Status::broken);
}

TEST_CASE("an expander reaches from the top of the steerer whatever lies on it") {
  Fork fork = by_mock_up("68");
  fork.above = "above = 10\n";
  fork.rest += "[expander]\nflange = 2\nto = 50\nfrom = 1\n";
  // 73 off, 5 below the stack: 40 + 10 − 5 of clamp below the top, which ends 5 above the stem.
  const Plan plan = planned_for(fork);
  CHECK(*plan.planned == Near{73});
  CHECK(limit_of(plan, "expander-reach").at.margin == Near{5});
  CHECK(limit_of(plan, "expander-top").at.margin == Near{4});
}

TEST_CASE("carbon without a word on its expander is told how far one must reach") {
  Fork fork = by_mock_up("68");
  fork.material = "carbon";
  fork.spacers = "lowest = 15\n";
  const Plan plan = planned_for(fork);
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK(planned::warns(plan, Caution::expander_unknown));
  // 71 off. From the top of the steerer down: 40 + 5 + 25 − 15 − 3; clamp, rings and mock-up are
  // read, and the saw.
  CHECK(*plan.before.steerer->expander_needs == Near{52 + guard({0.1, 0.1, 0.1, 0.1, 0.5, 0.5})});
  // Uncut the saw has no part in it.
  Fork uncut = by_mock_up("-3");
  uncut.material = "carbon";
  CHECK(planned_for(uncut).before.verdict == Verdict::keep);
  CHECK(*planned_for(uncut).before.steerer->expander_needs == Near{42 + guard({0.1, 0.1, 0.5})});
  // An aluminium one carries no expander.
  CHECK_FALSE(planned_for(by_mock_up("68")).before.steerer->expander_needs.has_value());
  Fork known = fork;
  known.rest += "[expander]\nto = 60\n";
  CHECK_FALSE(planned::warns(planned_for(known), Caution::expander_unknown));
  CHECK_FALSE(planned_for(known).before.steerer->expander_needs.has_value());
  CHECK_FALSE(planned::warns(planned_for(by_mock_up("68")), Caution::expander_unknown));
}

TEST_CASE("every limit of a steerer by hand") {
  const Plan plan = planned_for({
      .steerer = "length = 300\nmax_cut = 100\nmin_length = 200\nmax_rider = 100\n",
      .material = "carbon",
      .frame = "head_tube = 150\nmax_rider = 110\n",
      .headset = "lower = 8\nupper = 12\n",
      .stem = "recess_max = 3\n",
      .below = "below = [10, 10, 5]\n",
      .spacers = "lowest = 10\nhighest = 30\nmax_below = 35\nmin_above = 4\nmax_above = 30\n",
      .rest = "[cap]\ngap = 2.5\ngap_min = 1\ngap_max = 6\n[expander]\nfrom = 4\nto = 70\n"
              "[rider]\nmass = 80\n[saw]\nwanted = 58\n",
  });
  // G0 = (8 + 150 + 12) + 30 + 40 + 5 − 300 = −55; G = 3 after 58. Recess G − 5 = −2.
  struct Row {
    std::string_view id;
    double has, needs, margin;
  };
  const Row rows[] = {
      {"preload", 3, 0, 3},
      {"gap-least", 3, 1, 2},
      {"gap-most", 3, 6, 3},
      {"stem-recess", -2, 5, 7},
      {"stem-cover", -2, 3, 5},
      {"expander-reach", 40 + 5 + 20 - 3, 70, 8},
      {"expander-top", 2, 4, -2},
      {"max-cut", 58, 100, 42},
      {"min-length", 242, 200, 42},
      {"spacers-below", 30, 35, 5},
      {"spacers-above-least", 5, 4, 1},
      {"spacers-above-most", 25, 30, 5},
      {"rider-mass", 80, 100, 20},
  };
  REQUIRE(plan.before.limits.size() == std::size(rows));
  for (std::size_t i = 0; i < std::size(rows); ++i) {
    const auto& limit = plan.before.limits.at(i);
    CAPTURE(rows[i].id);
    CHECK(limit.id() == rows[i].id);
    CHECK(limit.has == Near{rows[i].has});
    CHECK(limit.needs == Near{rows[i].needs});
    CHECK(limit.at.margin == Near{rows[i].margin});
  }
  CHECK(plan.before.steerer->gap_uncut == Near{-55});
  CHECK(plan.before.steerer->gap == Near{3});
  CHECK(plan.before.remaining == millimetres(242));
  // The gap: lower, upper, clamp, highest, above by caliper ±0.1, head tube and steerer ±0.5, saw
  // ±0.5. In the recess the ring above cancels, in the reach of the expander rings above, those of
  // the highest position and the clamp, which leaves the lowest.
  const double c = 0.1;
  CHECK(limit_of(plan, "preload").at.guard == Near{guard({c, c, c, c, c, 0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "stem-recess").at.guard == Near{guard({c, c, c, c, 0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "expander-reach").at.guard == Near{guard({c, c, c, 0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "min-length").at.guard == Near{guard({0.5, 0.5})});
  CHECK(limit_of(plan, "gap-least").at.guard == Near{guard({c, c, c, c, c, 0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "spacers-below").at.guard == 0.0);
  CHECK(plan.before.limits.at(1).row().origin == plan::Origin::maker);
  CHECK(plan.before.limits.at(4).row().origin == plan::Origin::maker);
}

TEST_CASE("a list of rings has a doubt for each - a sum has one") {
  const auto guard_with = [](const std::string& below) {
    return limit_of(planned_for({.below = below}), "preload").uncut.guard;
  };
  const double c = 0.1;
  CHECK(guard_with("below = 25\n") == Near{guard({c, c, c, c, 0.5, 0.5})});
  CHECK(guard_with("below = [10, 10, 5]\n") == Near{guard({c, c, c, c, c, c, 0.5, 0.5})});
  CHECK(guard_with("below = []\n") == Near{guard({c, c, c, 0.5, 0.5})});
}

TEST_CASE("limits of a steerer exist when their values are given") {
  std::string ids;
  const Plan bare = planned_for({});
  for (const auto& limit : bare.before.limits) {
    ids += limit.id() + " ";
  }
  CHECK(ids == "preload gap-least gap-most stem-recess ");
  CHECK(limit_of(bare, "gap-least").row().origin == plan::Origin::practice);
  CHECK(limit_of(bare, "gap-least").uncut.guard == 0.0);
  const Plan carbon = planned_for({.material = "carbon"});
  CHECK(limit_of(carbon, "stem-cover").row().origin == plan::Origin::practice);
  CHECK(limit_of(carbon, "stem-cover").needs == 0.0);
  // Nothing to reach from the very top.
  CHECK(find_limit(planned_for({.rest = "[expander]\nfrom = 0\nto = 70\n"}), "expander-top") ==
        nullptr);
}

// A gap of 0.8 on a steerer of 150 below spacers, stem and spacers of 151: −0.2 for headset and
// head tube, and the doubt of five readings is more than that.
TEST_CASE("what the doubt explains is no contradiction") {
  const auto said = [](const std::string& length) {
    Fork fork = by_mock_up("-0.8");
    fork.steerer = "length = " + length + "\n";
    fork.below = "below = 106\n";
    return planned_for(fork);
  };
  CHECK_FALSE(planned::holds_for(said("150"), HoldReason::no_room_for_stack));
  CHECK(planned::holds_for(said("145"), HoldReason::no_room_for_stack));
}

TEST_CASE("two routes to the gap") {
  struct Row {
    std::string_view what;
    std::string proud;
    double gap;
    bool by_mock_up;
    bool disagree = false;
  };
  // By parts −68, variance (0.5² + 0.5² + 4·0.1²)/3; by mock-up 0.5²/3. Their difference has
  // 2·√(0.79/3) = 1.02632.
  const Row rows[] = {
      {"the mock-up has less doubt", "68.5", -68.5, true},
      {"just agree", "69.0263", -69.0263, true},
      {"just do not", "69.0264", -69.0264, true, true},
      {"just do not the other way", "66.9736", -66.9736, true, true},
      // √0.54 = 0.734847: a tie.
      {"a tie: the parts", "{ read = 68.5, within = 0.7348469228349535 }", -68, false},
      {"a little less doubt", "{ read = 68.5, within = 0.7348 }", -68.5, true},
      {"a little more", "{ read = 68.5, within = 0.7349 }", -68, false},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan = planned_for({.rest = "[mock_up]\nstands_proud = " + row.proud + "\n"});
    CHECK(plan.before.steerer->gap_uncut == Near{row.gap});
    CHECK((plan.before.steerer->gap_by == plan::GapRoute::mock_up) == row.by_mock_up);
    CHECK(planned::holds_for(plan, HoldReason::routes_disagree) == row.disagree);
    CHECK(plan.before.verdict == (row.disagree ? Verdict::hold : Verdict::cut));
  }
}

TEST_CASE("without a length what is left is not known") {
  const Plan plan = planned_for(by_mock_up("68"));
  CHECK_FALSE(plan.before.remaining.has_value());
  CHECK(plan.planned == millimetres(71));
  CHECK(plan.before.verdict == Verdict::cut);
}

TEST_CASE("the cut aims at the gap that the cap wants") {
  const auto planned_with = [](const std::string& cap, const std::string& saw) {
    return planned_for({.rest = "[cap]\n" + cap + "[saw]\n" + saw}).planned->in_mm();
  };
  CHECK(planned_with("gap = 3\n", "") == Near{71});
  CHECK(planned_with("gap = 4.4\n", "") == Near{72});
  CHECK(planned_with("gap = 4.6\n", "") == Near{73});
  CHECK(planned_with("gap = 4.5\n", "") == Near{72});  // a tie: the smaller
  CHECK(planned_with("gap = 9\n", "") == Near{73});
  CHECK(planned_with("gap = 0\n", "") == Near{70});
  CHECK(planned_with("gap = 3.3\n", "step = 0.5\n") == Near{71.5});
  CHECK(planned_with("gap = 3\n", "step = 10\n") == Near{70});
}

// The gap is what the parts make, 12 + 150 + 25 + 40 + 5 by calipers (four of ±0.1) and rule, less
// the steerer by rule; each mark has a rule of its own, ±0.5. Under the root of u, beside a divisor
// of 3: parts 0.25 + 4·0.01.
TEST_CASE("a steerer is sawn at the mark that leaves its gap the least doubt") {
  const auto apart = [](double squares) { return 2 * std::sqrt(squares / 3); };
  const Plan plan = planned_for({});
  REQUIRE(plan.line.has_value());
  const plan::CutLine& line = *plan.line;
  // What the gap's own limits miss then: 0.5 by mock-up (two marks, the gap itself drops out), 0.54
  // from the crown (the length drops out), 0.79 from the top.
  CHECK(line.master == plan::MarkFrom::mock_up);
  CHECK(line.confirm == std::vector{plan::MarkFrom::end_that_stays, plan::MarkFrom::end_that_goes});
  // Mock-up to crown: parts and three marks; to the top: the length too, which is more.
  const double agree = apart(0.29 + 0.75);
  // 71 of 70 to 73.
  CHECK(line.less_mm == Near{1});
  CHECK_FALSE(line.less_is_harmless);
  CHECK(line.more_mm == Near{agree});
  CHECK(line.more_is_harmless);
  CHECK(line.closure_allowed_mm == Near{apart(0.75)});

  // Level with the stack there is nothing to mark; the stack's top is on the steerer only while it
  // stands proud.
  const auto confirmed = [](const std::string& proud) {
    const Plan level = planned_for(by_mock_up(proud));
    REQUIRE(level.line.has_value());
    return std::pair(level.line->master, level.line->confirm);
  };
  using Marks = std::vector<plan::MarkFrom>;
  // A mark from the top is then as good as two from the stack: 0.5 either way, and the first is
  // taken.
  CHECK(confirmed("10") ==
        std::pair(plan::MarkFrom::end_that_goes, Marks{plan::MarkFrom::mock_up}));
  CHECK(confirmed("0") == std::pair(plan::MarkFrom::end_that_goes, Marks{}));
  CHECK(confirmed("-1") == std::pair(plan::MarkFrom::end_that_goes, Marks{}));
  // One mark is laid off twice. 3 of 1 to 4, and nobody knows the whole.
  const plan::CutLine alone = *planned_for(by_mock_up("-1")).line;
  CHECK(alone.less_mm == Near{apart(0.5)});
  CHECK(alone.more_mm == Near{apart(0.5)});
  CHECK(alone.less_is_harmless);
  CHECK(alone.more_is_harmless);
  // Where no cut suits all, nothing is left for the mark either.
  const Plan none =
      planned_for({.material = "carbon", .above = "above = 0\n", .rest = "[saw]\nwanted = 71\n"});
  CHECK_FALSE(none.window.has_value());
  CHECK(none.line->less_mm == Near{0});
  CHECK(none.line->more_mm == Near{0});
}

TEST_CASE("a fork is supplied to be cut") {
  const Plan plan = planned_for({});
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK_FALSE(planned::warns(plan, Caution::metal_not_stated));
  const Plan closed = planned_for({.steerer = "length = 300\ncutting = \"forbidden\"\n"});
  CHECK(closed.before.verdict == Verdict::reject);
  CHECK(limit_of(closed, "max-cut").needs == 0.0);
  CHECK(planned_for({.steerer = "length = 300\ncutting = \"not stated\"\n", .material = "carbon"})
            .before.verdict == Verdict::hold);
}

TEST_CASE("where the handlebar comes to stand") {
  struct Row {
    std::string_view what;
    std::string frame;
    std::string stem;
    double height, reach;
  };
  // x = upper + B + K/2 = 12 + 25 + 20 = 57. phi 90: no reach; sin 0.8 and cos 0.6 else.
  const std::string slope = "head_angle = \"53.13010235415598 deg\"\n";
  const Row rows[] = {
      {"upright, level stem", "head_angle = 90\n", "length = 100\nangle = 0\n", 557, 400 + 100},
      {"upright, rising by 30", "head_angle = 90\n", "length = 100\nangle = 30\n", 557 + 50,
       400 + 100 * std::sqrt(0.75)},
      {"upright, falling by 30", "head_angle = 90\n", "length = 100\nangle = -30\n", 557 - 50,
       400 + 100 * std::sqrt(0.75)},
      // phi − alpha = 90°: the stem lies level.
      {"sloping, level stem", slope, "length = 100\nangle = \"-36.86989764584402 deg\"\n",
       500 + 0.8 * 57, 400 - 0.6 * 57 + 100},
      // phi − alpha = 0: the stem stands upright.
      {"sloping, upright stem", slope, "length = 100\nangle = \"53.13010235415598 deg\"\n",
       500 + 0.8 * 57 + 100, 400 - 0.6 * 57},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan =
        planned_for({.frame = "head_tube = 150\nstack = 500\nreach = 400\n" + row.frame,
                     .stem = row.stem,
                     .spacers = "on_hand = [25, 5]\n"});
    REQUIRE(plan.before.steerer->positions.size() == 1);
    const auto& position = plan.before.steerer->positions.front();
    CHECK(position.below == Near{25});
    CHECK(position.above == Near{5});
    REQUIRE(position.bar_height.has_value());
    REQUIRE(position.bar_reach.has_value());
    CHECK(*position.bar_height == Near{row.height});
    CHECK(*position.bar_reach == Near{row.reach});
  }
  // Without its geometry a position has no bar, whatever of it is missing.
  const std::string frame = "head_tube = 150\nstack = 500\nreach = 400\nhead_angle = 90\n";
  const std::string stem = "length = 100\nangle = 0\n";
  const auto bar_of = [](Fork fork) {
    fork.spacers = "on_hand = [25, 5]\n";
    return planned_for(fork).before.steerer->positions.front().bar_height;
  };
  CHECK(bar_of({.frame = frame, .stem = stem}) == millimetres(557));
  for (const std::string_view gone : {"stack = 500\n", "head_angle = 90\n"}) {
    CHECK_FALSE(bar_of({.frame = planned::replaced(frame, gone, ""), .stem = stem}).has_value());
  }
  for (const std::string_view gone : {"length = 100\n", "angle = 0\n"}) {
    CHECK_FALSE(bar_of({.frame = frame, .stem = planned::replaced(stem, gone, "")}).has_value());
  }
  Fork mock_up = by_mock_up("-3");
  mock_up.frame = "stack = 500\nhead_angle = 90\n";
  mock_up.stem = stem;
  CHECK_FALSE(bar_of(mock_up).has_value());
  const Plan bare = planned_for({.spacers = "on_hand = [25, 5]\n"});
  CHECK_FALSE(bare.before.steerer->positions.front().bar_height.has_value());
  CHECK(planned_for({}).before.steerer->positions.empty());
}

TEST_CASE("positions run from the lowest to the highest stem") {
  // 30 of rings in all: those below and those above.
  const Plan plan =
      planned_for({.below = "below = 20\n",
                   .above = "above = 5\n",
                   .spacers = "lowest = 10\nhighest = 25\non_hand = [10, 10, 5, 5]\n"});
  std::vector<double> below;
  for (const auto& position : plan.before.steerer->positions) {
    below.push_back(position.below.in_mm());
    CHECK(position.above == Near{30 - position.below.in_mm()});
  }
  CHECK(below == std::vector<double>{10, 15, 20, 25});
  REQUIRE(plan.before.steerer->target.has_value());
  CHECK(plan.before.steerer->target->below == Near{20});
  REQUIRE(plan.before.steerer->rings.has_value());
  double sum = 0;
  for (const auto ring : plan.before.steerer->rings->below) {
    sum += ring.in_mm();
  }
  CHECK(sum == Near{20});
}

namespace {

// Bar height = 500 + 12 + B + 20 with an upright head tube and a stem that adds no height.
plan::Job wish_job(const std::string& bar, const std::string& on_hand,
                   const std::string& spacers = "") {
  return planned::job_of(
      text_of({.frame = "head_tube = 150\nstack = 500\nreach = 400\nhead_angle = 90\n",
               .stem = "length = 100\nangle = 0\n",
               .below = "",
               .spacers = spacers + "on_hand = " + on_hand + "\n",
               .rest = "[bar]\n" + bar}));
}

Plan wish(const std::string& bar, const std::string& on_hand, const std::string& spacers = "") {
  return plan::plan_cut(wish_job(bar, on_hand, spacers));
}

}  // namespace

TEST_CASE("wishes for the bar become the nearest sum of rings") {
  struct Row {
    std::string_view what;
    std::string bar, on_hand;
    double low, high;
    std::vector<std::string> rings;  // that make the highest position
  };
  const std::vector<std::string> two = {"spacers.below-1", "spacers.below-2"};
  const std::vector<std::string> three = {"spacers.below-1", "spacers.below-2", "spacers.below-3"};
  const std::vector<std::string> three_at_highest = {"spacers.highest-1", "spacers.highest-2",
                                                     "spacers.highest-3"};
  const Row rows[] = {
      {"exact", "height = 547\n", "[10, 5, 5]", 15, 15, two},
      {"nearest below", "height = 549\n", "[10, 5, 5]", 15, 15, two},
      {"nearest above", "height = 550\n", "[10, 5, 5]", 20, 20, three},
      {"the smaller on a tie", "height = 549.5\n", "[10, 5, 5]", 15, 15, two},
      {"none at all", "height = 500\n", "[10, 5, 5]", 0, 0, {}},
      {"all of them", "height = 700\n", "[10, 5, 5]", 20, 20, three},
      {"the fewest", "height = 547\n", "[5, 2, 8, 5, 5, 10]", 15, 15, two},
      {"hundredths of a millimetre", "height = 547\n", "[9.525, 5.324999999999]", 14.86, 14.86,
       two},
      {"lowest and highest", "height = 547\nlowest = 537\nhighest = 552\n", "[10, 5, 5]", 5, 20,
       three_at_highest},
      {"lowest only", "height = 547\nlowest = 537\n", "[10, 5, 5]", 5, 15, two},
      {"highest only", "height = 547\nhighest = 552\n", "[10, 5, 5]", 15, 20, three_at_highest},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const plan::Job job = wish_job(row.bar, row.on_hand);
    const Plan plan = plan::plan_cut(job);
    CHECK(plan.before.steerer->below_low == Near{row.low});
    CHECK(plan.before.steerer->below_high == Near{row.high});
    // 12 + 150 + B_high + 40 + 5 − 300.
    CHECK(plan.before.steerer->gap_uncut == Near{row.high - 93});
    // Each ring chosen counts like one of a list, by caliper.
    const auto count = static_cast<double>(row.rings.size());
    const double squares = (3 + count) * 0.1 * 0.1 + 2 * 0.5 * 0.5;
    CHECK(limit_of(plan, "preload").uncut.guard == Near{2 * std::sqrt(squares / 3)});
    std::vector<std::string> chosen;
    for (const measure::Share& part : limit_of(plan, "preload").doubt) {
      const std::string& key = job.readings.at(part.reading).key;
      if (key.starts_with("spacers.below") || key.starts_with("spacers.highest")) {
        chosen.push_back(key);
      }
    }
    CHECK(chosen == row.rings);
  }
}

// Upright, so the bar's height less 500 + 12 + 20 is what stands below the stem: rings make 15
// or 20.
TEST_CASE("a bar is missed by more than a thin ring of 2.5 mm") {
  const auto is_missed = [](const std::string& height) {
    return planned::warns(plan::plan_cut(wish_job("height = " + height + "\n", "[10, 5, 5]")),
                          plan::Caution::bar_out_of_reach);
  };
  CHECK_FALSE(is_missed("547"));
  CHECK_FALSE(is_missed("549.5"));
  CHECK_FALSE(is_missed("554.5"));
  CHECK(is_missed("554.6"));
  CHECK_FALSE(is_missed("529.5"));
  CHECK(is_missed("529.4"));
}

// Upright, so the bar's height less 500 + 12 + 20 is what stands below the stem.
TEST_CASE("the lowest stem is no higher than the stem and the highest no lower") {
  struct Row {
    std::string bar, spacers;
    std::string_view finding;
  };
  const Row rows[] = {
      {"lowest = 547\n", "below = 15\n", ""},
      {"highest = 547\n", "below = 15\n", ""},
      {"lowest = 552\n", "below = 15\n", "bar.lowest"},
      {"highest = 542\n", "below = 15\n", "bar.highest"},
      {"height = 547\n", "lowest = 20\n", "spacers.lowest"},
      {"height = 547\n", "highest = 10\n", "spacers.highest"},
      {"height = 547\nlowest = 537\n", "highest = 10\n", "spacers.highest"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.bar);
    CAPTURE(row.spacers);
    const auto read =
        job::read_job(text_of({.frame = "head_tube = 150\nstack = 500\nhead_angle = 90\n",
                               .stem = "length = 100\nangle = 0\n",
                               .below = row.spacers,
                               .spacers = "on_hand = [10, 5, 5]\n",
                               .rest = "[bar]\n" + row.bar}),
                      "job.toml");
    CHECK(read.job.has_value() == row.finding.empty());
    CHECK(read.findings.size() == (row.finding.empty() ? 0 : 1));
    if (!read.findings.empty()) {
      CHECK(job::one_line(read.findings.front()).find(std::string(row.finding) + ": ") !=
            std::string::npos);
    }
  }
}

TEST_CASE("rings that are to be put on are not asked for twice") {
  // Everything else was read twice.
  const std::string twice =
      "kind = \"steerer\"\n[steerer]\nmaterial = \"aluminium\"\n[frame]\nstack = [500, 500]\n"
      "head_angle = [90, 90]\n[headset]\nupper = [12, 12]\n[stem]\nclamp = [40, 40]\n"
      "length = [100, 100]\nangle = [0, 0]\n[spacers]\non_hand = [10, 5, 5]\n"
      "above = { read = [5, 5] }\n[expander]\nto = 60\n[bar]\nheight = 547\nlowest = 540\n"
      "[mock_up]\nstands_proud = [60, 60]\n[measuring]\ntwice = true\n";
  CHECK(plan_of(twice).before.verdict == Verdict::cut);
  const Plan once = plan_of(planned::replaced(twice, "clamp = [40, 40]", "clamp = 40"));
  CHECK(planned::holds_for(once, HoldReason::second_reading_missing));
  // What is known exactly is not measured again.
  const Plan exact =
      plan_of(planned::replaced(twice, "clamp = [40, 40]", "clamp = { read = 40, within = 0 }"));
  CHECK_FALSE(planned::holds_for(exact, HoldReason::second_reading_missing));
}

TEST_CASE("a wish for the bar replaces the sum of rings below - also at both ends") {
  // Lowest and highest default to the sum below, which the wish has replaced by 15.
  const Plan plan = wish("height = 547\n", "[10, 5, 5]", "below = 25\n");
  CHECK(plan.before.steerer->below_low == Near{15});
  CHECK(plan.before.steerer->below_high == Near{15});
  // A sum of its own stays.
  const Plan own = wish("height = 547\n", "[10, 5, 5]", "below = 25\nhighest = 30\n");
  CHECK(own.before.steerer->below_low == Near{15});
  CHECK(own.before.steerer->below_high == Near{30});
}

// By hand: head tube 120, lower 10, upper 15, clamp 40, rings 20 + 10 + 5 below and 5 above make a
// stack of 225. The gap is to be 2 to 5; the steerer may end 5 below the top of the stem, 220.
TEST_CASE("advice names the spacers that do it - from the least to the most") {
  struct Row {
    std::string_view what;
    double length;
    std::string_view below, on_hand;
    plan::RemedyKind kind;
    double least, most;
    std::vector<double> out, in;
  };
  const auto none = std::vector<double>{};
  using plan::RemedyKind;
  const Row rows[] = {
      // A gap of 19: 14 to 17 have to go, and of 20, 10 and 5 the two make 15.
      {"two of three", 206, "[20, 10, 5]", "", RemedyKind::rings_out, 14, 17, {10, 5}, none},
      // 7 to 10, and the fewest rings.
      {"one of three", 213, "[20, 10, 5]", "", RemedyKind::rings_out, 7, 10, {10}, none},
      // 14 to 17 out of a single ring of 35: only with one of 20 in its place.
      {"a swap", 206, "[35]", "[35, 5, 20]", RemedyKind::rings_out, 14, 17, {35}, {20}},
      // A sum: nobody knows what it is made of.
      {"a sum", 206, "35", "", RemedyKind::rings_out, 14, 17, none, none},
      // A sum that rings on hand make: with those above, they are all.
      {"a sum of rings on hand",
       206,
       "35",
       "[20, 10, 5, 5]",
       RemedyKind::rings_out,
       14,
       17,
       {10, 5},
       none},
      // A gap of 1.5: 0.5 to 3.5 more, of rings that are not on the steerer yet.
      {"a spare",
       223.5,
       "[20, 10, 5]",
       "[20, 10, 5, 5, 3]",
       RemedyKind::ring_above,
       0.5,
       3.5,
       none,
       {3}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan = plan_of(
        "kind = \"steerer\"\n[steerer]\nlength = " + planned::number(row.length) +
        "\nmaterial = \"aluminium\"\n[frame]\nhead_tube = 120\n[headset]\nlower = 10\n"
        "upper = 15\n[stem]\nclamp = 40\n[spacers]\nbelow = " +
        std::string(row.below) + "\nabove = [5]\n" +
        (row.on_hand.empty() ? std::string() : "on_hand = " + std::string(row.on_hand) + "\n"));
    const auto& ways = plan.before.verdict == Verdict::reject ? plan.before.remedies
                                                              : plan.before.holds.at(0).remedies;
    const auto way = std::ranges::find(ways, row.kind, &plan::Remedy::kind);
    REQUIRE(way != ways.end());
    CHECK(way->amount == Near{row.least});
    CHECK(way->most == Near{row.most});
    const auto in_mm = [](const std::vector<plan::Length>& rings) {
      std::vector<double> heights;
      for (const plan::Length ring : rings) {
        heights.push_back(ring.in_mm());
      }
      return heights;
    };
    CHECK(in_mm(way->take_out) == row.out);
    CHECK(in_mm(way->put_in) == row.in);
  }
}

// By hand: 14 of 35 mm of spacers have to go. On an upright head tube the bar keeps its height with
// a stem of length L whose rise L·sin α is 14 more: sin α = sin α0 + 14 / L.
TEST_CASE("a stem with more rise is named where one can keep the bar where it is") {
  const auto rise = [](std::string_view frame, std::string_view stem) -> std::optional<double> {
    const Plan plan = plan_of(
        "kind = \"steerer\"\n[steerer]\nlength = 250\nmaterial = \"aluminium\"\n[frame]\nhead_tube "
        "= 120\n" +
        std::string(frame) + "[headset]\nlower = 10\nupper = 15\n[stem]\nclamp = 40\n" +
        std::string(stem) + "[spacers]\nbelow = [35]\nmax_below = 21\nabove = [5]\n");
    CHECK(plan.before.verdict == Verdict::reject);
    const auto& ways = plan.before.remedies;
    CHECK(std::ranges::find(ways, plan::RemedyKind::rings_out, &plan::Remedy::kind) != ways.end());
    const auto way = std::ranges::find(ways, plan::RemedyKind::stem_with_rise, &plan::Remedy::kind);
    return way == ways.end() ? std::nullopt : std::optional(way->angle_deg);
  };
  const auto degrees_of = [](double sine) { return std::asin(sine) * 180.0 / std::numbers::pi; };
  const std::string upright = "head_angle = 90\n";
  CHECK(*rise(upright, "length = 70\nangle = 0\n") == Near{degrees_of(0.2)});
  CHECK(*rise(upright, "length = 28\nangle = -30\n") == Near{0.0});
  CHECK(*rise(upright, "length = 28.1\nangle = 29.5\n") ==
        Near{degrees_of(std::sin(29.5 * std::numbers::pi / 180.0) + 14 / 28.1)});
  // On a head tube of 65° it points 25° up at 0°, and 14 of steerer are 14·sin 65° of height.
  const auto height = [](double degrees) {
    return 90 * std::sin(degrees * std::numbers::pi / 180);
  };
  CHECK(height(25 + *rise("head_angle = 65\n", "length = 90\nangle = 0\n")) ==
        Near{height(25) + 14 * std::sin(65 * std::numbers::pi / 180)});
  // Not even one that stands upright rises so far; and without its length, its angle or that of the
  // head tube nobody knows.
  CHECK_FALSE(rise(upright, "length = 27\nangle = 30\n").has_value());
  CHECK_FALSE(rise(upright, "length = 13\nangle = 0\n").has_value());
  CHECK_FALSE(rise(upright, "length = 0\nangle = 0\n").has_value());
  CHECK_FALSE(rise(upright, "angle = 0\n").has_value());
  CHECK_FALSE(rise(upright, "length = 70\n").has_value());
  CHECK_FALSE(rise("", "length = 70\nangle = 0\n").has_value());
}

TEST_CASE("what the spacers that are there cannot do is not advised") {
  const auto ways_with = [](std::string_view below, std::string_view above) {
    return plan_of(
               "kind = \"steerer\"\n[steerer]\nlength = 211\nmaterial = \"aluminium\"\n[frame]\n"
               "head_tube = 120\n[headset]\nlower = 10\nupper = 15\n[stem]\nclamp = 40\n"
               "[spacers]\nbelow = " +
               std::string(below) + "\nabove = " + std::string(above) + "\n")
        .before.remedies;
  };
  const auto has = [](const auto& ways, plan::RemedyKind kind) {
    return std::ranges::find(ways, kind, &plan::Remedy::kind) != ways.end();
  };
  // A gap of 14: 9 to 12 out, and neither the 20 nor the 15 is that; of 10 and 25 the 10 is.
  CHECK_FALSE(has(ways_with("[20, 15]", "[5]"), plan::RemedyKind::rings_out));
  CHECK(has(ways_with("[25, 10]", "[5]"), plan::RemedyKind::rings_out));
  // Above the stem stand 5, and 9 are needed.
  CHECK_FALSE(has(ways_with("[25, 10]", "[5]"), plan::RemedyKind::fewer_above));
}

TEST_CASE("a steerer of unknown length has one mark and what the mock-up leaves") {
  const auto line_of = [](std::string_view parts, std::string_view rest) {
    return *plan_of("kind = \"steerer\"\n[steerer]\nmaterial = \"aluminium\"\n" +
                    std::string(parts) + "[stem]\nclamp = 40\n[spacers]\nbelow = 25\nabove = 5\n" +
                    std::string(rest))
                .line;
  };
  using plan::MarkFrom;
  // By mock-up alone: from the top only the rule's mark is in doubt besides the reading, ±0.5 each;
  // below the stack it is the two marks. The first on a tie.
  const plan::CutLine proud = line_of("", "[mock_up]\nstands_proud = 68\n");
  CHECK(proud.master == MarkFrom::end_that_goes);
  CHECK(proud.confirm == std::vector{MarkFrom::mock_up});
  // A steerer below its stack has no mark at the top of it.
  const plan::CutLine below =
      line_of("",
              "[cap]\ngap_min = 4\ngap = 8\ngap_max = 12\n[saw]\nwanted = 5\n[mock_up]\n"
              "stands_proud = -3\n");
  CHECK(below.confirm.empty());
  // From the crown race seat the length of the steerer drops out, and not from the top.
  const plan::CutLine parts =
      line_of("length = 300\n[frame]\nhead_tube = 150\n[headset]\nlower = 10\nupper = 12\n", "");
  CHECK(parts.master != MarkFrom::end_that_goes);
  CHECK(parts.confirm.size() == 2);
}
