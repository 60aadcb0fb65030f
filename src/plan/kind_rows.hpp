#pragma once

#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// The one table of the kinds of part, as far as they are planned.
namespace kerfmark::plan {

struct KindRow {
  Kind kind;
  /// But for what moves and other parts can do.
  Plan (*plan)(const Job& job);
  /// The same of a part once it is cut.
  Judgement (*after)(const Job& job, const Judgement& before);
  /// For other values of its readings, in their order: see limits_for_readings.hpp.
  std::vector<Limit> (*limits)(const Job& job, const Judgement& before);
  /// Whether its lengths make triangles that exist.
  bool (*can_be)(const Job& job);
  /// Where the part is the frame, nobody cuts it whose maker has not been asked, whatever it is
  /// made of: nothing can be exchanged.
  bool is_the_frame = false;
};

[[nodiscard]] const KindRow& row_of(Kind kind);

}  // namespace kerfmark::plan
