#include "kerfmark/report/odds.hpp"

#include <cmath>
#include <cstddef>
#include <functional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "../languages.hpp"
#include "../plan/planned.hpp"

using namespace kerfmark;
using planned::english;
using planned::german;

namespace {

/// A guarded limit with a reading in it.
plan::JudgedLimit limit_with(double odds) {
  plan::JudgedLimit limit;
  limit.rule = plan::Rule::mark;
  limit.doubt = {{2, 1.0}};
  limit.at.odds = odds;
  return limit;
}

std::string spoken(double odds, const text::Words& words = english()) {
  const plan::JudgedLimit limit = limit_with(odds);
  return report::spoken_odds(limit, limit.at, words);
}

plan::Trials trials_of(const plan::Job& job, const plan::Plan& plan, bool uncut = false) {
  return plan::run_trials(job, plan, {.count = 20'000, .uncut = uncut},
                          [](std::size_t count, const std::function<void(std::size_t)>& task) {
                            for (std::size_t i = 0; i < count; ++i) {
                              task(i);
                            }
                          });
}

constexpr std::string_view post = R"(kind = "seatpost"
[saddle]
height = 607
rail_to_top = 45
[frame]
seat_tube = 420
seat_angle = 73
max_rider = 100
[[frame.blockage]]
depth = 225
[post]
length = 400
diameter = 27.2
mark = 100
material = "aluminium"
cutting = "allowed"
[rider]
mass = 80
)";

}  // namespace

TEST_CASE("odds are spoken with care") {
  struct Row {
    double odds;
    std::string_view want;
  };
  // Worked by hand: 1 in N of the smaller side, N whole up to 100 and in tens above, down for a
  // failure that is feared and up for a success that is hoped for.
  const std::vector<Row> rows = {
      {1.0, "less than 1 in 1,000 that it does not hold"},
      {1 - 0.9999e-3, "less than 1 in 1,000 that it does not hold"},
      {1 - 1.0001e-3, "1 in 990 that it does not hold"},
      {1 - 1.0 / 455, "1 in 450 that it does not hold"},
      {1 - 1.0 / 100, "1 in 100 that it does not hold"},
      {1 - 1.0 / 99.9, "1 in 99 that it does not hold"},
      {1 - 1.0 / 48, "1 in 48 that it does not hold"},
      {1 - 1.0 / 48.9, "1 in 48 that it does not hold"},
      {0.75, "1 in 4 that it does not hold"},
      {1 - 0.3333, "1 in 3 that it does not hold"},
      {1 - 0.334, "2 in 5 that it does not hold"},
      {0.6001, "2 in 5 that it does not hold"},
      {0.5999, "even odds"},
      {0.5, "even odds"},
      {0.4001, "even odds"},
      {0.3999, "1 in 3 that it holds"},
      {0.3333, "1 in 4 that it holds"},
      {0.25, "1 in 4 that it holds"},
      {1.0 / 48, "1 in 48 that it holds"},
      {1.0 / 48.1, "1 in 49 that it holds"},
      {1.0 / 455, "1 in 460 that it holds"},
      {1.0001e-3, "1 in 1000 that it holds"},
      {0.9999e-3, "less than 1 in 1,000 that it holds"},
      {0.0, "less than 1 in 1,000 that it holds"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.odds);
    CHECK(spoken(row.odds) == row.want);
  }
}

TEST_CASE("spoken odds are never better than the odds") {
  // What is said as a probability that it holds, read back from the words.
  for (double odds = 0.0; odds <= 1.0; odds += 0.0007) {
    const std::string said = spoken(odds);
    CAPTURE(said);
    double number = 0.0;
    for (const char c : said.substr(std::min(said.size(), std::size_t{5}))) {
      if (c < '0' || c > '9') {
        break;
      }
      number = number * 10 + (c - '0');
    }
    if (said.starts_with("1 in ")) {
      CHECK(odds >= (said.ends_with("not hold") ? 1 - 1 / number : 1 / number) - 1e-9);
    } else if (said.starts_with("2 in 5")) {
      CHECK(odds >= 0.6 - 1e-9);
    } else if (said == "even odds") {
      CHECK(std::abs(odds - 0.5) <= 0.1);
    } else {
      CHECK((odds > 0.999 || odds < 0.001));
    }
  }
}

