// Places along a handlebar count from its uncut left end, drawn to the right, in millimetres.

#include <algorithm>
#include <string>
#include <utility>

#include "axis_view.hpp"
#include "handlebar.hpp"
#include "kerfmark/plan/places.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::sheet {
namespace {

using plan::HandlebarPlaces;
using plan::Stretch;

// Millimetres of the bicycle, for the eye only: a bar where grips sit, and what stands out on it.
constexpr double usual_diameter = 22.2;  // of the ends of a straight bar (common practice)
constexpr double control_stands = 5;
constexpr double stem_stands = 9;
constexpr double stem_half = 22;

// Millimetres of paper.
constexpr double lines_stand = 1;  // of the middle and the ends of the straight part
constexpr double air = 2 * air_mm;
constexpr double beside = 1;  // the ends

constexpr double control_grey = 0.85;
constexpr double stem_grey = 0.7;

double diameter_of(const plan::Job& job) {
  return job.handlebar.diameter ? job.handlebar.diameter->nominal.in_mm() : usual_diameter;
}

class Picture : SceneTools {
 public:
  Picture(const Subject& subject, const HandlebarPlaces& places, const Axis& axis)
      : SceneTools(axis, diameter_of(subject.job), subject.words()),
        subject_(subject),
        p_(places),
        widest_(radius() + stem_stands * axis.across) {}

  Scene scene() {
    draw_bar();
    draw_controls();
    draw_stem();
    if (subject_.is_cut()) {
      across(p_.left, widest_, saw_line());
      across(p_.right, widest_, saw_line());
    }
    add_tags();
    add_measures();
    return finished(widest_ + air);
  }

 private:
  void draw_bar() {
    Block& b = part();
    if (subject_.is_cut()) {
      waste(b, {x(p_.left_uncut), -radius(), x(p_.left), radius()});
      waste(b, {x(p_.right), -radius(), x(p_.right_uncut), radius()});
    }
    b.box({x(p_.left), -radius(), x(p_.right), radius()}, edge());
    if (p_.straight) {
      across(p_.straight->from, radius() + lines_stand, chain());
      across(p_.straight->to, radius() + lines_stand, chain());
    }
  }

  void draw_controls() {
    const double half = radius() + control_stands * axis().across;
    for (const Stretch& control : p_.controls) {
      for (const double side : {-1.0, 1.0}) {
        const Area area{x(control.from), std::min(side * radius(), side * half), x(control.to),
                        std::max(side * radius(), side * half)};
        part().fill(area, control_grey);
        part().box(area, thin());
      }
    }
  }

  void draw_stem() {
    part().fill({x(p_.middle - stem_half), -widest_, x(p_.middle + stem_half), widest_}, stem_grey);
    part().box({x(p_.middle - stem_half), -widest_, x(p_.middle + stem_half), widest_}, thin());
    across(p_.middle, widest_ + lines_stand, chain());
  }

  void add_tags() {
    tag(p_.middle, -widest_ - lines_stand, words().at("sheet.drawing.middle"), Weight::needed);
    if (subject_.is_cut()) {
      tag(p_.left, -widest_, words().at("sheet.drawing.cut_line"), Weight::vital);
      tag(p_.right, -widest_, words().at("sheet.drawing.cut_line"), Weight::vital);
    }
    if (p_.straight) {
      tag(p_.straight->from, -radius() - lines_stand, words().at("sheet.drawing.straight_to"),
          Weight::useful);
    }
    if (!p_.controls.empty()) {
      const Stretch& outermost = p_.controls.front();
      tag((outermost.from + outermost.to) / 2, -radius() - control_stands * axis().across,
          words().at("sheet.drawing.controls"), Weight::useful, true);
    }
  }

  void add_measures() {
    const plan::Judgement& now = subject_.now;
    const auto tenths = [&](double mm) { return report::one_decimal(mm, words()); };
    if (!subject_.is_cut()) {
      measure(p_.left, p_.right, "sheet.drawing.width", tenths(p_.right - p_.left), Weight::vital);
      return;
    }
    measure(p_.left, p_.right, "sheet.drawing.remaining", tenths(now.remaining->in_mm()),
            Weight::vital);
    measure(p_.left_uncut, p_.left, "sheet.drawing.cut", tenths(now.at.in_mm()), Weight::vital);
    measure(p_.right, p_.right_uncut, "sheet.drawing.cut", tenths(now.at.in_mm()), Weight::vital);
    measure(p_.left_uncut, p_.right_uncut, "sheet.drawing.width_before",
            tenths(now.handlebar->width_uncut.in_mm()), Weight::useful);
  }

  const Subject& subject_;
  const HandlebarPlaces& p_;
  double widest_;
};

}  // namespace

Block handlebar_elevation(const Subject& subject, Room room) {
  const HandlebarPlaces places = plan::handlebar_places(subject.job, subject.now);
  const Extent extent{.from_mm = places.left_uncut,
                      .to_mm = places.right_uncut,
                      .left_mm = beside,
                      .right_mm = beside,
                      .diameter_mm = diameter_of(subject.job)};
  Caption caption{subject.words().at("sheet.drawing.handlebar_title"), {}};
  if (subject.is_cut()) {
    caption.legend.push_back(subject.words().at("sheet.drawing.legend_waste"));
  }
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(subject, places, axis).scene(); }, caption,
      subject.words(), room);
}

}  // namespace kerfmark::sheet
