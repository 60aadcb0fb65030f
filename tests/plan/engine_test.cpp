#include "engine.hpp"

#include <cmath>
#include <optional>
#include <string_view>
#include <vector>

#include "planned.hpp"

using namespace kerfmark;
using measure::LengthEstimate;
using measure::millimetres;
using plan::Caution;
using plan::DecisionInput;
using plan::Hold;
using plan::HoldReason;
using plan::Job;
using plan::Length;
using plan::Limit;
using plan::Plan;
using plan::Rule;
using plan::Verdict;
using planned::holds_for;
using planned::Near;

namespace {

// One grain is what comparisons forgive; this is well beyond it.
constexpr double hair = 1e-8;

/// A table of readings that grows by one row a value.
class Bench {
 public:
  explicit Bench(double saw_within = 0.0) { readings_[Job::saw_row].half_width_base = saw_within; }
  LengthEstimate read(double mm, double within, std::size_t times = 1) {
    measure::Reading row;
    row.key = "a.value";
    row.values_base.assign(times, mm);
    row.half_width_base = within;
    readings_.push_back(row);
    return within > 0.0 ? LengthEstimate::of_reading(millimetres(mm), readings_.size() - 1)
                        : LengthEstimate(millimetres(mm));
  }
  [[nodiscard]] DecisionInput ask(std::vector<Limit> limits) const {
    return {.readings = readings_,
            .coverage = 2.0,
            .twice = false,
            .limits = std::move(limits),
            .kerf = millimetres(1),
            .step = millimetres(1),
            .wanted = std::nullopt,
            .preferred = std::nullopt,
            .cutting_closed = false,
            .ask_maker = false};
  }

 private:
  measure::Readings readings_ = Job{}.readings;
};

/// A limit of this rule whose margin uncut is that value.
Limit with_margin(Rule rule, const LengthEstimate& margin, std::size_t number = 0) {
  if (plan::row_of(rule).bound == plan::Bound::at_least) {
    return {rule, margin, Length{}, number};
  }
  return {rule, Length{}, margin, number};
}

Limit exact(Rule rule, double margin, std::size_t number = 0) {
  return with_margin(rule, millimetres(margin), number);
}

}  // namespace

TEST_CASE("the window runs between the margins less their guards at a cut") {
  // Hand-made: 35 mm too deep, three readings of ±0.5, ±0.5, ±1 and a saw of ±0.5:
  // 2·√((0.25 + 0.25 + 1 + 0.25)/3) = 1.5275, less than the 2.5 of the worst case.
  Bench bench(0.5);
  const auto P = bench.read(400, 0.5);
  const auto E = bench.read(140, 0.5);
  const auto depth = bench.read(225, 1.0);
  const auto mark = bench.read(100, 0.5);
  const Plan plan =
      decide(bench.ask({{Rule::blockage, P - E, depth, 1}, {Rule::mark, P - E, mark}}));
  REQUIRE(plan.window.has_value());
  CHECK(plan.window->lo == Near{35 + 2 * std::sqrt(1.75 / 3)});
  // Four of ±0.5: 2·√(1/3) = 1.1547 of 2.
  CHECK(plan.window->hi == Near{160 - 2 * std::sqrt(1.0 / 3)});
  CHECK(plan.before.limits.at(0).uncut.guard == Near{2 * std::sqrt(1.5 / 3)});
  CHECK(plan.before.limits.at(0).at.guard == Near{2 * std::sqrt(1.75 / 3)});
  CHECK(plan.planned == millimetres(37));
  CHECK(plan.before.verdict == Verdict::cut);
}

TEST_CASE("the worst case bounds the guard of one reading") {
  // k·w/√3 = 1.155·w for k = 2 is more than w, which no true value can exceed.
  Bench bench;
  const Plan plan =
      decide(bench.ask({with_margin(Rule::blockage, bench.read(-20, 1)), exact(Rule::mark, 100)}));
  CHECK(plan.before.limits.at(0).uncut.guard == Near{1.0});
  CHECK(plan.window->lo == Near{21.0});
}

TEST_CASE("the saw counts at a cut and not uncut") {
  Bench bench(0.5);
  const auto limits = {exact(Rule::blockage, -20), exact(Rule::mark, 100)};
  const Plan plan = decide(bench.ask(limits));
  CHECK(plan.before.limits.begin()->uncut.guard == 0.0);
  CHECK(plan.before.limits.begin()->at.guard == Near{0.5});
  CHECK(plan.window->lo == Near{20.5});
  CHECK(plan.window->hi == Near{99.5});
  CHECK(plan.planned == millimetres(21));
}

