#pragma once

#include <cstdint>
#include <vector>

#include "kerfmark/measure/quantity.hpp"
#include "kerfmark/measure/reading.hpp"

namespace kerfmark::measure {

/// ∂value/∂reading in base units of the two (mm, deg, kg, 1).
struct Slope {
  std::uint32_t reading = 0;
  double coefficient = 0.0;
  bool operator==(const Slope&) const = default;
};

/// Sorted by reading, each reading once.
using Slopes = std::vector<Slope>;

/// a_factor·a + b_factor·b; equal readings merge, so what cancels leaves nothing behind.
[[nodiscard]] Slopes combined(double a_factor, const Slopes& a, double b_factor, const Slopes& b);
[[nodiscard]] Slopes scaled(double factor, Slopes slopes);

/// A value computed from readings, with its exact sensitivity to each: first order, so a reading
/// that enters twice counts once, with its signs, and x − x has no doubt. There is no comparison
/// and no way to a bare value: what may be concluded from an estimate is the matter of doubt.hpp.
template <Dimension D>
class Estimate {
 public:
  Estimate() = default;
  // An exact value is an estimate without doubt; the way back does not exist.
  Estimate(Quantity<D> exact) : nominal_(exact) {}  // NOLINT(google-explicit-constructor)
  Estimate(Quantity<D> nominal, Slopes slopes) : nominal_(nominal), slopes_(std::move(slopes)) {}

  [[nodiscard]] static Estimate of_reading(Quantity<D> nominal, ReadingIndex reading) {
    return Estimate(nominal, Slopes{{static_cast<std::uint32_t>(reading), 1.0}});
  }

  [[nodiscard]] Quantity<D> nominal() const { return nominal_; }
  [[nodiscard]] const Slopes& slopes() const { return slopes_; }

  friend Estimate operator+(const Estimate& a, const Estimate& b) {
    return {a.nominal_ + b.nominal_, combined(1.0, a.slopes_, 1.0, b.slopes_)};
  }
  friend Estimate operator-(const Estimate& a, const Estimate& b) {
    return {a.nominal_ - b.nominal_, combined(1.0, a.slopes_, -1.0, b.slopes_)};
  }
  friend Estimate operator-(const Estimate& a) { return -1.0 * a; }
  friend Estimate operator*(double k, const Estimate& a) {
    return {k * a.nominal_, scaled(k, a.slopes_)};
  }

 private:
  Quantity<D> nominal_;
  Slopes slopes_;
};

using LengthEstimate = Estimate<Dimension::length>;
using AngleEstimate = Estimate<Dimension::angle>;
using MassEstimate = Estimate<Dimension::mass>;
using RatioEstimate = Estimate<Dimension::ratio>;

template <Dimension D>
[[nodiscard]] Estimate<D> operator*(const Estimate<D>& a, const RatioEstimate& r) {
  const double x = a.nominal().in_base();
  const double k = r.nominal().value();
  return {Quantity<D>::from_base(x * k), combined(k, a.slopes(), x, r.slopes())};
}

/// `r` must not be zero.
template <Dimension D>
[[nodiscard]] Estimate<D> operator/(const Estimate<D>& a, const RatioEstimate& r) {
  const double x = a.nominal().in_base();
  const double k = r.nominal().value();
  require(k != 0.0, "an estimate is divided by zero");
  return {Quantity<D>::from_base(x / k), combined(1.0 / k, a.slopes(), -x / (k * k), r.slopes())};
}

[[nodiscard]] RatioEstimate sin(const AngleEstimate& angle);
[[nodiscard]] RatioEstimate cos(const AngleEstimate& angle);

/// The other leg of a right triangle: √(hypotenuse² − leg²), above zero. The hypotenuse must be
/// longer than the leg: the caller has refused triangles that cannot exist.
[[nodiscard]] LengthEstimate leg_of(const LengthEstimate& hypotenuse, const LengthEstimate& leg);

/// √(a² + b²), not zero.
[[nodiscard]] LengthEstimate hypotenuse_of(const LengthEstimate& a, const LengthEstimate& b);

/// An estimate whose dimension is known at run time: limits of length and of mass stand in one
/// table.
struct Amount {
  Dimension dimension = Dimension::length;
  double base = 0.0;
  Slopes slopes;

  Amount() = default;
  template <Dimension D>
  Amount(const Estimate<D>& estimate)  // NOLINT(google-explicit-constructor)
      : dimension(D), base(estimate.nominal().in_base()), slopes(estimate.slopes()) {}
  template <Dimension D>
  Amount(Quantity<D> exact)  // NOLINT(google-explicit-constructor)
      : dimension(D), base(exact.in_base()) {}

  friend Amount operator-(const Amount& a, const Amount& b);
};

/// |x|; at 0 the slopes are those of x itself, as either sign gives the same doubt.
[[nodiscard]] LengthEstimate magnitude(const LengthEstimate& x);

}  // namespace kerfmark::measure
