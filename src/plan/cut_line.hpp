#pragma once

#include <optional>

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// From where marks can be laid off on an uncut part.
struct MarkDatums {
  /// From the end that stays, or from the middle, to the end that goes; empty: not known.
  std::optional<measure::LengthEstimate> stays;
  /// Of a steerer, negative where it stands above the stack, which is the only time that the top of
  /// the stack can be marked on it.
  std::optional<measure::LengthEstimate> gap;
  std::optional<measure::LengthEstimate> whole;  ///< what is measured against the pieces afterwards
  int pieces = 2;                                ///< with what is left
};

/// How the line of a plan's cut is found: empty where the plan is about no cut. Each mark is laid
/// off by a steel rule of its own.
[[nodiscard]] std::optional<CutLine> cut_line(const Job& job, const Plan& plan,
                                              const MarkDatums& part);

}  // namespace kerfmark::plan
