#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "planned.hpp"

// What is advised, each figure by hand. A rule of thumb has no doubt, so that amounts come out
// whole.
using namespace kerfmark;
using plan::Plan;
using plan::Remedy;
using plan::RemedyKind;
using plan::Verdict;
using planned::Near;
using planned::plan_of;

namespace {

struct Steerer {
  double length = 0.0;
  std::string below = "[]", above = "[]";
  std::string of_steerer = {}, of_stem = {}, more = {};
};

// Headset and head tube, stem: 185 mm, and the spacers on top of that.
Plan plan_of_steerer(const Steerer& s, double cover = 15) {
  return plan_of("kind = \"steerer\"\n[steerer]\nlength = " + planned::number(s.length) +
                 "\nmaterial = \"aluminium\"\n" + s.of_steerer +
                 "[frame]\nhead_tube = 120\n[headset]\nlower = 10\nupper = " +
                 planned::number(cover) + "\n[stem]\nclamp = 40\n" + s.of_stem +
                 "[spacers]\nbelow = " + s.below + "\nabove = " + s.above + "\n" + s.more);
}

std::vector<Remedy> advice(const Plan& plan) {
  std::vector<Remedy> all = plan.before.remedies;
  for (const plan::Hold& hold : plan.before.holds) {
    all.insert(all.end(), hold.remedies.begin(), hold.remedies.end());
  }
  return all;
}

std::optional<Remedy> find(const Plan& plan, RemedyKind kind) {
  const auto all = advice(plan);
  const auto way = std::ranges::find(all, kind, &Remedy::kind);
  return way == all.end() ? std::nullopt : std::optional(*way);
}

bool has(const Plan& plan, RemedyKind kind) { return find(plan, kind).has_value(); }

Plan plan_of_post(double height, std::string_view heights, double length, double mark,
                  std::string_view more) {
  return plan_of("kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = " +
                 planned::number(height) + "\n" + std::string(heights) + "[post]\nlength = " +
                 planned::number(length) + "\ndiameter = 27.2\nmark = " + planned::number(mark) +
                 "\nmaterial = \"aluminium\"\n" + std::string(more));
}

}  // namespace

TEST_CASE("another fork is advised where nothing brings the stack down to the steerer") {
  // A gap of 16, 5 at most (stem-recess): 11 and the doubt have to go, and no cover is 11 lower.
  // The doubt of the recess is that of five readings, ±0.5 twice (steel rule) and ±0.1 thrice.
  const Plan plan = plan_of_steerer({.length = 169});
  REQUIRE(plan.before.verdict == Verdict::reject);
  const auto fork = find(plan, RemedyKind::longer_steerer);
  REQUIRE(fork.has_value());
  CHECK(fork->amount == Near{11 + planned::guard({0.5, 0.5, 0.1, 0.1, 0.1})});
  // A gap of 17 with 13 above the stem, which its maker asks for: 12 have to go, by rule of thumb.
  const Plan thumb = plan_of_steerer({.length = 181, .above = "[13]", .more = "min_above = 13\n"});
  CHECK(find(thumb, RemedyKind::longer_steerer).value().amount == Near{12});
  // Of 11 the cover makes the 6 and the doubt that have to go: there is no need of another fork.
  const Plan lower = plan_of_steerer({.length = 174});
  CHECK(has(lower, RemedyKind::lower_parts));
  CHECK_FALSE(has(lower, RemedyKind::longer_steerer));
}

TEST_CASE("no headset cover comes down by more than there is of it") {
  // 6 and a doubt of 0.84 have to go, in tenths.
  const auto lower = find(plan_of_steerer({.length = 174}, 15), RemedyKind::lower_parts);
  REQUIRE(lower.has_value());
  CHECK(lower->amount == Near{6.9});
  CHECK_FALSE(has(plan_of_steerer({.length = 165}, 6), RemedyKind::lower_parts));
  CHECK(has(plan_of_steerer({.length = 165}, 6), RemedyKind::longer_steerer));
  // A gap of 2 is left (rule of thumb) by a cover 9.9 lower, and not by one that is 10 lower; where
  // 10 will do too, nothing on this bicycle ends it.
  CHECK(find(plan_of_steerer({.length = 173.05}), RemedyKind::lower_parts).value().most ==
        Near{9.9});
  CHECK(find(plan_of_steerer({.length = 172.5}), RemedyKind::lower_parts).value().most == Near{0});
}

