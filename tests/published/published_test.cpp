#include <charconv>
#include <cmath>
#include <fstream>
#include <functional>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/measure/drawn.hpp"
#include "kerfmark/measure/odds.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/trials.hpp"

// Our figures against documents of others. Each *.tsv here starts with its card: document, edition,
// clause, and whether the text, a secondary source or nothing but memory stands behind it.

using namespace kerfmark;
using measure::Status;
using plan::Plan;
using planned::limit_of;
using planned::Near;
using planned::number;
using planned::plan_of;

namespace {

using Row = std::map<std::string, std::string, std::less<>>;

std::vector<std::string> fields_of(const std::string& line) {
  std::vector<std::string> fields(1);
  for (const char c : line) {
    if (c == '\t') {
      fields.emplace_back();
    } else {
      fields.back() += c;
    }
  }
  return fields;
}

double number_in(const Row& row, std::string_view column) {
  const auto found = row.find(column);
  INFO("column ", column);
  REQUIRE(found != row.end());
  double value = 0.0;
  const char* const end = found->second.data() + found->second.size();
  const auto [stop, error] = std::from_chars(found->second.data(), end, value);
  REQUIRE(error == std::errc{});
  REQUIRE(stop == end);
  return value;
}

bool yes_in(const Row& row, std::string_view column) {
  const std::string& word = row.find(column)->second;
  REQUIRE((word == "yes" || word == "no"));
  return word == "yes";
}

/// The rows of a file, which must be as many as are asked for and as its card says.
std::vector<Row> load(const std::string& name, std::size_t rows) {
  CAPTURE(name);
  std::ifstream file(std::string(KERFMARK_TESTS) + "/published/" + name);
  REQUIRE(file.is_open());
  std::map<std::string, std::string> card;
  std::vector<std::string> header;
  std::vector<Row> table;
  for (std::string line; std::getline(file, line);) {
    if (line.starts_with("# ")) {
      const auto colon = line.find(": ");
      REQUIRE(colon != std::string::npos);
      card[line.substr(2, colon - 2)] = line.substr(colon + 2);
    } else if (header.empty()) {
      header = fields_of(line);
    } else {
      const auto fields = fields_of(line);
      REQUIRE(fields.size() == header.size());
      Row row;
      for (std::size_t i = 0; i < fields.size(); ++i) {
        row[header[i]] = fields[i];
      }
      table.push_back(row);
    }
  }
  for (const auto* const entry : {"document", "edition", "clause", "status", "changed", "rows"}) {
    CAPTURE(entry);
    REQUIRE_FALSE(card[entry].empty());
  }
  const std::set<std::string> statuses = {"text read", "secondary source", "from memory"};
  REQUIRE(statuses.count(card["status"]) == 1);
  REQUIRE(std::to_string(table.size()) == card["rows"]);
  REQUIRE(table.size() == rows);
  return table;
}

/// A post read without any doubt, by a saw without any.
std::string exact_post(double length, double extension, double mark, double diameter,
                       const std::string& rest) {
  const auto exact = [](double value) { return "{ read = " + number(value) + ", within = 0 }"; };
  return "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = " + exact(extension) +
         "\n[post]\nlength = " + exact(length) + "\nmark = " + exact(mark) +
         "\ndiameter = " + number(diameter) +
         "\nmaterial = \"aluminium\"\ncutting = \"allowed\"\n" + rest + "[saw]\nwithin = 0\n";
}

const plan::Instrument& instrument(std::string_view name) {
  const auto found = std::ranges::find(plan::instruments(), name, &plan::Instrument::name);
  REQUIRE(found != plan::instruments().end());
  return *found;
}

/// The largest values that keys take by this instrument, however a saddle height is measured.
std::vector<double> longest_uses(std::string_view name) {
  std::vector<double> uses;
  using enum plan::HeightMeasured;
  for (const auto measured : {along_tube, extension}) {
    for (const auto from : {plan::HeightFrom::bb, plan::HeightFrom::pedal_axle}) {
      plan::Job job;
      job.saddle.measured = measured;
      job.saddle.from = from;
      for (const plan::Key& key : plan::keys()) {
        if (key.instrument_for(job) == name) {
          uses.push_back(key.range_for(job)->most);
        }
      }
    }
  }
  REQUIRE(uses.size() > 4);
  return uses;
}

/// The limit of the shortest row that is long enough.
double limit_at(const std::vector<Row>& table, double length) {
  for (const Row& row : table) {
    if (length <= number_in(row, "longest")) {
      return number_in(row, "limit");
    }
  }
  FAIL("used beyond the longest that is published");
  return 0.0;
}

}  // namespace

