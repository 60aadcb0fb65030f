#include "kerfmark/plan/places.hpp"
#include "planned.hpp"

using namespace kerfmark;
using measure::Status;
using plan::Plan;
using plan::Verdict;
using planned::Near;

// Figures worked by hand from tape ±1, steel rule ±0.5, caliper ±0.1 and the saw's ±0.5 mm, each a
// rectangle: u = √(Σ (slope · within)² / 3), guard = min(2u, Σ |slope · within|).

namespace {

// 780 wide, 740 wanted: 20 off each end. Straight part 190, controls 130 + 35.
std::string bar(std::string_view more = "", std::string_view tables = "") {
  return "kind = 'handlebar'\n[handlebar]\nwidth = 780\nwanted = 740\nstraight = 190\n"
         "material = 'aluminium'\ncutting = 'allowed'\n" +
         std::string(more) + "[[controls]]\nwidth = 130\n[[controls]]\nwidth = 35\n" +
         std::string(tables);
}

const plan::JudgedLimit& limit(const Plan& plan, plan::Rule rule) {
  const auto found = std::ranges::find(plan.before.limits, rule, &plan::JudgedLimit::rule);
  REQUIRE(found != plan.before.limits.end());
  return *found;
}

bool has_hold(const std::vector<plan::Hold>& holds, plan::HoldReason reason) {
  return std::ranges::find(holds, reason, &plan::Hold::reason) != holds.end();
}

}  // namespace

TEST_CASE("a handlebar loses the cut at both ends") {
  const Plan plan = planned::plan_of(bar("to_mark = 30\n"));
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK(*plan.planned == Near{20.0});
  CHECK(*plan.before.remaining == Near{740.0});
  CHECK(plan.before.handlebar->width == Near{740.0});
  // (780 − 745) / 2 and (780 − 735) / 2: wishes are compared as read.
  CHECK(plan.window->lo == Near{17.5});
  CHECK(*plan.window->hi == Near{22.5});
  CHECK(limit(plan, plan::Rule::width_most).governs);
  CHECK(limit(plan, plan::Rule::width_least).governs);
  CHECK(limit(plan, plan::Rule::width_most).at.margin == Near{5.0});
  CHECK(limit(plan, plan::Rule::width_least).at.margin == Near{5.0});
  // 190 − 20 − 165; √((0.25 + 0.01 + 0.01 + 0.25) / 3) · 2.
  CHECK(limit(plan, plan::Rule::controls).at.margin == Near{5.0});
  CHECK(limit(plan, plan::Rule::controls).at.guard == Near{0.832666, 1e-6});
  // 30 − 20; √((0.25 + 0.25) / 3) · 2.
  CHECK(limit(plan, plan::Rule::cut_mark).at.margin == Near{10.0});
  CHECK(limit(plan, plan::Rule::cut_mark).at.guard == Near{0.816497, 1e-6});
  // 740 − 350; the tape's 1 and the saw's 0.5 at both ends: √((1 + 1) / 3) · 2.
  CHECK(limit(plan, plan::Rule::norm_least).at.margin == Near{390.0});
  CHECK(limit(plan, plan::Rule::norm_least).at.guard == Near{1.632993, 1e-6});
}

TEST_CASE("the controls want the air between them too") {
  const Plan plan = planned::plan_of(planned::replaced(bar("air = 6\n"), "straight = 190",
                                                       "straight = { read = 200, within = 0 }"));
  // 200 − 20 − 165 − 6.
  CHECK(limit(plan, plan::Rule::controls).at.margin == Near{9.0});
}

TEST_CASE("the line on a bar is laid off from its end and from its middle") {
  // Half the width by tape, ±0.5, and a mark by rule at either place: 2 · √(0.75 / 3).
  const Plan plan = planned::plan_of(bar());
  REQUIRE(plan.line.has_value());
  CHECK(plan.line->confirm.size() == 1);
  // 20 of 17.5 to 22.5.
  CHECK(plan.line->less_mm == Near{1.0});
  CHECK(plan.line->more_mm == Near{1.0});
  // The width by tape, what is left and two offcuts by rule.
  CHECK(plan.line->closure_allowed_mm == Near{2 * std::sqrt(1.75 / 3)});
  CHECK_FALSE(plan.before.handlebar->by_halves);
}

