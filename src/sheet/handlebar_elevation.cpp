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

bool is_cut(const Subject& subject) { return subject.now.verdict == plan::Verdict::cut; }

double diameter_of(const plan::Job& job) {
  return job.handlebar.diameter ? job.handlebar.diameter->nominal.in_mm() : usual_diameter;
}

class Picture {
 public:
  Picture(const Subject& subject, const HandlebarPlaces& places, const Axis& axis)
      : subject_(subject),
        p_(places),
        axis_(axis),
        radius_(diameter_of(subject.job) * axis.across / 2),
        widest_(radius_ + stem_stands * axis.across) {}

  Scene scene() {
    draw_bar();
    draw_controls();
    draw_stem();
    if (is_cut(subject_)) {
      across(p_.left, widest_, saw_line());
      across(p_.right, widest_, saw_line());
    }
    scene_.above_mm = widest_ + 1.2;
    scene_.below_mm = widest_ + 1.2;
    add_tags();
    add_measures();
    return std::move(scene_);
  }

 private:
  [[nodiscard]] double x(double along) const { return axis_.x(along); }
  [[nodiscard]] const text::Words& words() const { return subject_.words(); }

  void across(double along, double half, const Pen& pen) {
    scene_.part.rule({x(along), -half}, {x(along), half}, pen);
  }

  void draw_bar() {
    Block& b = scene_.part;
    if (is_cut(subject_)) {
      waste(b, {x(p_.left_uncut), -radius_, x(p_.left), radius_});
      waste(b, {x(p_.right), -radius_, x(p_.right_uncut), radius_});
    }
    b.box({x(p_.left), -radius_, x(p_.right), radius_}, edge());
    if (p_.straight) {
      across(p_.straight->from, radius_ + 1, chain());
      across(p_.straight->to, radius_ + 1, chain());
    }
  }

  void draw_controls() {
    const double half = radius_ + control_stands * axis_.across;
    for (const Stretch& control : p_.controls) {
      for (const double side : {-1.0, 1.0}) {
        const Area area{x(control.from), std::min(side * radius_, side * half), x(control.to),
                        std::max(side * radius_, side * half)};
        scene_.part.fill(area, 0.85);
        scene_.part.box(area, thin());
      }
    }
  }

  void draw_stem() {
    scene_.part.fill({x(p_.middle - stem_half), -widest_, x(p_.middle + stem_half), widest_}, 0.7);
    scene_.part.box({x(p_.middle - stem_half), -widest_, x(p_.middle + stem_half), widest_},
                    thin());
    across(p_.middle, widest_ + 1, chain());
  }

  void tag(double along, double off, std::string_view key, Weight weight, bool dot = false) {
    scene_.tags.push_back({{x(along), off}, words().at(key), weight, dot});
  }

  void add_tags() {
    tag(p_.middle, -widest_ - 1, "sheet.drawing.middle", Weight::needed);
    if (is_cut(subject_)) {
      tag(p_.left, -widest_, "sheet.drawing.cut_line", Weight::vital);
      tag(p_.right, -widest_, "sheet.drawing.cut_line", Weight::vital);
    }
    if (p_.straight) {
      tag(p_.straight->from, -radius_ - 1, "sheet.drawing.straight_to", Weight::useful);
    }
    if (!p_.controls.empty()) {
      const Stretch& outermost = p_.controls.front();
      tag((outermost.from + outermost.to) / 2, -radius_ - control_stands * axis_.across,
          "sheet.drawing.controls", Weight::useful, true);
    }
  }

  void measure(double from, double to, std::string_view name, double figure, Weight weight) {
    scene_.measures.push_back({{x(from), radius_},
                               {x(to), radius_},
                               words().at(name),
                               report::one_decimal(figure, words()),
                               weight});
  }

  void add_measures() {
    const plan::Judgement& now = subject_.now;
    const double W = now.handlebar->width_uncut.in_mm();
    if (!is_cut(subject_)) {
      measure(p_.left, p_.right, "sheet.drawing.width", p_.right - p_.left, Weight::vital);
      return;
    }
    measure(p_.left, p_.right, "sheet.drawing.remaining", now.remaining->in_mm(), Weight::vital);
    measure(p_.left_uncut, p_.left, "sheet.drawing.cut", now.at.in_mm(), Weight::vital);
    measure(p_.right, p_.right_uncut, "sheet.drawing.cut", now.at.in_mm(), Weight::vital);
    measure(p_.left_uncut, p_.right_uncut, "sheet.drawing.width_before", W, Weight::useful);
  }

  const Subject& subject_;
  const HandlebarPlaces& p_;
  const Axis& axis_;
  double radius_, widest_;
  Scene scene_;
};

}  // namespace

Block handlebar_elevation(const Subject& subject, Room room) {
  const HandlebarPlaces places = plan::handlebar_places(subject.job, subject.now);
  const Extent extent{.from_mm = places.left_uncut,
                      .to_mm = places.right_uncut,
                      .left_mm = 1,
                      .right_mm = 1,
                      .diameter_mm = diameter_of(subject.job)};
  Caption caption{subject.words().at("sheet.drawing.handlebar_title"), {}};
  if (is_cut(subject)) {
    caption.legend.push_back(subject.words().at("sheet.drawing.legend_waste"));
  }
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(subject, places, axis).scene(); }, caption,
      subject.words(), room);
}

}  // namespace kerfmark::sheet