TEST_CASE("a cut that was asked for and breaks a limit asks for no other fork") {
  // It stands 15 proud: 22 off leave a gap of 7, and 17 to 20 off the 2 to 5 that will do.
  const Plan plan =
      plan_of_steerer({.length = 200, .above = "[0.5]", .more = "[saw]\nwanted = 22\n"});
  REQUIRE(plan.before.verdict == Verdict::reject);
  CHECK(has(plan, RemedyKind::another_cut));
  CHECK_FALSE(has(plan, RemedyKind::longer_steerer));
  CHECK_FALSE(has(plan, RemedyKind::respect_maker));
  // 3 below the top of the stack it fits as it is.
  const Plan fits = plan_of_steerer({.length = 182, .more = "[saw]\nwanted = 22\n"});
  CHECK(fits.before.verdict == Verdict::reject);
  CHECK(has(fits, RemedyKind::no_cut));
  CHECK_FALSE(has(fits, RemedyKind::another_cut));
  // A rule of thumb alone: 13 of the gap of 17 are spacers above the stem, and 30 off are too many.
  const Plan thumb = plan_of_steerer(
      {.length = 211, .above = "[13]", .more = "min_above = 13\n[saw]\nwanted = 30\n"});
  REQUIRE(thumb.before.verdict == Verdict::hold);
  CHECK(thumb.before.holds.front().at_the_cut);
  CHECK(has(thumb, RemedyKind::another_cut));
  CHECK_FALSE(has(thumb, RemedyKind::longer_steerer));
  // Too many spacers below no cut mends.
  const Plan below = plan_of_steerer(
      {.length = 230, .below = "[20]", .more = "max_below = 10\n[saw]\nwanted = 28\n"});
  CHECK(below.before.verdict == Verdict::reject);
  CHECK_FALSE(has(below, RemedyKind::another_cut));
  CHECK_FALSE(has(below, RemedyKind::no_cut));
  CHECK_FALSE(advice(below).empty());
}

TEST_CASE("what makes room between two limits of a steerer that exclude each other") {
  // A gap of 3 at least, and 1 at most in the recess of the stem: with rings above it there is more
  // below the cap than below the top of the stem.
  const Plan recess = plan_of_steerer({.length = 194,
                                       .below = "[10]",
                                       .of_stem = "recess_max = 1\n",
                                       .more = "[cap]\ngap_min = 3\n"});
  REQUIRE(recess.before.conflict.has_value());
  CHECK(has(recess, RemedyKind::move_above));
  CHECK_FALSE(has(recess, RemedyKind::ring_below));
  CHECK_FALSE(has(recess, RemedyKind::respect_maker));

  // 110 proud, and the maker wants 200 left, which leaves 100 to cut: rings, below or above.
  const Plan maker =
      plan_of_steerer({.length = 300, .above = "[5]", .of_steerer = "min_length = 200\n"});
  REQUIRE(maker.before.conflict.has_value());
  CHECK(has(maker, RemedyKind::ring_above));
  CHECK(has(maker, RemedyKind::ring_below));
  CHECK_FALSE(has(maker, RemedyKind::respect_maker));
  // Nothing on the bicycle ends it.
  CHECK(find(maker, RemedyKind::ring_above).value().most == Near{0});
  CHECK(find(maker, RemedyKind::ring_below).value().most == Near{0});

  // An expander holds from 4 to 52 below the top of the steerer, the clamp is 40, and a gap of 1 to
  // 4: rings above the stem between 5 and 15, less the doubts.
  const Plan expander = plan_of_steerer(
      {.length = 250, .more = "[cap]\ngap_max = 4\n[expander]\nto = 52\nfrom = 4\nflange = 1\n"});
  REQUIRE(expander.before.conflict.has_value());
  const auto above = find(expander, RemedyKind::ring_above);
  REQUIRE(above.has_value());
  CHECK(above->amount > 5);
  CHECK(above->most < 15);
  for (const double rings : {above->amount, above->most}) {
    CHECK(is_yes(plan_of_steerer({.length = 250,
                                  .above = "[" + planned::number(rings) + "]",
                                  .more = "[cap]\ngap_max = 4\n[expander]\nto = 52\nfrom = 4\n"
                                          "flange = 1\n"})
                     .before.verdict));
  }

  // A gap of 3 at least and 3.5 at most, both the maker's, and a doubt of 0.8: no ring helps both.
  const Plan cap = plan_of_steerer({.length = 250, .more = "[cap]\ngap_min = 3\ngap_max = 3.5\n"});
  REQUIRE_FALSE(is_yes(cap.before.verdict));
  CHECK(has(cap, RemedyKind::respect_maker));
  CHECK_FALSE(has(cap, RemedyKind::ring_above));
}

