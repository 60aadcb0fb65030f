#include "kerfmark/measure/odds.hpp"

#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/measure/doubt.hpp"

using namespace kerfmark::measure;

namespace {

Readings readings_with(const std::vector<double>& half_widths) {
  Readings readings;
  for (const double w : half_widths) {
    readings.push_back({"key", Dimension::length, {0.0}, w, "", {}});
  }
  return readings;
}

Slopes ones(std::size_t count) {
  Slopes slopes;
  for (std::size_t i = 0; i < count; ++i) {
    slopes.push_back({static_cast<std::uint32_t>(i), 1.0});
  }
  return slopes;
}

double odds_of(double margin, const std::vector<double>& half_widths) {
  return probability_of_at_least_0(margin,
                                   spread_of(ones(half_widths.size()), readings_with(half_widths)));
}

// The distribution function of a sum of n rectangles of these half-widths, exactly: each adds two
// corners to a spline of degree n, sum over all corners of ±(x ± a1 ± … ± an)₊ⁿ / (2ⁿ n! a1…an)
// (Bradley and Gupta, Annals of the Institute of Statistical Mathematics 54, 2002). It loses digits
// with n; up to six terms are good to 1e-9.
double exact_sum_below(double x, const std::vector<double>& half_widths) {
  const std::size_t n = half_widths.size();
  double sum = 0.0;
  for (std::size_t corner = 0; corner < (1U << n); ++corner) {
    double z = x;
    double sign = 1.0;
    for (std::size_t i = 0; i < n; ++i) {
      const bool minus = ((corner >> i) & 1U) != 0;
      z += minus ? -half_widths[i] : half_widths[i];
      sign = minus ? -sign : sign;
    }
    sum += z > 0.0 ? sign * std::pow(z, static_cast<double>(n)) : 0.0;
  }
  for (std::size_t i = 0; i < n; ++i) {
    sum /= 2.0 * half_widths[i] * static_cast<double>(i + 1);
  }
  return sum;
}

}  // namespace

TEST_CASE("the normal law") {
  // Any table of the standard normal distribution.
  CHECK(std::abs(normal_probability(0) - 0.5) < 1e-15);
  CHECK(std::abs(normal_probability(1) - 0.841345) < 5e-7);
  CHECK(std::abs(normal_probability(1.959964) - 0.975) < 5e-8);
  CHECK(std::abs(normal_probability(-2) - 0.022750) < 5e-7);
  // A spread that is nothing but normal gives it back, with a rectangle beside it that is nothing.
  for (const double tiny : {0.0, 1e-9, 1e-12}) {
    CHECK(std::abs(probability_of_at_least_0(1.7, {tiny, 0, 1.7}) - 0.841345) < 5e-7);
    CHECK(std::abs(probability_of_at_least_0(1.7, {tiny, tiny, 1.7}) - 0.841345) < 5e-7);
  }
}

TEST_CASE("one reading is its rectangle and two are their trapezoid") {
  struct Row {
    double margin;
    std::vector<double> half_widths;
    double want;
  };
  const std::vector<Row> rows = {
      {0, {2}, 0.5},
      {1, {2}, 0.75},
      {-1, {2}, 0.25},
      {2, {2}, 1},
      {-2, {2}, 0},
      {2.5, {2}, 1},
      {-2.5, {2}, 0},
      // ±3 and ±1: height 1/6 between −2 and 2, straight down to 0 at −4 and 4.
      {0, {3, 1}, 0.5},
      {2, {3, 1}, 0.5 + 2.0 / 6},
      {-2, {3, 1}, 0.5 - 2.0 / 6},
      {3, {1, 3}, 1 - 1.0 * (1.0 / 12) / 2},
      {4, {3, 1}, 1},
      // ±1 twice: a triangle.
      {1, {1, 1}, 1 - 1.0 / 8},
      {-0.5, {1, 1}, 1.5 * 1.5 / 8},
  };
  for (const Row& row : rows) {
    CAPTURE(row.margin);
    CHECK(std::abs(odds_of(row.margin, row.half_widths) - row.want) < 1e-12);
  }
}

TEST_CASE("more readings miss their exact law by less than half a per cent") {
  // The rest is taken as normal; the exact law is that of the sum of the rectangles. The normal law
  // alone would miss by up to 1.5 %: so the bound tells the two apart.
  constexpr double allowed = 0.004;
  const std::vector<std::vector<double>> readings = {
      {1, 1, 1},       {1, 1, 1, 1},       {2, 1, 1, 1}, {1, 0.9, 0.8},    {5, 1, 1},
      {1, 1, 1, 1, 1}, {1, 1, 1, 1, 1, 1}, {1, 1, 0.3},  {1, 0.1, 0.1, 1}, {3, 2, 1, 0.5, 0.1},
  };
  double worst_of_normal = 0.0;
  for (const auto& half_widths : readings) {
    const double u = standard_uncertainty(ones(half_widths.size()), readings_with(half_widths));
    for (double k = -3.0; k <= 3.0; k += 0.05) {
      CAPTURE(k);
      const double exact = 1.0 - exact_sum_below(-k * u, half_widths);
      CHECK(std::abs(odds_of(k * u, half_widths) - exact) < allowed);
      worst_of_normal = std::max(worst_of_normal, std::abs(normal_probability(k) - exact));
    }
  }
  CHECK(worst_of_normal > 2 * allowed);
}

