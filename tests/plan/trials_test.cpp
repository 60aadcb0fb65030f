#include "kerfmark/plan/trials.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <string>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

#include "planned.hpp"

using namespace kerfmark;
using plan::LimitTrials;
using plan::Trials;
using planned::Near;

namespace {

constexpr std::size_t trials_made = 50'000;

void in_turn(std::size_t count, const std::function<void(std::size_t)>& task) {
  for (std::size_t i = 0; i < count; ++i) {
    task(i);
  }
}

void backwards(std::size_t count, const std::function<void(std::size_t)>& task) {
  for (std::size_t i = count; i > 0; --i) {
    task(i - 1);
  }
}

void on_three_threads(std::size_t count, const std::function<void(std::size_t)>& task) {
  std::vector<std::jthread> threads;
  for (std::size_t first = 0; first < 3; ++first) {
    threads.emplace_back([&task, first, count] {
      for (std::size_t i = first; i < count; i += 3) {
        task(i);
      }
    });
  }
}

struct Tried {
  plan::Job job;
  plan::Plan plan;
  Trials trials;

  [[nodiscard]] const LimitTrials& of(std::string_view id) const {
    const auto& limit = planned::limit_of(plan, id);
    return trials.limits.at(static_cast<std::size_t>(&limit - plan.before.limits.data()));
  }
};

Tried tried(const std::string& text, const plan::TrialsOrder& order = {.count = trials_made},
            const plan::RunAll& run_all = in_turn) {
  Tried t{planned::job_of(text), {}, {}};
  t.plan = plan::plan_cut(t.job);
  t.trials = plan::run_trials(t.job, t.plan, order, run_all);
  REQUIRE(t.trials.limits.size() == t.plan.before.limits.size());
  return t;
}

/// The middle 95 % of one rectangle reach to 0.95 of its half-width. The end of so many trials
/// scatters by √(0.025·0.975/M) of its whole width, 2w·0.0007; four times that.
void check_rectangle(const LimitTrials& trials, double middle, double half_width) {
  const double within = 4 * 2 * half_width * 0.0007;
  CHECK(trials.margin.interval.low == Near{middle - 0.95 * half_width, within});
  CHECK(trials.margin.interval.high == Near{middle + 0.95 * half_width, within});
  CHECK(trials.margin.mean == Near{middle, within});
  CHECK(trials.margin.standard_deviation == Near{half_width / std::sqrt(3.0), within});
}

/// But for sums, which are taken in another order: a few last digits of some 400 mm.
void check_same(Trials few, const Trials& all) {
  REQUIRE(few.limits.size() == all.limits.size());
  for (std::size_t i = 0; i < all.limits.size(); ++i) {
    CAPTURE(i);
    const measure::Drawn& expected = all.limits[i].margin;
    measure::Drawn& margin = few.limits[i].margin;
    CHECK(margin.mean == Near{expected.mean, 1e-9});
    CHECK(margin.standard_deviation == Near{expected.standard_deviation, 1e-9});
    margin.mean = expected.mean;
    margin.standard_deviation = expected.standard_deviation;
    CHECK(few.limits[i] == all.limits[i]);
  }
  CHECK(few == all);
}

// A post read without doubt, by a saw without any, but for what `rest` says.
std::string post(const std::string& height, const std::string& length, const std::string& rest) {
  return "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = " + height +
         "\n[post]\nlength = " + length +
         "\nmark = { read = 100, within = 0 }\ndiameter = 27.2\nmaterial = \"aluminium\"\n"
         "cutting = \"allowed\"\n" +
         rest;
}

std::string exact(double value) { return "{ read = " + planned::number(value) + ", within = 0 }"; }

const std::string ordinary = R"(kind = "seatpost"
[saddle]
height = 607
lowest = 600
rail_to_top = 45
[frame]
seat_tube = 420
seat_angle = 73
axis_offset = -3
[[frame.blockage]]
depth = 225
[[frame.blockage]]
depth = 260
[post]
length = 400
diameter = 27.2
mark = 100
max_cut = 90
material = "aluminium"
cutting = "allowed"
)";

}  // namespace

