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
constexpr double tube_below = 14;    // of the tube, below the lower end
constexpr double clamp_long = 12;    // of the collar
constexpr double usual_post = 27.2;  // where nobody gave the diameter: the commonest

// Millimetres of paper.
constexpr double play = 0.4;  // between post and tube, so that both lines are seen
constexpr double wall = 1.1;
constexpr double clamp_high = 1.5;
constexpr double rails_half = 5;

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

class Picture {
 public:
  Picture(const Places& places, double diameter_mm, const text::Words& words, const Axis& axis)
      : p_(places),
        words_(words),
        axis_(axis),
        radius_(diameter_mm * axis.across / 2),
        inner_(radius_ + play),
        outer_(inner_ + wall),
        tube_end_(axis.x(places.end + tube_below)) {}

  Scene scene() {
    draw_tube();
    draw_post();
    const double half = std::max(outer_ + clamp_high, rails_half) + 0.6;
    scene_.above_mm = half;
    scene_.below_mm = half;
    add_tags();
    add_measures();
    return std::move(scene_);
  }

 private:
  [[nodiscard]] double x(double along) const { return axis_.x(along); }

  void across(double along, double half, const Pen& pen) {
    scene_.part.rule({x(along), -half}, {x(along), half}, pen);
  }

  void draw_tube() {
    Block& b = scene_.part;
    const double clamp_to = x(0) + std::max(3.0, clamp_long / axis_.scale);
    for (const double side : {-1.0, 1.0}) {
      const double in = side * inner_;
      const double out = side * outer_;
      const double clamp = side * (outer_ + clamp_high);
      b.fill({x(0), std::min(in, out), tube_end_, std::max(in, out)}, 0.75);
      b.rule({x(0), in}, {tube_end_, in}, thin());
      b.rule({x(0), out}, {tube_end_, out}, edge());
      b.fill({x(0), std::min(out, clamp), clamp_to, std::max(out, clamp)}, 0.35);
      b.rule({x(0), in}, {x(0), clamp}, strong());
    }
    broken_off(b, tube_end_, outer_ + 1);
  }

  void draw_post() {
    Block& b = scene_.part;
    for (const double side : {-radius_, radius_}) {
      b.rule({x(p_.top), side}, {x(p_.end), side}, edge());
    }
    across(p_.end, radius_, edge());
    if (p_.rails == p_.top) {
      b.circle({x(p_.top), 0}, 1.3, edge());
      across(p_.top, rails_half, strong());
    } else {
      broken_off(b, x(p_.top), radius_);
    }
    if (p_.mark) {
      across(*p_.mark, radius_, edge());
    }
    if (p_.line) {
      across(*p_.line, outer_ + 2, chain());
    }
  }

  void tag(double along, double off, std::string_view name, Weight weight) {
    scene_.tags.push_back(
        {{x(along), off}, words_.at("sheet.insertion.drawing." + std::string(name)), weight});
  }

  void add_tags() {
    tag(0, -outer_ - clamp_high, "collar", Weight::needed);
    if (p_.line) {
      tag(*p_.line, -outer_ - 2, "line", Weight::vital);
    }
    tag(p_.end, -radius_, "lower_end", Weight::needed);
    if (p_.mark) {
      tag(*p_.mark, -radius_, "mark", Weight::useful);
    }
    if (p_.rails == p_.top) {
      tag(p_.top, -rails_half, "rails", Weight::useful);
    }
  }

  void measure(double from, double to, std::string_view name, Weight weight) {
    scene_.measures.push_back({{x(from), radius_},
                               {x(to), radius_},
                               words_.at("sheet.insertion.drawing." + std::string(name)),
                               report::one_decimal(to - from, words_),
                               weight});
  }

  void add_measures() {
    if (p_.end > 0) {
      measure(0, p_.end, "inserted", Weight::vital);
    }
    if (p_.line) {
      measure(*p_.line, p_.end, "needs", Weight::vital);
    }
    if (p_.rails == p_.top && p_.top < 0) {
      measure(p_.top, 0, "exposed", Weight::useful);
    }
  }

  const Places& p_;
  const text::Words& words_;
  const Axis& axis_;
  double radius_, inner_, outer_, tube_end_;
  Scene scene_;
};

}  // namespace

Block insertion_elevation(const plan::InsertionCheck& check, const text::Words& words, Room room) {
  const Places places = places_of(check);
  const double diameter = check.post.diameter ? check.post.diameter->in_mm() : usual_post;
  const Extent extent{.from_mm = places.top,
                      .to_mm = places.end + tube_below,
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