TEST_CASE("a window of one point is a window") {
  Bench bench;
  auto window_of = [&](double lo, double hi) {
    return decide(bench.ask({exact(Rule::blockage, -lo), exact(Rule::mark, hi)})).window;
  };
  CHECK(window_of(20, 20).has_value());
  CHECK(window_of(20, 20 - 1e-10).has_value());
  CHECK_FALSE(window_of(20, 20 - hair).has_value());
}

TEST_CASE("the planned cut lies on the grid") {
  struct Row {
    std::string_view what;
    double lo, hi, step;
    std::optional<double> want;
    double kerf = 1.0;
    std::optional<double> preferred = std::nullopt;
  };
  // Each by hand: whole multiples of the step in [max(lo, kerf + 2), hi].
  const Row rows[] = {
      {"the next whole millimetre", 34.2, 60, 1, 35},
      {"on the grid already", 35, 60, 1, 35},
      {"off it by less than is forgiven", 35 + 5e-10, 60, 1, 35},
      {"off it by more", 35 + hair, 60, 1, 36},
      {"steps of five", 34.2, 60, 5, 35},
      {"steps of ten", 34.2, 60, 10, 40},
      {"ten has none: one", 41, 49, 10, 41},
      {"ten and one have none: a half", 41.2, 41.8, 10, 41.5},
      {"one has none: a half", 41.2, 41.8, 1, 41.5},
      {"nor a half: a tenth", 41.2, 41.4, 1, 41.2},
      {"a half has none: a tenth", 41.1, 41.4, 0.5, 41.1},
      {"0.7 has none: one is not smaller, a half is", 43.45, 44.05, 0.7, 43.5},
      {"0.3 has none: a tenth", 41.2, 41.35, 0.3, 41.2},
      {"none at all", 41.21, 41.29, 1, std::nullopt},
      {"a tenth has none and nothing is smaller", 41.21, 41.29, 0.1, std::nullopt},
      {"no saw takes off less than kerf and 2", 0.5, 10, 1, 3},
      {"nor with a wide kerf", 0.5, 10, 1, 4, 1.4},
      {"nor with none", 0.5, 10, 1, 2, 0.0},
      {"the least leaves no room", 0.5, 2.9, 1, std::nullopt},
      {"the least is at the end of the room", 0.5, 3, 1, 3},
      {"what is preferred", 5, 40, 1, 20, 1.0, 20},
      {"nearest below", 5, 40, 1, 20, 1.0, 20.4},
      {"nearest above", 5, 40, 1, 21, 1.0, 20.6},
      {"the smaller on a tie", 5, 40, 1, 20, 1.0, 20.5},
      {"the smaller on a tie of sevens", 5, 40, 7, 14, 1.0, 17.5},
      {"past a tie of sevens", 5, 40, 7, 21, 1.0, 17.6},
      {"a tie whose smaller is outside", 20.2, 40, 1, 21, 1.0, 20.5},
      {"preferred beyond the window", 5, 40.3, 1, 40, 1.0, 50},
      {"preferred before the window", 5, 40, 1, 5, 1.0, 2},
      {"preferred below zero", 5, 40, 1, 5, 1.0, -30},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    Bench bench;
    DecisionInput q = bench.ask({exact(Rule::blockage, -row.lo), exact(Rule::mark, row.hi)});
    q.step = millimetres(row.step);
    q.kerf = millimetres(row.kerf);
    if (row.preferred) {
      q.preferred = millimetres(*row.preferred);
    }
    const Plan plan = decide(q);
    CHECK(plan.planned.has_value() == row.want.has_value());
    if (plan.planned && row.want) {
      CHECK(*plan.planned == Near{*row.want});
      CHECK(plan.before.at == *plan.planned);
    }
  }
}

TEST_CASE("there is no planned cut without a reason for one") {
  Bench bench;
  const auto plan_with = [&](double lower, double upper, double fixed, bool closed) {
    DecisionInput q = bench.ask(
        {exact(Rule::blockage, lower), exact(Rule::mark, upper), exact(Rule::head, fixed)});
    q.cutting_closed = closed;
    return decide(q);
  };
  CHECK(plan_with(-20, 50, 5, false).planned == millimetres(20));
  CHECK_FALSE(plan_with(-20, 50, 5, true).planned.has_value());
  CHECK_FALSE(plan_with(0, 50, 5, false).planned.has_value());
  // A fixed limit is not mended by a cut, nor does it call for one.
  CHECK_FALSE(plan_with(0, 50, -5, false).planned.has_value());
  CHECK(plan_with(-20, 50, -5, false).planned == millimetres(20));
}

