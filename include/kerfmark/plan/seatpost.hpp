#pragma once

#include <string_view>
#include <vector>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// Two lengths of a job that no triangle can have: the hypotenuse is not longer than the leg.
struct ImpossibleTriangle {
  std::string_view key;      ///< whose value makes the hypotenuse
  Length hypotenuse;         ///< as it enters the triangle (a pedal-axle height less the crank)
  Length leg;                ///< how long it would at least have to be
  std::string_view leg_key;  ///< "frame.axis_offset", or "frame.axis_offset, post.setback, …"
  bool operator==(const ImpossibleTriangle&) const = default;
};

/// Triangles of a seatpost job that cannot exist, in the order of the keys. Keys that were not
/// given are passed over; the reader asks before anything is computed.
[[nodiscard]] std::vector<ImpossibleTriangle> impossible_triangles(const Job& job);

/// The plan of a seatpost job but for what moves and other parts can do: see plan.hpp. The job has
/// passed the reader: needed values are there, defaults are filled in, no triangle is impossible.
[[nodiscard]] Plan plan_seatpost(const Job& job);

}  // namespace kerfmark::plan
