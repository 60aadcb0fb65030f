#include "kerfmark/measure/reading.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "kerfmark/measure/doubt.hpp"

using namespace kerfmark::measure;

namespace {

Reading reading(std::vector<double> values, double half_width) {
  return {"key", Dimension::length, std::move(values), half_width, "", {}};
}

}  // namespace

TEST_CASE("the value of several readings is their mean") {
  // JCGM 100:2008 4.4.3: twenty observations of a temperature, mean 100.145.
  const Reading twenty =
      reading({96.90,  98.18,  98.25,  98.61,  99.03,  99.49,  99.56,  99.74,  99.89,  100.07,
               100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72},
              1.0);
  REQUIRE(twenty.values_base.size() == 20);
  CHECK(std::abs(twenty.mean_base() - 100.145) < 5e-4);
}

TEST_CASE("one reading or equal ones come back unrounded") {
  // 0.1 + 0.1 + 0.1 divided by 3 is not 0.1 in binary.
  CHECK(reading({0.1}, 0).mean_base() == 0.1);
  CHECK(reading({0.1, 0.1, 0.1}, 0).mean_base() == 0.1);
}

TEST_CASE("repeating does not make the half-width smaller") {
  const Readings one = {reading({212}, 0.5)};
  const Readings four = {reading({212, 212, 212, 212}, 0.5)};
  const Slopes slopes = {{0, 1.0}};
  CHECK(standard_uncertainty(slopes, one) == standard_uncertainty(slopes, four));
}

TEST_CASE("readings of one value disagree when E n is above 1") {
  // ISO/IEC 17043 B.3: E_n = |d|/√(U₁² + U₂²), here U = k·w/√3 each (JCGM 100:2008 4.3.7). With
  // w = 0.3·√3/2 and k = 2, U = 0.3: 0.4 apart gives 0.943, 0.43 gives 1.014.
  const double half_width = 0.3 * std::sqrt(3.0) / 2.0;
  CHECK(std::abs(repeat_allowance(half_width, 2) - std::hypot(0.3, 0.3)) < 1e-12);
  CHECK(disagreements({reading({200.0, 200.4}, half_width)}, 2).empty());
  const auto found = disagreements(
      {reading({200.0, 200.4}, half_width), reading({200.0, 200.43, 200.1}, half_width)}, 2);
  REQUIRE(found.size() == 1);
  CHECK(found[0].reading == 1);
  CHECK(std::abs(found[0].apart_base - 0.43) < 1e-12);
  CHECK(std::abs(found[0].allowed_base - std::hypot(0.3, 0.3)) < 1e-12);
}

TEST_CASE("readings without doubt must be equal to within the grain") {
  CHECK(disagreements({reading({10, 10}, 0)}, 2).empty());
  CHECK(disagreements({reading({10, 10 + grain / 2}, 0)}, 2).empty());
  CHECK(disagreements({reading({10, 10 + 2 * grain}, 0)}, 2).size() == 1);
  CHECK(disagreements({reading({10}, 0)}, 2).empty());
  CHECK(disagreements({}, 2).empty());
}