namespace {

/// Margins of one limit of each sort, uncut. ±1 each where it is guarded: its guard is then 1, so
/// that it holds from 1 on and is broken from −1 down.
struct Margins {
  double lower = 5;   // hard, a cut helps
  double upper = 50;  // hard, a cut hurts
  double fixed = 5;   // hard, whatever is cut
  std::optional<double> lower_practice = {};
  std::optional<double> upper_practice = {};
  std::optional<double> fixed_practice = {};
};

struct Choices {
  std::optional<double> wanted = {};
  bool closed = false;
  bool ask_maker = false;
  bool twice = false;
  std::size_t times = 1;  // each value was read
  std::vector<Hold> contradictions = {};
  std::vector<Hold> unknowns = {};
};

Plan plan_for(const Margins& m, const Choices& choices = {}) {
  Bench bench;
  const auto doubtful = [&](double margin) { return bench.read(margin, 1, choices.times); };
  std::vector<Limit> limits = {with_margin(Rule::blockage, doubtful(m.lower))};
  if (m.lower_practice) {
    limits.push_back(with_margin(Rule::clearance, doubtful(*m.lower_practice)));
  }
  limits.push_back(with_margin(Rule::mark, doubtful(m.upper)));
  if (m.upper_practice) {
    limits.push_back(with_margin(Rule::junction, doubtful(*m.upper_practice)));
  }
  limits.push_back(with_margin(Rule::head, doubtful(m.fixed)));
  if (m.fixed_practice) {
    limits.push_back(with_margin(Rule::bore_fit, doubtful(*m.fixed_practice)));
  }
  DecisionInput q = bench.ask(limits);
  if (choices.wanted) {
    q.wanted = millimetres(*choices.wanted);
  }
  q.cutting_closed = choices.closed;
  q.ask_maker = choices.ask_maker;
  q.twice = choices.twice;
  q.contradictions = choices.contradictions;
  q.unknowns = choices.unknowns;
  return decide(q);
}

struct VerdictRow {
  std::string_view what;
  Margins margins;
  Verdict want;
  Choices choices = {};
  std::optional<HoldReason> reason = std::nullopt;
};

void check_rows(const std::vector<VerdictRow>& rows) {
  for (const VerdictRow& row : rows) {
    CAPTURE(row.what);
    const Plan plan = plan_for(row.margins, row.choices);
    CHECK(plan.before.verdict == row.want);
    CHECK(plan.before.holds.empty() == (row.want != Verdict::hold));
    if (row.reason) {
      CHECK(holds_for(plan, *row.reason));
    }
  }
}

// Two guards of 1 from two readings: 2·√(2/3).
const double guard_of_two = 2 * std::sqrt(2.0 / 3);

}  // namespace

TEST_CASE("verdicts without a wanted cut") {
  using enum Verdict;
  const auto in_doubt = HoldReason::limit_in_doubt;
  check_rows({
      {"all holds", {}, keep},
      {"a lower limit exactly at its guard", {.lower = 1}, keep},
      {"a grain less is forgiven", {.lower = 1 - 5e-10}, keep},
      {"a hair less is not", {.lower = 1 - hair}, hold, {}, in_doubt},
      {"a lower limit broken exactly by its guard", {.lower = -1}, cut},
      {"a hair less broken", {.lower = -1 + hair}, hold, {}, in_doubt},
      {"an upper limit at its guard", {.upper = 1}, keep},
      {"a hair less", {.upper = 1 - hair}, hold, {}, in_doubt},
      {"an upper limit broken by its guard", {.upper = -1}, reject},
      {"a hair less broken", {.upper = -1 + hair}, hold, {}, in_doubt},
      {"a fixed limit at its guard", {.fixed = 1}, keep},
      {"a hair less", {.fixed = 1 - hair}, hold, {}, in_doubt},
      {"a fixed limit broken by its guard", {.fixed = -1}, reject},
      {"a hair less broken", {.fixed = -1 + hair}, hold, {}, in_doubt},
      {"a fixed one in doubt while a cut is needed",
       {.lower = -20, .fixed = 0.5},
       hold,
       {},
       in_doubt},
      {"a fixed one broken while a cut is needed", {.lower = -20, .fixed = -2}, reject},
      {"needed and possible", {.lower = -20}, cut},
      {"rule of thumb kept exactly", {.lower_practice = 0.0}, keep},
      {"rule of thumb broken: nobody saws for it",
       {.lower_practice = -hair},
       hold,
       {},
       HoldReason::rule_of_thumb_broken},
      {"the same against a cut",
       {.upper_practice = -0.5},
       hold,
       {},
       HoldReason::rule_of_thumb_broken},
      {"the same whatever is cut",
       {.fixed_practice = -0.5},
       hold,
       {},
       HoldReason::rule_of_thumb_broken},
      {"the same while a cut is needed",
       {.lower = -20, .fixed_practice = -0.5},
       hold,
       {},
       HoldReason::rule_of_thumb_broken},
      {"a cut mends the rule of thumb with the hard one",
       {.lower = -20, .lower_practice = -22},
       cut},
      {"needed, but a rule of thumb leaves no window",
       {.lower = -20, .upper_practice = 10},
       hold,
       {},
       HoldReason::window_empty},
  });
}