TEST_CASE("one figure settles all limits that the same thing mends") {
  // A gap of 25, 2 to 5 will do, and 35 of spacers where the maker allows 20: 20 to 23 out settle
  // both, but not the rider's weight, which is over the limit too.
  const std::string too_many = "max_below = 20\n";
  const Plan both = plan_of_steerer({.length = 200,
                                     .below = "[20, 15]",
                                     .above = "[5]",
                                     .of_steerer = "max_rider = 100\n",
                                     .more = too_many + "[rider]\nmass = 120\n"});
  REQUIRE(both.before.verdict == Verdict::reject);
  CHECK(has(both, RemedyKind::other_part));
  const auto out = find(both, RemedyKind::rings_out);
  REQUIRE(out.has_value());
  CHECK(out->amount == Near{20});
  CHECK(out->most == Near{23});
  // A gap of 45 no spacer settles; that there are too many below can be mended all the same.
  const Plan one =
      plan_of_steerer({.length = 180, .below = "[20, 15]", .above = "[5]", .more = too_many});
  REQUIRE(one.before.verdict == Verdict::reject);
  CHECK(find(one, RemedyKind::rings_out).value().amount == Near{15});
  // 3 too many below, and a gap of 10, where 5 will do: a rule of thumb, which 3 would leave
  // broken.
  const Plan more = plan_of_steerer({.length = 218,
                                     .below = "35",
                                     .above = "[8]",
                                     .of_steerer = "max_rider = 100\n",
                                     .more = "max_below = 32\n[rider]\nmass = 120\n"});
  CHECK(find(more, RemedyKind::rings_out).value().amount == Near{5});
}

TEST_CASE("spacers are named from the place they come from") {
  // A gap of 16, 11 to 14 of them above the stem.
  const auto fewer = find(plan_of_steerer({.length = 200, .below = "10", .above = "[10, 8, 3]"}),
                          RemedyKind::fewer_above);
  REQUIRE(fewer.has_value());
  CHECK(fewer->take_out ==
        std::vector<plan::Length>{measure::millimetres(10), measure::millimetres(3)});
  // 4.2 to 16 of the 20 are to stand above the stem: one that lies beside cannot make two of one.
  const auto moved = [](std::string_view below, std::string_view on_hand) {
    return find(plan_of_steerer(
                    {.length = 204,
                     .below = std::string(below),
                     .of_stem = "recess_max = 1\n",
                     .more = "max_above = 16\n" + std::string(on_hand) + "[cap]\ngap_min = 3\n"}),
                RemedyKind::move_above);
  };
  CHECK(moved("20", "").value().amount == Near{4.2});
  CHECK_FALSE(moved("[20]", "on_hand = [5]\n").has_value());
  CHECK(moved("[15, 4]", "").value().take_out == std::vector{measure::millimetres(15)});
}

