#include "kerfmark/measure/doubt.hpp"

#include <array>
#include <cmath>
#include <numeric>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

using namespace kerfmark::measure;

namespace {

// Readings are rectangular within ±w and w/√3 is their standard uncertainty; a published standard
// uncertainty u comes in as w = √3·u.
double half_width_for(double u) { return std::sqrt(3.0) * u; }

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

}  // namespace

TEST_CASE("standard uncertainty of a rectangular reading") {
  // JCGM 100:2008 4.3.7: a/√3; its example: ±0.40e-6 gives 0.23e-6 (from memory, two digits).
  CHECK(std::abs(standard_uncertainty(ones(1), readings_with({1})) - 1 / std::sqrt(3.0)) < 1e-12);
  CHECK(std::abs(standard_uncertainty(ones(1), readings_with({0.40e-6})) - 0.23e-6) < 0.005e-6);
  // Other shapes, given by their own standard uncertainty: triangular a/√6 (4.3.9), U-shaped a/√2
  // (H.1.3.4), resolution r/√12 (F.2.2.1).
  struct Row {
    std::string_view what;
    double half_width, u;
  };
  constexpr double a = 1.7;
  const auto rows = std::to_array<Row>({
      {"triangular", a / std::sqrt(2.0), a / std::sqrt(6.0)},
      {"U-shaped", a * std::sqrt(1.5), a / std::sqrt(2.0)},
      {"resolution", a / 2, a / std::sqrt(12.0)},
  });
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(std::abs(standard_uncertainty(ones(1), readings_with({row.half_width})) - row.u) < 1e-12);
  }
}

TEST_CASE("an end gauge of 50 mm") {
  // JCGM 100:2008 H.1: l = l_S + d − l_S·(δα·θ + α_S·δθ), first order: 50.000838 mm, u 32 nm.
  constexpr double nm = 1e-6;  // in mm
  const double cyclic = 0.5 / std::sqrt(2.0);
  const Readings readings = readings_with({
      half_width_for(25 * nm),                  // 0 l_S, calibration certificate
      half_width_for(5.8 * nm),                 // 1 d, repeated observations
      half_width_for(3.9 * nm),                 // 2 d, comparator, random
      half_width_for(6.7 * nm),                 // 3 d, comparator, systematic
      1e-6,                                     // 4 δα, rectangular
      half_width_for(std::hypot(0.2, cyclic)),  // 5 θ
      2e-6,                                     // 6 α_S, rectangular
      0.05,                                     // 7 δθ, rectangular
  });
  const auto l_s = LengthEstimate::of_reading(millimetres(50.000623), 0);
  const auto d = LengthEstimate::of_reading(millimetres(215 * nm), 1) +
                 LengthEstimate::of_reading(millimetres(0), 2) +
                 LengthEstimate::of_reading(millimetres(0), 3);
  const auto d_alpha = RatioEstimate::of_reading(ratio(0), 4);
  const auto theta = RatioEstimate::of_reading(ratio(-0.1), 5);
  const auto alpha_s = RatioEstimate::of_reading(ratio(11.5e-6), 6);
  const auto d_theta = RatioEstimate::of_reading(ratio(0), 7);
  const auto l = l_s + d - l_s * (d_alpha * theta + alpha_s * d_theta);
  CHECK(std::abs(l.nominal().in_mm() - 50.000838) < 1e-12);
  CHECK(std::abs(standard_uncertainty(l.slopes(), readings) / nm - 31.66) < 0.01);
  // Table H.1: contributions 25, 9.7, 2.9 and 16.6 nm.
  const auto part = [&](double squares) { return std::sqrt(squares) * 31.66; };
  double of_d = 0.0;
  for (const Share& share : shares(l.slopes(), readings)) {
    if (share.reading == 0) {
      CHECK(std::abs(part(share.of_variance) - 25) < 0.05);
    } else if (share.reading == 4) {
      CHECK(std::abs(part(share.of_variance) - 2.9) < 0.05);
    } else if (share.reading == 7) {
      CHECK(std::abs(part(share.of_variance) - 16.6) < 0.05);
    } else {
      of_d += share.of_variance;
    }
  }
  CHECK(std::abs(part(of_d) - 9.7) < 0.05);
}

TEST_CASE("a weight of 10 kg") {
  // EA-4/02 S2, in mg: 45 (k = 2), ±15, s 25 of 3 readings, ±10, ±10: u 29.26, U 58.5.
  const Readings readings =
      readings_with({half_width_for(45.0 / 2), 15, half_width_for(25 / std::sqrt(3.0)), 10, 10});
  CHECK(std::abs(standard_uncertainty(ones(5), readings) - 29.26) < 0.01);
  CHECK(std::abs(guard(ones(5), readings, 2) - 58.5) < 0.05);
}

