#include "kerfmark/plan/after.hpp"

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "planned.hpp"

using namespace kerfmark;
using plan::GapRoute;
using plan::HoldReason;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Plan;
using plan::RemedyKind;
using plan::Verdict;
using planned::guard;
using planned::Near;
using planned::number;
using planned::plan_of;

namespace {

// Comparisons forgive a grain of 1e-9; this is well beyond it, and far below any reading.
constexpr double hair = 1e-8;

struct Fork {
  std::string steerer = "length = 300\n";
  std::string material = "aluminium";
  std::string parts =
      "[frame]\nhead_tube = 150\n[headset]\nlower = { read = 0, within = 0 }\nupper = 12\n";
  std::string rest = "";
  std::string as_cut = "length = 229\noffcut = 70\n";
};

// 12 + 150 + 25 + 40 + 5 = 232 of stack; a steerer of 229 ends 3 below its top.
std::string text_of(const Fork& fork) {
  return "kind = \"steerer\"\n[steerer]\nmaterial = \"" + fork.material + "\"\n" + fork.steerer +
         fork.parts + "[stem]\nclamp = 40\n[spacers]\nbelow = 25\nabove = 5\n" + fork.rest +
         "[as_cut]\n" + fork.as_cut;
}

struct Post {
  std::string saddle = "measured = \"extension\"\nheight = 140\n";
  std::string post = "cutting = \"allowed\"\n";
  std::string length = "400";
  std::string mark = "100";
  std::string material = "aluminium";
  std::string rest = "";
  std::string as_cut = "length = 350\n";
};

std::string text_of(const Post& post) {
  return "kind = \"seatpost\"\n[saddle]\n" + post.saddle + "[post]\nlength = " + post.length +
         "\nmark = " + post.mark + "\ndiameter = 27.2\nmaterial = \"" + post.material + "\"\n" +
         post.post + post.rest + "[as_cut]\n" + post.as_cut;
}

template <class Part>
Judgement after_of(const Part& part) {
  const Plan plan = plan_of(text_of(part));
  REQUIRE(plan.after.has_value());
  return *plan.after;
}

const JudgedLimit* find(const Judgement& after, std::string_view id) {
  const auto found =
      std::ranges::find_if(after.limits, [&](const JudgedLimit& l) { return l.id() == id; });
  return found == after.limits.end() ? nullptr : &*found;
}

const JudgedLimit& limit(const Judgement& after, std::string_view id) {
  const JudgedLimit* const found = find(after, id);
  INFO("limit ", id);
  REQUIRE(found != nullptr);
  return *found;
}

bool holds_for(const Judgement& after, HoldReason reason) {
  return std::ranges::any_of(after.holds, [&](const auto& h) { return h.reason == reason; });
}

const plan::Remedy* find(const std::vector<plan::Remedy>& remedies, RemedyKind kind) {
  const auto found = std::ranges::find(remedies, kind, &plan::Remedy::kind);
  return found == remedies.end() ? nullptr : &*found;
}

std::string gap_of(double mm) { return "gap = " + number(mm) + "\n"; }

}  // namespace

TEST_CASE("without a reading after the cut nothing is said of it") {
  const std::string text = text_of(Fork{});
  CHECK_FALSE(plan_of(text.substr(0, text.find("[as_cut]"))).after.has_value());
}

TEST_CASE("a steerer cut as planned is fit") {
  // By hand: 300 = 229 + 70 + 1. Parts: 232 − 229 = 3.
  const Plan plan = plan_of(text_of(Fork{.as_cut = "length = 229\noffcut = 70\nkerf = 1\n"
                                                   "gap = 3\n"}));
  CHECK(plan.before.verdict == plan::Verdict::cut);
  CHECK(*plan.planned == Near{71});
  const Judgement& after = *plan.after;
  CHECK(after.verdict == Verdict::fit);
  CHECK(after.holds.empty());
  CHECK(after.remedies.empty());
  CHECK(*after.remaining == Near{229});
  CHECK(*after.made->cut == Near{71});
  CHECK(after.made->guard_mm == Near{guard({0.5, 0.5})});
  REQUIRE(after.made->closure.has_value());
  CHECK(after.made->closure->off == Near{0});
  CHECK(after.made->closure->guard_mm == Near{1});  // 2·√(3·0.25/3)
  CHECK(after.made->closure->closed);
  CHECK(*after.steerer->gap == Near{3});
  // A reading of ±0.5 has u 0.289; the parts 2·0.25 + 4·0.01 under the root, 0.424.
  CHECK(after.steerer->gap_by == GapRoute::measured);
  CHECK(limit(after, "preload").at.margin == Near{3});
  CHECK(limit(after, "preload").at.guard == Near{0.5});
  CHECK(limit(after, "gap-least").at.margin == Near{1});
  CHECK(limit(after, "gap-most").at.margin == Near{2});
  // 5 − (3 − 5), rings above by caliper.
  CHECK(limit(after, "stem-recess").at.margin == Near{7});
  CHECK(limit(after, "stem-recess").at.guard == Near{guard({0.5, 0.1})});
}