TEST_CASE("the result does not depend on who runs the trials and in which order") {
  const Tried once = tried(ordinary);
  CHECK(once.plan.before.at.in_mm() > 0.0);
  CHECK(tried(ordinary).trials == once.trials);
  CHECK(tried(ordinary, {.count = trials_made}, backwards).trials == once.trials);
  CHECK(tried(ordinary, {.count = trials_made}, on_three_threads).trials == once.trials);
  CHECK(once.trials.seed == 101);
  CHECK(once.trials.count == trials_made);
  CHECK(once.trials.impossible == 0);
}

TEST_CASE("with little room the ends are those of all margins") {
  const Tried once = tried(ordinary);
  for (const std::size_t kept : {std::size_t{1}, 2 * trials_made, 3 * trials_made + 1}) {
    CAPTURE(kept);
    check_same(tried(ordinary, {.count = trials_made, .most_kept = kept}).trials, once.trials);
  }
}

TEST_CASE("with little room the result does not depend on who runs the trials") {
  const plan::TrialsOrder order{.count = trials_made, .most_kept = 1};
  const Tried once = tried(ordinary, order);
  CHECK(tried(ordinary, order, backwards).trials == once.trials);
  CHECK(tried(ordinary, order, on_three_threads).trials == once.trials);
}

