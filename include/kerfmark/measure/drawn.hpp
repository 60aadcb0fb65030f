#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>

/// What many values drawn from a distribution say of it, and whether they bear out what first order
/// says: JCGM 101:2008.
namespace kerfmark::measure {

struct Interval {
  double low = 0.0;
  double high = 0.0;
  bool operator==(const Interval&) const = default;
};

struct Drawn {
  double mean = 0.0;                ///< JCGM 101:2008 7.6
  double standard_deviation = 0.0;  ///< the same; divided by one less than their number
  /// The probabilistically symmetric 95 % interval, as many values below it as above: 7.7.2. Not
  /// the shortest one: what counts is how many values lie too low.
  Interval interval;
  /// Standard error of each of its ends, from the values that lie one standard deviation of a
  /// binomial count to either side of it.
  Interval standard_error;
  bool operator==(const Drawn&) const = default;
};

/// Share of the values that lie below the interval, and above it.
inline constexpr double outside_each_end = 0.025;

/// The value at a place of the sorted order, from 0; empty where it is not known.
using ValueAt = std::function<std::optional<double>(std::size_t place)>;

/// Interval and standard errors of so many values, at least 20, mean and standard deviation left
/// out; empty where one of the few values they are made of is not known. Those at the low end of
/// the order are asked of the first, those at the high end of the second.
[[nodiscard]] std::optional<Drawn> ends_of(std::size_t count, const ValueAt& low,
                                           const ValueAt& high);

/// Reorders the values, which are finite and at least 20: of fewer, none lies outside of 95 %.
[[nodiscard]] Drawn drawn_from(std::span<double> values);

/// Half a unit in the last of the two digits that are meaningful of a standard uncertainty
/// (JCGM 101:2008 7.9.2): 0.05 for u = 2.0, 0.005 for u = 0.95; 0 for 0.
[[nodiscard]] double numerical_tolerance(double standard_uncertainty);

/// y ± 1.96·u, what first order takes for the 95 % interval: a normal distribution, readings known
/// by their bounds alone (JCGM 101:2008 5.6.2, 5.8.1; JCGM 100:2008 G.6.6).
[[nodiscard]] Interval normal_interval(double nominal, double standard_uncertainty);

/// JCGM 101:2008 8.1: both ends of the first-order interval lie within the tolerance of those that
/// were drawn. Empty where the drawn ends are known too poorly to tell, by two of their standard
/// errors; the document asks for more trials then (8.1.3).
[[nodiscard]] std::optional<bool> validates(const Interval& first_order, const Drawn& drawn,
                                            double tolerance);

}  // namespace kerfmark::measure
