#pragma once

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/measure/reading.hpp"

/// How probable it is that a margin is what its readings say: conformance probability, JCGM
/// 106:2012 clause 7. To first order, readings independent and rectangular within their half-widths
/// (JCGM 100:2008 4.3.7). A half-width is a bound that somebody believes in and no certainty, so
/// the far tails say less than their figures do.
namespace kerfmark::measure {

/// Φ(x), the standard normal distribution.
[[nodiscard]] double normal_probability(double x);

/// What spreads a value around its nominal one: two rectangular contributions of these half-widths,
/// the larger first, and all others together as one normal contribution of this standard deviation.
struct Spread {
  double first = 0.0;
  double second = 0.0;
  double rest = 0.0;
  bool operator==(const Spread&) const = default;
};

/// The two readings that reach farthest, |slope|·w, as rectangles and the rest as normal. Where
/// many are alike this is the normal law of JCGM 106:2012 7.3 but for its tails, which rectangles
/// do not have; where one or two dominate it is their rectangle or trapezoid (EA-4/02,
/// supplement S10) with its edges blurred by the rest. Nothing switches between the two: no
/// threshold decides what dominates, and the probability is a continuous function of every
/// half-width.
[[nodiscard]] Spread spread_of(const Slopes& slopes, const Readings& readings);

/// The probability that the true value is at least 0, `nominal` being the best estimate. Without
/// any spread it is 1 or 0, and 1 down to −grain.
[[nodiscard]] double probability_of_at_least_0(double nominal, const Spread& spread);

}  // namespace kerfmark::measure
