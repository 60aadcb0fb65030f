#include "kerfmark/measure/estimate.hpp"

#include <array>
#include <cmath>
#include <random>
#include <string_view>

#include <doctest/doctest.h>

#include "kerfmark/measure/doubt.hpp"

using namespace kerfmark::measure;

namespace {

LengthEstimate length(double mm, ReadingIndex reading) {
  return LengthEstimate::of_reading(millimetres(mm), reading);
}
AngleEstimate angle(double deg, ReadingIndex reading) {
  return AngleEstimate::of_reading(degrees(deg), reading);
}
RatioEstimate number(double value, ReadingIndex reading) {
  return RatioEstimate::of_reading(ratio(value), reading);
}

double slope_of(const Slopes& slopes, std::size_t reading) {
  for (const Slope& slope : slopes) {
    if (slope.reading == reading) {
      return slope.coefficient;
    }
  }
  return 0.0;
}

struct Read {
  double x, y, deg, k;
};

struct Result {
  double value;
  Slopes slopes;
};

struct Formula {
  std::string_view what;
  Result (*of)(const Read&);
};

template <Dimension D>
Result result(const Estimate<D>& estimate) {
  return {estimate.nominal().in_base(), estimate.slopes()};
}

constexpr auto formulas = std::to_array<Formula>({
    {"sum", [](const Read& r) { return result(length(r.x, 0) + length(r.y, 1)); }},
    {"difference", [](const Read& r) { return result(length(r.x, 0) - length(r.y, 1)); }},
    {"negative", [](const Read& r) { return result(-length(r.x, 0)); }},
    {"multiple", [](const Read& r) { return result(3.5 * length(r.x, 0)); }},
    {"sine", [](const Read& r) { return result(sin(angle(r.deg, 2))); }},
    {"cosine", [](const Read& r) { return result(cos(angle(r.deg, 2))); }},
    {"product", [](const Read& r) { return result(length(r.x, 0) * number(r.k, 3)); }},
    {"quotient", [](const Read& r) { return result(length(r.x, 0) / number(r.k, 3)); }},
    {"leg", [](const Read& r) { return result(leg_of(length(r.x, 0), length(r.y, 1))); }},
    {"hypotenuse",
     [](const Read& r) { return result(hypotenuse_of(length(r.x, 0), length(r.y, 1))); }},
    {"magnitude of a positive", [](const Read& r) { return result(magnitude(length(r.x, 0))); }},
    {"magnitude of a negative", [](const Read& r) { return result(magnitude(-length(r.x, 0))); }},
    {"tangent", [](const Read& r) { return result(sin(angle(r.deg, 2)) / cos(angle(r.deg, 2))); }},
    {"one reading twice",
     [](const Read& r) {
       return result(leg_of(length(r.x, 0), length(r.y, 1) * cos(angle(r.deg, 2))) -
                     length(r.y, 1) / sin(angle(r.deg, 2)) + 2.0 * length(r.x, 0));
     }},
});

Read moved(Read r, std::size_t reading, double by) {
  const std::array<double*, 4> values = {&r.x, &r.y, &r.deg, &r.k};
  *values[reading] += by;
  return r;
}

}  // namespace

TEST_CASE("slopes are what central differences give") {
  std::mt19937 random(73);
  std::uniform_real_distribution<double> x(300, 800);
  std::uniform_real_distribution<double> y(-150, 150);
  std::uniform_real_distribution<double> deg(50, 85);
  std::uniform_real_distribution<double> k(0.5, 3);
  // Error of a central difference: h²/6·f''' and rounding of 1000/h in the last place, both below.
  constexpr double step = 1e-4;
  constexpr double tolerance = 1e-6;
  for (int i = 0; i < 100; ++i) {
    const Read read{x(random), y(random), deg(random), k(random)};
    for (const Formula& formula : formulas) {
      CAPTURE(formula.what);
      const Result at = formula.of(read);
      for (std::size_t reading = 0; reading < 4; ++reading) {
        CAPTURE(reading);
        const double difference = (formula.of(moved(read, reading, step)).value -
                                   formula.of(moved(read, reading, -step)).value) /
                                  (2 * step);
        const double slope = slope_of(at.slopes, reading);
        REQUIRE(std::abs(slope - difference) < tolerance * (1 + std::abs(slope)));
      }
    }
  }
}

TEST_CASE("values are those of geometry") {
  // Euclid's 3-4-5 and 5-12-13; sine and cosine of 30° and 60°.
  CHECK(leg_of(millimetres(5), millimetres(3)).nominal() == millimetres(4));
  CHECK(leg_of(millimetres(5), millimetres(-3)).nominal() == millimetres(4));
  CHECK(leg_of(millimetres(5), millimetres(0)).nominal() == millimetres(5));
  CHECK(hypotenuse_of(millimetres(5), millimetres(-12)).nominal() == millimetres(13));
  CHECK(std::abs(sin(degrees(30)).nominal().value() - 0.5) < 1e-15);
  CHECK(std::abs(cos(degrees(60)).nominal().value() - 0.5) < 1e-15);
  CHECK(std::abs(cos(degrees(90)).nominal().value()) < 1e-16);
  CHECK(magnitude(millimetres(-7)).nominal() == millimetres(7));
  CHECK((LengthEstimate(millimetres(8)) / ratio(2)).nominal() == millimetres(4));
}

TEST_CASE("what cancels leaves no doubt behind") {
  const auto x = length(400.1, 0);
  const auto y = length(0.3, 1);
  CHECK((x - x).slopes().empty());
  CHECK((x - x).nominal() == millimetres(0));
  CHECK(((x + y) - y).slopes() == x.slopes());
  CHECK((0.5 * (x + x) - x).slopes().empty());
  CHECK((2.0 * x - x - x).slopes().empty());
  const auto leg = leg_of(x, y);
  CHECK((leg - leg).slopes().empty());
}

TEST_CASE("an exact value has no slopes") {
  const LengthEstimate exact = millimetres(2);
  CHECK(exact.slopes().empty());
  CHECK((length(10, 4) - exact).slopes() == Slopes{{4, 1.0}});
}

TEST_CASE("slopes stay sorted by reading each once") {
  const auto sum = length(1, 5) + length(1, 2) + length(1, 9) - 2.0 * length(1, 5);
  CHECK(sum.slopes() == Slopes{{2, 1.0}, {5, -1.0}, {9, 1.0}});
}

TEST_CASE("the magnitude of zero doubts as its argument does") {
  const auto zero = length(3, 0) - millimetres(3);
  CHECK(magnitude(zero).slopes() == zero.slopes());
}
