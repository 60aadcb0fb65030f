#include "kerfmark/plan/places.hpp"

namespace kerfmark::plan {

MastPlaces mast_places(const Job& job, const Judgement& now) {
  MastPlaces p;
  const double cut = now.verdict == Verdict::cut ? now.at.in_mm() : 0.0;
  p.top_uncut = now.is_after() ? now.remaining->in_mm() : job.mast.length->nominal.in_mm();
  p.top = p.top_uncut - cut;
  p.rails_lowest = now.mast->extension.lowest.in_mm();
  p.rails = now.mast->extension.height.in_mm();
  p.rails_highest = now.mast->extension.highest.in_mm();
  const double stop = p.rails - job.topper.rise->nominal.in_mm();
  if (stop > p.top) {
    p.spacers = Stretch{p.top, stop};
  }
  p.topper_from = job.topper.grip ? stop - job.topper.grip->nominal.in_mm() : stop;
  if (job.mast.keep) {
    p.inside = job.mast.keep->nominal.in_mm();
  }
  return p;
}

}  // namespace kerfmark::plan