TEST_CASE("verdicts where limits collide") {
  using enum Verdict;
  check_rows({
      {"they just leave a point", {.lower = -20, .upper = 22}, cut},
      {"they leave no window but do not exclude each other",
       {.lower = -20, .upper = 20},
       hold,
       {},
       HoldReason::window_empty},
      {"they exclude each other exactly by their guard",
       {.lower = -20, .upper = 20 - guard_of_two},
       reject},
      {"by a hair less",
       {.lower = -20, .upper = 20 - guard_of_two + hair},
       hold,
       {},
       HoldReason::window_empty},
      {"the window holds no cut of any grid",
       {.lower = -20.21, .upper = 22.29},
       hold,
       {},
       HoldReason::window_too_narrow},
      {"closed and needed", {.lower = -20}, reject, {.closed = true}},
      {"closed and in doubt", {.lower = 0.5}, hold, {.closed = true}, HoldReason::limit_in_doubt},
      {"closed and not needed", {}, keep, {.closed = true}},
  });
}

TEST_CASE("what a window lacks and which way the doubt of the saw goes") {
  // 20 with its 0.5 of doubt, and 20.3 less its own: 0.7 apart, though neither excludes the other.
  Bench bench;
  const Plan empty = decide(bench.ask({with_margin(Rule::blockage, bench.read(-20, 0.5)),
                                       with_margin(Rule::mark, bench.read(20.3, 0.5))}));
  REQUIRE(empty.before.holds.size() == 1);
  CHECK(empty.before.holds.front().reason == HoldReason::window_empty);
  CHECK(empty.before.holds.front().apart == Near{0.7});
  // The limit that forbids a cut may stand first.
  const Plan turned = decide(bench.ask({exact(Rule::mark, 10), exact(Rule::blockage, -20)}));
  REQUIRE(turned.before.conflict.has_value());
  CHECK(turned.before.conflict->lower == 1);
  CHECK(turned.before.conflict->upper == 0);

  // At a wanted cut of 20 half a millimetre is left, and only the saw is in doubt: it is no
  // reading.
  Bench saw(1.0);
  DecisionInput question = saw.ask({exact(Rule::blockage, -19.5), exact(Rule::mark, 60)});
  question.wanted = millimetres(20);
  const Plan wanted = decide(question);
  REQUIRE(wanted.before.verdict == Verdict::hold);
  const auto& ways = wanted.before.holds.front().remedies;
  REQUIRE(ways.size() == 1);
  CHECK(ways.front().kind == plan::RemedyKind::no_measuring);
  CHECK_FALSE(ways.front().reading.has_value());
  CHECK(ways.front().settles_within == Near{0.5});
  // With a reading beside it only that one is to be measured again.
  DecisionInput both =
      saw.ask({with_margin(Rule::blockage, saw.read(-19.5, 0.6)), exact(Rule::mark, 60)});
  both.wanted = millimetres(20);
  const Plan with_reading = decide(both);
  for (const plan::Remedy& way : with_reading.before.holds.front().remedies) {
    CHECK(way.reading != plan::Job::saw_row);
  }
}