TEST_CASE("a round post keeps two diameters in the frame") {
  for (const Row& row : load("insertion_floor_round.tsv", 5)) {
    const double floor = number_in(row, "floor");
    CAPTURE(floor);
    const double diameter = number_in(row, "diameter");
    const auto status_at = [&](double insertion) {
      const Plan plan = plan_of(exact_post(300, 300 - insertion, 20, diameter, ""));
      CHECK(limit_of(plan, "floor").needs == Near{floor});
      CHECK(limit_of(plan, "floor").row().source.find("16 CFR 1512.15(b)") == 0);
      return limit_of(plan, "floor").at.status;
    };
    CHECK(status_at(floor) == Status::holds);
    CHECK(status_at(floor - 0.1) == Status::broken);
  }
}

TEST_CASE("a post of any other section keeps 65") {
  for (const Row& row : load("insertion_floor_other.tsv", 3)) {
    const double width = number_in(row, "width");
    CAPTURE(width);
    const double floor = number_in(row, "floor");
    const auto status_at = [&](double insertion) {
      const Plan plan =
          plan_of(exact_post(300, 300 - insertion, 20, width, "section = \"other\"\n"));
      CHECK(limit_of(plan, "floor").needs == Near{floor});
      CHECK(limit_of(plan, "floor").row().source.find("ISO 4210-2:2014 4.16.2") == 0);
      return limit_of(plan, "floor").at.status;
    };
    CHECK(status_at(floor) == Status::holds);
    CHECK(status_at(floor - 0.1) == Status::broken);
  }
  // Round equals it at 32.5.
  CHECK(limit_of(plan_of(exact_post(300, 200, 20, 32.5, "")), "floor").needs == Near{65});
}

TEST_CASE("a mark that nobody makes again after a cut") {
  // Ridden with the printed mark at the collar: what is inserted is the mark less the cut.
  for (const Row& row : load("unmarked_cut.tsv", 2)) {
    const double cut = number_in(row, "cut");
    CAPTURE(cut);
    const double mark = number_in(row, "mark");
    const Plan plan = plan_of(exact_post(400, 400 - mark, mark, number_in(row, "diameter"), "") +
                              "wanted = " + number(cut) + "\n");
    const bool above = limit_of(plan, "floor").at.status == Status::holds;
    CHECK(above == yes_in(row, "above_floor"));
    // Either way the mark is void, and the plan never takes such a cut for a good one.
    CHECK(plan.before.verdict == plan::Verdict::reject);
  }
}

TEST_CASE("a steerer ends no more than 5 below the top of its stem") {
  for (const Row& row : load("stem_recess.tsv", 5)) {
    const double g = number_in(row, "g");
    const double within = number_in(row, "within");
    CAPTURE(g);
    CAPTURE(within);
    // Nothing above the stem: its top is the top of the stack.
    const Plan plan = plan_of(
        "kind = \"steerer\"\nsteerer = { material = \"steel\" }\nstem = { clamp = 40 }\n"
        "spacers = { below = 20 }\nmock_up = { stands_proud = { read = " +
        number(-g) + ", within = " + number(within) + " } }\n");
    const auto& limit = limit_of(plan, "stem-recess");
    CHECK((limit.uncut.status == Status::holds) == yes_in(row, "accepted"));
    CHECK(limit.needs == 5.0);
    CHECK(limit.row().source == "ISO 4210-2:2014 4.7.4");
  }
}

TEST_CASE("a handlebar is no narrower than the standard has it") {
  for (const Row& row : load("bar_width.tsv", 5)) {
    const double width = number_in(row, "width");
    CAPTURE(width);
    const Plan plan =
        plan_of("kind = \"handlebar\"\nhandlebar = { width = { read = " + number(width) +
                ", within = " + number(number_in(row, "within")) +
                " }, wanted = 350, material = \"steel\" }\n");
    const auto& limit = limit_of(plan, "norm-least");
    CHECK((limit.uncut.status == Status::holds) == yes_in(row, "accepted"));
    CHECK(limit.needs == 350.0);
    CHECK(limit.row().source.starts_with("ISO 4210-2:2014 4.7 "));
    CHECK(limit.row().source.ends_with("from memory)"));
  }
}