TEST_CASE("the sum is open beyond its guard and never within it") {
  // Readings of ±0.5 each: 300 before, 229 left, the offcut; the kerf of 1 is exact. Guard 1.
  struct Row {
    double offcut;
    bool closed;
  };
  const Row rows[] = {{70, true},         {69, true},  {71, true}, {69 - hair, false},
                      {71 + hair, false}, {60, false}, {80, false}};
  for (const Row& row : rows) {
    CAPTURE(row.offcut);
    const Judgement after =
        after_of(Fork{.as_cut = "length = 229\noffcut = " + number(row.offcut) + "\n"});
    CHECK(after.made->closure->off == Near{70 - row.offcut});
    CHECK(after.made->closure->guard_mm == Near{1});
    CHECK(after.made->closure->closed == row.closed);
    CHECK(after.verdict == (row.closed ? Verdict::fit : Verdict::hold));
    CHECK(holds_for(after, HoldReason::sum_open) == !row.closed);
  }
}

TEST_CASE("the guard of the sum is the worst case where that is smaller") {
  // One reading of ±0.5: 2·0.5/√3 = 0.577, at worst 0.5.
  const Fork fork{.steerer = "length = { read = 300, within = 0 }\n",
                  .as_cut = "length = { read = 229, within = 0 }\noffcut = 69.5\n"};
  const Judgement after = after_of(fork);
  CHECK(after.made->closure->off == Near{0.5});
  CHECK(after.made->closure->guard_mm == Near{0.5});
  CHECK(after.made->closure->closed);
}

TEST_CASE("the kerf after the cut is that of the saw unless it was measured") {
  const std::string saw = "[saw]\nkerf = 1.4\n";
  CHECK(after_of(Fork{.rest = saw}).made->closure->off == Near{-0.4});
  const Judgement own = after_of(Fork{
      .rest = saw, .as_cut = "length = 229\noffcut = 70\nkerf = { read = 2, within = 0.2 }\n"});
  CHECK(own.made->closure->off == Near{-1});
  CHECK(own.made->closure->guard_mm == Near{guard({0.5, 0.5, 0.5, 0.2})});
}

TEST_CASE("an open sum says what to check and where the difference may be") {
  const Judgement loss = after_of(Fork{.as_cut = "length = 229\noffcut = 68\n"});
  REQUIRE(loss.holds.size() == 1);
  const auto& remedies = loss.holds.front().remedies;
  // What is left and the offcut, a third each; the length before is a third too, but gone.
  REQUIRE(remedies.size() == 4);
  CHECK(remedies[0].kind == RemedyKind::check_sum);
  CHECK(remedies[0].share == Near{1.0 / 3});
  CHECK(remedies[1].kind == RemedyKind::check_sum);
  CHECK(remedies[2].kind == RemedyKind::look_for_loss);
  CHECK(remedies[2].amount == Near{2});
  CHECK(remedies[3].kind == RemedyKind::gone_reading);
  const Judgement surplus = after_of(Fork{.as_cut = "length = 229\noffcut = 72\n"});
  CHECK(find(surplus.holds.front().remedies, RemedyKind::look_for_surplus)->amount == Near{2});
}

TEST_CASE("a cut beyond the figure of the maker is broken where no doubt explains it") {
  // 400 before and 350 left, each ±0.5: 50 off, guard of the difference 2·√(0.5/3) = 0.816.
  const double g = guard({0.5, 0.5});
  struct Row {
    double max_cut;
    Verdict want;
  };
  const Row rows[] = {{60, Verdict::fit},
                      {50, Verdict::fit},
                      {50 - g, Verdict::fit},
                      {50 - g - hair, Verdict::unfit},
                      {40, Verdict::unfit}};
  for (const Row& row : rows) {
    CAPTURE(row.max_cut);
    const Judgement after =
        after_of(Post{.post = "cutting = \"allowed\"\nmax_cut = " + number(row.max_cut) + "\n"});
    CHECK(after.verdict == row.want);
    const JudgedLimit& l = limit(after, "max-cut");
    CHECK(l.has == Near{50});
    CHECK(l.at.margin == Near{row.max_cut - 50});
    CHECK(l.at.guard == Near{g});
    const bool broken = row.want == Verdict::unfit;
    CHECK(l.at.status == (broken ? measure::Status::broken : measure::Status::holds));
    CHECK((find(after.remedies, RemedyKind::scrap) != nullptr) == broken);
  }
}

TEST_CASE("a part that must not be cut is unfit once it is shorter beyond doubt") {
  for (const char* closed : {"cutting = \"forbidden\"\n", "build = \"dropper\"\n"}) {
    CAPTURE(closed);
    CHECK(after_of(Post{.post = closed, .as_cut = "length = 399.5\n"}).verdict == Verdict::fit);
    const Judgement cut = after_of(Post{.post = closed, .as_cut = "length = 399\n"});
    CHECK(cut.verdict == Verdict::unfit);
    CHECK(limit(cut, "max-cut").needs == Near{0});
    CHECK(limit(cut, "max-cut").has == Near{1});
    CHECK(find(cut.remedies, RemedyKind::scrap) != nullptr);
  }
  const Judgement fork = after_of(Fork{.steerer = "length = 300\ncutting = \"forbidden\"\n"});
  CHECK(fork.verdict == Verdict::unfit);
  CHECK(find(fork.remedies, RemedyKind::scrap) != nullptr);
}

