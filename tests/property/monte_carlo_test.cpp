#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/measure/doubt.hpp"
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
  for (const auto make : {random_job::seatpost, random_job::steerer}) {
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
      std::vector<double> squares(plan.limits.size(), 0.0);
      for (std::size_t draw = 0; draw < draws; ++draw) {
        plan::Job drawn = job;
        for (measure::ReadingIndex i = plan::Job::stock_row + 1; i < job.readings.size(); ++i) {
          const double w = job.readings[i].half_width_base;
          if (w > 0.0) {
            shift(drawn, i, std::uniform_real_distribution<double>(-w, w)(random));
          }
        }
        const plan::Plan there = plan::plan_cut(drawn);
        REQUIRE(there.limits.size() == plan.limits.size());
        for (std::size_t l = 0; l < squares.size(); ++l) {
          const double off = there.limits[l].uncut.margin - plan.limits[l].uncut.margin;
          squares[l] += off * off;
        }
      }
      for (std::size_t l = 0; l < squares.size(); ++l) {
        const plan::JudgedLimit& limit = plan.limits[l];
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
