#include "kerfmark/measure/odds.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "kerfmark/measure/doubt.hpp"

namespace kerfmark::measure {
namespace {

// The variance of a rectangular distribution of half-width w is w²/3 (JCGM 100:2008 4.3.7).
constexpr double rectangular_divisor = 3.0;

// φ(x), the standard normal density.
double normal_density(double x) {
  constexpr double per_root_two_pi = std::numbers::inv_sqrtpi / std::numbers::sqrt2;
  return per_root_two_pi * std::exp(-0.5 * x * x);
}

// A normal contribution of standard deviation s, integrated once and twice. A rectangle is the
// difference of two unit steps over its width, so what it does to a distribution is the difference
// of two integrals over that width; two rectangles take the integral twice:
//   Φ(z/s)   integrated from −∞ to z:   z·Φ(z/s) + s·φ(z/s)
//   and once more:                      ((z² + s²)·Φ(z/s) + z·s·φ(z/s)) / 2
// With s = 0 they are z and z²/2 for positive z, else 0.
double integrated_once(double z, double s) {
  if (s <= 0.0) {
    return std::max(z, 0.0);
  }
  return z * normal_probability(z / s) + s * normal_density(z / s);
}

double integrated_twice(double z, double s) {
  if (s <= 0.0) {
    return z > 0.0 ? 0.5 * z * z : 0.0;
  }
  return 0.5 * ((z * z + s * s) * normal_probability(z / s) + z * s * normal_density(z / s));
}

// A rectangle this small beside the rest of a spread counts as normal of the same variance: the
// differences above lose digits as they are divided by its width, down to 1e-10 here, and the shape
// of so little changes a probability by less than that.
constexpr double negligible = 1e-6;

double as_normal(double half_width) { return half_width / std::sqrt(rectangular_divisor); }

// The probability of at most x, x not above 0: there every term is small and none is lost in a 1.
double lower_tail(double x, const Spread& spread) {
  const double a = spread.first;
  double b = spread.second;
  double s = spread.rest;
  if (b < negligible * (a + s)) {
    s = std::hypot(s, as_normal(b));
    b = 0.0;
  }
  if (a < negligible * s) {
    return normal_probability(x / std::hypot(s, as_normal(a)));
  }
  if (b == 0.0) {
    return (integrated_once(x + a, s) - integrated_once(x - a, s)) / (2.0 * a);
  }
  const auto corner = [&](double shift) { return integrated_twice(x + shift, s); };
  return (corner(a + b) - corner(a - b) - corner(b - a) + corner(-a - b)) / (4.0 * a * b);
}

}  // namespace

double normal_probability(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

Spread spread_of(const Slopes& slopes, const Readings& readings) {
  Spread spread;
  double squares = 0.0;
  for (const Slope& slope : slopes) {
    require(slope.reading < readings.size(), "a slope names a reading that is not in the table");
    double reach = std::abs(slope.coefficient) * readings[slope.reading].half_width_base;
    if (reach > spread.first) {
      std::swap(reach, spread.first);
    }
    if (reach > spread.second) {
      std::swap(reach, spread.second);
    }
    squares += reach * reach;
  }
  spread.rest = std::sqrt(squares / rectangular_divisor);
  return spread;
}

double probability_of_at_least_0(double nominal, const Spread& spread) {
  constexpr double beyond = 9.0;  // Φ(−9) = 1e-19, less than the last digit of a 1
  const double reach = spread.first + spread.second + beyond * spread.rest;
  if (reach <= 0.0) {
    return nominal >= -grain ? 1.0 : 0.0;
  }
  if (std::abs(nominal) >= reach) {
    return nominal > 0.0 ? 1.0 : 0.0;
  }
  const double tail = std::clamp(lower_tail(-std::abs(nominal), spread), 0.0, 0.5);
  return nominal >= 0.0 ? 1.0 - tail : tail;
}

}  // namespace kerfmark::measure