TEST_CASE("the saddle is highest with the mark at the collar") {
  for (const Row& row : load("highest_saddle.tsv", 2)) {
    const double length = number_in(row, "length");
    CAPTURE(length);
    const Plan plan = plan_of(exact_post(length, 150, number_in(row, "mark"), 27.2, ""));
    REQUIRE(plan.before.seatpost->saddle_range_uncut.has_value());
    CHECK(*plan.before.seatpost->saddle_range_uncut->hi == Near{number_in(row, "extension")});
  }
}

TEST_CASE("no instrument is taken for better than its standard asks") {
  const auto classes = load("tape.tsv", 3);
  const Row& class_two = classes.at(1);
  REQUIRE(class_two.at("class") == "II");
  for (const double use : longest_uses("tape")) {
    CAPTURE(use);
    const double metres = std::ceil(use / 1000);
    const double limit =
        number_in(class_two, "a") + number_in(class_two, "b") * metres + number_in(class_two, "c");
    CHECK(instrument("tape").half_width_base >= limit);
  }
  const auto rules = load("steel_rule.tsv", 2);
  for (const double use : longest_uses("steel rule")) {
    CHECK(instrument("steel rule").half_width_base >= limit_at(rules, use));
  }
  const auto calipers = load("caliper.tsv", 3);
  for (const double use : longest_uses("caliper")) {
    CHECK(instrument("caliper").half_width_base >=
          limit_at(calipers, use) + number_in(calipers.front(), "more_for_depths"));
  }
}

TEST_CASE("a class III tape from its hook needs a half-width of its own") {
  // At up to 1 m its limit is 1.3, more than the built-in ±1; up to 2 m it is 1.7, and ±2 covers
  // it.
  const auto classes = load("tape.tsv", 3);
  const Row& class_three = classes.at(2);
  const auto limit = [&](double metres) {
    return number_in(class_three, "a") + number_in(class_three, "b") * metres +
           number_in(class_three, "c");
  };
  CHECK(limit(1) > instrument("tape").half_width_base);
  CHECK(limit(2) < 2.0);
}

TEST_CASE("inches and pounds") {
  for (const Row& row : load("units.tsv", 6)) {
    const std::string& written = row.at("written");
    CAPTURE(written);
    // Products of two decimals miss by one place of the last bit.
    const Near want{number_in(row, "value"), 1e-13};
    if (row.at("dimension") == "length") {
      const auto read = measure::read_quantity<measure::Dimension::length>(written);
      REQUIRE(std::holds_alternative<measure::Length>(read));
      CHECK(std::get<measure::Length>(read).in_mm() == want);
    } else {
      REQUIRE(row.at("dimension") == "mass");
      const auto read = measure::read_quantity<measure::Dimension::mass>(written);
      REQUIRE(std::holds_alternative<measure::Mass>(read));
      CHECK(std::get<measure::Mass>(read).in_kg() == want);
    }
  }
}

TEST_CASE("two routes agree up to an E_n of 1") {
  for (const Row& row : load("agreement.tsv", 3)) {
    const double apart = number_in(row, "x") - number_in(row, "X");
    const double U_x = number_in(row, "U_x");
    const double U_X = number_in(row, "U_X");
    CAPTURE(apart);
    CHECK(apart / std::hypot(U_x, U_X) == Near{number_in(row, "E_n"), 5e-4});
    const bool agree = yes_in(row, "agree");
    CHECK(measure::routes_agree(apart, std::hypot(U_x, U_X) / 2, 2) == agree);
    // The same as two routes to the gap of a steerer: U = 2·w/√3, parts 0 and mock-up `apart`.
    const auto within = [](double U) { return number(U * std::sqrt(3.0) / 2); };
    const Plan plan = plan_of(
        "kind = \"steerer\"\n[steerer]\nmaterial = \"steel\"\nlength = { read = 220, within = " +
        within(U_x) +
        " }\n[frame]\nhead_tube = { read = 150, within = 0 }\n"
        "[headset]\nlower = { read = 0, within = 0 }\nupper = { read = 10, within = 0 "
        "}\n[stem]\nclamp = { read = 40, within = 0 }\n"
        "[spacers]\nbelow = { read = 20, within = 0 }\n[mock_up]\nstands_proud = { read = " +
        number(apart) + ", within = " + within(U_X) + " }\n");
    CHECK(planned::holds_for(plan, plan::HoldReason::routes_disagree) == !agree);
  }
}