TEST_CASE("the least length is held against what is left") {
  // One reading of ±0.5: the worst case, 0.5, is smaller than 2·u.
  struct Row {
    double left;
    Verdict want;
  };
  for (const Row& row : {Row{350.5, Verdict::fit}, Row{350.5 - hair, Verdict::hold},
                         Row{349.5 + hair, Verdict::hold}, Row{349.5, Verdict::unfit}}) {
    CAPTURE(row.left);
    const Judgement after = after_of(Post{.post = "cutting = \"allowed\"\nmin_length = 350\n",
                                          .as_cut = "length = " + number(row.left) + "\n"});
    CHECK(after.verdict == row.want);
    CHECK(limit(after, "min-length").at.margin == Near{row.left - 350});
    CHECK(limit(after, "min-length").at.guard == Near{0.5});
    CHECK((find(after.remedies, RemedyKind::scrap) != nullptr) == (row.want == Verdict::unfit));
  }
}

TEST_CASE("insertion counts from what is left without the saw") {
  // 140 of extension, mark 100: margin left − 240; three readings of ±0.5, guard 1.
  struct Row {
    double left;
    Verdict want;
  };
  for (const Row& row : {Row{241, Verdict::fit}, Row{241 - hair, Verdict::hold},
                         Row{239 + hair, Verdict::hold}, Row{239, Verdict::unfit}}) {
    CAPTURE(row.left);
    const Judgement after = after_of(
        Post{.rest = "[saw]\nwithin = 3\n", .as_cut = "length = " + number(row.left) + "\n"});
    CHECK(after.verdict == row.want);
    CHECK(limit(after, "mark").at.margin == Near{row.left - 240});
    CHECK(limit(after, "mark").at.guard == Near{1});
    CHECK(limit(after, "floor").at.margin == Near{row.left - 140 - 54.4});
    CHECK(after.seatpost->insertion.height == Near{row.left - 140});
    REQUIRE(after.seatpost->new_mark.has_value());
    CHECK(after.seatpost->new_mark->from_lower_end == Near{100});
    CHECK(after.seatpost->new_mark->from_rails == Near{row.left - 100});
  }
}

TEST_CASE("an unfit post is safe from a saddle height down") {
  // 235 left: 95 inserted, 5 short of the mark; guard 1. At 134 it is 101: the guard and no more.
  const Judgement after = after_of(Post{.as_cut = "length = 235\n"});
  CHECK(after.verdict == Verdict::unfit);
  REQUIRE(after.seatpost->saddle_range_uncut.has_value());
  CHECK(*after.seatpost->saddle_range_uncut->hi == Near{134});
  // Nobody has said how long the head is: how far down the post may go is left open.
  CHECK_FALSE(after.seatpost->saddle_range_uncut->lo.has_value());
  REQUIRE(after.remedies.size() == 1);
  CHECK(after.remedies.front().kind == RemedyKind::ride_within);
  // A head of 30, known exactly, must stay above the collar: the extension alone is ±0.5.
  const Judgement headed =
      after_of(Post{.post = "cutting = \"allowed\"\nhead = { read = 30, within = 0 }\n",
                    .as_cut = "length = 235\n"});
  CHECK(*headed.seatpost->saddle_range_uncut->lo == Near{30.5});

  // At the height so found the same post is fit, a grain above it is not.
  const auto at = [](double height) {
    return after_of(Post{.saddle = "measured = \"extension\"\nheight = " + number(height) + "\n",
                         .as_cut = "length = 235\n"})
        .verdict;
  };
  CHECK(at(134) == Verdict::fit);
  CHECK(at(134 + hair) == Verdict::hold);
}

TEST_CASE("an unfit post is for another rider where the maker says so - and only there") {
  const auto ways_for = [](double kg) {
    return after_of(Post{.post = "cutting = \"allowed\"\nmax_rider = 100\n",
                         .rest = "[rider]\nmass = " + number(kg) + "\n",
                         .as_cut = "length = 235\n"})
        .remedies;
  };
  // 5 short of the mark, whoever rides it.
  CHECK(find(ways_for(100), RemedyKind::other_part) == nullptr);
  CHECK(find(ways_for(101), RemedyKind::other_part) != nullptr);
  CHECK(find(ways_for(100), RemedyKind::ride_within) != nullptr);
  // A post of the right length is not cut again for that.
  const auto heavy = after_of(Post{.post = "cutting = \"allowed\"\nmax_rider = 100\n",
                                   .rest = "[rider]\nmass = 101\n"})
                         .remedies;
  CHECK(find(heavy, RemedyKind::other_part) != nullptr);
  CHECK(find(heavy, RemedyKind::cut_again) == nullptr);
}

TEST_CASE("the safe height is measured as the job measures") {
  // To the rails: E = 560 − 420 = 140 with a tape of ±1 twice; 95 inserted against 100.
  const Judgement after = after_of(Post{.saddle = "measured = \"to rails\"\nheight = 560\n",
                                        .rest = "[frame]\nseat_tube = 420\n",
                                        .as_cut = "length = 235\n"});
  CHECK(after.verdict == Verdict::unfit);
  CHECK(*after.seatpost->saddle_range_uncut->hi == Near{560 - 5 - guard({1, 1, 0.5, 0.5})});
}

