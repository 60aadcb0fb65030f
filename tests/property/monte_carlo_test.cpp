#include <cmath>
#include <functional>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/measure/odds.hpp"
#include "kerfmark/plan/trials.hpp"
#include "random_job.hpp"
#include "shift.hpp"

using namespace kerfmark;

namespace {

constexpr unsigned jobs_of_a_kind = 150;
constexpr std::size_t draws = 300;

}  // namespace

// Propagation of distributions (JCGM 101:2008): every reading is drawn from its rectangle, the plan
// made anew, and the scatter of each margin held against the first-order u that the plan uses.
TEST_CASE("Monte Carlo agrees with the standard uncertainties of the margins") {
  // A variance of 300 draws scatters by √((κ − 1)/300) of itself; the kurtosis κ is 1.8 for one
  // rectangle and at most 3 for many, so by 5 to 8 %. Five of that is 41 %: one of 3.5 million. The
  // mean of some 2000 such ratios, correlated within a job, must be within 1 % of 1; terms of
  // second order, w²/R with w some mm and R some 100 mm, make less than 1e-4 of it.
  constexpr double for_one = 0.41;
  constexpr double for_all = 0.01;
  double sum = 0.0;
  std::size_t count = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= jobs_of_a_kind; ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = planned::job_of(text);
      // A wish for the bar picks a sum of rings, exact: where it jumps, nothing is propagated.
      if (job.bar.height) {
        continue;
      }
      const plan::Plan plan = plan::plan_cut(job);
      std::vector<double> squares(plan.before.limits.size(), 0.0);
      for (std::size_t draw = 0; draw < draws; ++draw) {
        plan::Job drawn = job;
        for (measure::ReadingIndex i = plan::Job::stock_row + 1; i < job.readings.size(); ++i) {
          const double w = job.readings[i].half_width_base;
          if (w > 0.0) {
            shift(drawn, i, std::uniform_real_distribution<double>(-w, w)(random));
          }
        }
        const plan::Plan there = plan::plan_cut(drawn);
        REQUIRE(there.before.limits.size() == plan.before.limits.size());
        for (std::size_t l = 0; l < squares.size(); ++l) {
          const double off =
              there.before.limits[l].uncut.margin - plan.before.limits[l].uncut.margin;
          squares[l] += off * off;
        }
      }
      for (std::size_t l = 0; l < squares.size(); ++l) {
        const plan::JudgedLimit& limit = plan.before.limits[l];
        CAPTURE(limit.id());
        measure::Slopes uncut = limit.slopes;
        std::erase_if(
            uncut, [](const measure::Slope& slope) { return slope.reading == plan::Job::saw_row; });
        const double u = measure::standard_uncertainty(uncut, job.readings);
        // A margin without doubt, such as that of rings counted as nominal, has no scatter to
        // judge.
        if (u == 0.0) {
          continue;
        }
        const double ratio = squares[l] / static_cast<double>(draws) / (u * u);
        CHECK(ratio == planned::Near{1.0, for_one});
        sum += ratio;
        ++count;
      }
    }
  }
  CHECK(count > 1000);
  CHECK(sum / static_cast<double>(count) == planned::Near{1.0, for_all});
}

namespace {

constexpr std::size_t trials_made = 20'000;

void in_turn(std::size_t count, const std::function<void(std::size_t)>& task) {
  for (std::size_t i = 0; i < count; ++i) {
    task(i);
  }
}

/// Runs the law on every limit with doubt of some hundred jobs of all kinds, and its trials.
void for_limits(const std::function<void(const plan::Job&, const plan::JudgedLimit&,
                                         const plan::LimitTrials&)>& law) {
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= jobs_of_a_kind; ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = planned::job_of(text);
      const plan::Plan plan = plan::plan_cut(job);
      const plan::Trials trials = plan::run_trials(job, plan, {.count = trials_made}, in_turn);
      REQUIRE(trials.limits.size() == plan.before.limits.size());
      CHECK(trials.impossible == 0);
      for (std::size_t l = 0; l < plan.before.limits.size(); ++l) {
        CAPTURE(plan.before.limits[l].id());
        if (measure::standard_uncertainty(plan.before.limits[l].slopes, job.readings) > 0.0) {
          law(job, plan.before.limits[l], trials.limits[l]);
        } else {
          CHECK(trials.limits[l].margin.standard_deviation == 0.0);
        }
      }
    }
  }
}

}  // namespace

TEST_CASE("a guard is no smaller than the quantile it stands for") {
  // k = 2 leaves Φ(−2) = 2.275 % below it (ILAC-G8:09/2019), and a count of trials scatters by
  // √(p(1 − p)/M). A guard that is the worst case leaves nothing, one near it a corner that no
  // trial need meet, and one of 0 is none.
  const double risk = measure::normal_probability(-2.0);
  const double scatter = std::sqrt(risk * (1 - risk) / trials_made);
  std::size_t count = 0;
  for_limits(
      [&](const plan::Job& job, const plan::JudgedLimit& limit, const plan::LimitTrials& trials) {
        const bool by_worst_case =
            limit.at.guard > 0.9 * measure::worst_case(limit.slopes, job.readings);
        if (!plan::is_guarded(limit.row())) {
          CHECK_FALSE(trials.beyond_guard.has_value());
        } else if (job.measuring.coverage == 2.0 && !by_worst_case) {
          REQUIRE(trials.beyond_guard.has_value());
          CHECK(*trials.beyond_guard <= risk + 3 * scatter);
          CHECK(*trials.beyond_guard > 0.0);
          ++count;
        }
      });
  CHECK(count > 800);
}

TEST_CASE("trials scatter as first order says") {
  // The kurtosis of sums of rectangles lies between 1.8 and 3: a variance of 20000 trials scatters
  // by at most √(2/20000) = 1 % of itself. Five of that, and what curvature adds.
  std::size_t count = 0;
  for_limits(
      [&](const plan::Job& job, const plan::JudgedLimit& limit, const plan::LimitTrials& trials) {
        const double u = measure::standard_uncertainty(limit.slopes, job.readings);
        const double ratio = trials.margin.standard_deviation / u;
        CHECK(ratio * ratio == planned::Near{1.0, 0.06});
        // Curvature moves the mean, by some w²/2R: w up to 3 mm or half a degree, R some 100 mm.
        CHECK(trials.margin.mean == planned::Near{limit.at.margin, 0.05 + 0.05 * u});
        ++count;
      });
  CHECK(count > 1500);
}

TEST_CASE("the odds of a limit are the share of trials in which it holds") {
  // The odds take all readings but two as normal, which misses by up to 0.004 (odds_test.cpp); a
  // share of 20000 trials scatters by √(p(1 − p)/M), four of that; and where a margin is curved its
  // mean is off, by as much of u as the trials say.
  std::size_t count = 0;
  std::size_t open = 0;
  for_limits(
      [&](const plan::Job& job, const plan::JudgedLimit& limit, const plan::LimitTrials& trials) {
        const double odds = limit.at.odds;
        const double u = measure::standard_uncertainty(limit.slopes, job.readings);
        const double curved = std::abs(trials.margin.mean - limit.at.margin) / u;
        const double within =
            0.004 + 4 * std::sqrt(odds * (1 - odds) / trials_made) + 0.5 * curved + 1e-4;
        CHECK(trials.holds == planned::Near{odds, within});
        ++count;
        open += odds > 0.01 && odds < 0.99 ? 1 : 0;
      });
  CHECK(count > 1500);
  CHECK(open > 100);
}
