// Places along a mast count upward from its datum, drawn to the right, in millimetres.

#include <algorithm>
#include <string>
#include <utility>

#include "axis_view.hpp"
#include "kerfmark/plan/places.hpp"
#include "kerfmark/report/wording.hpp"
#include "mast.hpp"

namespace kerfmark::sheet {
namespace {

using plan::MastPlaces;

// Millimetres of the bicycle, for the eye only: a mast whose diameter was not given, how far the
// topper stands out on it, how much of the frame below the datum is drawn.
constexpr double usual_diameter = 35;  // common practice
constexpr double topper_stands = 3;
constexpr double stub_long = 18;
constexpr double top_tube_wide = 36;

// Millimetres of paper.
constexpr double saddle_half = 11;
constexpr double saddle_deep = 6.5;  // right of the rails

bool is_cut(const Subject& subject) { return subject.now.verdict == plan::Verdict::cut; }

double diameter_of(const plan::Job& job) {
  return job.mast.diameter ? job.mast.diameter->nominal.in_mm() : usual_diameter;
}

class Picture {
 public:
  Picture(const Subject& subject, const MastPlaces& places, const Axis& axis)
      : subject_(subject),
        p_(places),
        axis_(axis),
        radius_(diameter_of(subject.job) * axis.across / 2),
        outer_(radius_ + topper_stands * axis.across) {}

  Scene scene() {
    draw_frame();
    draw_mast();
    draw_topper();
    draw_saddle();
    if (is_cut(subject_)) {
      across(p_.top, outer_ + 2, saw_line());
    }
    scene_.above_mm = std::max(saddle_half, outer_ + 2) + 0.6;
    scene_.below_mm = scene_.above_mm;
    add_tags();
    add_measures();
    return std::move(scene_);
  }

 private:
  [[nodiscard]] double x(double along) const { return axis_.x(along); }
  [[nodiscard]] const text::Words& words() const { return subject_.words(); }
  [[nodiscard]] bool ranges() const {
    return p_.rails_lowest != p_.rails || p_.rails_highest != p_.rails;
  }
  [[nodiscard]] bool goes_into() const { return subject_.job.topper.goes == plan::Goes::into; }

  void across(double along, double half, const Pen& pen) {
    scene_.part.rule({x(along), -half}, {x(along), half}, pen);
  }

  // The seat tube below the datum and the top tube that runs into it.
  void draw_frame() {
    Block& b = scene_.part;
    const double from = x(-stub_long);
    for (const double side : {-radius_, radius_}) {
      b.rule({from, side}, {x(0), side}, edge());
    }
    const double tube = x(0) - top_tube_wide / axis_.scale / 2;
    b.fill({std::max(from, tube), radius_, x(0), outer_ + 3}, 0.85);
    b.rule({x(0), radius_}, {x(0), outer_ + 3}, edge());
    broken_off(b, from, radius_ + 0.8);
    across(0, outer_ + 3, chain());
  }

  void draw_mast() {
    Block& b = scene_.part;
    if (is_cut(subject_)) {
      waste(b, {x(p_.top), -radius_, x(p_.top_uncut), radius_});
    }
    if (p_.inside) {
      b.fill({x(0), -0.55 * radius_, x(*p_.inside), 0.55 * radius_}, 0.8);
      across(*p_.inside, 0.55 * radius_, thin());
    }
    for (const double side : {-radius_, radius_}) {
      b.rule({x(0), side}, {x(p_.top), side}, edge());
    }
    across(p_.top, radius_, edge());
  }

  // Over the mast it is drawn around it, into the mast within it.
  void draw_topper() {
    Block& b = scene_.part;
    const double stop = p_.spacers ? p_.spacers->to : p_.top;
    const double from = p_.topper_from + (stop - stop_of_rails());
    if (p_.spacers) {
      const Area rings{x(p_.spacers->from), -outer_, x(p_.spacers->to), outer_};
      b.box(rings, thin());
    }
    const double half = goes_into() ? 0.8 * radius_ : outer_;
    for (const double side : {-1.0, 1.0}) {
      const double inner = goes_into() ? 0.0 : radius_;
      const Area sleeve{x(from), std::min(side * inner, side * half), x(stop),
                        std::max(side * inner, side * half)};
      if (stop > from) {
        b.box(sleeve, goes_into() ? phantom() : thin());
      }
    }
    const double to = std::max(stop, p_.rails);
    const Area head{x(stop), -outer_, x(to), outer_};
    if (!is_cut(subject_)) {  // what comes off must be seen, and it lies where the head will be
      b.fill(head, 0.75);
    }
    b.box(head, thin());
  }

