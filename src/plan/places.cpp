#include "kerfmark/plan/places.hpp"

namespace kerfmark::plan {
namespace {

void add_controls(const Job& job, HandlebarPlaces& p) {
  double in = 0.0;
  for (const Control& control : job.controls) {
    const double next = in + control.width->nominal.in_mm();
    p.controls.push_back({p.left + in, p.left + next});
    p.controls.push_back({p.right - next, p.right - in});
    in = next;
  }
}

}  // namespace

HandlebarPlaces handlebar_places(const Job& job, const Judgement& now) {
  const Handlebar& h = job.handlebar;
  HandlebarPlaces p;
  const double W = now.handlebar->width_uncut.in_mm();
  // Of a bar that is cut already: what each end had more when it was measured.
  const double came_off =
      now.is_after() ? (h.width->nominal.in_mm() - now.remaining->in_mm()) / 2.0 : 0.0;
  const double off = now.handlebar->off_centre ? now.handlebar->off_centre->in_mm() : 0.0;
  p.right_uncut = W;
  const double cut = now.verdict == Verdict::cut ? now.at.in_mm() : 0.0;
  p.left = p.left_uncut + cut;
  p.right = p.right_uncut - cut;
  p.middle = (W + off) / 2.0;
  if (h.straight) {
    const double R = h.straight->nominal.in_mm();
    p.straight = Stretch{R - came_off, W - R + came_off};
  }
  add_controls(job, p);
  return p;
}

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