TEST_CASE("with little room many limits take two runs - not one each") {
  std::string text = ordinary;
  for (int i = 0; i < 40; ++i) {
    text += "[[frame.blockage]]\ndepth = " + std::to_string(261 + i) + "\n";
  }
  std::size_t most = 0;
  const auto progress = [&](std::size_t done, std::size_t of) {
    CHECK(of == 10'000 + trials_made);
    most = std::max(most, done);
  };
  const Tried all = tried(text);
  Trials few = plan::run_trials(all.job, all.plan, {.count = trials_made, .most_kept = 1}, in_turn,
                                progress);
  REQUIRE(few.limits.size() > 80);
  check_same(few, all.trials);
  CHECK(most == 10'000 + trials_made);  // the first chunk, then all
}

TEST_CASE("where the first trials mislead the limit is tried anew") {
  // Without any reach the place, and those that give its standard error, are missed.
  const Tried once = tried(ordinary);
  // One limit at a time, then two and at last the odd one.
  for (const std::size_t kept : {std::size_t{1}, 2 * trials_made}) {
    std::size_t made = 0;
    std::size_t of_all = 0;
    const auto progress = [&](std::size_t done, std::size_t of) {
      made = done;
      of_all = of;
    };
    const plan::TrialsOrder order{.count = trials_made, .most_kept = kept, .kept_reach = 0.0};
    check_same(plan::run_trials(once.job, once.plan, order, in_turn, progress), once.trials);
    CHECK(made > 10'000 + 2 * trials_made);
    CHECK(made == of_all);
  }
}

TEST_CASE("with little room a margin that stays the same in every trial keeps nothing") {
  // Depth by mock-up less what reaches down: the reading of the length cancels.
  const std::string text =
      post(exact(140), "{ read = 400, within = 5 }",
           "[mock_up]\nexposed_bottomed = { read = 150, within = 0 }\n[saw]\nwithin = 0\n");
  check_same(tried(text, {.count = trials_made, .most_kept = 1}).trials, tried(text).trials);
}

TEST_CASE("with little room impossible triangles are counted all the same") {
  // Nearly a half, and hardly any.
  for (const double offset : {149.99, 149.01}) {
    CAPTURE(offset);
    const std::string text =
        "kind = \"seatpost\"\n[saddle]\nmeasured = \"to rails\"\nheight = " + exact(400) +
        "\n[frame]\nseat_tube = " + exact(150) +
        "\naxis_offset = { read = " + planned::number(offset) +
        ", within = 1 }\n[post]\nlength = " + exact(700) + "\nmark = " + exact(100) +
        "\ndiameter = 27.2\nmaterial = \"aluminium\"\ncutting = \"allowed\"\n";
    const Tried once = tried(text);
    CHECK(once.trials.impossible > 0);
    check_same(tried(text, {.count = trials_made, .most_kept = 1}).trials, once.trials);
  }
}

// 240 − 140 = 100 in the frame, the mark at 100 and no reading with a doubt.
TEST_CASE("a limit that is met exactly holds in every trial") {
  const Tried exactly = tried(post(exact(140), exact(240), ""));
  const plan::LimitTrials& mark = exactly.of("mark");
  CHECK(mark.holds == Near{1});
  CHECK(mark.margin.mean == Near{0});
  CHECK(mark.margin.standard_error.low == Near{0});
  CHECK(mark.margin.standard_error.high == Near{0});
  CHECK(mark.beyond_guard == Near{0});
  CHECK(mark.validates);
}

TEST_CASE("the trial beyond a whole chunk is made too") {
  const Tried once = tried(ordinary);
  std::size_t last = 0;
  const Trials trials = plan::run_trials(once.job, once.plan, {.count = 20'001}, in_turn,
                                         [&](std::size_t done, std::size_t) { last = done; });
  CHECK(last == 20'001);
  CHECK(trials.count == 20'001);
}

TEST_CASE("progress is told up to the last trial") {
  std::size_t told = 0;
  std::size_t last = 0;
  const Tried once = tried(ordinary);
  const Trials trials = plan::run_trials(once.job, once.plan, {.count = 25'000}, in_turn,
                                         [&](std::size_t done, std::size_t of) {
                                           ++told;
                                           last = done;
                                           CHECK(of == 25'000);
                                         });
  CHECK(told == 3);
  CHECK(last == 25'000);
  // With room for every margin and no more it is still one run.
  const auto drawn = static_cast<std::size_t>(std::ranges::count_if(
      trials.limits, [](const auto& limit) { return limit.margin.standard_deviation > 0.0; }));
  told = 0;
  const Trials kept =
      plan::run_trials(once.job, once.plan, {.count = 25'000, .most_kept = 25'000 * drawn}, in_turn,
                       [&](std::size_t, std::size_t of) {
                         ++told;
                         CHECK(of == 25'000);
                       });
  CHECK(kept == trials);
  CHECK(told == 3);
}

TEST_CASE("another seed gives other trials of the same distribution") {
  const Tried once = tried(ordinary);
  const Tried again = tried(ordinary, {.count = trials_made, .seed = 102});
  CHECK(again.trials.seed == 102);
  CHECK(again.of("mark").margin.interval.low != once.of("mark").margin.interval.low);
  CHECK(again.of("mark").margin.interval.low ==
        Near{once.of("mark").margin.interval.low, 6 * once.of("mark").margin.standard_error.low});
}

TEST_CASE("no chunk repeats another") {
  // Chunks with one stream would give every value several times over, and the same mean but for the
  // rounding of its sum. Means of 10,000 values scatter by ±0.5/√3/√10,000, 0.003.
  const std::string text = post("140", exact(400), "");
  const double few = tried(text, {.count = 10'000}).of("mark").margin.mean;
  const double many = tried(text, {.count = 200'000}).of("mark").margin.mean;
  CHECK(std::abs(many - few) > 1e-5);
}

TEST_CASE("one reading spreads the margin over its rectangle") {
  const Tried t = tried(post("140", exact(400), ""));
  // Extension by steel rule, ±0.5: insertion 260, mark 100.
  check_rectangle(t.of("mark"), 160, 0.5);
  CHECK(t.of("mark").holds == 1.0);
  CHECK(t.of("mark").beyond_guard == 0.0);  // the guard is the worst case
  CHECK(t.of("mark").validates == false);   // a rectangle is no normal distribution
  CHECK(t.of("mark").tolerance == 0.005);   // u = 0.29
}

TEST_CASE("a clamp that a reading may put at the collar edge stays a limit of every trial") {
  // ±1 by depth probe: some trials draw less than nothing from it.
  const Tried t = tried(post(exact(140), exact(400), "[frame]\nclamp_below = 0.4\n"));
  check_rectangle(t.of("clamp-held"), 259.6, 1);
  const Tried at_0 = tried(post(exact(140), exact(400), "[frame]\nclamp_below = 0\n"));
  CHECK(at_0.trials.limits.size() == t.trials.limits.size() - 1);
}

TEST_CASE("an expander that a reading may put at the top stays a limit of every trial") {
  // 5 of rings above the stem, the steerer ends 2 below: 3 in them, of which it needs 0.5 ± 1.
  const Tried t = tried(
      "kind = \"steerer\"\n[steerer]\nmaterial = \"aluminium\"\n[stem]\nclamp = 40\n[spacers]\n"
      "below = 25\nabove = { read = 5, within = 0 }\n[mock_up]\nstands_proud = { read = -2, within "
      "= 0 }\n[expander]\nto = 90\nfrom = { read = 0.5, within = 1 }\n[saw]\nwithin = 0\n");
  check_rectangle(t.of("expander-top"), 2.5, 1);
}

TEST_CASE("several readings of one value share one half-width - around their mean") {
  const Tried t = tried(post("[140, 140.4, 140.2]", exact(400), ""));
  check_rectangle(t.of("mark"), 400 - 140.2 - 100, 0.5);
}

TEST_CASE("one reading that gives two values is drawn once") {
  // The saddle's lowest and highest height are the height itself.
  const Tried t = tried(post("140", exact(400), "head = 30\nhang = { read = 5, within = 0 }\n"));
  check_rectangle(t.of("mark"), 160, 0.5);
  const Tried both =
      tried(post("140", exact(400), "grip = [50, 390]\nhead = { read = 30, within = 0 }\n"));
  check_rectangle(both.of("head"), 110, 0.5);
  check_rectangle(both.of("grip-lower"), 250, 0.5);
}

TEST_CASE("the saw is drawn where there is a cut") {
  const std::string rest = "max_cut = 60\n[saw]\nwanted = 50\nwithin = 0.8\n";
  const Tried t = tried(post(exact(140), exact(400), rest));
  // A longer cut leaves less insertion and less of what may be cut.
  check_rectangle(t.of("mark"), 110, 0.8);
  check_rectangle(t.of("max-cut"), 10, 0.8);
  CHECK_FALSE(t.of("max-cut").beyond_guard.has_value());
  // No cut moves the head.
  CHECK(t.of("head").margin.standard_deviation == 0.0);
  const Tried uncut = tried(post(exact(140), exact(400), "[saw]\nwithin = 0.8\n"));
  CHECK(uncut.plan.before.at.in_mm() == 0.0);
  CHECK(uncut.of("mark").margin.standard_deviation == 0.0);
}

TEST_CASE("what enters twice with opposite signs cancels") {
  // Depth by mock-up: post length − exposed; what reaches down: post length − extension.
  const Tried t = tried(
      post(exact(140), "{ read = 400, within = 5 }",
           "[mock_up]\nexposed_bottomed = { read = 150, within = 0.4 }\n[saw]\nwithin = 0\n"));
  check_rectangle(t.of("blockage-1"), 140 - 150 + t.plan.before.at.in_mm(), 0.4);
}

TEST_CASE("the route that the plan chose is kept") {
  // Probe ±3 against a mock-up ±0.4: the mock-up is used, whatever is drawn.
  const std::string mock_up =
      "[mock_up]\nexposed_bottomed = { read = 150, within = 0.4 }\n[saw]\nwithin = 0\n";
  const auto blockage = [](double within) {
    return "[[frame.blockage]]\ndepth = { read = 250, within = " + planned::number(within) + " }\n";
  };
  const Tried by_mock_up = tried(post(exact(140), exact(400), blockage(3) + mock_up));
  CHECK(by_mock_up.plan.before.seatpost->by_mock_up == 1);
  check_rectangle(by_mock_up.of("blockage-1"), -10 + by_mock_up.plan.before.at.in_mm(), 0.4);
  const Tried by_probe = tried(post(exact(140), exact(400), blockage(0.2) + mock_up));
  CHECK_FALSE(by_probe.plan.before.seatpost->by_mock_up.has_value());
  check_rectangle(by_probe.of("blockage-1"), -10 + by_probe.plan.before.at.in_mm(), 0.2);
}

TEST_CASE("the gap of a steerer by the route that the plan chose") {
  const auto fork = [](double proud, double clamp) {
    return "kind = \"steerer\"\n[steerer]\nmaterial = \"steel\"\nlength = " + exact(220) +
           "\n[frame]\nhead_tube = " + exact(130) +
           "\n[headset]\nlower = { read = 0, within = 0 }\nupper = " + exact(30) +
           "\n[stem]\nclamp = { read = 40, within = " + planned::number(clamp) +
           " }\n[spacers]\nbelow = " + exact(20) +
           "\n[mock_up]\nstands_proud = { read = 0, within = " + planned::number(proud) +
           " }\n[saw]\nwithin = 0\n";
  };
  const Tried parts = tried(fork(0.9, 0.3));
  CHECK_FALSE(parts.plan.before.steerer->gap_by == plan::GapRoute::mock_up);
  check_rectangle(parts.of("preload"), parts.plan.before.at.in_mm(), 0.3);
  const Tried mock_up = tried(fork(0.2, 0.6));
  CHECK(mock_up.plan.before.steerer->gap_by == plan::GapRoute::mock_up);
  check_rectangle(mock_up.of("preload"), mock_up.plan.before.at.in_mm(), 0.2);
}

TEST_CASE("rings count as nominal where they are counted") {
  const Tried t = tried(
      "kind = \"steerer\"\n[steerer]\nmaterial = \"steel\"\n[stem]\nclamp = 40\n"
      "[spacers]\nbelow = { read = 20, within = 2 }\nmax_below = 30\nmin_above = 0\n"
      "[mock_up]\nstands_proud = { read = 10, within = 0 }\n[expander]\nto = 90\n");
  CHECK(t.of("spacers-below").margin.interval == measure::Interval{10, 10});
  CHECK(t.of("spacers-below").holds == 1.0);
  CHECK(t.of("spacers-below").validates == true);
}

TEST_CASE("a ring sum that was chosen for a bar height stays as it is") {
  // With stack ±8 other rings would come nearest in many a trial, and the gap with them.
  const std::string text = R"(kind = "steerer"
[steerer]
length = { read = 240, within = 0 }
material = "steel"
[frame]
head_tube = { read = 130, within = 0 }
stack = { read = 560, within = 8 }
head_angle = { read = 73, within = 0 }
[headset]
lower = { read = 0, within = 0 }
upper = { read = 10, within = 0.5 }
[stem]
clamp = { read = 40, within = 0 }
length = { read = 100, within = 0 }
angle = { read = 6, within = 0 }
[spacers]
on_hand = [5, 5, 10, 10, 10]
[bar]
height = 650
highest = 655
[saw]
within = 0
[measuring]
instruments = { caliper = 0 }
)";
  const Tried t = tried(text);
  CHECK(t.plan.before.steerer->below_high > t.plan.before.steerer->below_low);
  const auto& preload = planned::limit_of(t.plan, "preload");
  check_rectangle(t.of("preload"), preload.at.margin, 0.5);
  // With a caliper of ±0.3 every ring of the highest position is drawn.
  const Tried rings = tried(planned::replaced(text, "caliper = 0", "caliper = 0.3"));
  const auto& drawn = planned::limit_of(rings.plan, "preload");
  const auto count = static_cast<double>(drawn.doubt.size() - 1);
  REQUIRE(count > 1);
  const double u = std::sqrt((0.25 + count * 0.09) / 3.0);
  CHECK(rings.of("preload").margin.standard_deviation == Near{u, 0.02 * u});
}

TEST_CASE("the model is not made linear") {
  // The collar lies √(150² − a²) up the axis; a = 100 ± 20 by a bad square, all else exact. The
  // extension grows with a, so the ends of its interval are those at a = 81 and a = 119.
  const Tried t = tried(
      "kind = \"seatpost\"\n[saddle]\nmeasured = \"to rails\"\nheight = " + exact(500) +
      "\n[frame]\nseat_tube = " + exact(150) +
      "\naxis_offset = { read = 100, within = 20 }\n[post]\nlength = " + exact(700) +
      "\nmark = " + exact(100) +
      "\ndiameter = 27.2\nmaterial = \"aluminium\"\ncutting = \"allowed\"\n[saw]\nwithin = 0\n");
  const auto extension = [](double a) { return 500 - std::sqrt(150.0 * 150.0 - a * a); };
  const measure::Drawn& head = t.of("head").margin;
  CHECK(head.interval.low == Near{extension(81), 4 * head.standard_error.low});
  CHECK(head.interval.high == Near{extension(119), 4 * head.standard_error.high});
  // Its mean is the integral of the circle, ½(a·√(R² − a²) + R²·asin(a/R)), from 80 to 120.
  const auto circle = [](double a) {
    return 0.5 * (a * std::sqrt(22500 - a * a) + 22500 * std::asin(a / 150));
  };
  const double mean = 500 - (circle(120) - circle(80)) / 40;
  const double scatter = head.standard_deviation / std::sqrt(static_cast<double>(trials_made));
  CHECK(head.mean == Near{mean, 4 * scatter});
  // First order would have put it at 388.2, forty times that scatter away.
  CHECK(std::abs(extension(100) - mean) > 20 * scatter);
  CHECK(t.of("head").validates == false);
}

TEST_CASE("triangles that cannot exist are counted") {
  // A tube of 150 with its axis 149.5 ± 1 from the BB centre: beyond 150 for a quarter of them.
  const Tried t =
      tried("kind = \"seatpost\"\n[saddle]\nmeasured = \"to rails\"\nheight = " + exact(400) +
            "\n[frame]\nseat_tube = " + exact(150) +
            "\naxis_offset = { read = 149.5, within = 1 }\nmax_rider = 100\n[post]\nlength = " +
            exact(700) + "\nmark = " + exact(100) +
            "\ndiameter = 27.2\nmaterial = \"aluminium\"\ncutting = \"allowed\"\n"
            "[rider]\nmass = 80\n");
  const double impossible =
      static_cast<double>(t.trials.impossible) / static_cast<double>(trials_made);
  // √(0.25·0.75/50000) is 0.002.
  CHECK(impossible == Near{0.25, 0.008});
  // In those no limit holds, whatever it is about, and first order is not validated.
  CHECK(t.of("head").holds == Near{1 - impossible});
  CHECK(t.of("rider-mass").holds == Near{1 - impossible});
  CHECK(t.of("head").validates == false);
  CHECK(t.of("rider-mass").validates == false);
}

TEST_CASE("how often a limit holds") {
  // 0.3 of margin against ±0.5: 80 % of a rectangle.
  const Tried t = tried(post("{ read = 259.7, within = 0.5 }", exact(400), "") +
                        "[frame]\nmin_insertion = { read = 140, within = 0 }\n");
  // √(0.8·0.2/50000) is 0.0018.
  CHECK(t.of("frame-minimum").holds == Near{0.8, 0.0072});
  CHECK(planned::limit_of(t.plan, "frame-minimum").at.odds == Near{0.8});
}

TEST_CASE("how often a margin falls short by more than its guard") {
  // Two readings of ±0.5 make a triangle of ±1; the guard is 2·u = 2·√(2/12) = 0.8165, and what
  // lies beyond it is (1 − 0.8165)²/2 = 0.01684.
  const Tried t = tried(post("140", "400", ""));
  CHECK(planned::limit_of(t.plan, "mark").at.guard == Near{std::sqrt(2.0 / 3.0)});
  REQUIRE(t.of("mark").beyond_guard.has_value());
  // √(0.0168/50000) is 0.0006.
  CHECK(*t.of("mark").beyond_guard == Near{0.01684, 0.0024});
}

TEST_CASE("what was measured after the cut draws nothing from the trials") {
  const std::string before = R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
post = { length = 400, diameter = 27.2, mark = 100, material = "steel", cutting = "allowed" }
[[frame.blockage]]
depth = 225
)";
  const Tried plain = tried(before);
  const Tried after = tried(before + "[as_cut]\nlength = 350\noffcut = 49\n");
  REQUIRE(after.plan.after.has_value());
  CHECK(plain.trials == after.trials);
}

TEST_CASE("trials of the part as it is") {
  // A plan with a cut, tried without it: no cut, and no saw.
  const std::string text = post(exact(140), exact(400),
                                "[[frame.blockage]]\ndepth = { read = 250, within = 0.4 }\n"
                                "[saw]\nwithin = 0.8\n");
  const Tried cut = tried(text);
  REQUIRE(cut.plan.before.at.in_mm() > 0.0);
  CHECK(cut.trials.at == cut.plan.before.at);
  const Tried uncut = tried(text, {.count = trials_made, .uncut = true});
  CHECK(uncut.trials.at == measure::Length{});
  check_rectangle(uncut.of("blockage-1"), -10, 0.4);
  CHECK(uncut.of("blockage-1").holds == 0.0);
  // All of it lies within the guard of the reading alone, ±0.4; the saw is in none of it.
  CHECK(uncut.of("blockage-1").beyond_guard == 0.0);
  CHECK(uncut.of("blockage-1").first_order.high == Near{-10 + 1.96 * 0.4 / std::sqrt(3.0), 1e-4});
  CHECK(uncut.of("mark").margin.interval == measure::Interval{160, 160});
  CHECK(cut.of("mark").margin.standard_deviation > 0.4);
}