TEST_CASE("no saddle height makes a post safe that is far too short") {
  // 100 must be in the frame and the head of 30 above it: 120 of post cannot do both.
  const Judgement after =
      after_of(Post{.post = "cutting = \"allowed\"\nhead = 30\n", .as_cut = "length = 120\n"});
  CHECK(after.verdict == Verdict::unfit);
  CHECK_FALSE(after.seatpost->saddle_range_uncut.has_value());
  REQUIRE(after.remedies.size() == 1);
  CHECK(after.remedies.front().kind == RemedyKind::scrap);
}

TEST_CASE("a post that still rests on the blockage may be raised or cut again") {
  // 370 left: 230 inserted, 5 too deep for a lip at 225.
  const Judgement after =
      after_of(Post{.rest = "[[frame.blockage]]\ndepth = 225\n", .as_cut = "length = 370\n"});
  CHECK(after.verdict == Verdict::unfit);
  CHECK(limit(after, "blockage-1").at.margin == Near{-5});
  CHECK(limit(after, "blockage-1").at.guard == Near{guard({1, 0.5, 0.5})});
  // The lip asks for 5 and its guard, the air above it for 7 as marked.
  CHECK(*after.seatpost->saddle_range_uncut->lo == Near{147});
  CHECK(find(after.remedies, RemedyKind::ride_within) != nullptr);
  CHECK(find(after.remedies, RemedyKind::cut_again) != nullptr);
  CHECK(find(after.remedies, RemedyKind::scrap) == nullptr);
}

TEST_CASE("a depth by mock-up keeps the length that the post had") {
  // 400 − 175 = 225 deep; 350 left, 210 inserted. P, X, R and E are four readings of ±0.5.
  const std::string mock_up = "[mock_up]\nexposed_bottomed = 175\n";
  const Judgement alone = after_of(Post{.rest = mock_up});
  CHECK(limit(alone, "blockage-1").at.margin == Near{15});
  CHECK(limit(alone, "blockage-1").at.guard == Near{guard({0.5, 0.5, 0.5, 0.5})});

  // Chosen once: uncut the mock-up has u² (0.25 + 0.25)/3 against (0.49 + 0.5)/3 of this probe;
  // after the cut it would be 1/3 against 0.99/3, and is kept.
  const Plan both = plan_of(text_of(
      Post{.rest = "[[frame.blockage]]\ndepth = { read = 225.2, within = 0.7 }\n" + mock_up}));
  CHECK(both.before.seatpost->by_mock_up == 1U);
  CHECK(limit(*both.after, "blockage-1").at.margin == Near{15});
  CHECK(limit(*both.after, "blockage-1").at.guard == Near{guard({0.5, 0.5, 0.5, 0.5})});
}

TEST_CASE("the routes to the gap after the cut") {
  const std::string mock_up = "[mock_up]\nstands_proud = 68\n";
  SUBCASE("the parts, the mock-up less what came off, the reading") {
    // u² times 3: parts 0.5² + 0.5² + 4·0.1² = 0.54; mock-up 3·0.25 = 0.75; reading 0.25.
    const Judgement two = after_of(Fork{.rest = mock_up});
    CHECK(two.steerer->gap_by == GapRoute::parts);
    CHECK(*two.steerer->gap == Near{3});
    CHECK(limit(two, "preload").at.guard == Near{guard({0.5, 0.5, 0.1, 0.1, 0.1, 0.1})});
    const Judgement three = after_of(
        Fork{.rest = mock_up, .as_cut = "length = 229\ngap = { read = 3.2, within = 0.7 }\n"});
    CHECK(three.steerer->gap_by == GapRoute::measured);
    CHECK(*three.steerer->gap == Near{3.2});
  }
  SUBCASE("the mock-up where there are no parts") {
    const Judgement after = after_of(Fork{.parts = "", .rest = mock_up});
    CHECK(after.steerer->gap_by == GapRoute::mock_up);
    CHECK(*after.steerer->gap == Near{3});  // −68 + 300 − 229
    CHECK(limit(after, "preload").at.guard == Near{1});
    CHECK(after.verdict == Verdict::fit);
  }
  SUBCASE("on a tie the first named") {
    // All parts exact, the steerer ±0.5 and the gap ±0.5.
    const std::string exact =
        "[frame]\nhead_tube = { read = 150, within = 0 }\n[headset]\n"
        "lower = { read = 0, within = 0 }\nupper = { read = 12, within = 0 }\n";
    const std::string tie = planned::replaced(
        planned::replaced(
            planned::replaced(text_of(Fork{.parts = exact, .as_cut = "length = 229\ngap = 3.3\n"}),
                              "clamp = 40", "clamp = { read = 40, within = 0 }"),
            "below = 25", "below = { read = 25, within = 0 }"),
        "above = 5", "above = { read = 5, within = 0 }");
    const Plan plan = plan_of(tie);
    CHECK(plan.after->steerer->gap_by == GapRoute::parts);
    CHECK(*plan.after->steerer->gap == Near{3});
  }
}