TEST_CASE("verdicts about a wanted cut") {
  using enum Verdict;
  const Margins needed{.lower = -20};
  check_rows({
      {"inside the window", needed, cut, {.wanted = 30.0}},
      {"at the lower end", needed, cut, {.wanted = 21.0}},
      {"a hair below it", needed, hold, {.wanted = 21 - hair}, HoldReason::limit_in_doubt},
      {"broken by its guard", needed, reject, {.wanted = 19.0}},
      {"a hair less", needed, hold, {.wanted = 19 + hair}, HoldReason::limit_in_doubt},
      {"at the upper end", needed, cut, {.wanted = 49.0}},
      {"a hair above it", needed, hold, {.wanted = 49 + hair}, HoldReason::limit_in_doubt},
      {"broken by its guard", needed, reject, {.wanted = 51.0}},
      {"a hair less", needed, hold, {.wanted = 51 - hair}, HoldReason::limit_in_doubt},
      {"wanted without need is no keep", {}, cut, {.wanted = 30.0}},
      {"a rule of thumb that the cut mends", {.lower_practice = -3}, cut, {.wanted = 30.0}},
      {"one that it does not mend",
       {.lower_practice = -40},
       hold,
       {.wanted = 30.0},
       HoldReason::rule_of_thumb_broken},
      {"one that it breaks",
       {.upper_practice = 20},
       hold,
       {.wanted = 30.0},
       HoldReason::rule_of_thumb_broken},
      {"a fixed limit broken", {.lower = -20, .fixed = -2}, reject, {.wanted = 30.0}},
      {"a fixed limit in doubt",
       {.lower = -20, .fixed = 0.5},
       hold,
       {.wanted = 30.0},
       HoldReason::limit_in_doubt},
      {"uncut in doubt, at the cut not", {.lower = 0.5}, cut, {.wanted = 30.0}},
      // −0.9 each at the cut: both in doubt, though together they exclude each other.
      {"no cut can do, but neither is broken at this one",
       {.lower = -20, .upper = 18.2},
       hold,
       {.wanted = 19.1},
       HoldReason::limit_in_doubt},
      {"without a wanted cut the same is a reject", {.lower = -20, .upper = 18.2}, reject},
      {"the maker not asked",
       needed,
       hold,
       {.wanted = 30.0, .ask_maker = true},
       HoldReason::maker_not_asked},
  });
  // It changes neither the window nor the planned cut.
  const Plan with = plan_for(needed, {.wanted = 30.0});
  const Plan without = plan_for(needed);
  CHECK(with.window == without.window);
  CHECK(with.planned == without.planned);
  CHECK(with.before.at == millimetres(30));
  CHECK(without.before.at == millimetres(21));
}

TEST_CASE("verdicts where something is not known") {
  using enum Verdict;
  Hold apart;
  apart.reason = HoldReason::routes_disagree;
  Hold unknown;
  unknown.reason = HoldReason::mark_unknown;
  check_rows({
      {"routes disagree", {}, hold, {.contradictions = {apart}}, HoldReason::routes_disagree},
      {"they disagree and a limit is broken: nothing is concluded",
       {.upper = -9},
       hold,
       {.contradictions = {apart}},
       HoldReason::routes_disagree},
      {"a mark is unknown", {}, hold, {.unknowns = {unknown}}, HoldReason::mark_unknown},
      {"unknown, but another limit is broken", {.upper = -9}, reject, {.unknowns = {unknown}}},
      {"a second reading is asked for",
       {},
       hold,
       {.twice = true},
       HoldReason::second_reading_missing},
      {"and is there", {}, keep, {.twice = true, .times = 2}},
      {"asked for, but a limit is broken", {.upper = -9}, reject, {.twice = true}},
      {"carbon would be cut",
       {.lower = -20},
       hold,
       {.ask_maker = true},
       HoldReason::maker_not_asked},
      {"carbon would not be cut", {}, keep, {.ask_maker = true}},
      {"carbon, and no cut can do", {.lower = -20, .upper = 3}, reject, {.ask_maker = true}},
  });
}

TEST_CASE("only a share in a guarded limit asks for a second reading") {
  // ±0, or a limit whose guard is 0 by definition: reading it again would change nothing.
  const auto plan_with = [](Rule rule, double within, double slope) {
    Bench bench;
    const LengthEstimate value = slope * bench.read(30, within);
    DecisionInput q = bench.ask({exact(Rule::mark, 50), with_margin(rule, value)});
    q.twice = true;
    return decide(q);
  };
  CHECK(plan_with(Rule::post_minimum, 1, 1).before.verdict == Verdict::hold);
  CHECK(plan_with(Rule::post_minimum, 0, 1).before.verdict == Verdict::keep);
  CHECK(plan_with(Rule::post_minimum, 1, 0).before.verdict == Verdict::keep);
  CHECK(plan_with(Rule::junction, 1, 1).before.verdict == Verdict::keep);
  CHECK(plan_with(Rule::clearance, 1, 1).before.verdict == Verdict::keep);
  CHECK(plan_with(Rule::max_cut, 1, 1).before.verdict == Verdict::keep);
  CHECK(plan_with(Rule::head, 1, 1).before.verdict == Verdict::hold);
}