TEST_CASE("a limit without doubt or without a guard has no odds") {
  plan::JudgedLimit limit = limit_with(0.5);
  limit.rule = plan::Rule::clearance;
  CHECK_FALSE(report::has_odds(limit));
  CHECK(report::spoken_odds(limit, limit.at, english()) == "as marked");
  limit.rule = plan::Rule::max_cut;
  CHECK(report::spoken_odds(limit, limit.at, english()) == "as marked");
  limit.rule = plan::Rule::mark;
  CHECK(report::has_odds(limit));
  limit.doubt.clear();
  CHECK_FALSE(report::has_odds(limit));
  CHECK(report::spoken_odds(limit, limit.at, english()) == "no doubt");
}

TEST_CASE("odds in German") {
  CHECK(spoken(1.0, german()) == "in weniger als 1 von 1.000 Fällen nicht eingehalten");
  CHECK(spoken(1 - 1.0 / 48, german()) == "in 1 von 48 Fällen nicht eingehalten");
  CHECK(spoken(0.5, german()) == "halb und halb");
}

TEST_CASE("a table of trials") {
  const plan::Job job = planned::job_of(post);
  const plan::Plan plan = plan::plan_cut(job);
  plan::Trials trials = trials_of(job, plan);
  plan::LimitTrials& first = trials.limits.at(0);
  first.margin.interval = {-0.43, 5.31};
  first.holds = 0.98799;
  first.beyond_guard = 0.02141;
  first.first_order = {-0.5, 5.4};
  first.validates = true;
  const auto row_of = [&](const plan::Trials& t) {
    const std::string text = report::trials_report(plan, t, {}, english());
    const auto from = text.find("blockage-1");
    return text.substr(from, text.find('\n', from) - from);
  };
  // Ends outwards; what is hoped for down, what is feared up.
  CHECK(row_of(trials) == "blockage-1    -0.5    5.4   98.7 %       2.2 %  agrees");
  first.validates = std::nullopt;
  CHECK(row_of(trials).ends_with("2.2 %  too few trials"));
  first.validates = false;
  CHECK(row_of(trials).ends_with("2.2 %  wider, safe"));
  first.first_order.low = -0.42;
  CHECK(row_of(trials).ends_with("2.2 %  too narrow"));
  const std::string text = report::trials_report(plan, trials, {}, english());
  CHECK(text.find("20,000 trials of these limits, readings drawn anew (seed 101)") !=
        std::string::npos);
  CHECK(text.find("clearance-1") != std::string::npos);
  CHECK(text.find("triangle") == std::string::npos);
  trials.impossible = 1234;
  CHECK(report::trials_report(plan, trials, {}, english()).find("In 1,234 of the trials") !=
        std::string::npos);
}

TEST_CASE("a table of trials fits a narrow page and plain characters") {
  const plan::Job job = planned::job_of(post);
  const plan::Plan plan = plan::plan_cut(job);
  const plan::Trials trials = trials_of(job, plan);
  for (const std::size_t width : {std::size_t{40}, std::size_t{60}, std::size_t{80}}) {
    CAPTURE(width);
    const std::string text =
        report::trials_report(plan, trials, {.width = width, .utf8 = false}, english());
    std::size_t start = 0;
    while (start < text.size()) {
      const std::size_t end = text.find('\n', start);
      REQUIRE(end != std::string::npos);
      CHECK(end - start <= width);
      start = end + 1;
    }
    for (const char c : text) {
      CHECK(static_cast<unsigned char>(c) < 0x80);
    }
    CHECK((text.find("past doubt") != std::string::npos) == (width >= 80));
  }
}

TEST_CASE("a table of trials in German has no English word and no decimal point") {
  const plan::Job job = planned::job_of(post);
  const plan::Plan plan = plan::plan_cut(job);
  plan::Trials trials = trials_of(job, plan);
  trials.impossible = 1234;
  trials.limits.at(0).validates = true;
  trials.limits.at(1).validates = std::nullopt;
  trials.limits.at(2).validates = false;
  trials.limits.at(3).validates = false;
  trials.limits.at(3).first_order.low = 1e3;
  const std::string text = report::trials_report(plan, trials, {}, german());
  CHECK(text.find("20.000 Versuche") != std::string::npos);
  const std::set<std::string> forbidden = languages::english_only();
  for (const std::string& word : languages::words_in(text)) {
    CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
  }
  CHECK_FALSE(languages::has_decimal_point(text.substr(0, text.find("JCGM"))));
  // Every sentence of the table is in it.
  std::set<std::string> said;
  languages::note_keys(
      report::trials_report(plan, trials, {.width = 1000}, languages::told_by_key()), said);
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    if (key.starts_with("report.trials.") && key != "report.trials.thousands") {
      CHECK_MESSAGE(said.contains(std::string(key)), key);
    }
  }
}
