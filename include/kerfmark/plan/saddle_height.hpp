#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/job.hpp"

namespace kerfmark::plan {

/// Two lengths of a job that no triangle can have: the hypotenuse is not longer than the leg.
struct ImpossibleTriangle {
  std::string_view key;  ///< whose value makes the hypotenuse
  Length hypotenuse;     ///< as it enters the triangle (a pedal-axle height less the crank)
  Length leg;            ///< how long it would at least have to be
  std::string leg_key;   ///< "frame.axis_offset", or "frame.axis_offset, post.setback, …"
  bool operator==(const ImpossibleTriangle&) const = default;
};

/// Whether a part of that kind has a saddle on top.
[[nodiscard]] bool holds_saddle(Kind kind);
/// Of the head that holds the rails, of such a part.
[[nodiscard]] const Maybe<Length>& setback_of(const Job& job);

/// Triangles between saddle and frame that cannot exist, in the order of the keys. Keys that were
/// not given are passed over; the reader asks before anything is computed.
[[nodiscard]] std::vector<ImpossibleTriangle> impossible_triangles(const Job& job);

}  // namespace kerfmark::plan
