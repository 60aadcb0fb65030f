#pragma once

#include <optional>
#include <vector>

#include "kerfmark/plan/plan.hpp"

/// Where things lie along a part, for every picture of it: worked out once, drawn in characters and
/// on paper.
namespace kerfmark::plan {

/// From one place to another, in millimetres.
struct Stretch {
  double from = 0.0, to = 0.0;
  bool operator==(const Stretch&) const = default;
};

/// Along a handlebar, from its left end to the right. Once the bar is cut it is shown as it is.
struct HandlebarPlaces {
  double left_uncut = 0.0, left = 0.0;  ///< the left end
  double right = 0.0, right_uncut = 0.0;
  double middle = 0.0;
  std::optional<Stretch> straight;  ///< between its bends, or where it grows thicker
  std::vector<Stretch> controls;    ///< of both sides, from the ends that are left inward
};
[[nodiscard]] HandlebarPlaces handlebar_places(const Job& job, const Judgement& now);

/// Along a seat mast, from its datum up. Once the mast is cut it is shown as it is.
struct MastPlaces {
  double top = 0.0, top_uncut = 0.0;
  double rails_lowest = 0.0, rails = 0.0, rails_highest = 0.0;
  /// What the topper stands on above the mast, at the saddle's own height; empty where it takes
  /// none, or where the mast is too long for it.
  std::optional<Stretch> spacers;
  double topper_from = 0.0;      ///< its lower edge, or where its grip is not known, its stop
  std::optional<double> inside;  ///< the top of what must stay inside
};
[[nodiscard]] MastPlaces mast_places(const Job& job, const Judgement& now);

}  // namespace kerfmark::plan
