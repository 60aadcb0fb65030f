#include <cmath>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/saddle_height.hpp"
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
using planned::number;
using planned::plan_of;

namespace {

struct Post {
  std::string saddle = "measured = \"extension\"\nheight = 140\n";
  std::string frame = "";
  std::string blockages = "[[frame.blockage]]\ndepth = 225\n";
  std::string post = "";
  std::string rest = "";
  double length = 400;
  std::string mark = "100";
  std::string material = "\"aluminium\"";
  std::string cutting = "\"allowed\"";
  double diameter = 27.2;
};

std::string text_of(const Post& post) {
  return "kind = \"seatpost\"\n[saddle]\n" + post.saddle + "[frame]\n" + post.frame +
         post.blockages + "[post]\nlength = " + number(post.length) + "\nmark = " + post.mark +
         "\ndiameter = " + number(post.diameter) + "\nmaterial = " + post.material +
         "\ncutting = " + post.cutting + "\n" + post.post + post.rest;
}

Plan planned_for(const Post& post) { return plan_of(text_of(post)); }

double margin(const Plan& plan, std::string_view id) { return limit_of(plan, id).at.margin; }
double margin_uncut(const Plan& plan, std::string_view id) {
  return limit_of(plan, id).uncut.margin;
}

}  // namespace

// 400 − 140 before, and 35 less after a cut that was measured as it came out.
TEST_CASE("what a post has in the frame is known at either moment - and of nothing else") {
  const Plan plan = planned_for({.rest = "[as_cut]\nlength = 365\n"});
  REQUIRE(plan.before.insertion().has_value());
  CHECK(*plan.before.insertion() == Near{260 - plan.before.at.in_mm()});
  CHECK(*plan.after->insertion() == Near{225});
  const Plan fork = plan_of(
      "kind = \"steerer\"\n[steerer]\nlength = 300\nmaterial = \"aluminium\"\n[frame]\nhead_tube = "
      "150\n"
      "[headset]\nlower = 0\nupper = 12\n[stem]\nclamp = 40\n[spacers]\nbelow = 25\nabove = 5\n");
  CHECK_FALSE(fork.before.insertion().has_value());
}

// A small bicycle: rails 150 + 45·cos 73° = 163.2 behind the BB, so no saddle is nearer to it than
// that. The mark wants 90 of 100: E = √(c² − 163.2²) − 45·sin 73° − √(180² − 150²) ≤ 10 from c =
// 223.3 down.
TEST_CASE("no saddle is lowered to where it cannot be") {
  const Plan plan = plan_of(
      "kind = \"seatpost\"\n[saddle]\nmeasured = \"straight\"\nheight = 320\nrail_to_top = "
      "45\n[frame]\n"
      "seat_tube = 180\nseat_angle = 73\naxis_offset = 150\n[post]\nlength = 100\nmark = 90\n"
      "diameter = 27.2\nmaterial = \"aluminium\"\ncutting = \"allowed\"\n");
  const auto& ways = plan.before.remedies;
  const auto way = std::ranges::find(ways, plan::RemedyKind::lower_saddle, &plan::Remedy::kind);
  REQUIRE(way != ways.end());
  CHECK(way->amount > 320 - 223.4);
  CHECK(way->amount < 320 - 223.3 + 4);  // and the doubt of what was read
  CHECK(way->most >= way->amount);
  CHECK(way->most < 320 - 163.2);
}

TEST_CASE("worked cases of a seatpost") {
  struct Row {
    std::string_view what;
    Post post;
    Verdict want;
    std::optional<double> planned;
    std::optional<double> lo, hi;  // to half a hundredth
  };
  const Row rows[] = {
      // 35.1 must come off, 2.5 of doubt. Height along the tube, tape, gauge and square.
      {"post of 400, lip at 225, height by tape along the tube",
       {.saddle = "height = 607\nrail_to_top = 45\n",
        .frame = "seat_tube = 420\nseat_angle = 73\n"},
       Verdict::cut,
       38,
       37.54,
       157.79},
      {"60 mm of air below a post of 350",
       {.blockages = "[[frame.blockage]]\ndepth = 270\n", .length = 350},
       Verdict::keep,
       std::nullopt,
       0.00,
       108.85},
      // lo: 2 of clearance less 1 of air; 3 is the least that a saw takes off.
      {"one millimetre of air, less than the doubt",
       {.blockages = "[[frame.blockage]]\ndepth = 261\n"},
       Verdict::hold,
       3,
       1.00,
       158.85},
      {"70 mm inserted of 100",
       {.saddle = "measured = \"extension\"\nheight = 230\n",
        .blockages = "[[frame.blockage]]\ndepth = 300\n",
        .length = 300},
       Verdict::reject,
       std::nullopt,
       std::nullopt,
       std::nullopt},
      {"35 must come off, the maker allows 30",
       {.post = "max_cut = 30\n"},
       Verdict::reject,
       std::nullopt,
       std::nullopt,
       std::nullopt},
      {"carbon whose maker has not been asked",
       {.material = "\"carbon\"", .cutting = "\"not stated\""},
       Verdict::hold,
       37,
       37.00,
       158.85},
      {"carbon whose maker allows it", {.material = "\"carbon\""}, Verdict::cut, 37, 37.00, 158.85},
      {"a battery hangs 30 below, seen by the mock-up",
       {.post = "hang = 30\n", .rest = "[mock_up]\nexposed_bottomed = 205\nhang_fitted = true\n"},
       Verdict::cut,
       67,
       67.00,
       158.85},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan = planned_for(row.post);
    CHECK(plan.before.verdict == row.want);
    CHECK(plan.planned.has_value() == row.planned.has_value());
    if (row.planned && plan.planned) {
      CHECK(*plan.planned == Near{*row.planned});
    }
    CHECK(plan.window.has_value() == row.lo.has_value());
    if (row.lo && plan.window) {
      CHECK(plan.window->lo == Near{*row.lo, 0.005});
      CHECK(plan.window->hi == Near{*row.hi, 0.005});
    }
  }
}