namespace {

void in_turn(std::size_t count, const std::function<void(std::size_t)>& task) {
  for (std::size_t i = 0; i < count; ++i) {
    task(i);
  }
}

/// The trials of a steerer whose gap is the sum of four readings with these standard uncertainties.
plan::LimitTrials trials_of_four(const std::vector<double>& u) {
  const auto reading = [&](double value, double standard_uncertainty) {
    return "{ read = " + number(value) +
           ", within = " + number(standard_uncertainty * std::sqrt(3.0)) + " }";
  };
  const plan::Job job = planned::job_of(
      "kind = \"steerer\"\nsaw = { within = 0 }\n[steerer]\nmaterial = \"steel\"\nlength = " +
      reading(220, u.at(0)) + "\n[frame]\nhead_tube = " + reading(130, u.at(1)) +
      "\n[headset]\nlower = { read = 0, within = 0 }\nupper = " + reading(30, u.at(2)) +
      "\n[stem]\nclamp = " + reading(45, u.at(3)) +
      "\n[spacers]\nbelow = { read = 20, within = 0 }\n");
  const Plan plan = plan::plan_cut(job);
  const plan::Trials trials = plan::run_trials(job, plan, {.count = 1'000'000}, in_turn);
  const auto& preload = limit_of(plan, "preload");
  CHECK(preload.at.margin == Near{5.0});
  return trials.limits.at(static_cast<std::size_t>(&preload - plan.before.limits.data()));
}

/// Ends of the interval around what is expected of them, and whether first order is validated.
void check_sum(const Row& row, const measure::Drawn& drawn, double nominal,
               std::optional<bool> validated) {
  const double u = number_in(row, "u");
  const double reach = number_in(row, "reach");
  // Three standard errors of an end of 10⁶ trials, 0.0027·u each, and half the last digit printed.
  const double within = 3 * 0.0027 * u + 0.005 * (u > 10 ? 10 : 1);
  CHECK(drawn.mean == Near{nominal, 3 * u / 1000});
  CHECK(drawn.standard_deviation == Near{u, 0.005 * u});
  CHECK(drawn.interval.low == Near{nominal - reach, within});
  CHECK(drawn.interval.high == Near{nominal + reach, within});
  const auto first_order = measure::normal_interval(nominal, u);
  CHECK(first_order.high - nominal ==
        Near{number_in(row, "first_order"), reach > 10 ? 0.05 : 0.005});
  CHECK(validated == yes_in(row, "validated"));
}

}  // namespace

TEST_CASE("the sum of four readings") {
  const auto rows = load("sum_of_four.tsv", 2);
  REQUIRE(rows.at(0).at("shape") == "normal");
  std::mt19937_64 random(101);
  std::normal_distribution<double> one;
  std::vector<double> sums(1'000'000);
  for (double& sum : sums) {
    sum = one(random) + one(random) + one(random) + one(random);
  }
  const measure::Drawn drawn = measure::drawn_from(sums);
  check_sum(rows.at(0), drawn, 0.0,
            measure::validates(measure::normal_interval(0.0, 2.0), drawn,
                               measure::numerical_tolerance(2.0)));

  REQUIRE(rows.at(1).at("shape") == "rectangular");
  const plan::LimitTrials trials = trials_of_four({1, 1, 1, 1});
  CHECK(trials.tolerance == Near{0.05});
  check_sum(rows.at(1), trials.margin, 5.0, trials.validates);
  // In closed form, to three standard errors.
  const double reach = 2 * std::sqrt(3.0) * (2 - std::pow(0.6, 0.25));
  CHECK(trials.margin.interval.high == Near{5.0 + reach, 3 * 0.0027 * 2});
}

