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

}  // namespace kerfmark::plan