TEST_CASE("cautions about a cut are not given where nothing is cut") {
  const auto warns = [](const std::string& text, plan::Caution caution) {
    return planned::warns(planned::plan_of(text), caution);
  };
  CHECK(warns(bar(), plan::Caution::local_law));
  CHECK_FALSE(
      warns(planned::replaced(bar(), "wanted = 740", "wanted = 777"), plan::Caution::local_law));
  // Nobody wants another cut: what cannot be had is rejected, and no caution.
  CHECK_FALSE(warns(planned::replaced(bar(), "straight = 190", "straight = 170"),
                    plan::Caution::more_is_wished));
  // A wish that is met is none either.
  CHECK_FALSE(warns(bar("", "[saw]\nwanted = 20\n"), plan::Caution::more_is_wished));
  const std::string silent = planned::replaced(bar(), "cutting = 'allowed'\n", "");
  CHECK(warns(silent, plan::Caution::metal_not_stated));
  CHECK_FALSE(warns(planned::replaced(silent, "wanted = 740", "wanted = 777"),
                    plan::Caution::metal_not_stated));
  CHECK_FALSE(warns(bar(), plan::Caution::max_rider_unanswered));
  CHECK(warns(bar("max_rider = 100\n"), plan::Caution::max_rider_unanswered));
  CHECK_FALSE(
      warns(bar("max_rider = 100\n", "[rider]\nmass = 80\n"), plan::Caution::max_rider_unanswered));
}

TEST_CASE("a bar as wide as the rider wants it stays whole") {
  const Plan plan = planned::plan_of(planned::replaced(bar(), "wanted = 740", "wanted = 777"));
  CHECK(plan.before.verdict == Verdict::keep);
  CHECK_FALSE(plan.planned);
}

TEST_CASE("no room for the controls at the width that is wanted") {
  const Plan plan = planned::plan_of(planned::replaced(bar(), "straight = 190", "straight = 170"));
  CHECK(plan.before.verdict == Verdict::reject);
  // 17.5 must come off each end, 5 can.
  REQUIRE(plan.before.conflict);
  CHECK(plan.before.conflict->short_by == Near{12.5});
  CHECK(plan.before.limits[plan.before.conflict->lower].rule == plan::Rule::width_most);
  CHECK(plan.before.limits[plan.before.conflict->upper].rule == plan::Rule::controls);
}

TEST_CASE("a bar narrower than the rider wants is not cut") {
  const Plan plan = planned::plan_of(planned::replaced(bar(), "wanted = 740", "wanted = 800"));
  CHECK(plan.before.verdict == Verdict::reject);
}

TEST_CASE("without the room for the controls nobody saws but a whole bar may stay") {
  const std::string unknown = planned::replaced(bar(), "straight = 190\n", "");
  const Plan plan = planned::plan_of(unknown);
  CHECK(plan.before.verdict == Verdict::hold);
  CHECK(has_hold(plan.before.holds, plan::HoldReason::room_unknown));
  CHECK(
      planned::plan_of(planned::replaced(unknown, "wanted = 740", "wanted = 780")).before.verdict ==
      Verdict::keep);
}

TEST_CASE("both halves are a second way to the width") {
  // The halves by rule, √(0.5 / 3), are closer than the tape, √(1 / 3).
  const Plan closer = planned::plan_of(bar("left = 390.5\nright = 390\n"));
  CHECK(closer.before.handlebar->by_halves);
  CHECK(closer.before.handlebar->width_uncut == Near{780.5});
  CHECK(*closer.before.handlebar->off_centre == Near{0.5});
  CHECK(*closer.before.handlebar->left == Near{370.5});
  CHECK(*closer.before.handlebar->right == Near{370.0});
  // Apart by at most 2 · √((1 + 0.25 + 0.25) / 3) = 1.414: 781 is 1 off, 781.5 is 1.5.
  CHECK(planned::plan_of(bar("left = 390.5\nright = 390.5\n")).before.verdict == Verdict::cut);
  const Plan apart = planned::plan_of(bar("left = 391\nright = 390.5\n"));
  CHECK(apart.before.verdict == Verdict::hold);
  REQUIRE(has_hold(apart.before.holds, plan::HoldReason::halves_against_width));
  CHECK(apart.before.holds.front().apart == Near{1.5});
  CHECK(apart.before.holds.front().allowed == Near{2 * std::sqrt(1.5 / 3)});
}