TEST_CASE("the sum of four readings of which one is large") {
  const auto rows = load("sum_with_one_large.tsv", 1);
  const plan::LimitTrials trials = trials_of_four({1, 1, 1, 10});
  check_sum(rows.front(), trials.margin, 5.0, trials.validates);
}

TEST_CASE("the logarithm of a rectangle") {
  const auto rows = load("logarithm.tsv", 1);
  const Row& row = rows.front();
  std::mt19937_64 random(101);
  std::uniform_real_distribution<double> x(0.1, 1.1);
  std::vector<double> logarithms(1'000'000);
  for (double& y : logarithms) {
    y = std::log(x(random));
  }
  const measure::Drawn drawn = measure::drawn_from(logarithms);
  // Three standard errors of a mean of 10⁶ are 0.0018, and half the last digit printed.
  CHECK(drawn.mean == Near{number_in(row, "mean"), 0.0025});
  CHECK(drawn.standard_deviation == Near{number_in(row, "u"), 0.0025});
  const double y = std::log(0.6);
  const double u = 1 / 0.6 / std::sqrt(12.0);
  CHECK(y == Near{number_in(row, "first_order"), 5e-4});
  CHECK(u == Near{number_in(row, "first_order_u"), 5e-4});
  CHECK(measure::validates(measure::normal_interval(y, u), drawn,
                           measure::numerical_tolerance(u)) == false);
}

TEST_CASE("a budget that one rectangle dominates") {
  const auto rows = load("caliper_budget.tsv", 1);
  const Row& row = rows.front();
  measure::Readings readings;
  measure::Slopes slopes;
  for (const auto* const part : {"reference", "thermal", "resolution", "mechanical"}) {
    slopes.push_back({static_cast<std::uint32_t>(readings.size()), 1.0});
    readings.push_back(
        {part, measure::Dimension::length, {0.0}, number_in(row, part), "", measure::Place{}});
  }
  const double u = measure::standard_uncertainty(slopes, readings);
  CHECK(u == Near{number_in(row, "u"), 0.05});
  // The half-width of the interval that holds 95 %: where 97.5 % lie below.
  const measure::Spread spread = measure::spread_of(slopes, readings);
  double inside = 0.0;
  double outside = 4 * u;
  while (outside - inside > 1e-6) {
    const double middle = (inside + outside) / 2;
    (measure::probability_of_at_least_0(middle, spread) < 0.975 ? inside : outside) = middle;
  }
  CHECK(inside / u == Near{number_in(row, "k"), 0.01});
  CHECK(inside / 1000 == Near{number_in(row, "U_mm"), 0.005});
}

TEST_CASE("probability of conformance") {
  for (const Row& row : load("conformance.tsv", 3)) {
    const double value = number_in(row, "value");
    CAPTURE(value);
    const measure::Spread normal{0, 0, number_in(row, "u")};
    double probability = 1.0;
    if (row.at("least") != "-") {
      probability -=
          1 - measure::probability_of_at_least_0(value - number_in(row, "least"), normal);
    }
    if (row.at("most") != "-") {
      probability -= 1 - measure::probability_of_at_least_0(number_in(row, "most") - value, normal);
    }
    CHECK(probability == Near{number_in(row, "probability"), 1e-3});
  }
}

TEST_CASE("a margin as large as its guard is wrongly passed once in 44 times at most") {
  const auto rows = load("guard_band.tsv", 1);
  const double k = number_in(rows.front(), "k");
  const double risk = number_in(rows.front(), "risk");
  CHECK(1 - measure::probability_of_at_least_0(k, {0, 0, 1}) == Near{risk, 5e-5});
  // Whatever the readings are.
  std::mt19937_64 random(101);
  std::uniform_real_distribution<double> half_width(0, 1);
  for (int draw = 0; draw < 2000; ++draw) {
    measure::Readings readings;
    measure::Slopes slopes;
    for (int i = 0; i <= draw % 8; ++i) {
      const double w = std::pow(half_width(random), 3);
      slopes.push_back({static_cast<std::uint32_t>(i), 1.0});
      readings.push_back({"key", measure::Dimension::length, {0.0}, w, "", measure::Place{}});
    }
    const double margin = measure::guard(slopes, readings, k);
    const double odds =
        measure::probability_of_at_least_0(margin, measure::spread_of(slopes, readings));
    CHECK(1 - odds <= risk);
  }
}