TEST_CASE("a post of 400 for a frame that takes 350") {
  // Common practice: long posts come 350 or 400 long; a 400 that a small frame's lip stops is cut
  // to 350. Lip and extension are such that this much leaves the usual 2 mm of air.
  const Plan plan = planned_for(
      {.blockages = "[[frame.blockage]]\nwhat = \"lip\"\ndepth = 212\n", .material = "\"carbon\""});
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK(plan.planned == millimetres(50));
  CHECK(plan.before.remaining == millimetres(350));
}

// sin 0.8 and cos 0.6 make right triangles of whole numbers.
constexpr std::string_view three_four_five = "seat_angle = \"53.13010235415598 deg\"\n";

TEST_CASE("the extension by every way of measuring") {
  struct Row {
    std::string_view what;
    std::string saddle, frame, post;
    double want;
  };
  const std::string angle(three_four_five);
  const Row rows[] = {
      {"read off the post", "measured = \"extension\"\nheight = 140\n", "", "", 140},
      // Everything on one line: rails 45 below the saddle top.
      {"upright tube", "height = 600\nrail_to_top = 45\n", "seat_tube = 420\nseat_angle = 90\n", "",
       135},
      {"upright tube, straight", "measured = \"straight\"\nheight = 600\nrail_to_top = 45\n",
       "seat_tube = 420\nseat_angle = 90\n", "", 135},
      // Collar 7-24-25: √(500² − 140²) = 480. e = 140 − 20 = 120: 800 − 120·0.75 − 40/0.8 − 480.
      {"along the tube", "height = 800\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n", 180},
      // e = −140 − 20 = −160: 800 + 120 − 50 − 480.
      {"along the tube, axis behind", "height = 800\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = -140\n", "setback = 20\n", 390},
      // e = −140 + 20 = −120: 800 + 90 − 50 − 480.
      {"along the tube, rails forward", "height = 800\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = -140\n", "setback = -20\n", 360},
      // e + h·cos = 120 + 24 = 144, 9-40-41: √(656² − 144²) = 640; less h·sin = 32 and 480.
      {"straight", "measured = \"straight\"\nheight = 656\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n", 128},
      // e + h·cos = −168 + 24 = −144: the same the other way.
      {"straight, axis behind", "measured = \"straight\"\nheight = 656\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = -140\n", "setback = 28\n", 128},
      {"to the rails", "measured = \"to rails\"\nheight = 660\n",
       "seat_tube = 500\naxis_offset = 140\n", "", 180},
      {"to the rails, setback plays no part", "measured = \"to rails\"\nheight = 660\n",
       "seat_tube = 500\naxis_offset = -140\n", "setback = 20\n", 180},
      {"along the tube from the pedal axle",
       "from = \"pedal axle\"\ncrank = 172.5\nheight = 972.5\nrail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n", 180},
      {"straight from the pedal axle",
       "measured = \"straight\"\nfrom = \"pedal axle\"\ncrank = 170\nheight = 826\n"
       "rail_to_top = 40\n",
       angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n", 128},
      {"to the rails from the pedal axle",
       "measured = \"to rails\"\nfrom = \"pedal axle\"\ncrank = 165\nheight = 825\n",
       "seat_tube = 500\naxis_offset = 140\n", "", 180},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan =
        planned_for({.saddle = row.saddle, .frame = row.frame, .blockages = "", .post = row.post});
    REQUIRE(plan.before.seatpost.has_value());
    CHECK(plan.before.seatpost->extension.height == Near{row.want});
    CHECK(plan.before.seatpost->extension.lowest == Near{row.want});
    CHECK(plan.before.seatpost->insertion_uncut.height == Near{400 - row.want});
    CHECK(margin_uncut(plan, "mark") == Near{300 - row.want});
  }
}

TEST_CASE("the doubt of the extension by every way of measuring") {
  const double radian = std::numbers::pi / 180;
  const std::string angle(three_four_five);
  const auto floor_guard = [&](const std::string& saddle, const std::string& frame,
                               const std::string& post) {
    return limit_of(planned_for({.saddle = saddle, .frame = frame, .blockages = "", .post = post}),
                    "floor")
        .uncut.guard;
  };
  // Of P − E with P ±0.5. Steel rule ±0.5 for the extension.
  CHECK(floor_guard("measured = \"extension\"\nheight = 140\n", "", "") == Near{guard({0.5, 0.5})});
  // Tape ±1 for H and T; s_c = √(T² − a²): ∂/∂T = 25/24, ∂/∂a = −7/24, the square ±1.
  CHECK(floor_guard("measured = \"to rails\"\nheight = 660\n",
                    "seat_tube = 500\naxis_offset = 140\n",
                    "") == Near{guard({0.5, 1, 25.0 / 24, 7.0 / 24})});
  // Along the tube, e·cosθ/sinθ + h/sinθ: ∂/∂a = 0.75, which meets −7/24 of s_c; ∂/∂b = −0.75 with
  // the rule, ∂/∂h = 1.25 with the square; ∂/∂θ = −(e + h·cosθ)/sin²θ = −144/0.64 a radian, ±0.5°.
  CHECK(floor_guard("height = 800\nrail_to_top = 40\n",
                    angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n") ==
        Near{guard({0.5, 1, 25.0 / 24, 0.75 - 7.0 / 24, 0.75 * 0.5, 1.25, 225 * radian * 0.5})});
  // Straight, r = e + h·cosθ = 144, √(H² − r²) = 640: ∂/∂H = 41/40, ∂/∂r = −9/40;
  // ∂/∂h = −0.6·9/40 − 0.8; ∂/∂θ = 9/40·h·sinθ − h·cosθ = 7.2 − 24 a radian.
  CHECK(floor_guard("measured = \"straight\"\nheight = 656\nrail_to_top = 40\n",
                    angle + "seat_tube = 500\naxis_offset = 140\n", "setback = 20\n") ==
        Near{guard({0.5, 41.0 / 40, 25.0 / 24, -9.0 / 40 + 7.0 / 24, 9.0 / 40 * 0.5, 0.935,
                    16.8 * radian * 0.5})});
  // A crank is stamped: exact.
  CHECK(floor_guard("measured = \"to rails\"\nfrom = \"pedal axle\"\ncrank = 165\nheight = 825\n",
                    "seat_tube = 500\n", "") == Near{guard({0.5, 1, 1})});
}

TEST_CASE("every limit of a seatpost by hand") {
  const Plan plan = planned_for({
      .saddle = "measured = \"extension\"\nheight = 140\nlowest = 130\nhighest = 160\n",
      .frame = "bore = 27.4\nmax_rider = 110\njunction = 45\n",
      .blockages = "[[frame.blockage]]\nwhat = \"lip\"\ndepth = 240\n"
                   "[[frame.blockage]]\ndepth = 280\nclearance = 5\n",
      .post = "head = 35\nhang = 6\nmin_insertion = 90\nmax_cut = 80\nmin_length = 300\n"
              "grip = [100, 390]\nmax_rider = 100\n",
      .rest = "[rider]\nmass = 80\n[saw]\nwanted = 50\n",
  });
  // At the cut of 50: insertion 400 − 50 − 130 = 220 lowest, 190 highest.
  struct Row {
    std::string_view id;
    double has, needs, margin;
  };
  const Row rows[] = {
      {"blockage-1", 226, 240, 14},  {"blockage-2", 226, 280, 54},   {"clearance-1", 226, 238, 12},
      {"clearance-2", 226, 275, 49}, {"mark", 190, 100, 90},         {"post-minimum", 190, 90, 100},
      {"floor", 190, 54.4, 135.6},   {"junction", 190, 72.2, 117.8}, {"max-cut", 50, 80, 30},
      {"min-length", 350, 300, 50},  {"head", 130, 35, 95},          {"grip-upper", 130, 100, 30},
      {"grip-lower", 160, 390, 230}, {"bore-fit", 0.2, 0.1, -0.1},   {"rider-mass", 80, 100, 20},
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
  // Doubts: post, extension, hang, mark, junction and head by rule ±0.5, probe ±1, saw ±0.5.
  CHECK(limit_of(plan, "blockage-1").at.guard == Near{guard({0.5, 0.5, 0.5, 1, 0.5})});
  CHECK(limit_of(plan, "clearance-1").at.guard == 0.0);
  CHECK(limit_of(plan, "mark").at.guard == Near{guard({0.5, 0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "post-minimum").at.guard == Near{guard({0.5, 0.5, 0.5})});
  CHECK(limit_of(plan, "junction").at.guard == 0.0);
  CHECK(limit_of(plan, "max-cut").at.guard == 0.0);
  CHECK(limit_of(plan, "min-length").at.guard == Near{guard({0.5, 0.5})});
  CHECK(limit_of(plan, "head").at.guard == Near{guard({0.5, 0.5})});
  CHECK(limit_of(plan, "grip-upper").at.guard == Near{0.5});
  CHECK(limit_of(plan, "bore-fit").at.guard == 0.0);
  CHECK(limit_of(plan, "rider-mass").at.guard == 0.0);
  CHECK(limit_of(plan, "rider-mass").dimension == measure::Dimension::mass);
}

TEST_CASE("limits exist when their values are given") {
  const Plan bare = planned_for({.blockages = ""});
  std::string ids;
  for (const auto& limit : bare.before.limits) {
    ids += limit.id() + " ";
  }
  CHECK(ids == "mark floor head ");
  const Plan other = planned_for({.frame = "bore = 27.2\njunction = 45\nmin_insertion = 80\n",
                                  .blockages = "",
                                  .post = "section = \"other\"\n"});
  // A frame's figure replaces the rule of thumb; another section fits no bore.
  CHECK(find_limit(other, "junction") == nullptr);
  CHECK(find_limit(other, "bore-fit") == nullptr);
  CHECK(margin_uncut(other, "frame-minimum") == Near{180});
  CHECK(limit_of(other, "floor").needs == Near{65});
  CHECK(find_limit(planned_for({.frame = "bore = 30.9\n", .post = "shim = true\n"}), "bore-fit") ==
        nullptr);
  CHECK(find_limit(planned_for({.rest = "[rider]\nmass = 80\n"}), "rider-mass") == nullptr);
}

TEST_CASE("a mark that is not there") {
  const Plan unknown = planned_for({.mark = "\"unknown\""});
  CHECK(unknown.before.verdict == Verdict::hold);
  CHECK(planned::holds_for(unknown, HoldReason::mark_unknown));
  CHECK(find_limit(unknown, "mark") == nullptr);
  CHECK_FALSE(unknown.before.seatpost->new_mark.has_value());
  // The figures still say what would come off.
  CHECK(unknown.planned == millimetres(37));
  const Plan stated = planned_for({.post = "min_insertion = 90\n", .mark = "\"unknown\""});
  CHECK(stated.before.verdict == Verdict::cut);
  CHECK(stated.before.seatpost->new_mark->from_lower_end == Near{90});
}

TEST_CASE("the bore must match the post to a tenth") {
  const auto verdict_of = [](const std::string& bore) {
    return planned_for({.frame = "bore = " + bore + "\n", .blockages = ""}).before.verdict;
  };
  CHECK(verdict_of("27.2") == Verdict::keep);
  CHECK(verdict_of("27.3") == Verdict::keep);
  CHECK(verdict_of("27.1") == Verdict::keep);
  CHECK(verdict_of("27.35") == Verdict::hold);
  CHECK(verdict_of("27.05") == Verdict::hold);
}

TEST_CASE("the smaller of two figures for the rider counts") {
  const auto plan_with = [](int frame, int post, int rider) {
    return planned_for({.frame = "max_rider = " + std::to_string(frame) + "\n",
                        .blockages = "",
                        .post = "max_rider = " + std::to_string(post) + "\n",
                        .rest = "[rider]\nmass = " + std::to_string(rider) + "\n"});
  };
  CHECK(plan_with(110, 100, 100).before.verdict == Verdict::keep);
  CHECK(plan_with(110, 100, 101).before.verdict == Verdict::reject);
  CHECK(plan_with(100, 110, 101).before.verdict == Verdict::reject);
}

TEST_CASE("what a maker allows in all is held against all that is weighed") {
  const auto masses = [](const std::string& rider, const std::string& frame,
                         const std::string& post) {
    return planned_for({.frame = frame, .post = post, .rest = "[rider]\n" + rider});
  };
  // 95 and 20 of bicycle and load; the frame takes 110, the post 120 in all.
  const Plan heavy =
      masses("mass = 95\nsystem_mass = 115\n", "max_system = 110\n", "max_system = 120\n");
  CHECK(heavy.before.verdict == Verdict::reject);
  CHECK(margin(heavy, "system-mass") == Near{-5});
  CHECK(limit_of(heavy, "system-mass").needs == Near{110});
  CHECK_FALSE(planned::warns(heavy, plan::Caution::bicycle_not_counted));
  // The rider alone says little of the whole, and that is told.
  const Plan alone = masses("mass = 95\n", "max_system = 110\n", "");
  CHECK(alone.before.verdict == Verdict::cut);
  CHECK(margin(alone, "system-mass") == Near{15});
  CHECK(planned::warns(alone, plan::Caution::bicycle_not_counted));
  CHECK(masses("mass = 111\n", "max_system = 110\n", "").before.verdict == Verdict::reject);
  // What weighs is not the rider: a limit for the rider stays unanswered.
  const Plan unknown = masses("system_mass = 100\n", "max_rider = 90\n", "");
  CHECK(find_limit(unknown, "rider-mass") == nullptr);
  CHECK(planned::warns(unknown, plan::Caution::max_rider_unanswered));
  const Plan nothing = planned_for({.frame = "max_system = 110\n", .post = "max_rider = 90\n"});
  CHECK(find_limit(nothing, "system-mass") == nullptr);
  CHECK(planned::warns(nothing, plan::Caution::max_rider_unanswered));
  CHECK(planned::warns(nothing, plan::Caution::max_system_unanswered));
  // By scales of ±1 a kilogram below the limit is just enough.
  CHECK(masses("system_mass = { read = 109, within = 1 }\n", "max_system = 110\n", "")
            .before.verdict == Verdict::cut);
  CHECK(masses("system_mass = { read = 109.1, within = 1 }\n", "max_system = 110\n", "")
            .before.verdict == Verdict::hold);
}

TEST_CASE("a clamp below the collar must find the post") {
  const auto wedge = [](double below, double length, const std::string& post = "") {
    return planned_for({.frame = "clamp_below = " + number(below) + "\n",
                        .blockages = "",
                        .post = post,
                        .length = length,
                        .mark = "70"});
  };
  // 80 of a post of 220 are in, past the mark of 70, and the wedge grips 90 below the collar.
  const Plan misses = wedge(90, 220);
  CHECK(misses.before.verdict == Verdict::reject);
  CHECK_FALSE(misses.planned.has_value());
  CHECK_FALSE(misses.window.has_value());
  CHECK(margin(misses, "clamp-held") == Near{-10});
  CHECK(limit_of(misses, "clamp-held").row().origin == plan::Origin::measured);
  // Post and extension by rule ±0.5, the wedge by probe ±1.
  CHECK(limit_of(misses, "clamp-held").uncut.guard == Near{guard({0.5, 0.5, 1.0})});
  CHECK(wedge(90, 240).before.verdict == Verdict::keep);
  CHECK(find_limit(wedge(0, 240), "clamp-held") == nullptr);
  // A post is gripped where the wedge is: 140 + 30 down, between 100 and 171.
  const Plan zone = wedge(30, 300, "grip = [100, 171]\n");
  CHECK(margin(zone, "grip-upper") == Near{70});
  CHECK(margin(zone, "grip-lower") == Near{1});
  CHECK(limit_of(zone, "grip-lower").uncut.guard == Near{guard({0.5, 1.0})});
  // Another post must reach the wedge as well: 140 + 90 and its doubt.
  CHECK(*misses.before.seatpost->uncut_fit->length.lo == Near{230 + guard({0.5, 0.5, 1.0})});
  CHECK(*misses.before.seatpost->saddle_range_uncut->hi == Near{130 - guard({0.5, 0.5, 1.0})});
}

TEST_CASE("how far down a post goes is open while nobody has measured its head") {
  const Plan open = planned_for({.blockages = ""});
  CHECK_FALSE(open.before.seatpost->saddle_range_uncut->lo.has_value());
  // A head of 0 that somebody wrote is one.
  const Plan none = planned_for({.blockages = "", .post = "head = { read = 0, within = 0 }\n"});
  CHECK(*none.before.seatpost->saddle_range_uncut->lo == Near{0.5});
  // The limit itself stands with its default.
  CHECK(margin(open, "head") == Near{140});
}

TEST_CASE("a wanted cut that is thinner than the blade and two millimetres is a hold") {
  const Post post{.blockages = "[[frame.blockage]]\ndepth = 300\n"};
  const auto with = [&](const std::string& wanted) {
    Post one = post;
    one.rest = "[saw]\nwanted = " + wanted + "\n";
    return planned_for(one);
  };
  CHECK(with("2.9").before.verdict == Verdict::hold);
  CHECK(planned::holds_for(with("2.9"), plan::HoldReason::wanted_below_least));
  CHECK(with("3").before.verdict == Verdict::cut);
  CHECK(with("0.5").window == planned_for(post).window);
}

TEST_CASE("the mock-up is a second route to the depth") {
  struct Row {
    std::string_view what;
    std::string depth;
    std::string exposed;
    bool hang_fitted;
    std::string hang;
    double margin;  // of the blockage, uncut
    double guard;
    bool disagree = false;
  };
  // Post 400, extension 140 (each ±0.5): by probe d − 260 − hang, by mock-up 140 − X, + hang less
  // hang where it was fitted.
  const Row rows[] = {
      {"mock-up chosen, ±0.5 and ±0.5", "225", "174.5", false, "", -34.5, guard({0.5, 0.5})},
      {"probe chosen: ±0.1 with ±0.5 and ±0.5", "{ read = 225, within = 0.1 }",
       "{ read = 174.5, within = 1 }", false, "", -35, guard({0.1, 0.5, 0.5})},
      {"a tie: the probe", "{ read = 225, within = 0 }", "174.5", false, "", -35,
       guard({0.5, 0.5})},
      // d = 225 − (400 − X), ±1, ±0.5, ±0.5: 2·√(1.5/3) = 1.41421.
      {"just agree", "225", "176.4142", false, "", -36.4142, guard({0.5, 0.5})},
      {"just do not", "225", "176.4143", false, "", -36.4143, guard({0.5, 0.5}), true},
      {"just do not the other way", "225", "173.5857", false, "", -33.5857, guard({0.5, 0.5}),
       true},
      {"hang fitted", "225", "205", true, "30", -65, guard({0.5, 0.5})},
      // The hang, ±0.5, is in the difference: 2·√(1.75/3) = 1.52753.
      {"hang fitted, just agree", "225", "206.5275", true, "30", -66.5275, guard({0.5, 0.5})},
      {"hang fitted, just do not", "225", "206.5276", true, "30", -66.5276, guard({0.5, 0.5}),
       true},
      // Bottomed without what hangs: the hang must still clear.
      {"hang not fitted", "225", "175", false, "30", -65, guard({0.5, 0.5, 0.5})},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan plan =
        planned_for({.blockages = "[[frame.blockage]]\ndepth = " + row.depth + "\n",
                     .post = row.hang.empty() ? "" : "hang = " + row.hang + "\n",
                     .rest = "[mock_up]\nexposed_bottomed = " + row.exposed +
                             "\nhang_fitted = " + (row.hang_fitted ? "true" : "false") + "\n"});
    CHECK(margin_uncut(plan, "blockage-1") == Near{row.margin});
    CHECK(margin_uncut(plan, "clearance-1") == Near{row.margin - 2});
    CHECK(limit_of(plan, "blockage-1").uncut.guard == Near{row.guard});
    CHECK(plan.before.verdict == (row.disagree ? Verdict::hold : Verdict::cut));
    CHECK(planned::holds_for(plan, HoldReason::routes_disagree) == row.disagree);
  }
}

TEST_CASE("the mock-up finds the shallowest blockage") {
  const auto plan_with = [](const std::string& depths) {
    std::string blockages;
    for (const char c : depths) {
      blockages += "[[frame.blockage]]\ndepth = " + std::string(c == 'd' ? "300" : "225") + "\n";
    }
    return planned_for({.blockages = blockages, .rest = "[mock_up]\nexposed_bottomed = 174.5\n"});
  };
  const Plan second = plan_with("ds");
  CHECK(margin_uncut(second, "blockage-1") == Near{40});
  CHECK(margin_uncut(second, "blockage-2") == Near{-34.5});
  const Plan tie = plan_with("ss");
  CHECK(margin_uncut(tie, "blockage-1") == Near{-34.5});
  CHECK(margin_uncut(tie, "blockage-2") == Near{-35});
}

TEST_CASE("a mock-up without a probe is a blockage of its own") {
  const Plan plan = planned_for({.blockages = "", .rest = "[mock_up]\nexposed_bottomed = 175\n"});
  CHECK(margin_uncut(plan, "blockage-1") == Near{-35});
  CHECK(margin_uncut(plan, "clearance-1") == Near{-37});
  CHECK_FALSE(planned::warns(plan, Caution::not_probed));
  CHECK(planned::warns(planned_for({.blockages = ""}), Caution::not_probed));
  CHECK_FALSE(planned::warns(planned_for({}), Caution::not_probed));
}

TEST_CASE("lengths with which a post would fit uncut") {
  const auto fit_of = [](const Post& post) { return planned_for(post).before.seatpost->uncut_fit; };
  const auto stock = "[stock]\nlengths = [240, 241, 300, 363, 364, 400]\n";
  // Least: 140 + 100 and the doubts of extension, mark and the new post, 2·√(0.75/3) = 1.
  // Most: 225 + 140 less the clearance of 2; with the doubt instead it would be 363.6.
  const auto fit = fit_of({.rest = stock});
  REQUIRE(fit.has_value());
  CHECK(*fit->length.lo == Near{241});
  CHECK(*fit->length.hi == Near{363});
  CHECK(fit->stock == std::vector{millimetres(241), millimetres(300), millimetres(363)});
  // Without a clearance: 365 less 2·√((1 + 0.25 + 0.25)/3).
  CHECK(*fit_of({.blockages = "[[frame.blockage]]\ndepth = 225\nclearance = 0\n"})->length.hi ==
        Near{365 - 2 * std::sqrt(0.5)});
  // What hangs must clear as well.
  CHECK(*fit_of({.post = "hang = 30\n"})->length.hi == Near{333});
  // The shallowest counts.
  CHECK(*fit_of({.blockages = "[[frame.blockage]]\ndepth = 300\n[[frame.blockage]]\ndepth = 225\n"})
             ->length.hi == Near{363});
  // A mock-up keeps the reading of the post that bottomed: (400 − 175) + 140 less the doubts of
  // four steel-rule readings, 2·√(1/3), which is less than the clearance of 2.
  CHECK(*fit_of({.blockages = "", .rest = "[mock_up]\nexposed_bottomed = 175\n"})->length.hi ==
        Near{363});
  CHECK(*fit_of({.blockages = "[[frame.blockage]]\ndepth = 225\nclearance = 0\n",
                 .rest = "[mock_up]\nexposed_bottomed = 175\n"})
             ->length.hi == Near{365 - 2 * std::sqrt(1.0 / 3)});
  // The frame's minimum, exact, beats the mark: 140 + 120 + 2·√(0.5/3).
  CHECK(*fit_of({.frame = "min_insertion = 120\n"})->length.lo ==
        Near{260 + 2 * std::sqrt(0.5 / 3)});
  // As far as below a lug's edge is practice, which has no doubt: 140 + 60 + 27.2.
  CHECK(*fit_of({.frame = "junction = 60\n", .mark = "70"})->length.lo == Near{227.2});
  // Highest and lowest saddle: 160 + 100 + 1 to 225 + 130 − 2.
  const auto span =
      fit_of({.saddle = "measured = \"extension\"\nheight = 140\nlowest = 130\nhighest = 160\n"});
  CHECK(*span->length.lo == Near{261});
  CHECK(*span->length.hi == Near{353});
  // Nobody probed: no upper end.
  const auto open = fit_of({.blockages = "", .rest = stock});
  CHECK_FALSE(open->length.hi.has_value());
  CHECK(open->stock.size() == 5);
  // No length does: the mark needs 241, the lip allows 95 + 140 − 2.
  CHECK_FALSE(fit_of({.blockages = "[[frame.blockage]]\ndepth = 95\n", .rest = stock}).has_value());
}

TEST_CASE("heights that the saddle can have") {
  const Plan keep = planned_for({.blockages = "[[frame.blockage]]\ndepth = 270\n", .length = 350});
  REQUIRE(keep.before.seatpost->saddle_range_uncut.has_value());
  // Insertion 210: the mark has 110 and a doubt of 1, the clearance 58.
  CHECK(*keep.before.seatpost->saddle_range_uncut->lo == Near{140 - 58});
  CHECK(*keep.before.seatpost->saddle_range_uncut->hi == Near{140 + 109});
  CHECK_FALSE(keep.before.seatpost->saddle_range_cut.has_value());

  // Cut by 37: clearance 0, mark 123 less the doubt of four readings with the saw.
  const Plan cut = planned_for({});
  REQUIRE(cut.before.seatpost->saddle_range_cut.has_value());
  CHECK(*cut.before.seatpost->saddle_range_cut->lo == Near{140});
  CHECK(*cut.before.seatpost->saddle_range_cut->hi ==
        Near{140 + 123 - guard({0.5, 0.5, 0.5, 0.5})});
  CHECK(*cut.before.seatpost->saddle_range_uncut->lo == Near{177});
  CHECK(*cut.before.seatpost->saddle_range_uncut->hi == Near{140 + 160 - 1.0});

  // The zone that may be clamped ends before the insertion does: 140 + (200 − 140) − 0.5.
  const Plan grip = planned_for({.post = "grip = [120, 200]\n"});
  CHECK(*grip.before.seatpost->saddle_range_uncut->hi == Near{199.5});
  // The head, ±0.5 like the extension, keeps a post up that nothing else does.
  const Plan head = planned_for({.blockages = "", .post = "head = 35\n"});
  CHECK(*head.before.seatpost->saddle_range_uncut->lo == Near{35 + guard({0.5, 0.5})});

  // No height does: clearance from 177 on, grip to 149.5.
  CHECK_FALSE(
      planned_for({.post = "grip = [120, 150]\n"}).before.seatpost->saddle_range_uncut.has_value());
}

TEST_CASE("saddle heights come back in the way they were measured") {
  // The height at which the clearance, compared as marked and wider than any doubt here, is just
  // met, put back into the job.
  const std::string angle(three_four_five);
  struct Row {
    std::string_view what;
    std::string saddle;  // without its height
    double height;
  };
  const Row rows[] = {
      {"along the tube", "rail_to_top = 40\n", 740},
      {"straight", "measured = \"straight\"\nrail_to_top = 40\n", 656},
      {"to the rails", "measured = \"to rails\"\n", 640},
      {"pedal axle", "from = \"pedal axle\"\ncrank = 170\nrail_to_top = 40\n", 910},
      {"straight from the pedal axle",
       "measured = \"straight\"\nfrom = \"pedal axle\"\ncrank = 170\nrail_to_top = 40\n", 826},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto plan_at = [&](double height) {
      return planned_for({.saddle = row.saddle + "height = " + number(height) + "\n",
                          .frame = angle + "seat_tube = 500\naxis_offset = 140\n",
                          .blockages = "[[frame.blockage]]\ndepth = 225\nclearance = 20\n",
                          .post = "setback = 20\n"});
    };
    const auto range = plan_at(row.height).before.seatpost->saddle_range_uncut;
    REQUIRE(range.has_value());
    const Plan lowest = plan_at(range->lo->in_mm());
    CHECK(margin_uncut(lowest, "clearance-1") == Near{0.0});
  }
}

TEST_CASE("the scale of a graduated post") {
  const auto scale_of = [](const std::string& scale) {
    return planned_for(
               {.saddle = "measured = \"extension\"\nheight = 140\nlowest = 130\nhighest = 160\n",
                .post = "scale = { " + scale + " }\n"})
        .before.seatpost->scale_reading;
  };
  const auto down = scale_of("zero_at = 100");
  REQUIRE(down.has_value());
  CHECK((*down)[0] == Near{3});
  CHECK((*down)[1] == Near{4});
  CHECK((*down)[2] == Near{6});
  const auto up = scale_of("zero_at = 300, per_unit = 5, rising = \"up\"");
  CHECK((*up)[0] == Near{34});
  CHECK((*up)[1] == Near{32});
  CHECK((*up)[2] == Near{28});
  CHECK_FALSE(planned_for({}).before.seatpost->scale_reading.has_value());
}

TEST_CASE("posts that may not be cut") {
  struct Row {
    std::string_view what;
    std::string post;
    std::string cutting;
  };
  const Row rows[] = {{"dropper", "build = \"dropper\"\n", "\"allowed\""},
                      {"suspension", "build = \"suspension\"\n", "\"allowed\""},
                      {"the maker says no", "", "\"forbidden\""},
                      {"whatever else was allowed", "max_cut = 60\n", "\"forbidden\""}};
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const Plan needed = planned_for({.post = row.post, .cutting = row.cutting});
    CHECK(needed.before.verdict == Verdict::reject);
    CHECK_FALSE(needed.planned.has_value());
    CHECK(limit_of(needed, "max-cut").needs == 0.0);
    const Plan not_needed = planned_for({.blockages = "[[frame.blockage]]\ndepth = 300\n",
                                         .post = row.post,
                                         .cutting = row.cutting});
    CHECK(not_needed.before.verdict == Verdict::keep);
    const Plan wanted = planned_for({.blockages = "[[frame.blockage]]\ndepth = 300\n",
                                     .post = row.post,
                                     .rest = "[saw]\nwanted = 30\n",
                                     .cutting = row.cutting});
    CHECK(wanted.before.verdict == Verdict::reject);
    CHECK(margin(wanted, "max-cut") == Near{-30});
  }
}

TEST_CASE("the word of the maker and what the part is made of") {
  const Plan silent = plan_of(planned::replaced(text_of({}), "cutting = \"allowed\"\n", ""));
  CHECK(silent.before.verdict == Verdict::cut);
  CHECK(planned::warns(silent, Caution::metal_not_stated));
  const Plan allowed = planned_for({});
  CHECK_FALSE(planned::warns(allowed, Caution::metal_not_stated));
  CHECK_FALSE(planned::warns(allowed, Caution::carbon_inspect));
  CHECK(planned::warns(planned_for({.material = "\"carbon\""}), Caution::carbon_inspect));
  const Plan asked = planned_for({.material = "\"carbon\"", .cutting = "\"not stated\""});
  CHECK(planned::holds_for(asked, HoldReason::maker_not_asked));
}

TEST_CASE("where the new line goes") {
  const auto mark_of = [](const Post& post) { return planned_for(post).before.seatpost->new_mark; };
  // 37 off 400 leaves 363.
  const auto mark = mark_of({});
  REQUIRE(mark.has_value());
  CHECK(mark->from_lower_end == Near{100});
  CHECK(mark->from_rails == Near{263});
  const auto stated = mark_of({.post = "min_insertion = 120\n"});
  CHECK(stated->from_lower_end == Near{120});
  CHECK(stated->from_rails == Near{243});
  CHECK(mark_of({.post = "min_insertion = 80\n"})->from_lower_end == Near{100});
  CHECK_FALSE(mark_of({.blockages = ""}).has_value());
}

TEST_CASE("two readings of everything that counts") {
  const std::string twice = "[measuring]\ntwice = true\n";
  const Plan once = planned_for({.rest = twice});
  CHECK(once.before.verdict == Verdict::hold);
  std::size_t asked = 0;
  for (const auto& hold : once.before.holds) {
    asked += hold.reason == HoldReason::second_reading_missing ? 1U : 0U;
  }
  CHECK(asked == 4);  // height, depth, length, mark
  const std::string text = R"(kind = "seatpost"
saddle = { measured = "extension", height = [140, 140.4] }
frame = { junction = 45, blockage = [{ depth = [225, 226] }] }
post = { length = [400, 400], diameter = 27.2, mark = [100, 100.2], material = "steel",
         cutting = "allowed" }
measuring = { twice = true }
)";
  // The junction is a rule of thumb, compared as marked: one reading will do.
  const Plan plan = plan_of(planned::replaced(text, ",\n         cutting", ", cutting"));
  CHECK(plan.before.verdict == Verdict::cut);
  // The mean of each counts: 400 − 140.2 − 225.5, with the doubt of one reading.
  CHECK(margin_uncut(plan, "blockage-1") == Near{-34.3});
  CHECK(limit_of(plan, "blockage-1").uncut.guard == Near{guard({0.5, 0.5, 1})});
}

TEST_CASE("readings of one value must agree") {
  // Steel rule ±0.5: 2·√2·0.5/√3 = 0.81650.
  const auto verdict_of = [](const std::string& second) {
    return planned_for({.saddle = "measured = \"extension\"\nheight = [140, " + second + "]\n"})
        .before.verdict;
  };
  CHECK(verdict_of("140.8164") == Verdict::cut);
  CHECK(verdict_of("140.8166") == Verdict::hold);
  CHECK(verdict_of("139.1836") == Verdict::cut);
  CHECK(verdict_of("139.1834") == Verdict::hold);
}

TEST_CASE("coverage and instruments are those of the job") {
  const auto guard_with = [](const std::string& measuring) {
    return limit_of(planned_for({.rest = "[measuring]\n" + measuring}), "blockage-1").uncut.guard;
  };
  CHECK(guard_with("") == Near{2 * std::sqrt(0.5)});
  CHECK(guard_with("coverage = 1\n") == Near{std::sqrt(0.5)});
  CHECK(guard_with("coverage = 4\n") == Near{2.0});  // the worst case, 1 + 0.5 + 0.5
  CHECK(guard_with("instruments = { \"depth probe\" = 3 }\n") == Near{guard({3, 0.5, 0.5})});
}

TEST_CASE("triangles that cannot exist") {
  const auto job_with = [](const std::string& measured, double height, double tube, double offset,
                           const std::string& saddle = "", const std::string& post = "") {
    plan::Job job = planned::job_of(
        text_of({.saddle = "measured = \"" + measured + "\"\nheight = 656\n" +
                           (measured == "to rails" ? "" : "rail_to_top = 40\n") + saddle,
                 .frame = std::string(three_four_five) + "seat_tube = 500\n",
                 .post = post}));
    job.saddle.height->nominal = millimetres(height);
    job.saddle.lowest = job.saddle.highest = job.saddle.height;
    job.frame.seat_tube->nominal = millimetres(tube);
    job.frame.axis_offset->nominal = millimetres(offset);
    return job;
  };
  const auto found = [&](auto... figures) {
    return plan::impossible_triangles(job_with(figures...));
  };
  CHECK(found("straight", 656, 500, 140).empty());
  const auto tube = found("along tube", 656, 140, -140);
  REQUIRE(tube.size() == 1);
  CHECK(tube.front().key == "frame.seat_tube");
  CHECK(tube.front().leg == Near{140});
  CHECK(found("along tube", 656, 140.001, -140).empty());
  // e + h·cos = 140 + 24.
  const auto height = found("straight", 164, 500, 140);
  REQUIRE(height.size() == 1);
  CHECK(height.front().key == "saddle.height");
  CHECK(height.front().leg == Near{164});
  CHECK(found("straight", 164.001, 500, 140).empty());
  CHECK(found("along tube", 164, 500, 140).empty());
  // Rails 20 farther back, and cranks of 170 that the height counts: 140 − 20 + 24.
  const std::string setback = "setback = 20\n";
  const std::string axle = "from = \"pedal axle\"\ncrank = 170\n";
  CHECK(found("straight", 144, 500, 140, "", setback).size() == 1);
  CHECK(found("straight", 144.001, 500, 140, "", setback).empty());
  CHECK(found("straight", 334, 500, 140, axle).size() == 1);
  CHECK(found("straight", 334.001, 500, 140, axle).empty());
  // An extension has no triangle, whatever else is given.
  plan::Job extension = job_with("along tube", 656, 140, -140);
  extension.saddle.measured = plan::HeightMeasured::extension;
  CHECK(plan::impossible_triangles(extension).empty());
}

// A lip 100 below the collar and an extension of 100; the post is 242 long. Uncut it reaches 42
// past the lip, 2 of air are common practice, and the marks are laid off by rule, ±0.5.
TEST_CASE("one mark is sawn at - and the other may be off by what window and readings leave") {
  const auto line_of = [](std::string_view post, std::string_view rest) {
    const Plan plan = plan_of(
        "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = "
        "100\n[post]\nlength = 242\nmark = 70\ndiameter = 27.2\nmaterial = "
        "\"aluminium\"\ncutting = \"allowed\"\n" +
        std::string(post) + std::string(rest));
    REQUIRE(plan.line.has_value());
    return *plan.line;
  };
  constexpr std::string_view lip = "[[frame.blockage]]\ndepth = 100\n";
  // What two marks may differ by: the length of the post and two marks, 2·√(3·0.25/3).
  const double agree = 1;
  SUBCASE("from the rails the length of the post drops out") {
    const plan::CutLine line = line_of("", lip);
    CHECK(line.master == plan::MarkFrom::end_that_stays);
    CHECK(line.confirm == std::vector{plan::MarkFrom::end_that_goes});
    // The cut is 44 or 45, as little as the window lets it; more comes off unharmed until the mark.
    CHECK(line.more_mm == Near{agree});
    CHECK(line.more_is_harmless);
    CHECK_FALSE(line.less_is_harmless);
    CHECK(line.less_mm < 1);
  }
  SUBCASE("a window of a tenth leaves a tenth") {
    // 44 is needed for the air, as marked, and allowed are 44.1.
    const plan::CutLine line =
        line_of("max_cut = 44.1\n", "[[frame.blockage]]\ndepth = { read = 100, within = 0 }\n");
    CHECK(line.less_mm == Near{0});
    CHECK(line.more_mm == Near{0.1});
    CHECK_FALSE(line.more_is_harmless);
  }
  SUBCASE("by mock-up the end that rested on the lip is the surer one") {
    const plan::CutLine line = line_of("", "[mock_up]\nexposed_bottomed = 142\n");
    CHECK(line.master == plan::MarkFrom::end_that_goes);
    CHECK(line.confirm == std::vector{plan::MarkFrom::end_that_stays});
  }
  SUBCASE("the mark is sawn at that leaves the least doubt where there is least to spare") {
    // 50 off leave 92 in the frame: 1.5 above what the maker asks for, and 0.3 more than the doubt
    // of four readings of ±0.5. The most that may come off is exact.
    const auto master_with = [&](const std::string& max_cut) {
      return line_of("min_insertion = { read = 90.5, within = 0.5 }\nmax_cut = " + max_cut + "\n",
                     std::string(lip) + "[saw]\nwanted = 50\n")
          .master;
    };
    CHECK(master_with("51") == plan::MarkFrom::end_that_stays);
    CHECK(master_with("50.2") == plan::MarkFrom::end_that_goes);
  }
  // Whole, left and offcut, each by rule: 2·√(3·0.25/3).
  CHECK(line_of("", lip).closure_allowed_mm == Near{1});
  CHECK_FALSE(plan_of("kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = 100\n"
                      "[post]\nlength = 242\nmark = 70\ndiameter = 27.2\nmaterial = \"steel\"\n")
                  .line.has_value());
}
