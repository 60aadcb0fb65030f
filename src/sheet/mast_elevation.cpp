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
constexpr double cut_stands = 2;    // of the saw line, out of the topper
constexpr double datum_stands = 3;  // likewise, and so far down the top tube is drawn

// Parts of the radius.
constexpr double inside_part = 0.55;
constexpr double inside_tip = 0.3;  // where it is named
constexpr double into_part = 0.8;   // of a topper within the mast

constexpr double tube_grey = 0.85;
constexpr double inside_grey = 0.8;
constexpr double head_grey = 0.75;

double diameter_of(const plan::Job& job) {
  return job.mast.diameter ? job.mast.diameter->nominal.in_mm() : usual_diameter;
}

class Picture : SceneTools {
 public:
  Picture(const Subject& subject, const MastPlaces& places, const Axis& axis)
      : SceneTools(axis, diameter_of(subject.job), subject.words()),
        subject_(subject),
        p_(places),
        outer_(radius() + topper_stands * axis.across) {}

  Scene scene() {
    draw_frame();
    draw_mast();
    draw_topper();
    draw_saddle();
    if (subject_.is_cut()) {
      across(p_.top, outer_ + cut_stands, saw_line());
    }
    add_tags();
    add_measures();
    return finished(std::max(saddle_half_mm, outer_ + cut_stands) + air_mm);
  }

 private:
  [[nodiscard]] bool ranges() const {
    return p_.rails_lowest != p_.rails || p_.rails_highest != p_.rails;
  }
  [[nodiscard]] bool goes_into() const { return subject_.job.topper.goes == plan::Goes::into; }

  // The seat tube below the datum and the top tube that runs into it.
  void draw_frame() {
    Block& b = part();
    const double from = x(-stub_long);
    for (const double side : {-radius(), radius()}) {
      b.rule({from, side}, {x(0), side}, edge());
    }
    const double tube = x(0) - top_tube_wide / axis().scale / 2;
    b.fill({std::max(from, tube), radius(), x(0), outer_ + datum_stands}, tube_grey);
    b.rule({x(0), radius()}, {x(0), outer_ + datum_stands}, edge());
    broken_off(b, from, radius() + break_stands_mm);
    across(0, outer_ + datum_stands, chain());
  }

  void draw_mast() {
    Block& b = part();
    if (subject_.is_cut()) {
      waste(b, {x(p_.top), -radius(), x(p_.top_uncut), radius()});
    }
    if (p_.inside) {
      b.fill({x(0), -inside_part * radius(), x(*p_.inside), inside_part * radius()}, inside_grey);
      across(*p_.inside, inside_part * radius(), thin());
    }
    for (const double side : {-radius(), radius()}) {
      b.rule({x(0), side}, {x(p_.top), side}, edge());
    }
    across(p_.top, radius(), edge());
  }

  // Over the mast it is drawn around it, into the mast within it.
  void draw_topper() {
    Block& b = part();
    const double stop = p_.spacers ? p_.spacers->to : p_.top;
    const double from = p_.topper_from + (stop - stop_of_rails());
    if (p_.spacers) {
      const Area rings{x(p_.spacers->from), -outer_, x(p_.spacers->to), outer_};
      b.box(rings, thin());
    }
    const double half = goes_into() ? into_part * radius() : outer_;
    for (const double side : {-1.0, 1.0}) {
      const double inner = goes_into() ? 0.0 : radius();
      const Area sleeve{x(from), std::min(side * inner, side * half), x(stop),
                        std::max(side * inner, side * half)};
      if (stop > from) {
        b.box(sleeve, goes_into() ? phantom() : thin());
      }
    }
    const double to = std::max(stop, p_.rails);
    const Area head{x(stop), -outer_, x(to), outer_};
    if (!subject_.is_cut()) {  // what comes off must be seen, and it lies where the head will be
      b.fill(head, head_grey);
    }
    b.box(head, thin());
  }

  // Where the stop lies for the rails to be where they are wanted.
  [[nodiscard]] double stop_of_rails() const {
    return p_.rails - subject_.job.topper.rise->nominal.in_mm();
  }

  void draw_saddle() {
    Block& b = part();
    const double at = x(p_.rails);
    if (ranges()) {
      across(p_.rails_lowest, saddle_half_mm, phantom());
      across(p_.rails_highest, saddle_half_mm, phantom());
    }
    sheet::draw_saddle(b, at, SaddleLies::right);
    b.rule({at, -rail_clamp_high_mm}, {at, rail_clamp_low_mm}, strong());
    b.circle({at, 0}, rail_eye_mm, edge());
  }

  void add_tags() {
    tag(0, -outer_ - datum_stands, words().at("sheet.drawing.datum"), Weight::vital);
    if (p_.inside) {
      tag(*p_.inside / 2, -inside_tip * radius(), words().at("sheet.drawing.inside"),
          Weight::needed, true);
    }
    if (subject_.is_cut()) {
      tag(p_.top, -outer_ - cut_stands, words().at("sheet.drawing.cut_line"), Weight::vital);
    }
    tag(p_.top_uncut, -radius(),
        words().at(subject_.is_cut() ? "sheet.drawing.top_before" : "sheet.drawing.top_of_mast"),
        Weight::needed);
    tag(p_.rails, -rail_clamp_high_mm, words().at("sheet.drawing.rails"), Weight::useful);
    if (ranges()) {
      tag(p_.rails_highest, -saddle_half_mm, words().at("sheet.drawing.highest"), Weight::useful);
      tag(p_.rails_lowest, -saddle_half_mm, words().at("sheet.drawing.lowest"), Weight::useful);
    }
  }

  void add_measures() {
    const plan::Judgement& now = subject_.now;
    const auto tenths = [&](double mm) { return report::one_decimal(mm, words()); };
    const auto plain = [&](plan::Length mm) { return report::plain(mm.in_mm(), words()); };
    if (subject_.is_cut()) {
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
  double outer_;
};

}  // namespace

Block mast_elevation(const Subject& subject, Room room) {
  const MastPlaces places = plan::mast_places(subject.job, subject.now);
  const Extent extent{.from_mm = -stub_long,
                      .to_mm = std::max(places.top_uncut, places.rails_highest),
                      .left_mm = break_deep_mm,
                      .right_mm = saddle_deep_mm,
                      .diameter_mm = diameter_of(subject.job)};
  Caption caption{subject.words().at("sheet.drawing.mast_title"), {}};
  if (subject.is_cut()) {
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