TEST_CASE("readings that contradict each other hold everything") {
  // |d| <= 2·√2·w/√3 = 1.633·w for two readings of ±w.
  const auto verdict_of = [](double apart) {
    Bench bench;
    Limit limit = with_margin(Rule::mark, bench.read(50, 1));
    DecisionInput q = bench.ask({limit});
    measure::Readings readings = q.readings;
    readings.back().values_base = {50, 50 + apart};
    const DecisionInput again{.readings = readings,
                              .coverage = 2.0,
                              .twice = false,
                              .limits = q.limits,
                              .kerf = q.kerf,
                              .step = q.step,
                              .wanted = std::nullopt,
                              .preferred = std::nullopt};
    return decide(again).before.verdict;
  };
  CHECK(verdict_of(2 * std::sqrt(2.0 / 3)) == Verdict::keep);
  CHECK(verdict_of(2 * std::sqrt(2.0 / 3) + hair) == Verdict::hold);
}

TEST_CASE("in the doubt of a pair cut and saw and shared readings cancel") {
  // Too deep by depth, too short by mark, both through one insertion: only depth and mark are left.
  const auto plan_with = [](double depth_within, bool shared) {
    Bench bench(5.0);
    const auto insertion = bench.read(120, 5);
    const auto again = shared ? insertion : bench.read(120, 5);
    const auto depth = bench.read(100, depth_within);
    return decide(bench.ask(
        {{Rule::blockage, insertion, depth, 1}, {Rule::mark, again, millimetres(100.5)}}));
  };
  // The sum of the margins is −0.5.
  const Plan exact_pair = plan_with(0.0, true);
  CHECK(exact_pair.before.verdict == Verdict::reject);
  REQUIRE(exact_pair.before.conflict.has_value());
  CHECK(exact_pair.before.conflict->short_by == Near{0.5});
  // To settle both, each with the insertion's doubt and the saw's: 2·√(2·25/3) twice.
  CHECK(exact_pair.before.conflict->to_settle == Near{0.5 + 4 * std::sqrt(50.0 / 3)});
  CHECK(plan_with(0.5, true).before.verdict == Verdict::reject);
  CHECK(plan_with(0.5 + hair, true).before.verdict == Verdict::hold);
  CHECK_FALSE(plan_with(0.5 + hair, true).before.conflict.has_value());
  CHECK(plan_with(0.0, false).before.verdict == Verdict::hold);
}

TEST_CASE("the conflict is the worst pair - hard before practice - the first on a tie") {
  Bench bench;
  const auto conflict_of = [&](const std::vector<Limit>& limits) {
    return decide(bench.ask(limits)).before.conflict;
  };
  struct Row {
    std::string_view what;
    std::vector<Limit> limits;
    std::optional<std::array<std::size_t, 2>> want;
    double short_by = 0;
  };
  const Row rows[] = {
      {"none", {exact(Rule::blockage, -20), exact(Rule::mark, 30)}, std::nullopt},
      {"a sum of zero is none", {exact(Rule::blockage, -20), exact(Rule::mark, 20)}, std::nullopt},
      {"one", {exact(Rule::blockage, -20), exact(Rule::mark, 10)}, {{0, 1}}, 10},
      {"the worst lower",
       {exact(Rule::blockage, -20, 1), exact(Rule::blockage, -25, 2), exact(Rule::mark, 10)},
       {{1, 2}},
       15},
      {"the worst upper",
       {exact(Rule::blockage, -20), exact(Rule::mark, 10), exact(Rule::post_minimum, 4),
        exact(Rule::frame_minimum, 9)},
       {{0, 2}},
       16},
      {"hard before a worse rule of thumb",
       {exact(Rule::blockage, -20), exact(Rule::clearance, -35), exact(Rule::mark, 10),
        exact(Rule::junction, 1)},
       {{0, 2}},
       10},
      {"hard after a worse rule of thumb in the table",
       {exact(Rule::clearance, -35), exact(Rule::blockage, -20), exact(Rule::mark, 10)},
       {{1, 2}},
       10},
      {"a rule of thumb where nothing else collides",
       {exact(Rule::blockage, 5), exact(Rule::clearance, -12), exact(Rule::mark, 10)},
       {{1, 2}},
       2},
      {"the first lower on a tie",
       {exact(Rule::blockage, -20, 1), exact(Rule::blockage, -20, 2), exact(Rule::mark, 10)},
       {{0, 2}},
       10},
      {"the first upper on a tie",
       {exact(Rule::blockage, -20), exact(Rule::mark, 10), exact(Rule::post_minimum, 10)},
       {{0, 1}},
       10},
      {"by the lower before the upper",
       {exact(Rule::blockage, -20, 1), exact(Rule::blockage, -25, 2), exact(Rule::mark, 15),
        exact(Rule::post_minimum, 10)},
       {{1, 3}},
       15},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto conflict = conflict_of(row.limits);
    REQUIRE(conflict.has_value() == row.want.has_value());
    if (conflict) {
      CHECK(conflict->lower == row.want->at(0));
      CHECK(conflict->upper == row.want->at(1));
      CHECK(conflict->short_by == Near{row.short_by});
    }
  }
}

