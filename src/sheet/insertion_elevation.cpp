// Places along the post count from the collar edge, growing into the frame, in millimetres.

#include "insertion_elevation.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "axis_view.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::sheet {
namespace {

// Millimetres of the bicycle.
constexpr double post_above =
    45;  // of the post, above the last thing on it, where its top is unknown
constexpr double usual_post = 27.2;  // where nobody gave the diameter: the commonest

// Millimetres of paper.
constexpr double rails_half = 5;
constexpr double line_stands = 2;  // out of the tube

struct Places {
  double top = 0;  // of the post as it is drawn
  std::optional<double> rails;
  double end = 0;
  std::optional<double> line;  // where it is known
  std::optional<double> mark;  // where it is another line than the one that counts
};

Places places_of(const plan::InsertionCheck& check) {
  const report::InsertionPlaces along = report::places_of(check);
  Places p;
  p.end = along.lower_end;
  p.line = along.line;
  if (check.post.mark && check.limits[*check.decides].rule != plan::Rule::mark) {
    p.mark = p.end - check.post.mark->in_mm();
  }
  if (check.post.exposed) {
    p.rails = -check.post.exposed->in_mm();
  }
  const double highest = std::min({0.0, p.line.value_or(0), p.mark.value_or(0)});
  p.top = p.rails && *p.rails < highest ? *p.rails : highest - post_above;
  return p;
}

class Picture : SceneTools {
 public:
  Picture(const Places& places, double diameter_mm, const text::Words& words, const Axis& axis)
      : SceneTools(axis, diameter_mm, words),
        p_(places),
        inner_(radius() + seat_tube_play_mm),
        outer_(inner_ + seat_tube_wall_mm),
        tube_end_(axis.x(places.end + seat_tube_below_mm)) {}

  Scene scene() {
    draw_tube();
    draw_post();
    const double half = std::max(outer_ + seat_clamp_high_mm, rails_half) + air_mm;
    add_tags();
    add_measures();
    return finished(half);
  }

 private:
  void draw_tube() { draw_seat_tube(part(), axis(), {inner_, outer_, tube_end_}); }

  void draw_post() {
    Block& b = part();
    for (const double side : {-radius(), radius()}) {
      b.rule({x(p_.top), side}, {x(p_.end), side}, edge());
    }
    across(p_.end, radius(), edge());
    if (p_.rails == p_.top) {
      b.circle({x(p_.top), 0}, rail_eye_mm, edge());
      across(p_.top, rails_half, strong());
    } else {
      broken_off(b, x(p_.top), radius());
    }
    if (p_.mark) {
      across(*p_.mark, radius(), edge());
    }
    if (p_.line) {
      across(*p_.line, outer_ + line_stands, chain());
    }
  }

  void name(double along, double off, std::string_view key, Weight weight) {
    tag(along, off, words().at("sheet.insertion.drawing." + std::string(key)), weight);
  }

  void add_tags() {
    name(0, -outer_ - seat_clamp_high_mm, "collar", Weight::needed);
    if (p_.line) {
      name(*p_.line, -outer_ - line_stands, "line", Weight::vital);
    }
    name(p_.end, -radius(), "lower_end", Weight::needed);
    if (p_.mark) {
      name(*p_.mark, -radius(), "mark", Weight::useful);
    }
    if (p_.rails == p_.top) {
      name(p_.top, -rails_half, "rails", Weight::useful);
    }
  }

  void length(double from, double to, std::string_view key, Weight weight) {
    measure(from, to, "sheet.insertion.drawing." + std::string(key),
            report::one_decimal(to - from, words()), weight);
  }

  void add_measures() {
    if (p_.end > 0) {
      length(0, p_.end, "inserted", Weight::vital);
    }
    if (p_.line) {
      length(*p_.line, p_.end, "needs", Weight::vital);
    }
    if (p_.rails == p_.top && p_.top < 0) {
      length(p_.top, 0, "exposed", Weight::useful);
    }
  }

  const Places& p_;
  double inner_, outer_, tube_end_;
};

}  // namespace

Block insertion_elevation(const plan::InsertionCheck& check, const text::Words& words, Room room) {
  const Places places = places_of(check);
  const double diameter = check.post.diameter ? check.post.diameter->in_mm() : usual_post;
  const Extent extent{.from_mm = places.top,
                      .to_mm = places.end + seat_tube_below_mm,
                      .left_mm = break_deep_mm,
                      .right_mm = break_deep_mm,
                      .diameter_mm = diameter};
  Caption caption{words.at("sheet.insertion.drawing.title"), {}};
  if (!check.post.diameter) {
    caption.legend.push_back(words.at("sheet.insertion.drawing.width_unknown"));
  }
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(places, diameter, words, axis).scene(); },
      caption, words, room);
}

}  // namespace kerfmark::sheet