TEST_CASE("routes that differ by more than k u are a hold and by less never") {
  // Reading against parts: 2·√((0.25 + 0.54)/3) = 1.0263.
  const double allowed = 2 * std::sqrt((0.25 + 0.54) / 3);
  const auto with_gap = [](double gap) {
    return after_of(Fork{.as_cut = "length = 229\n" + gap_of(gap)});
  };
  CHECK(with_gap(3 + allowed).verdict == Verdict::fit);
  CHECK(with_gap(3 - allowed + hair).verdict == Verdict::hold);  // 1.97, below 2 of practice
  CHECK_FALSE(holds_for(with_gap(3 - allowed + hair), HoldReason::gap_against_parts));
  const Judgement apart = with_gap(3 + allowed + hair);
  CHECK(apart.verdict == Verdict::hold);
  CHECK(holds_for(apart, HoldReason::gap_against_parts));

  // Reading against mock-up: four readings of ±0.5, allowed 2·√(1/3) = 1.1547.
  const auto by_mock_up = [](double gap) {
    return after_of(Fork{.parts = "",
                         .rest = "[mock_up]\nstands_proud = 68\n",
                         .as_cut = "length = 229\n" + gap_of(gap)});
  };
  CHECK(by_mock_up(3 + 2 / std::sqrt(3.0)).verdict == Verdict::fit);
  const Judgement off = by_mock_up(3 + 2 / std::sqrt(3.0) + hair);
  CHECK(off.verdict == Verdict::hold);
  CHECK(holds_for(off, HoldReason::gap_against_mock_up));

  // Parts against mock-up: what is left cancels, 0.54 + 0.25 of tube, parts, steerer and reading.
  const auto proud = [](double mm) {
    return after_of(Fork{.rest = "[mock_up]\nstands_proud = " + number(mm) + "\n"});
  };
  CHECK(proud(68 + allowed).verdict == Verdict::fit);
  CHECK(holds_for(proud(68 + allowed + hair), HoldReason::routes_disagree));
}

TEST_CASE("the gap may stand alone and without any route it is asked for") {
  const std::string mock_up = "[mock_up]\nstands_proud = 68\n";
  const Judgement alone =
      after_of(Fork{.steerer = "", .parts = "", .rest = mock_up, .as_cut = gap_of(3)});
  CHECK(alone.verdict == Verdict::fit);
  CHECK_FALSE(alone.remaining.has_value());
  CHECK_FALSE(alone.made->cut.has_value());
  CHECK_FALSE(alone.made->closure.has_value());

  // A mock-up tells nothing where the length before is not known.
  const Judgement none =
      after_of(Fork{.steerer = "", .parts = "", .rest = mock_up, .as_cut = "length = 229\n"});
  CHECK(none.verdict == Verdict::hold);
  REQUIRE(holds_for(none, HoldReason::measured_gap_unknown));
  CHECK(none.holds.front().remedies.front().kind == RemedyKind::measure_gap_again);
  CHECK(find(none, "preload") == nullptr);
  CHECK_FALSE(none.steerer->gap.has_value());
}

