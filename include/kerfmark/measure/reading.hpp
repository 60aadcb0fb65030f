#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "kerfmark/measure/quantity.hpp"

namespace kerfmark::measure {

/// Where a reading stands in its text; lines and columns count from 1, 0 is nowhere.
struct Place {
  int line = 0;
  int column = 0;
  bool operator==(const Place&) const = default;
};

/// One value as it was measured: one reading or several, all with the same half-width, which says
/// "the true value lies within ±half-width of what was read". Values are in the base unit of the
/// dimension (mm, deg, kg).
struct Reading {
  std::string key;
  Dimension dimension = Dimension::length;
  std::vector<double> values_base;
  double half_width_base = 0.0;
  std::string instrument;  ///< empty: exact, or the half-width was written with the reading
  Place place;
  std::string inches{};  ///< as it was written, where all of it was in inches: "15 3/4 in"
  /// A part that was chosen for the job and is not in it yet: it cannot be measured a second time.
  bool chosen = false;

  [[nodiscard]] double mean_base() const;
  bool operator==(const Reading&) const = default;
};

/// All readings of a job; an index into this table is a reading's identity.
using Readings = std::vector<Reading>;
using ReadingIndex = std::size_t;

/// Two readings of one value that contradict each other: d apart where k·u(d) is allowed
/// (|E_n| ≤ 1, ISO/IEC 17043), each reading rectangular within its half-width
/// (JCGM 100:2008 4.3.7).
struct Disagreement {
  ReadingIndex reading = 0;
  double apart_base = 0.0;
  double allowed_base = 0.0;
  bool operator==(const Disagreement&) const = default;
};

/// What two readings of the same value, each within ±half_width, may differ by: k·√2·w/√3.
[[nodiscard]] double repeat_allowance(double half_width, double coverage);

/// The values whose readings contradict each other, in the order of the table.
[[nodiscard]] std::vector<Disagreement> disagreements(const Readings& readings, double coverage);

}  // namespace kerfmark::measure
