#include "kerfmark/measure/estimate.hpp"

#include <cmath>
#include <numbers>

namespace kerfmark::measure {
namespace {

constexpr double radians_per_degree = std::numbers::pi / 180.0;

}  // namespace

Slopes scaled(double factor, Slopes slopes) {
  for (Slope& slope : slopes) {
    slope.coefficient *= factor;
  }
  return slopes;
}

Slopes combined(double a_factor, const Slopes& a, double b_factor, const Slopes& b) {
  Slopes sum;
  sum.reserve(a.size() + b.size());
  auto left = a.begin();
  auto right = b.begin();
  while (left != a.end() || right != b.end()) {
    if (right == b.end() || (left != a.end() && left->reading < right->reading)) {
      sum.push_back({left->reading, a_factor * left->coefficient});
      ++left;
    } else if (left == a.end() || right->reading < left->reading) {
      sum.push_back({right->reading, b_factor * right->coefficient});
      ++right;
    } else {
      const double by = a_factor * left->coefficient + b_factor * right->coefficient;
      if (by != 0.0) {
        sum.push_back({left->reading, by});
      }
      ++left;
      ++right;
    }
  }
  return sum;
}

RatioEstimate sin(const AngleEstimate& angle) {
  const double radians = angle.nominal().in_deg() * radians_per_degree;
  return {ratio(std::sin(radians)), scaled(std::cos(radians) * radians_per_degree, angle.slopes())};
}

RatioEstimate cos(const AngleEstimate& angle) {
  const double radians = angle.nominal().in_deg() * radians_per_degree;
  return {ratio(std::cos(radians)),
          scaled(-std::sin(radians) * radians_per_degree, angle.slopes())};
}

LengthEstimate leg_of(const LengthEstimate& hypotenuse, const LengthEstimate& leg) {
  const double c = hypotenuse.nominal().in_mm();
  const double a = leg.nominal().in_mm();
  require(c > std::abs(a), "a triangle that cannot exist reached the arithmetic");
  const double b = std::sqrt((c - a) * (c + a));
  return {millimetres(b), combined(c / b, hypotenuse.slopes(), -a / b, leg.slopes())};
}

LengthEstimate hypotenuse_of(const LengthEstimate& a, const LengthEstimate& b) {
  const double c = std::hypot(a.nominal().in_mm(), b.nominal().in_mm());
  require(c > 0.0, "a triangle without sides reached the arithmetic");
  return {millimetres(c),
          combined(a.nominal().in_mm() / c, a.slopes(), b.nominal().in_mm() / c, b.slopes())};
}

Amount operator-(const Amount& a, const Amount& b) {
  require(a.dimension == b.dimension, "amounts of two dimensions are subtracted");
  Amount difference;
  difference.dimension = a.dimension;
  difference.base = a.base - b.base;
  difference.slopes = combined(1.0, a.slopes, -1.0, b.slopes);
  return difference;
}

LengthEstimate magnitude(const LengthEstimate& x) { return x.nominal().in_mm() < 0.0 ? -x : x; }

}  // namespace kerfmark::measure