TEST_CASE("what the maker limits must be known") {
  const std::string mock_up = "[mock_up]\nstands_proud = 68\n";
  struct Row {
    std::string_view what;
    Fork fork;
    std::vector<RemedyKind> want;
  };
  const Row rows[] = {
      {"max_cut, both lengths missing",
       {.steerer = "max_cut = 80\n", .parts = "", .rest = mock_up, .as_cut = gap_of(3)},
       {RemedyKind::measure_what_is_left, RemedyKind::recall_length}},
      {"max_cut, the length before missing",
       {.steerer = "max_cut = 80\n",
        .parts = "",
        .rest = mock_up,
        .as_cut = "length = 229\ngap = 3\n"},
       {RemedyKind::recall_length}},
      {"closed, what is left missing",
       {.steerer = "length = 300\ncutting = \"forbidden\"\n", .as_cut = gap_of(3)},
       {RemedyKind::measure_what_is_left}},
      {"least length, what is left missing",
       {.steerer = "length = 300\nmin_length = 200\n", .as_cut = gap_of(3)},
       {RemedyKind::measure_what_is_left}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Judgement after = after_of(row.fork);
    CHECK(after.verdict == Verdict::hold);
    REQUIRE(after.holds.size() == 1);
    CHECK(after.holds.front().reason == HoldReason::lengths_unknown);
    std::vector<RemedyKind> got;
    for (const auto& remedy : after.holds.front().remedies) {
      got.push_back(remedy.kind);
    }
    CHECK(got == row.want);
  }
  // The least length alone asks for nothing about the cut.
  const Judgement known = after_of(Fork{.steerer = "length = 300\nmin_length = 200\n"});
  CHECK(known.verdict == Verdict::fit);
}

TEST_CASE("hard limits of the gap and rules of thumb") {
  struct Row {
    double gap;
    Verdict want;
    std::string_view limit;
  };
  // By the reading alone: preload doubts ±0.5; 2 to 5 of gap are common practice, as marked.
  const Row rows[] = {
      {2, Verdict::fit, ""},
      {5, Verdict::fit, ""},
      {2 - hair, Verdict::hold, "gap-least"},
      {5 + hair, Verdict::hold, "gap-most"},
      {-0.5 + hair, Verdict::hold, "preload"},
      {-0.5, Verdict::unfit, "preload"},
      // The published 5 mm below the top of the stem, rings of 5 above it by caliper.
      {10 + guard({0.5, 0.1}), Verdict::unfit, "stem-recess"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.gap);
    const Judgement after = after_of(Fork{.steerer = "",
                                          .parts = "",
                                          .rest = "[mock_up]\nstands_proud = 68\n",
                                          .as_cut = gap_of(row.gap)});
    CHECK(after.verdict == row.want);
    if (!row.limit.empty()) {
      CHECK(limit(after, row.limit).at.status != measure::Status::holds);
    }
  }
}

TEST_CASE("a steerer that stands proud may be cut again or get a ring") {
  const Judgement after = after_of(Fork{
      .steerer = "", .parts = "", .rest = "[mock_up]\nstands_proud = 68\n", .as_cut = gap_of(-4)});
  CHECK(after.verdict == Verdict::unfit);
  const auto* const ring = find(after.remedies, RemedyKind::ring_above);
  REQUIRE(ring != nullptr);
  CHECK(ring->amount == Near{6});  // up to the 2 of common practice, not just to 0 and its doubt
  CHECK(ring->most == Near{9});    // and no more than leaves 5
  CHECK(find(after.remedies, RemedyKind::cut_again) != nullptr);
  // Shorter, it would carry no heavier a rider.
  const Judgement heavy = after_of(Fork{.steerer = "length = 300\nmax_rider = 100\n",
                                        .rest = "[rider]\nmass = 120\n",
                                        .as_cut = gap_of(3)});
  REQUIRE(heavy.verdict == Verdict::unfit);
  CHECK(find(heavy.remedies, RemedyKind::other_part) != nullptr);
  CHECK(find(heavy.remedies, RemedyKind::cut_again) == nullptr);
}

TEST_CASE("a steerer cut too short is told what mends all that is missed at once") {
  // 221 left: a gap of 11, where 5 are common practice; 6 below the top of the stem, where 5 are
  // published, by readings with a guard of 2·√((0.25 + 0.25 + 3·0.01)/3).
  const Judgement after = after_of(Fork{.as_cut = "length = 221\n"});
  CHECK(after.verdict == Verdict::unfit);
  CHECK(limit(after, "gap-most").at.margin == Near{-6});
  CHECK(limit(after, "stem-recess").at.margin == Near{-1});
  REQUIRE(after.remedies.size() == 2);
  CHECK(after.remedies[0].kind == RemedyKind::rings_out);
  CHECK(after.remedies[0].amount == Near{6});
  CHECK(after.remedies[1].kind == RemedyKind::lower_parts);
  CHECK(after.remedies[1].amount == Near{6});
  // 11 − 9 leaves the 2 that the bearings are set with.
  CHECK(after.remedies[0].most == Near{9});
  CHECK(after.remedies[1].most == Near{9});
}

TEST_CASE("a limit in doubt names the readings that can still be taken and what settles it") {
  // Insertion 100.5 against 100, guard 1: three readings of ±0.5, a third each. With two of them at
  // their best, ±0.1, more than half a millimetre of doubt is left: the third cannot be taken
  // again.
  const Judgement after = after_of(Post{.as_cut = "length = 240.5\n"});
  REQUIRE(after.holds.size() == 1);
  const auto& remedies = after.holds.front().remedies;
  CHECK(remedies[0].kind == RemedyKind::no_measuring);
  CHECK(remedies[0].guard_now == Near{1});
  CHECK(remedies[0].guard_then == Near{guard({0.5, 0.1, 0.1})});
  CHECK(find(remedies, RemedyKind::measure_again) == nullptr);
  CHECK(find(remedies, RemedyKind::gone_reading) != nullptr);  // the mark, from the old lower end
  CHECK(find(remedies, RemedyKind::lower_saddle)->amount == Near{0.5});

  // 0.7 of margin: the two that can be taken again settle it together, within w each:
  // 2·√((0.25 + 2w²)/3) = 0.7. Alone, neither does: without it 2·√(0.5/3) = 0.82 is left.
  const Judgement more = after_of(Post{.as_cut = "length = 240.7\n"});
  const auto& both = more.holds.front().remedies;
  REQUIRE(both[0].kind == RemedyKind::measure_all);
  CHECK(both[0].settles_within == Near{std::sqrt((3 * 0.35 * 0.35 - 0.25) / 2), 1e-3});
  CHECK(both[1].kind == RemedyKind::measure_again);
  CHECK(both[1].guard_then == Near{guard({0.5, 0.5})});
  CHECK(both[2].kind == RemedyKind::measure_again);
  CHECK(find(both, RemedyKind::gone_reading) != nullptr);
}

TEST_CASE("a gap in doubt is best measured") {
  // Parts: 232 − 231.5 = 0.5, guard 2·√(0.54/3) = 0.849; a reading of ±0.5 would have 0.5.
  const Judgement after =
      after_of(Fork{.rest = "[cap]\ngap_min = 0\n", .as_cut = "length = 231.5\n"});
  CHECK(after.verdict == Verdict::hold);
  const auto& remedies = after.holds.front().remedies;
  REQUIRE(remedies.front().kind == RemedyKind::measure_gap_again);
  CHECK(remedies.front().guard_now == Near{guard({0.5, 0.5, 0.1, 0.1, 0.1, 0.1})});
  CHECK(remedies.front().guard_then == Near{0.5});
  CHECK(remedies.front().settles);
}

TEST_CASE("a gap that was measured is not measured in order to know it") {
  // 0.5 to spare, and the gap itself is known to ±1.5.
  const Judgement after = after_of(Fork{.steerer = "",
                                        .parts = "",
                                        .rest = "[cap]\ngap_min = 0\n",
                                        .as_cut = "gap = { read = 0.5, within = 1.5 }\n"});
  REQUIRE(after.verdict == Verdict::hold);
  CHECK(find(after.holds.front().remedies, RemedyKind::measure_gap_again) == nullptr);
}

// Spacers and clamp of 70 do not go on a steerer of 60 with a gap of 3, nor with 4 by mock-up.
TEST_CASE("a steerer too short for its own stack and the reading that says so") {
  const auto held_by = [](const Fork& fork) {
    const Judgement after = after_of(fork);
    REQUIRE(holds_for(after, HoldReason::no_room_for_stack));
    const auto hold =
        std::ranges::find(after.holds, HoldReason::no_room_for_stack, &plan::Hold::reason);
    return planned::job_of(text_of(fork)).readings.at(hold->reading.value()).key;
  };
  CHECK(held_by(Fork{.parts = "", .as_cut = "length = 60\ngap = 3\n"}) == "as_cut.gap");
  CHECK(held_by(Fork{
            .parts = "", .rest = "[mock_up]\nstands_proud = 236\n", .as_cut = "length = 60\n"}) ==
        "mock_up.stands_proud");
  // By the parts headset and head tube count too, and the gap is what is left.
  CHECK_FALSE(
      holds_for(after_of(Fork{.as_cut = "length = 60\ngap = 3\n"}), HoldReason::no_room_for_stack));
}

TEST_CASE("readings after the cut count after it only") {
  // The two readings of what is left contradict each other.
  const Plan plan = plan_of(text_of(Fork{.as_cut = "length = [229, 231]\noffcut = [70, 72]\n"}));
  CHECK(plan.before.verdict == plan::Verdict::cut);
  CHECK(plan.before.holds.empty());
  CHECK(plan.after->verdict == Verdict::hold);
  CHECK(holds_for(*plan.after, HoldReason::readings_disagree));
  // And those before the cut count after it too.
  const Judgement before = after_of(Fork{.steerer = "length = [300, 303]\n"});
  CHECK(before.verdict == Verdict::hold);
  const auto& hold = before.holds.back();
  CHECK(hold.reason == HoldReason::readings_disagree);
  CHECK(hold.remedies.front().kind == RemedyKind::gone_reading);
}

TEST_CASE("a shop that measures twice wants two readings of what counts after the cut") {
  const std::string twice = "[measuring]\ntwice = true\n";
  const auto post = [&](const char* as_cut, const char* max_cut = "") {
    return Post{.saddle = "measured = \"extension\"\nheight = [140, 140]\n",
                .post = std::string("cutting = \"allowed\"\n") + max_cut,
                .mark = "[100, 100]",
                .rest = twice,
                .as_cut = as_cut};
  };
  // The length before has no share in a limit as it stands; the offcut has none in any.
  CHECK(after_of(post("length = [350, 350]\noffcut = 49\n")).verdict == Verdict::fit);
  const Plan once = plan_of(text_of(post("length = 350\n")));
  CHECK(once.after->verdict == Verdict::hold);
  REQUIRE(once.after->holds.size() == 1);
  CHECK(once.after->holds.front().reason == HoldReason::second_reading_missing);
  // With a maker's limit on the cut it has.
  const Judgement limited = after_of(post("length = [350, 350]\n", "max_cut = 80\n"));
  CHECK(limited.verdict == Verdict::hold);
  CHECK(limited.holds.front().reason == HoldReason::second_reading_missing);
  CHECK(limited.holds.front().remedies.front().kind == RemedyKind::gone_reading);
}

// Cut by 50 of 400, 210 in the frame. By rule ±0.5 each.
TEST_CASE("after the cut the limit nearest to being broken governs") {
  const auto governing = [](const Post& post) {
    std::vector<std::string> ids;
    const Judgement after = after_of(post);
    for (const JudgedLimit& one : after.limits) {
      if (one.governs) {
        ids.push_back(one.id());
      }
    }
    return ids;
  };
  using Ids = std::vector<std::string>;
  const std::string allowed = "cutting = \"allowed\"\n";
  // The mark has 110 to spare, the floor of 54.4 has 155.6.
  CHECK(governing({}) == Ids{"mark"});
  // The maker's limit on the cut has 0.2 and the doubt of two lengths, 0.8165, on top.
  CHECK(governing({.post = allowed + "max_cut = 50.2\n"}) == Ids{"max-cut"});
  // The mark then has 1.1 less the doubt of three, 1.0.
  CHECK(governing({.post = allowed + "max_cut = 50.2\n", .mark = "208.9"}) == Ids{"mark"});
  // What a longer cut would help governs beside it, while it does not hold: lips at 205 and at 200
  // want 2 of air.
  CHECK(governing({.rest = "[[frame.blockage]]\ndepth = 205\n[[frame.blockage]]\ndepth = 200\n"})
            .size() == 2);
  CHECK(governing({.rest = "[[frame.blockage]]\ndepth = 230\n"}) == Ids{"mark"});
}

TEST_CASE("an exact sum that is open says which way and how far") {
  const auto exactly = [](double offcut) {
    return after_of(
        Post{.length = "{ read = 400, within = 0 }",
             .as_cut = "length = { read = 350, within = 0 }\noffcut = { read = " + number(offcut) +
                       ", within = 0 }\nkerf = { read = 1, within = 0 }\n"});
  };
  CHECK(exactly(49).verdict == Verdict::fit);
  const Judgement loss = exactly(48.5);
  REQUIRE(holds_for(loss, HoldReason::sum_open));
  CHECK(loss.holds.front().apart == Near{0.5});
  CHECK(
      *find(loss.holds.front().remedies, RemedyKind::look_for_loss) ==
      plan::Remedy{RemedyKind::look_for_loss, std::nullopt, 0.0, loss.made->closure->off.in_mm()});
  const Judgement surplus = exactly(49.5);
  CHECK(find(surplus.holds.front().remedies, RemedyKind::look_for_loss) == nullptr);
  REQUIRE(find(surplus.holds.front().remedies, RemedyKind::look_for_surplus) != nullptr);
  CHECK(find(surplus.holds.front().remedies, RemedyKind::look_for_surplus)->amount == Near{0.5});
}

TEST_CASE("sawing on is offered only for what it helps") {
  // 211.9 of a lip want 2 of air and have 1.9: a longer cut gives it more.
  const Judgement lip = after_of(Post{.rest = "[[frame.blockage]]\ndepth = 211.9\n"});
  REQUIRE(lip.verdict == Verdict::hold);
  REQUIRE(find(lip.holds.front().remedies, RemedyKind::cut_again) != nullptr);
  CHECK(*find(lip.holds.front().remedies, RemedyKind::cut_again) ==
        plan::Remedy{RemedyKind::cut_again, std::nullopt, 0.0, 0.0});
  // A mark at 209.5 of 210 is in doubt, and a longer cut takes from it.
  const Judgement mark = after_of(Post{.mark = "209.5"});
  REQUIRE(mark.verdict == Verdict::hold);
  for (const auto& hold : mark.holds) {
    CHECK(find(hold.remedies, RemedyKind::cut_again) == nullptr);
  }
}

TEST_CASE("no saw makes a part longer") {
  const double g = guard({0.5, 0.5});
  CHECK(after_of(Post{.as_cut = "length = " + number(400 + g) + "\n"}).verdict == Verdict::fit);
  const Judgement grown = after_of(Post{.as_cut = "length = " + number(400 + g + hair) + "\n"});
  CHECK(grown.verdict == Verdict::hold);
  REQUIRE(holds_for(grown, HoldReason::longer_than_before));
  CHECK(grown.holds.front().apart == Near{g + hair});
  CHECK(grown.holds.front().allowed == Near{g});
  // A sum that closes is never a hold.
  const Judgement sum = after_of(Post{.as_cut = "length = 400.9\noffcut = 0\nkerf = 0\n"});
  CHECK(sum.made->closure->closed);
  CHECK(sum.verdict == Verdict::fit);
}

TEST_CASE("an unknown mark is unknown after the cut too") {
  const Judgement after = after_of(Post{.mark = "\"unknown\""});
  CHECK(after.verdict == Verdict::hold);
  REQUIRE(holds_for(after, HoldReason::mark_unknown));
  CHECK(after.holds.front().remedies.front().kind == RemedyKind::find_mark_and_add);
  // The maker's own figure takes its place.
  CHECK(after_of(Post{.post = "cutting = \"allowed\"\nmin_insertion = 90\n", .mark = "\"unknown\""})
            .verdict == Verdict::fit);
}

TEST_CASE("the printed mark stays true while nothing was cut") {
  CHECK_FALSE(after_of(Post{.as_cut = "length = 399.5\n"}).seatpost->new_mark.has_value());
  CHECK(after_of(Post{.as_cut = "length = 399\n"}).seatpost->new_mark.has_value());
}

TEST_CASE("the figures do not answer what the maker was not asked") {
  const Plan plan = plan_of(text_of(Post{.post = "cutting = \"not stated\"\n",
                                         .material = "carbon",
                                         .rest = "[[frame.blockage]]\ndepth = 225\n"}));
  CHECK(plan.before.verdict == plan::Verdict::hold);
  CHECK(planned::holds_for(plan, HoldReason::maker_not_asked));
  CHECK(plan.after->verdict == Verdict::fit);
}

TEST_CASE("after the cut the plan before it stays as it was") {
  for (const std::string& text :
       {text_of(Fork{}), text_of(Post{.rest = "[[frame.blockage]]\ndepth = 225\n"})}) {
    Plan with = plan_of(text);
    with.after.reset();
    CHECK(with == plan_of(text.substr(0, text.find("[as_cut]"))));
  }
}

TEST_CASE("what a cut leaves as it was is the same after it") {
  const Plan fork = plan_of(text_of(Fork{}));
  CHECK(fork.after->at == plan::Length{});
  CHECK_FALSE(fork.after->wanted);
  CHECK(*fork.after->remaining == Near{229});
  CHECK(fork.after->steerer->target == fork.before.steerer->target);
  CHECK(*fork.after->steerer->gap_uncut == Near{3});  // measured, with no cut to come
  const Plan post = plan_of(text_of(Post{.rest = "[[frame.blockage]]\ndepth = 225\n"}));
  CHECK(post.after->seatpost->extension == post.before.seatpost->extension);
  CHECK(post.after->seatpost->insertion_uncut == post.after->seatpost->insertion);
  CHECK(post.now() == *post.after);
}