TEST_CASE("the guard is k times u but no more than the worst case") {
  // One rectangular reading can not be off by more than w: 2·w/√3 = 1.155·w is too much.
  CHECK(guard(ones(1), readings_with({3}), 2) == 3.0);
  CHECK(std::abs(guard(ones(1), readings_with({3}), 1) - std::sqrt(3.0)) < 1e-12);
  // Four of them: k·u = 2·√(4/3)·w = 2.309·w, worst case 4·w.
  CHECK(std::abs(guard(ones(4), readings_with({3, 3, 3, 3}), 2) - 3 * 4 / std::sqrt(3.0)) < 1e-12);
  CHECK(worst_case({{0, -2.0}, {1, 0.5}}, readings_with({3, 4})) == 8.0);
  CHECK(guard({}, readings_with({3}), 2) == 0.0);
  CHECK(guard(ones(1), readings_with({0}), 2) == 0.0);
}

TEST_CASE("shares sum to 1 the largest first") {
  const auto parts =
      shares({{0, 1.0}, {1, -2.0}, {2, 1.0}, {3, 0.0}, {4, 1.0}}, readings_with({1, 1, 0, 5, 1}));
  REQUIRE(parts.size() == 3);
  // Variances 1 : 4 : 1; equal ones in the order of the readings.
  CHECK(parts[0].reading == 1);
  CHECK(std::abs(parts[0].of_variance - 4.0 / 6) < 1e-15);
  CHECK(parts[1].reading == 0);
  CHECK(parts[2].reading == 4);
  CHECK(std::abs(parts[0].of_variance + parts[1].of_variance + parts[2].of_variance - 1) < 1e-15);
  CHECK(shares({}, {}).empty());
  CHECK(shares(ones(1), readings_with({0})).empty());
}

TEST_CASE("x minus x has no doubt") {
  const auto x = LengthEstimate::of_reading(millimetres(400), 0);
  const Readings readings = readings_with({1});
  CHECK(standard_uncertainty((x - x).slopes(), readings) == 0.0);
  CHECK(worst_case((x - x).slopes(), readings) == 0.0);
  CHECK(guard((x + x).slopes(), readings, 2) == 2.0);
}

TEST_CASE("two routes agree when E n is no more than 1") {
  // ISO/IEC 17043 B.3, ISO 13528: E_n = (x − X)/√(U_x² + U_X²).
  struct Row {
    double apart, u_x, u_ref;  // U, k = 2
    double e_n;
    bool agree;
  };
  constexpr auto rows = std::to_array<Row>({
      {0.5, 0.4, 0.3, 1.000, true},
      {0.4, 0.3, 0.3, 0.943, true},
      {0.43, 0.3, 0.3, 1.014, false},
  });
  for (const Row& row : rows) {
    CAPTURE(row.apart);
    const Readings readings =
        readings_with({half_width_for(row.u_x / 2), half_width_for(row.u_ref / 2)});
    const auto d = LengthEstimate::of_reading(millimetres(200 + row.apart), 0) -
                   LengthEstimate::of_reading(millimetres(200), 1);
    const double u = standard_uncertainty(d.slopes(), readings);
    CHECK(std::abs(d.nominal().in_mm() / (2 * u) - row.e_n) < 1e-3);
    CHECK(routes_agree(d.nominal().in_mm(), u, 2) == row.agree);
    CHECK(routes_agree(-d.nominal().in_mm(), u, 2) == row.agree);
  }
  // Without doubt a grain of arithmetic is forgiven, and no more.
  CHECK(routes_agree(grain, 0, 2));
  CHECK_FALSE(routes_agree(2 * grain, 0, 2));
}

TEST_CASE("status at the guard and one grain either side") {
  struct Row {
    double margin, guard;
    Status status;
  };
  constexpr auto rows = std::to_array<Row>({
      {1.5, 1.5, Status::holds},
      {1.5 + grain, 1.5, Status::holds},
      {1.5 - grain, 1.5, Status::holds},  // forgiven
      {1.5 - 2 * grain, 1.5, Status::in_doubt},
      {0, 1.5, Status::in_doubt},
      {-1.5 + grain, 1.5, Status::broken},  // counted against the part
      {-grain, 1.5 * grain, Status::in_doubt},
      {-1.5 + 2 * grain, 1.5, Status::in_doubt},
      {-1.5 + grain / 2, 1.5, Status::broken},
      {-1.5, 1.5, Status::broken},
      {-1.5 - grain, 1.5, Status::broken},
      // Without a guard nothing is in doubt.
      {0, 0, Status::holds},
      {grain, 0, Status::holds},
      {-grain, 0, Status::holds},  // forgiven
      {-2 * grain, 0, Status::broken},
      {-1, 0, Status::broken},
      // Binary leftovers of decimal figures: 37.0 − 34.6 − 2.4 is not 0.
      {37.0 - 34.6, 2.4, Status::holds},
      {34.6 - 37.0, 2.4, Status::broken},
  });
  for (const Row& row : rows) {
    CAPTURE(row.margin);
    CAPTURE(row.guard);
    CHECK(status_of(row.margin, row.guard) == row.status);
  }
}