TEST_CASE("rectangles blurred by the rest are what quadrature gives") {
  // The definition: the mean of Φ over the first rectangle, and over both; the trapezium rule with
  // steps so small that it misses by less than 1e-6. Table values of Φ stand in the test above.
  const auto over = [](double half_width, const auto& f) {
    constexpr int steps = 2000;
    double sum = 0.5 * (f(-half_width) + f(half_width));
    for (int i = 1; i < steps; ++i) {
      sum += f(half_width * (2.0 * i / steps - 1.0));
    }
    return sum / steps;
  };
  for (const double margin : {-1.7, -0.6, 0.1, 0.9, 2.2}) {
    CAPTURE(margin);
    for (const double rest : {0.05, 0.3, 2.0}) {
      CAPTURE(rest);
      const double one =
          over(1.0, [&](double t) { return normal_probability((margin + t) / rest); });
      CHECK(std::abs(probability_of_at_least_0(margin, {1, 0, rest}) - one) < 1e-6);
      const double both = over(1.0, [&](double t) {
        return over(0.5, [&](double v) { return normal_probability((margin + t + v) / rest); });
      });
      CHECK(std::abs(probability_of_at_least_0(margin, {1, 0.5, rest}) - both) < 1e-3);
      // A rectangle that is as good as nothing beside them takes no digits away.
      CHECK(std::abs(probability_of_at_least_0(margin, {1, 1e-12, rest}) - one) < 1e-6);
    }
  }
  // In micrometres as in millimetres.
  for (const double second : {0.0, 1e-8, 1e-3, 0.7}) {
    CAPTURE(second);
    CHECK(std::abs(probability_of_at_least_0(0.4, {1, second, 0.2}) -
                   probability_of_at_least_0(400, {1000, 1000 * second, 200})) < 1e-9);
    CHECK(std::abs(probability_of_at_least_0(0.4, {1, second, 0}) -
                   probability_of_at_least_0(0.4e-3, {1e-3, 1e-3 * second, 0})) < 1e-9);
  }
}

TEST_CASE("the odds rise with the margin - and mirror") {
  const std::vector<std::vector<double>> readings = {{1}, {1, 1}, {2, 1, 0.5}, {1, 1e-7, 0.3}};
  for (const auto& half_widths : readings) {
    double last = 0.0;
    for (double margin = -5.0; margin <= 5.0; margin += 0.01) {
      CAPTURE(margin);
      const double odds = odds_of(margin, half_widths);
      CHECK(odds >= last - 1e-12);
      CHECK(odds <= 1.0);
      CHECK(std::abs(odds + odds_of(-margin, half_widths) - 1.0) < 1e-12);
      last = odds;
    }
    CHECK(last > 1.0 - 1e-12);
  }
}

TEST_CASE("no half-width makes the odds jump") {
  // The second rectangle from nothing through the threshold of what is negligible up to the first,
  // and past it; the third likewise.
  for (const double margin : {-1.5, -0.4, 0.2, 0.9, 1.1, 2.0}) {
    for (const double other : {0.0, 1e-7, 0.3}) {
      double last = odds_of(margin, {1, other, 1e-12});
      for (double w = 1e-11; w < 3.0; w *= 1.01) {
        CAPTURE(w);
        const double odds = odds_of(margin, {1, other, w});
        CHECK(std::abs(odds - last) < 0.01);
        last = odds;
      }
    }
  }
  // Around the threshold itself, where the formula changes.
  for (const double margin : {0.1, 0.9999999, 1.0}) {
    CHECK(std::abs(odds_of(margin, {1, 0.99e-6}) - odds_of(margin, {1, 1.01e-6})) < 1e-6);
  }
}

TEST_CASE("what lies far off is certain to the last digit") {
  const Spread spread{1, 0.5, 0.3};
  CHECK(probability_of_at_least_0(4.21, spread) == 1.0);
  CHECK(probability_of_at_least_0(-4.21, spread) == 0.0);
  CHECK(probability_of_at_least_0(1e6, spread) == 1.0);
}

TEST_CASE("without doubt there are no odds") {
  CHECK(odds_of(0.0, {}) == 1.0);
  CHECK(odds_of(-0.9e-9, {}) == 1.0);  // margins forgive 1e-9
  CHECK(odds_of(-1.1e-9, {}) == 0.0);
  CHECK(odds_of(0.0, {0, 0}) == 1.0);
  CHECK(odds_of(-3.0, {0}) == 0.0);
}

TEST_CASE("the two that reach farthest stay rectangles") {
  // Slope times half-width counts, whatever its sign and place.
  const Readings readings = readings_with({1, 4, 2, 0, 3});
  const Slopes slopes = {{0, -9.0}, {1, 1.0}, {2, -4.0}, {3, 100.0}, {4, 2.0}};
  const Spread spread = spread_of(slopes, readings);
  CHECK(spread.first == 9.0);
  CHECK(spread.second == 8.0);
  CHECK(std::abs(spread.rest - std::sqrt((16.0 + 36.0) / 3.0)) < 1e-12);
  CHECK(spread_of({}, readings) == Spread{});
}
