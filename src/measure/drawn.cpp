#include "kerfmark/measure/drawn.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::measure {
namespace {

constexpr double in_the_interval = 1.0 - 2.0 * outside_each_end;
static_assert(in_the_interval == 0.95);
constexpr std::size_t fewest = 20;  // JCGM 101:2008 7.2.1: more than 1/(1 − p)
// Φ(1.96) − Φ(−1.96) = 0.95 (JCGM 100:2008 Table G.1).
constexpr double normal_coverage = 1.959963984540054;

struct End {
  double value;
  double standard_error;
};

// Places in the sorted order, from 0: of an end, and those to either side that give its standard
// error.
struct Around {
  std::size_t below, place, above;
};

Around around(std::size_t place, std::size_t count) {
  const double of = static_cast<double>(count);
  const double outside = (1.0 - in_the_interval) / 2.0;
  const auto near = static_cast<std::size_t>(std::sqrt(of * outside * (1.0 - outside)));
  return {place - std::min(place, near), place, std::min(place + near, count - 1)};
}

End end_at(std::span<double> values, const Around& places) {
  const auto& [below, place, above] = places;
  const auto at = [&](std::size_t i) { return values.begin() + static_cast<std::ptrdiff_t>(i); };
  std::nth_element(at(0), at(above), values.end());
  std::nth_element(at(0), at(below), at(above));
  if (place > below) {
    std::nth_element(at(below + 1), at(place), at(above));
  }
  return {*at(place), (*at(above) - *at(below)) / 2.0};
}

std::optional<End> end_at(const ValueAt& value, const Around& places) {
  const auto below = value(places.below);
  const auto at = value(places.place);
  const auto above = value(places.above);
  return below && at && above ? std::optional(End{*at, (*above - *below) / 2.0}) : std::nullopt;
}

// JCGM 101:2008 7.7.1 and 7.7.2: q = pM values lie in the interval, r of them below it, counted
// from 1; each rounded as the document rounds it.
struct Places {
  std::size_t low;
  std::size_t high;  // both from 0
};

Places places_of(std::size_t count) {
  const double M = static_cast<double>(count);
  const auto q = static_cast<std::size_t>(std::floor(in_the_interval * M + 0.5));
  const std::size_t r = (count - q + 1) / 2;  // (M − q)/2, or its integer part after adding 1/2
  return {r - 1, r + q - 1};
}

}  // namespace

std::optional<Drawn> ends_of(std::size_t count, const ValueAt& low, const ValueAt& high) {
  require(count >= fewest, "too few values were drawn");
  const Places places = places_of(count);
  const auto at_low = end_at(low, around(places.low, count));
  const auto at_high = end_at(high, around(places.high, count));
  if (!at_low || !at_high) {
    return std::nullopt;
  }
  Drawn drawn;
  drawn.interval = {at_low->value, at_high->value};
  drawn.standard_error = {at_low->standard_error, at_high->standard_error};
  return drawn;
}

Drawn drawn_from(std::span<double> values) {
  require(values.size() >= fewest, "too few values were drawn");
  const auto count = static_cast<double>(values.size());
  // Around the first value, so that the squares of small differences keep their digits.
  const double origin = values.front();
  double sum = 0.0;
  for (const double value : values) {
    sum += value - origin;
  }
  Drawn drawn;
  drawn.mean = origin + sum / count;
  double squares = 0.0;
  for (const double value : values) {
    squares += (value - drawn.mean) * (value - drawn.mean);
  }
  drawn.standard_deviation = std::sqrt(squares / (count - 1.0));

  const Places places = places_of(values.size());
  const End low = end_at(values, around(places.low, values.size()));
  const End high = end_at(values, around(places.high, values.size()));
  drawn.interval = {low.value, high.value};
  drawn.standard_error = {low.standard_error, high.standard_error};
  return drawn;
}

double numerical_tolerance(double standard_uncertainty) {
  constexpr int digits = 2;
  constexpr double too_many = 100.0;  // as 99.7 is written with two digits: 10 tens
  if (standard_uncertainty <= 0.0) {
    return 0.0;
  }
  double unit = std::pow(10.0, std::floor(std::log10(standard_uncertainty)) - (digits - 1));
  if (std::round(standard_uncertainty / unit) >= too_many) {
    unit *= 10.0;
  }
  return unit / 2.0;
}

Interval normal_interval(double nominal, double standard_uncertainty) {
  const double reach = normal_coverage * standard_uncertainty;
  return {nominal - reach, nominal + reach};
}

std::optional<bool> validates(const Interval& first_order, const Drawn& drawn, double tolerance) {
  bool known = true;
  struct Pair {
    double off, standard_error;
  };
  const std::array<Pair, 2> ends = {
      {{std::abs(first_order.low - drawn.interval.low), drawn.standard_error.low},
       {std::abs(first_order.high - drawn.interval.high), drawn.standard_error.high}}};
  for (const Pair& end : ends) {
    if (end.off > tolerance + 2.0 * end.standard_error + grain) {
      return false;
    }
    known = known && end.off <= tolerance - 2.0 * end.standard_error + grain;
  }
  return known ? std::optional(true) : std::nullopt;
}

}  // namespace kerfmark::measure