TEST_CASE("no move is advised beyond what there is of it") {
  // An expander that holds down to 10 below the top, and a clamp that ends some 118 below it, with
  // 80 of spacers on it: no expander is 108 longer than another.
  const auto expander = [](std::string rings) {
    return has(plan_of_steerer({.length = 300,
                                .above = std::move(rings),
                                .more = "[expander]\nto = 10\nfrom = 4\nflange = 1\n"}),
               RemedyKind::longer_expander);
  };
  CHECK(expander("[40]"));
  CHECK_FALSE(expander("[40, 40]"));
  // A carbon steerer that ends 3 deep in the stem, where its maker may allow the published 5.
  const Plan recess = plan_of(
      "kind = 'steerer'\n[steerer]\nlength = 182\nmaterial = 'carbon'\ndiameter = 28.6\n[frame]\n"
      "head_tube = 120\n[headset]\nlower = 10\nupper = 15\n[stem]\nclamp = 40\n[spacers]\n"
      "below = []\n");
  const Remedy approved = find(recess, RemedyKind::approved_recess).value();
  const double missing = 3 + planned::guard({0.5, 0.5, 0.1, 0.1});
  CHECK(approved.amount >= missing);
  CHECK(approved.amount < missing + 0.1);
  CHECK(approved.most == Near{0});
  // Two controls of 80 in all, on 60 of bar.
  const Plan bar = plan_of(
      "kind = 'handlebar'\n[handlebar]\nwidth = 780\nwanted = 740\nwidest = 780\nstraight = 60\n"
      "material = 'aluminium'\ncutting = 'allowed'\n[[controls]]\nwidth = 50\n[[controls]]\n"
      "width = 30\n");
  CHECK(find(bar, RemedyKind::narrower_controls).value().most == Near{80});
}

TEST_CASE("a saddle comes down as far as anybody lowers one") {
  // 100 are in, 120 have to be, with a doubt of ±0.5 and ±0.5 and ±0.5 (length, mark, height).
  const Plan plan = plan_of_post(220, "", 320, 120, "");
  REQUIRE(plan.before.verdict == Verdict::reject);
  const auto down = find(plan, RemedyKind::lower_saddle);
  REQUIRE(down.has_value());
  CHECK(down->amount >= 20 + planned::guard({0.5, 0.5, 0.5}));
  CHECK(down->amount < 20 + planned::guard({0.5, 0.5, 0.5}) + 0.1);
  CHECK(down->most == Near{0});  // nothing ends it
  // 0.05 more than there is.
  const double mark = 100.05 - planned::guard({0.5, 0.5, 0.5});
  CHECK(find(plan_of_post(220, "", 320, mark, ""), RemedyKind::lower_saddle).value().amount ==
        Near{0.1});
}

TEST_CASE("a saddle goes up as far as anybody raises one - and a range of heights to one height") {
  // 450 in, and a lip at 440; 200 higher there are 250 in, and the mark wants 100.
  const std::string lip = "[[frame.blockage]]\ndepth = ";
  const Plan up = plan_of_post(150, "", 600, 100, "cutting = \"forbidden\"\n" + lip + "440\n");
  REQUIRE(up.before.verdict == Verdict::reject);
  CHECK(find(up, RemedyKind::raise_saddle).value().most == Near{0});
  // Heights from 100 to 180: a lip at 150 takes 50 off the post at the lowest, and the mark leaves
  // 20 to take at the highest.
  const Plan range = plan_of_post(140, "lowest = 100\nhighest = 180\n", 300, 100, lip + "150\n");
  REQUIRE_FALSE(is_yes(range.before.verdict));
  CHECK(find(range, RemedyKind::narrow_range).value().amount > 30);
  CHECK(find(range, RemedyKind::narrow_range).value().most == Near{80});
}