TEST_CASE("the readings of a rule of thumb count in the doubt of its pair") {
  Bench bench;
  const auto air = bench.read(-12, 3);
  const auto conflict = [&](double mark) {
    return decide(bench.ask({with_margin(Rule::clearance, air), exact(Rule::mark, mark)}))
        .before.conflict;
  };
  CHECK(conflict(9).has_value());
  CHECK_FALSE(conflict(9 + hair).has_value());
}

TEST_CASE("the governing limits are those that make the window") {
  Bench bench;
  const auto governs = [&](std::vector<Limit> limits) {
    std::vector<bool> flags;
    for (const auto& limit : decide(bench.ask(std::move(limits))).before.limits) {
      flags.push_back(limit.governs);
    }
    return flags;
  };
  CHECK(governs({exact(Rule::blockage, -20), exact(Rule::clearance, -22), exact(Rule::mark, 60),
                 exact(Rule::floor_round, 50), exact(Rule::head, 3)}) ==
        std::vector{false, true, false, true, false});
  // A lower limit that holds uncut governs nothing; the upper one that comes first always does.
  CHECK(governs({exact(Rule::blockage, 20), exact(Rule::mark, 60), exact(Rule::head, 3)}) ==
        std::vector{false, true, false});
  CHECK(governs({exact(Rule::blockage, 20), exact(Rule::mark, 60), exact(Rule::head, -3)}) ==
        std::vector{false, true, true});
  CHECK(governs({exact(Rule::mark, 60), exact(Rule::bore_fit, -0.1)}) == std::vector{true, true});
  CHECK(governs({exact(Rule::blockage, -20, 1), exact(Rule::blockage, -20, 2),
                 exact(Rule::mark, 60), exact(Rule::post_minimum, 60)}) ==
        std::vector{true, false, true, false});
}

TEST_CASE("the limit that governs is found with the guards at a cut") {
  // Uncut the margins say the other one: −20 is worse than −19.5, but ±2 makes 21.5 of it.
  Bench bench;
  const Plan plan =
      decide(bench.ask({exact(Rule::clearance, -20),
                        with_margin(Rule::blockage, bench.read(-19.5, 2)), exact(Rule::mark, 60)}));
  CHECK(plan.window->lo == Near{21.5});
  CHECK_FALSE(plan.before.limits.at(0).governs);
  CHECK(plan.before.limits.at(1).governs);
  // Only the saw makes it so: 19.7 and 0.5 are more than 20, which is compared as marked.
  Bench sawn(0.5);
  const Plan by_saw = decide(
      sawn.ask({exact(Rule::clearance, -20), exact(Rule::blockage, -19.7), exact(Rule::mark, 60)}));
  CHECK(by_saw.window->lo == Near{20.2});
  CHECK_FALSE(by_saw.before.limits.at(0).governs);
  CHECK(by_saw.before.limits.at(1).governs);
}

TEST_CASE("limits stand with what they have and need at the cut") {
  Bench bench;
  const Plan plan = decide(bench.ask({{Rule::blockage, millimetres(260), millimetres(225), 1},
                                      {Rule::mark, millimetres(260), millimetres(100)},
                                      {Rule::max_cut, Length{}, millimetres(80)},
                                      {Rule::head, millimetres(140), millimetres(60)}}));
  REQUIRE(plan.before.at == millimetres(35));
  const double has[] = {225, 225, 35, 140};
  const double has_uncut[] = {260, 260, 0, 140};
  const double margin[] = {0, 125, 45, 80};
  for (std::size_t i = 0; i < 4; ++i) {
    CAPTURE(plan.before.limits.at(i).id());
    CHECK(plan.before.limits.at(i).has == Near{has[i]});
    CHECK(plan.before.limits.at(i).has_uncut == Near{has_uncut[i]});
    CHECK(plan.before.limits.at(i).at.margin == Near{margin[i]});
  }
}