TEST_CASE("a bar that is not centred is not cut") {
  // 2 · √(0.5 / 3) + 2 = 2.816.
  CHECK(planned::plan_of(bar("left = 391.4\nright = 388.6\n")).before.verdict == Verdict::cut);
  const Plan plan = planned::plan_of(bar("left = 391.5\nright = 388.6\n"));
  CHECK(plan.before.verdict == Verdict::hold);
  CHECK(has_hold(plan.before.holds, plan::HoldReason::off_centre));
}

TEST_CASE("a wish for a narrower bar does not stop a smaller cut that somebody wants") {
  const Plan plan = planned::plan_of(bar("", "[saw]\nwanted = 10\n"));
  CHECK(plan.before.verdict == Verdict::cut);
  CHECK(limit(plan, plan::Rule::width_most).at.status == Status::broken);
  CHECK(std::ranges::find(plan.cautions, plan::Caution::more_is_wished) != plan.cautions.end());
  CHECK(planned::plan_of(bar("", "[saw]\nwanted = 23\n")).before.verdict == Verdict::reject);
}

TEST_CASE("a handlebar after the cut") {
  const auto after = [](std::string_view as_cut, std::string_view more = "") {
    return *planned::plan_of(bar(more, "[as_cut]\n" + std::string(as_cut))).after;
  };
  const plan::Judgement fit = after("width = 740\noffcut_left = 19\noffcut_right = 19\n");
  CHECK(fit.verdict == Verdict::fit);
  CHECK(*fit.made->cut == Near{20.0});
  CHECK(fit.made->closure->off == Near{0.0});
  // Both widths by tape, both offcuts by rule: 2 · √((1 + 1 + 0.25 + 0.25) / 3).
  CHECK(fit.made->closure->guard_mm == Near{1.825742, 1e-6});
  // A millimetre that nobody finds, and two.
  CHECK(after("width = 739\noffcut_left = 19\noffcut_right = 19\n").made->closure->closed);
  CHECK(after("width = 738\noffcut_left = 19\noffcut_right = 19\n").verdict == Verdict::hold);
  // One end lost 4 more than the other; 2.816 goes unseen.
  const plan::Judgement skew = after("width = 740\noffcut_left = 21\noffcut_right = 17\n");
  CHECK(skew.verdict == Verdict::hold);
  CHECK(has_hold(skew.holds, plan::HoldReason::off_centre_now));
  // A bar that stood out 2 more on the left, and lost 2 more there, is centred now.
  CHECK(after("width = 740\noffcut_left = 20\noffcut_right = 18\n", "left = 391\nright = 389\n")
            .verdict == Verdict::fit);
  // Too wide is no danger, too far in is.
  CHECK(after("width = 760\n").verdict == Verdict::hold);
  CHECK(after("width = 740\n", "to_mark = 15\n").verdict == Verdict::unfit);
  // The maker's 20 hold within the doubt of both widths, ±0.8.
  CHECK(after("width = 739\n", "max_cut = 20\n").verdict == Verdict::fit);
  CHECK(after("width = 737\n", "max_cut = 20\n").verdict == Verdict::unfit);
}

TEST_CASE("places along a handlebar count from its left end") {
  const std::string text = bar("left = 390.5\nright = 389.5\n");
  const plan::Job job = planned::job_of(text);
  const plan::HandlebarPlaces p = plan::handlebar_places(job, plan::plan_cut(job).before);
  CHECK(p.left == Near{20.0});
  CHECK(p.right == Near{760.0});
  CHECK(p.middle == Near{390.5});
  CHECK(p.straight->from == Near{190.0});
  CHECK(p.straight->to == Near{590.0});
  REQUIRE(p.controls.size() == 4);
  // 130 and then 35, from either end inward.
  using plan::Stretch;
  CHECK(p.controls ==
        std::vector{Stretch{20, 150}, Stretch{630, 760}, Stretch{150, 185}, Stretch{595, 630}});
  // Of a bar that is cut already the straight part begins nearer to its ends.
  const plan::Job cut = planned::job_of(bar("", "[as_cut]\nwidth = 740\n"));
  const plan::HandlebarPlaces now = plan::handlebar_places(cut, *plan::plan_cut(cut).after);
  CHECK(now.left == Near{0.0});
  CHECK(now.right == Near{740.0});
  CHECK(*now.straight == Stretch{170, 570});
}