TEST_CASE("what a cut will settle does not count against the other advice") {
  // The grip zone ends 0.3 below the collar, with a doubt of 0.5 (steel rule): 0.2 is missing. The
  // upper lip is in doubt as the post is, the lower one 44.5 in the way, and a cut clears both.
  const std::string lips = "[[frame.blockage]]\ndepth = 202\n[[frame.blockage]]\ndepth = 157\n";
  const Plan plan = plan_of_post(241.5, "", 443, 124, "grip = [235, 241.8]\n" + lips);
  REQUIRE(plan.before.verdict == Verdict::hold);
  REQUIRE(is_yes(plan_of_post(241.3, "", 443, 124, "grip = [235, 241.8]\n" + lips).before.verdict));
  CHECK(find(plan, RemedyKind::lower_saddle).value().amount == Near{0.2});
}

TEST_CASE("what is named first is what is in the way") {
  const auto first = [](const Plan& plan) -> std::string {
    const auto* const limit = plan::first_in_the_way(plan.before);
    return limit == nullptr ? "" : limit->id();
  };
  const std::string lip = "[[frame.blockage]]\ndepth = ";
  // A lip at 150 under 160 of post, which must not be cut: the two exclude each other.
  const Plan clash = plan_of_post(140, "", 300, 100, "cutting = \"forbidden\"\n" + lip + "150\n");
  REQUIRE(clash.before.verdict == Verdict::reject);
  CHECK(first(clash) == "blockage-1");
  // 160 in, where 170 have to be.
  CHECK(first(plan_of_post(140, "", 300, 170, "")) == "mark");
  // 0.2 to spare, and 1 of doubt.
  CHECK(first(plan_of_post(140, "", 300, 159.8, "")) == "mark");
  CHECK(first(plan_of_post(140, "", 300, 100, "")).empty());
  // Nobody knows the mark: a hold for no limit.
  const Plan unknown = plan_of(
      "kind = 'seatpost'\n[saddle]\nmeasured = 'extension'\nheight = 140\n[post]\nlength = 300\n"
      "diameter = 27.2\nmark = 'unknown'\nmaterial = 'aluminium'\n");
  REQUIRE(unknown.before.verdict == Verdict::hold);
  CHECK(first(unknown).empty());
}

TEST_CASE("another length of post is advised where one fits uncut and nothing else is in the way") {
  const std::string lip = "[[frame.blockage]]\ndepth = ";
  // 20 off leave 80 in the frame, and the mark wants 85. The lip at 200 lets 418 in uncut.
  CHECK(has(plan_of_post(220, "", 320, 85, lip + "200\n[saw]\nwanted = 20\n"),
            RemedyKind::exchange_post));
  // A head of 150 that must stay above the collar, 145 down: no length helps that.
  const Plan head = plan_of_post(145, "", 300, 100, "head = 150\n" + lip + "200\n");
  REQUIRE(head.before.verdict == Verdict::reject);
  CHECK_FALSE(has(head, RemedyKind::exchange_post));
  // A lip at 95 and a mark of 100: no length does.
  const Plan none = plan_of_post(145, "", 300, 100, lip + "95\n");
  REQUIRE(none.before.verdict == Verdict::reject);
  CHECK_FALSE(has(none, RemedyKind::exchange_post));
}

TEST_CASE("a mock-up is advised for a blockage that was probed - and for nothing else in doubt") {
  // 0.5 to spare at the lip, without air, and 1.4 of doubt by probe, rule and rule.
  const std::string lip = "[[frame.blockage]]\ndepth = 120.5\nclearance = 0\n";
  const Plan probed = plan_of_post(180, "", 300, 80, lip);
  REQUIRE(probed.before.verdict == Verdict::hold);
  CHECK(has(probed, RemedyKind::mock_up));
  const Plan tried = plan_of_post(180, "", 300, 80, "[mock_up]\nexposed_bottomed = 179.7\n" + lip);
  REQUIRE(tried.before.verdict == Verdict::hold);
  CHECK_FALSE(has(tried, RemedyKind::mock_up));
  // 0.5 to spare at the mark.
  const Plan mark = plan_of_post(180, "", 300, 119.5, "");
  REQUIRE(mark.before.verdict == Verdict::hold);
  CHECK_FALSE(has(mark, RemedyKind::mock_up));
}
