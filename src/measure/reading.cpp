#include "kerfmark/measure/reading.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "kerfmark/measure/doubt.hpp"

namespace kerfmark::measure {

double Reading::mean_base() const {
  require(!values_base.empty(), "a reading without a value");
  // A single reading, or readings that agree to the bit, must come back unrounded.
  if (std::ranges::all_of(values_base, [&](double v) { return v == values_base.front(); })) {
    return values_base.front();
  }
  return std::accumulate(values_base.begin(), values_base.end(), 0.0) /
         static_cast<double>(values_base.size());
}

double repeat_allowance(double half_width, double coverage) {
  return coverage * std::sqrt(2.0 / 3.0) * half_width;
}

std::vector<Disagreement> disagreements(const Readings& readings, double coverage) {
  std::vector<Disagreement> found;
  for (ReadingIndex i = 0; i < readings.size(); ++i) {
    const auto& values = readings[i].values_base;
    if (values.size() < 2) {
      continue;
    }
    const auto [least, most] = std::ranges::minmax(values);
    const double allowed = repeat_allowance(readings[i].half_width_base, coverage);
    if (most - least > allowed + grain) {
      found.push_back({i, most - least, allowed});
    }
  }
  return found;
}

}  // namespace kerfmark::measure