  // Where the stop lies for the rails to be where they are wanted.
  [[nodiscard]] double stop_of_rails() const {
    return p_.rails - subject_.job.topper.rise->nominal.in_mm();
  }

  void draw_saddle() {
    Block& b = scene_.part;
    const double at = x(p_.rails);
    if (ranges()) {
      across(p_.rails_lowest, saddle_half, phantom());
      across(p_.rails_highest, saddle_half, phantom());
    }
    b.polygon({{at + 3.2, -saddle_half},
               {at + 4.4, -saddle_half + 0.3},
               {at + 4.3, -3},
               {at + 4.9, 5},
               {at + 6.2, 10},
               {at + 5.2, saddle_half},
               {at + 3.2, 9},
               {at + 2.7, 0}},
              0.3);
    b.rule({at, -5.5}, {at, 6.5}, strong());
    b.circle({at, 0}, 1.3, edge());
  }

  void tag(double along, double off, std::string_view key, Weight weight, bool dot = false) {
    scene_.tags.push_back({{x(along), off}, words().at(key), weight, dot});
  }

  void add_tags() {
    tag(0, -outer_ - 3, "sheet.drawing.datum", Weight::vital);
    if (p_.inside) {
      tag(*p_.inside / 2, -0.3 * radius_, "sheet.drawing.inside", Weight::needed, true);
    }
    if (is_cut(subject_)) {
      tag(p_.top, -outer_ - 2, "sheet.drawing.cut_line", Weight::vital);
    }
    tag(p_.top_uncut, -radius_,
        is_cut(subject_) ? "sheet.drawing.top_before" : "sheet.drawing.top_of_mast",
        Weight::needed);
    tag(p_.rails, -5.5, "sheet.drawing.rails", Weight::useful);
    if (ranges()) {
      tag(p_.rails_highest, -saddle_half, "sheet.drawing.highest", Weight::useful);
      tag(p_.rails_lowest, -saddle_half, "sheet.drawing.lowest", Weight::useful);
    }
  }

  void measure(double from, double to, std::string_view name, std::string figure, Weight weight) {
    scene_.measures.push_back(
        {{x(from), radius_}, {x(to), radius_}, words().at(name), std::move(figure), weight});
  }

  void add_measures() {
    const plan::Judgement& now = subject_.now;
    const auto tenths = [&](double mm) { return report::one_decimal(mm, words()); };
    const auto plain = [&](plan::Length mm) { return report::plain(mm.in_mm(), words()); };
    if (is_cut(subject_)) {
      measure(0, p_.top, "sheet.drawing.remaining", plain(*now.remaining), Weight::vital);
      measure(p_.top, p_.top_uncut, "sheet.drawing.cut", plain(now.at), Weight::vital);
    } else {
      measure(0, p_.top, "sheet.drawing.mast", tenths(p_.top), Weight::vital);
    }
    measure(0, p_.rails, "sheet.drawing.extension", tenths(p_.rails), Weight::needed);
    if (p_.spacers) {
      measure(p_.spacers->from, p_.spacers->to, "sheet.drawing.spacers",
              tenths(p_.spacers->to - p_.spacers->from), Weight::useful);
    }
    if (p_.inside) {
      measure(0, *p_.inside, "sheet.drawing.keep", tenths(*p_.inside), Weight::useful);
    }
  }

  const Subject& subject_;
  const MastPlaces& p_;
  const Axis& axis_;
  double radius_, outer_;
  Scene scene_;
};

}  // namespace

Block mast_elevation(const Subject& subject, Room room) {
  const MastPlaces places = plan::mast_places(subject.job, subject.now);
  const Extent extent{.from_mm = -stub_long,
                      .to_mm = std::max(places.top_uncut, places.rails_highest),
                      .left_mm = break_deep_mm,
                      .right_mm = saddle_deep,
                      .diameter_mm = diameter_of(subject.job)};
  Caption caption{subject.words().at("sheet.drawing.mast_title"), {}};
  if (is_cut(subject)) {
    caption.legend.push_back(subject.words().at("sheet.drawing.legend_waste"));
  }
  if (places.rails_lowest != places.rails || places.rails_highest != places.rails) {
    caption.legend.push_back(subject.words().at("sheet.drawing.legend_saddle"));
  }
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(subject, places, axis).scene(); }, caption,
      subject.words(), room);
}

}  // namespace kerfmark::sheet