TEST_CASE("a wanted cut less than a saw takes off is a hold") {
  // A kerf of 1 and 2 more.
  Bench bench;
  const auto with = [&](double wanted) {
    DecisionInput q = bench.ask({exact(Rule::blockage, -1), exact(Rule::mark, 60)});
    q.wanted = millimetres(wanted);
    return decide(q);
  };
  for (const double thin : {2.9, 3 - hair}) {
    const Plan plan = with(thin);
    CHECK(plan.before.verdict == Verdict::hold);
    CHECK(planned::holds_for(plan, plan::HoldReason::wanted_below_least));
    CHECK(*plan.planned == Near{3});
    CHECK(plan.window->lo == Near{1});
  }
  CHECK(with(3).before.verdict == Verdict::cut);
  CHECK(with(3 - hair / 1e4).before.verdict == Verdict::cut);
}

TEST_CASE("a hold names the readings by their share of the variance") {
  Bench bench(0.5);
  const auto small = bench.read(10, 0.5);
  const auto large = bench.read(10.2, 1.0);
  const Plan plan = decide(bench.ask({{Rule::blockage, small, large, 1}, exact(Rule::mark, 60)}));
  REQUIRE(plan.before.verdict == Verdict::hold);
  REQUIRE(plan.before.holds.size() == 1);
  const auto& remedies = plan.before.holds.at(0).remedies;
  REQUIRE(remedies.size() == 3);
  // 1² and 0.5² of 1.25; the saw is no reading. Neither alone settles 0.2 of margin: without the
  // larger 2·0.5/√3 is left, or 0.5. Both within w do: 2·w·√(2/3) = 0.2.
  CHECK(remedies.at(0).kind == plan::RemedyKind::measure_all);
  CHECK(remedies.at(0).reading == 3);
  CHECK(remedies.at(0).settles_within == Near{0.1 * std::sqrt(1.5), 1e-3});
  CHECK(remedies.at(1).reading == 3);
  CHECK(remedies.at(1).share == Near{0.8});
  CHECK(remedies.at(1).guard_then == Near{0.5});
  CHECK(remedies.at(2).reading == 2);
  CHECK(remedies.at(2).share == Near{0.2});
}

TEST_CASE("a hold says when no measuring settles it") {
  // 0.05 of margin, and 2·0.1·√(2/3) of doubt is left with both readings as good as can be.
  Bench bench(0.5);
  const auto small = bench.read(10, 0.5);
  const auto large = bench.read(10.05, 1.0);
  const Plan plan = decide(bench.ask({{Rule::blockage, small, large, 1}, exact(Rule::mark, 60)}));
  const auto& remedies = plan.before.holds.at(0).remedies;
  REQUIRE(remedies.size() == 1);
  CHECK(remedies.at(0).kind == plan::RemedyKind::no_measuring);
  CHECK(remedies.at(0).reading == 3);
  CHECK(remedies.at(0).guard_then == Near{0.2 * std::sqrt(2.0 / 3.0)});
}

TEST_CASE("a reading with little of the doubt is not measured again") {
  const auto named = [](double small_within) {
    Bench bench;
    const auto small = bench.read(10, small_within);
    const auto large = bench.read(10.2, 1.0);
    const Plan plan = decide(bench.ask({{Rule::blockage, small, large, 1}, exact(Rule::mark, 60)}));
    const auto& remedies = plan.before.holds.at(0).remedies;
    return std::ranges::count(remedies, plan::RemedyKind::measure_again, &plan::Remedy::kind);
  };
  // w² / (1 + w²): 0.2² has 0.038 of it, 0.25² has 0.059.
  CHECK(named(0.2) == 1);
  CHECK(named(0.25) == 2);
}

TEST_CASE("limits as they stand are judged without a saw") {
  Bench bench(5.0);
  const auto inserted = bench.read(100.5, 0.5);
  const auto q = bench.ask({{Rule::mark, inserted, millimetres(100)},
                            {Rule::post_minimum, inserted, millimetres(101)},
                            {Rule::floor_round, inserted, millimetres(100.6)}});
  const auto judged = plan::judge_as_it_stands(q.limits, q.readings, q.coverage);
  REQUIRE(judged.size() == 3);
  CHECK(judged.at(0).at.status == measure::Status::holds);
  CHECK(judged.at(1).at.status == measure::Status::broken);
  CHECK(judged.at(2).at.status == measure::Status::in_doubt);
  CHECK(judged.at(0).at.guard == Near{0.5});
}
