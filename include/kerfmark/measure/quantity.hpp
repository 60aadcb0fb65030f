#pragma once

#include <cmath>
#include <compare>

#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::measure {

enum class Dimension { length, angle, mass, ratio };

/// An exact value with a dimension: in by a unit, out by a unit, no way to or from a bare double
/// otherwise. A value that is not finite breaks an invariant: whoever reads input refuses it first.
template <Dimension D>
class Quantity {
 public:
  static constexpr Dimension dimension = D;

  constexpr Quantity() = default;

  /// From and to the base unit of the dimension: millimetre, degree, kilogram, one.
  [[nodiscard]] static constexpr Quantity from_base(double base) { return Quantity(base); }
  [[nodiscard]] constexpr double in_base() const { return base_; }

  [[nodiscard]] constexpr double in_mm() const requires(D == Dimension::length) { return base_; }
  [[nodiscard]] constexpr double in_deg() const requires(D == Dimension::angle) { return base_; }
  [[nodiscard]] constexpr double in_kg() const requires(D == Dimension::mass) { return base_; }
  [[nodiscard]] constexpr double value() const requires(D == Dimension::ratio) { return base_; }

  constexpr auto operator<=>(const Quantity&) const = default;

  friend constexpr Quantity operator+(Quantity a, Quantity b) {
    return Quantity(a.base_ + b.base_);
  }
  friend constexpr Quantity operator-(Quantity a, Quantity b) {
    return Quantity(a.base_ - b.base_);
  }
  friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.base_); }
  friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.base_); }

 private:
  explicit constexpr Quantity(double base) : base_(base) {
    require(base - base == 0.0, "a quantity is not finite");
  }

  double base_ = 0.0;
};

using Length = Quantity<Dimension::length>;
using Angle = Quantity<Dimension::angle>;
using Mass = Quantity<Dimension::mass>;
using Ratio = Quantity<Dimension::ratio>;

/// 1 in = 25.4 mm and 1 lb = 0.45359237 kg, exactly (24 FR 5348, 1959).
inline constexpr double mm_per_inch = 25.4;
inline constexpr double kg_per_pound = 0.45359237;

[[nodiscard]] constexpr Length millimetres(double mm) { return Length::from_base(mm); }
[[nodiscard]] constexpr Length centimetres(double cm) { return Length::from_base(cm * 10.0); }
[[nodiscard]] constexpr Length inches(double in) { return Length::from_base(in * mm_per_inch); }
[[nodiscard]] constexpr Angle degrees(double deg) { return Angle::from_base(deg); }
[[nodiscard]] constexpr Mass kilograms(double kg) { return Mass::from_base(kg); }
[[nodiscard]] constexpr Mass pounds(double lb) { return Mass::from_base(lb * kg_per_pound); }
[[nodiscard]] constexpr Ratio ratio(double value) { return Ratio::from_base(value); }

}  // namespace kerfmark::measure
