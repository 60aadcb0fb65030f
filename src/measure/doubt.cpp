#include "kerfmark/measure/doubt.hpp"

#include <algorithm>
#include <cmath>

namespace kerfmark::measure {
namespace {

// The variance of a rectangular distribution of half-width w is w²/3 (JCGM 100:2008 4.3.7).
constexpr double rectangular_divisor = 3.0;

double reach(const Slope& slope, const Readings& readings) {
  require(slope.reading < readings.size(), "a slope names a reading that is not in the table");
  return slope.coefficient * readings[slope.reading].half_width_base;
}

double sum_of_squares(const Slopes& slopes, const Readings& readings) {
  double sum = 0.0;
  for (const Slope& slope : slopes) {
    const double r = reach(slope, readings);
    sum += r * r;
  }
  return sum;
}

}  // namespace

double standard_uncertainty(const Slopes& slopes, const Readings& readings) {
  return std::sqrt(sum_of_squares(slopes, readings) / rectangular_divisor);
}

double worst_case(const Slopes& slopes, const Readings& readings) {
  double sum = 0.0;
  for (const Slope& slope : slopes) {
    sum += std::abs(reach(slope, readings));
  }
  return sum;
}

double guard(const Slopes& slopes, const Readings& readings, double coverage) {
  return std::min(coverage * standard_uncertainty(slopes, readings), worst_case(slopes, readings));
}

std::vector<Share> shares(const Slopes& slopes, const Readings& readings) {
  std::vector<Share> parts;
  const double total = sum_of_squares(slopes, readings);
  for (const Slope& slope : slopes) {
    const double r = reach(slope, readings);
    if (r != 0.0) {
      parts.push_back({slope.reading, r * r / total});
    }
  }
  std::ranges::stable_sort(parts, std::ranges::greater{}, &Share::of_variance);
  return parts;
}

bool routes_agree(double difference, double standard_uncertainty, double coverage) {
  return std::abs(difference) <= coverage * standard_uncertainty + grain;
}

Status status_of(double margin, double guard) {
  if (margin >= guard - grain) {
    return Status::holds;
  }
  // Here margin < guard, so with a guard of 0 the first condition is met by more than a grain.
  if (margin < -grain && margin <= -guard + grain) {
    return Status::broken;
  }
  return Status::in_doubt;
}

}  // namespace kerfmark::measure
