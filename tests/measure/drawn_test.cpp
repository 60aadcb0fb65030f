#include "kerfmark/measure/drawn.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <optional>
#include <random>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/measure/doubt.hpp"

using namespace kerfmark::measure;

namespace {

std::vector<double> one_to(std::size_t count) {
  std::vector<double> values(count);
  std::iota(values.begin(), values.end(), 1.0);
  std::mt19937 random(7);
  std::ranges::shuffle(values, random);
  return values;
}

}  // namespace

TEST_CASE("the ends of the interval are the values at the places of the document") {
  // JCGM 101:2008 7.7.1, 7.7.2: q = pM or the integer part of pM + 1/2; r = (M − q)/2 or the
  // integer part of (M − q + 1)/2; the r-th and the (r + q)-th value. Worked by hand.
  struct Row {
    std::size_t M;
    double low, high;
  };
  constexpr auto rows = std::to_array<Row>({
      {1000, 25, 975},     // q 950, r 25
      {1001, 25, 976},     // 950.95 + 1/2: q 951, r 25
      {1030, 26, 1005},    // 978.5 + 1/2: q 979, (51 + 1)/2: r 26
      {20, 1, 20},         // q 19, (1 + 1)/2: r 1
      {50, 1, 49},         // 47.5 + 1/2: q 48, r 1
      {10000, 250, 9750},  // q 9500, r 250
  });
  for (const Row& row : rows) {
    CAPTURE(row.M);
    std::vector<double> values = one_to(row.M);
    const Drawn drawn = drawn_from(values);
    CHECK(drawn.interval.low == row.low);
    CHECK(drawn.interval.high == row.high);
  }
}

TEST_CASE("mean - standard deviation and the scatter of the ends") {
  constexpr std::size_t M = 10000;
  std::vector<double> values = one_to(M);
  const Drawn drawn = drawn_from(values);
  CHECK(std::abs(drawn.mean - 5000.5) < 1e-9);
  // Of 1 … M with M − 1 below: M(M + 1)/12.
  CHECK(std::abs(drawn.standard_deviation - std::sqrt(10000.0 * 10001.0 / 12.0)) < 1e-9);
  // A binomial count of 10000 with 0.025 scatters by √243.75 = 15.6; one place is one unit here.
  CHECK(drawn.standard_error.low == 15.0);
  CHECK(drawn.standard_error.high == 15.0);
}

TEST_CASE("the ends of as few values as there may be - and of those whose middle is not kept") {
  // 1 … 50: places 0 and 48; √(50·0.025·0.975) = 1.1, so one place to either side, as far as there
  // is one.
  std::vector<double> values = one_to(50);
  const Drawn few = drawn_from(values);
  CHECK(few.standard_error.low == 0.5);
  CHECK(few.standard_error.high == 1.0);
  const auto all = [](std::size_t place) { return std::optional(static_cast<double>(place + 1)); };
  for (const std::size_t count : {std::size_t{20}, std::size_t{50}, std::size_t{10000}}) {
    CAPTURE(count);
    std::vector<double> drawn = one_to(count);
    const auto ends = ends_of(count, all, all);
    REQUIRE(ends.has_value());
    CHECK(ends->interval == drawn_from(drawn).interval);
    CHECK(ends->standard_error == drawn_from(drawn).standard_error);
  }
  // Of 10,000 the low end is made of the places 234, 249 and 264: without any of them it is not
  // known.
  for (const std::size_t lost : {std::size_t{234}, std::size_t{249}, std::size_t{264}}) {
    CAPTURE(lost);
    const auto but_one = [&](std::size_t place) {
      return place == lost ? std::nullopt : std::optional(0.0);
    };
    CHECK_FALSE(ends_of(10000, but_one, all).has_value());
    CHECK_FALSE(ends_of(
                    10000, [](std::size_t) { return std::optional(0.0); },
                    [&](std::size_t place) { return but_one(place - 9500); })
                    .has_value());
  }
  CHECK(ends_of(
            10000,
            [](std::size_t place) { return place > 264 ? std::nullopt : std::optional(0.0); }, all)
            .has_value());
}

