#include "sketch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "pens.hpp"

namespace kerfmark::sheet {
namespace {

// Millimetres of paper.
constexpr double bubble_radius = 2.2;
constexpr double arrow_long = 2.0;
constexpr double arrow_wide = 1.0;
constexpr double tail = 3.6;       // of an arrow that stands outside
constexpr double shortest = 10.5;  // with both arrows and a letter within
constexpr double overshoot = 0.8;  // of the lines that a dimension line stands on
constexpr double letter_pt = 8.5;
constexpr double cap_height = 0.73;  // of the em, in the fonts of the sheet

Spot moved(Spot from, Spot direction, double mm) {
  return {from.x_mm + direction.x_mm * mm, from.y_mm + direction.y_mm * mm};
}

Spot between(Spot a, Spot b) { return {(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2}; }

double distance(Spot a, Spot b) { return std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm); }

Spot direction(Spot from, Spot to) {
  const double length = distance(from, to);
  return {(to.x_mm - from.x_mm) / length, (to.y_mm - from.y_mm) / length};
}

Spot on_circle(Spot centre, double radius, double angle_deg) {
  const double angle = angle_deg * std::numbers::pi / 180;
  return {centre.x_mm + radius * std::cos(angle), centre.y_mm - radius * std::sin(angle)};
}

}  // namespace

Sketch::Sketch(double width_mm, double height_mm, Letters letters)
    : block_(width_mm), letters_(std::move(letters)) {
  block_.space(height_mm);
}

std::string Sketch::letter_of(std::string_view path) {
  places_.emplace_back(path);
  const auto found = letters_.find(path);
  return found == letters_.end() ? std::string() : found->second;
}

void Sketch::bubble(Spot centre, const std::string& sign) {
  block_.circle(centre, bubble_radius, {.width_mm = 0.25});
  const double width = PdfCanvas::text_width_mm(Face::bold, letter_pt, sign);
  block_.text({centre.x_mm - width / 2, centre.y_mm + cap_height / 2 * letter_pt * mm_per_pt},
              {Face::bold, letter_pt, 0}, sign);
}

void Sketch::arrow(Spot tip, Spot from) {
  const Spot along = direction(from, tip);
  const Spot across{-along.y_mm, along.x_mm};
  const Spot back = moved(tip, along, -arrow_long);
  block_.polygon({tip, moved(back, across, arrow_wide / 2), moved(back, across, -arrow_wide / 2)},
                 0);
}

// The line itself, with arrows and letter.
void Sketch::dimension(const std::string& sign, Spot a, Spot b) {
  const Spot along = direction(a, b);
  if (distance(a, b) >= shortest) {
    const Spot middle = between(a, b);
    block_.rule(a, moved(middle, along, -bubble_radius), thin());
    block_.rule(moved(middle, along, bubble_radius), b, thin());
    arrow(a, b);
    arrow(b, a);
    bubble(middle, sign);
    return;
  }
  const Spot before = moved(a, along, -tail);
  const Spot behind = moved(b, along, tail);
  block_.rule(before, behind, thin());
  arrow(a, before);
  arrow(b, behind);
  bubble(moved(behind, along, bubble_radius), sign);
}

void Sketch::span(std::string_view path, Spot from, Spot to, double left_mm) {
  const std::string sign = letter_of(path);
  if (sign.empty()) {
    return;
  }
  const Spot along = direction(from, to);
  const Spot left{along.y_mm, -along.x_mm};
  const double beyond = left_mm + (left_mm > 0 ? overshoot : -overshoot);
  if (left_mm != 0) {
    block_.rule(from, moved(from, left, beyond), thin());
    block_.rule(to, moved(to, left, beyond), thin());
  }
  dimension(sign, moved(from, left, left_mm), moved(to, left, left_mm));
}

void Sketch::level(std::string_view path, Spot from, Spot to, double y_mm) {
  const std::string sign = letter_of(path);
  if (sign.empty()) {
    return;
  }
  for (const Spot end : {from, to}) {
    const double beyond = y_mm + (y_mm > end.y_mm ? overshoot : -overshoot);
    block_.rule(end, {end.x_mm, beyond}, thin());
  }
  dimension(sign, {from.x_mm, y_mm}, {to.x_mm, y_mm});
}

void Sketch::upright(std::string_view path, Spot from, Spot to, double x_mm) {
  const std::string sign = letter_of(path);
  if (sign.empty()) {
    return;
  }
  for (const Spot end : {from, to}) {
    const double beyond = x_mm + (x_mm > end.x_mm ? overshoot : -overshoot);
    block_.rule(end, {beyond, end.y_mm}, thin());
  }
  dimension(sign, {x_mm, from.y_mm}, {x_mm, to.y_mm});
}

void Sketch::point(std::string_view path, Spot sign, Spot to) {
  const std::string text = letter_of(path);
  if (text.empty()) {
    return;
  }
  block_.rule(moved(sign, direction(sign, to), bubble_radius), to, thin());
  bubble(sign, text);
}

void Sketch::angle(std::string_view path, Spot apex, double radius_mm, double from_deg,
                   double to_deg) {
  const std::string sign = letter_of(path);
  if (sign.empty()) {
    return;
  }
  const double step = 3;  // degrees of a chord: an arc to the eye
  const double middle = (from_deg + to_deg) / 2;
  const double gap = bubble_radius / radius_mm * 180 / std::numbers::pi;
  const auto arc = [&](double from, double to) {
    const auto count = static_cast<int>(std::ceil((to - from) / step));
    for (int i = 0; i < count; ++i) {
      block_.rule(on_circle(apex, radius_mm, from + (to - from) * i / count),
                  on_circle(apex, radius_mm, from + (to - from) * (i + 1) / count), thin());
    }
  };
  arc(from_deg, middle - gap);
  arc(middle + gap, to_deg);
  arrow(on_circle(apex, radius_mm, from_deg), on_circle(apex, radius_mm, from_deg + 4 * step));
  arrow(on_circle(apex, radius_mm, to_deg), on_circle(apex, radius_mm, to_deg - 4 * step));
  bubble(on_circle(apex, radius_mm, middle), sign);
}

}  // namespace kerfmark::sheet
