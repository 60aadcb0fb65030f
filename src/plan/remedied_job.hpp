#pragma once

#include <vector>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// What people do to a bicycle so that a limit holds, done to the job: what comes of it is planned
/// like any other job.
namespace kerfmark::plan {

/// Rings that leave their place and rings that come there, in millimetres.
struct RingChange {
  double out_mm = 0.0;
  std::vector<double> in_mm;
};

/// Whether that kind of remedy takes rings off, puts them on or moves them: what a RingChange says.
[[nodiscard]] bool is_about_rings(RemedyKind kind);
/// Whether rings come to a place, and none has to leave.
[[nodiscard]] bool puts_rings_on(RemedyKind kind);

/// The job with `amount_mm` of that done. Rings of a steerer's job stand in lists
/// (with_rings_listed). A ring that comes new brings a caliper's doubt; of one that goes, the doubt
/// is kept, so that what is advised does not hang on which ring it is.
[[nodiscard]] Job with_remedy(const Job& job, RemedyKind kind, double amount_mm);
[[nodiscard]] Job with_remedy(const Job& job, RemedyKind kind, const RingChange& change);

/// The sum of rings in millimetres, 0 where none were given.
[[nodiscard]] double sum_mm(const Rings& rings);

}  // namespace kerfmark::plan