TEST_CASE("far from zero no digits are lost") {
  std::vector<double> values(1000);
  for (std::size_t i = 0; i < values.size(); ++i) {
    values[i] = 1e9 + (i % 2 == 0 ? 0.25 : -0.25);
  }
  const Drawn drawn = drawn_from(values);
  CHECK(drawn.mean == 1e9);
  CHECK(std::abs(drawn.standard_deviation - 0.25 * std::sqrt(1000.0 / 999.0)) < 1e-9);
}

TEST_CASE("the order of the values is of no account") {
  std::vector<double> values = one_to(4321);
  const Drawn once = drawn_from(values);
  std::ranges::sort(values);
  CHECK(drawn_from(values).interval == once.interval);
  std::ranges::reverse(values);
  CHECK(drawn_from(values).interval == once.interval);
}

TEST_CASE("numerical tolerance of two digits") {
  // JCGM 101:2008 7.9.2: u = 0.000 35 with two digits is 35 × 10⁻⁵, the tolerance ½ × 10⁻⁵ (from
  // memory); the others by the same rule.
  struct Row {
    double u, tolerance;
  };
  constexpr auto rows = std::to_array<Row>({
      {0.00035, 0.000005},
      {2.0, 0.05},
      {10.15, 0.5},
      {9.94, 0.05},
      {9.96, 0.5},  // 10, not 9.9
      {0.95, 0.005},
      {1.0, 0.05},
      {123.0, 5.0},
  });
  for (const Row& row : rows) {
    CAPTURE(row.u);
    CHECK(std::abs(numerical_tolerance(row.u) / row.tolerance - 1.0) < 1e-12);
  }
  CHECK(numerical_tolerance(0.0) == 0.0);
}

TEST_CASE("first order is validated - or not - or the trials are too few") {
  // JCGM 101:2008 8.1.2: both |y ± U − end| ≤ δ.
  Drawn drawn;
  drawn.interval = {-3.88, 3.88};
  drawn.standard_error = {0.001, 0.001};
  const Interval normal{-3.92, 3.92};
  CHECK(validates(normal, drawn, 0.05) == true);
  CHECK(validates(normal, drawn, 0.03) == false);
  CHECK_FALSE(validates(normal, drawn, 0.0401).has_value());
  CHECK_FALSE(validates(normal, drawn, 0.0399).has_value());
  // One end is enough to fail, whichever it is.
  CHECK(validates({-3.88, 3.99}, drawn, 0.05) == false);
  CHECK(validates({-3.99, 3.88}, drawn, 0.05) == false);
  // Wide scatter of the ends: nothing is known.
  drawn.standard_error = {0.001, 0.03};
  CHECK_FALSE(validates(normal, drawn, 0.05).has_value());
  // At three standard errors past the tolerance it is known to lie outside.
  drawn.standard_error = {0.001, 0.001};
  CHECK(validates(normal, drawn, 0.037) == false);
  // A grain past either edge is forgiven: 0.25 + 2·0.125 and, from within, 0.75 − 2·0.125.
  const Drawn at{0, 0, {0, 0}, {0.125, 0.125}};
  const double edge = 0.5 + grain;
  CHECK_FALSE(validates({-edge, 0}, at, 0.25).has_value());
  CHECK(validates({-edge, 0}, at, 0.75) == true);
  // Without any spread both are the same.
  CHECK(validates({1, 1}, {1, 0, {1, 1}, {0, 0}}, 0.0) == true);
}

TEST_CASE("the normal interval") {
  // JCGM 100:2008 Table G.1: 95 % of a normal distribution lie within 1.960 standard deviations.
  const Interval interval = normal_interval(10.0, 2.0);
  CHECK(std::abs(interval.low - (10 - 3.92)) < 5e-4);
  CHECK(std::abs(interval.high - (10 + 3.92)) < 5e-4);
}
