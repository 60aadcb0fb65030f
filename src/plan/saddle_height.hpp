#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// From a saddle height to the rail clamp, of whatever holds the saddle: extensions count from the
/// collar edge of a post or the datum of a mast up to the rail clamp centre, along the axis.
namespace kerfmark::plan {

/// What a saddle height has in common with every other height of the job.
struct SaddleGeometry {
  HeightMeasured measured;
  measure::LengthEstimate crank;  ///< 0 unless heights count from the pedal axle
  measure::LengthEstimate s_c;
  /// "straight": e + h·cosθ, the saddle top from the parallel through BB
  measure::LengthEstimate rails_off;
  /// "straight": h·sinθ; "along tube": e·cosθ/sinθ + h/sinθ
  measure::LengthEstimate top_up;
};

[[nodiscard]] SaddleGeometry saddle_geometry(const Job& job);

/// The extension at a saddle height.
[[nodiscard]] measure::LengthEstimate extension_at(const SaddleGeometry& g,
                                                   const measure::LengthEstimate& height);

/// The same at the saddle's lowest, its own and its highest height.
struct Extensions {
  measure::LengthEstimate lowest, height, highest;
};
[[nodiscard]] Extensions extensions_of(const SaddleGeometry& g, const Job& job);

/// The way back: the saddle height, as the job measures it, at which the extension would be E.
[[nodiscard]] Length height_at(const SaddleGeometry& g, Length E);

/// The saddle heights at which every limit holds that moving the saddle mends and that `counts`,
/// with or without the cut, guards as they stand; the extension moves each margin one for one.
/// Empty where there are none.
[[nodiscard]] std::optional<Span> saddle_range(const SaddleGeometry& g, const Extensions& E,
                                               const std::vector<JudgedLimit>& limits, bool cut,
                                               const std::function<bool(Rule)>& counts);

}  // namespace kerfmark::plan
