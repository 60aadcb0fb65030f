// Where the measures of a steerer are taken: on the bike, with the whole stack on the uncut
// steerer, after the cut. The picture is drawn by eye; its figures are millimetres of paper.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pens.hpp"
#include "steerer.hpp"

namespace kerfmark::sheet {
namespace {

// The front of the bike from its right side.
class Front {
 public:
  explicit Front(Sketch& sketch) : sketch_(sketch) {}

  void draw() {
    draw_lines();
    sketch_.upright("frame.stack", bb_, top_, 21);
    sketch_.level("frame.reach", bb_, top_, 80);
    sketch_.angle("frame.head_angle", bottom_, 13, 180 - head_deg, 180);
    sketch_.upright("bar.height", {30, bb_.y_mm}, bar_, 69);
    sketch_.span("stem.length", stem_, bar_, 8);
    sketch_.point("stem.angle", {64, 25}, {53, 19.5});
  }

 private:
  static constexpr double head_deg = 72;

  [[nodiscard]] Spot along(Spot from, double down_mm, double forward_mm = 0) const {
    return {from.x_mm + down_mm * down_.x_mm + forward_mm * forward_.x_mm,
            from.y_mm + down_mm * down_.y_mm + forward_mm * forward_.y_mm};
  }

  void tube(Spot from, Spot to, double half) {
    for (const double side : {-half, half}) {
      sketch_.lines().rule(along(from, 0, side), along(to, 0, side), edge());
    }
    sketch_.lines().rule(along(from, 0, -half), along(from, 0, half), edge());
    sketch_.lines().rule(along(to, 0, -half), along(to, 0, half), edge());
  }

  void draw_lines() {
    Block& b = sketch_.lines();
    b.circle(bb_, 4, edge());
    b.circle(bb_, 0.8, edge());
    tube(top_, bottom_, 2.6);
    tube(along(bottom_, 1), along(bottom_, 3.5), 3.2);
    b.rule(along(bottom_, 3.5, 1.5), along(bottom_, 25, 2.5), edge());
    b.rule(along(bottom_, 3.5, -1.5), along(bottom_, 25, 1), edge());
    tube(along(top_, -8), top_, 1.9);
    tube(along(stem_, -2.6), along(stem_, 2.6), 2.6);
    b.rule(along(stem_, 0, 2.6), bar_, {.width_mm = 1.4});
    b.circle(bar_, 1.8, edge());
    b.rule(stem_, along(stem_, 0, 19), phantom());
    b.rule(bb_, along(bottom_, -3, -2.6), phantom());
    b.rule({bottom_.x_mm - 17, bottom_.y_mm}, bottom_, phantom());
    b.rule({bb_.x_mm + 5, bb_.y_mm}, {30, bb_.y_mm}, phantom());
  }

  Sketch& sketch_;
  Spot down_{std::cos(head_deg * std::numbers::pi / 180),
             std::sin(head_deg* std::numbers::pi / 180)};
  Spot forward_{down_.y_mm, -down_.x_mm};
  Spot bb_{8, 70};
  Spot top_{38, 34};
  Spot bottom_ = along(top_, 17);
  Spot stem_ = along(top_, -10);
  Spot bar_ = along(stem_, -4, 20);
};

// A part on the steerer, cut open: above its axis and below.
void sleeve(Block& block, double from, double to, double y, double inner, double outer,
            double grey) {
  for (const double side : {-1.0, 1.0}) {
    const Area area{from, y + std::min(side * inner, side * outer), to,
                    y + std::max(side * inner, side * outer)};
    block.fill(area, grey);
    block.box(area, thin());
  }
}

// Crown to the left, all parts in their places, the steerer as long as it came.
void draw_stack(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double crown = 84, head = 88, head_top = 120, rings = 126, stem = 136, above = 150,
                   stack = 155, top = 178, y = 18;
  constexpr double r = 4, inner = 4.3;
  b.polygon({{crown, y - 8}, {crown, y + 8}, {crown - 5, y + 4}, {crown - 5, y - 4}}, 0.4);
  b.box({crown, y - r, top, y + r}, edge());
  sleeve(b, crown, head, y, inner, 7.6, 0.55);
  sleeve(b, head, head_top, y, inner, 6.8, 0.9);
  sleeve(b, head_top, rings, y, inner, 7.6, 0.55);
  sleeve(b, rings, stem, y, inner, 5.6, 1);
  sleeve(b, stem, above, y, inner, 6.8, 0.7);
  sleeve(b, above, stack, y, inner, 5.6, 1);
  sketch.point("headset.lower", {86, y - 13}, {86, y - 7.6});
  sketch.point("headset.upper", {119, y - 13}, {123, y - 7.6});
  sketch.point("spacers.below", {131, y - 13}, {131, y - 5.6});
  sketch.point("stem.clamp", {143, y - 13}, {143, y - 6.8});
  sketch.point("spacers.above", {155, y - 13}, {152.5, y - 5.6});
  sketch.span("steerer.diameter", {171, y + r}, {171, y - r}, 0);
  sketch.level("frame.head_tube", {head, y + 6.8}, {head_top, y + 6.8}, y + 12);
  sketch.level("mock_up.stands_proud", {stack, y + 5.6}, {top, y + r}, y + 12);
  sketch.level("steerer.length", {crown, y + 8}, {top, y + r}, y + 18);
}

// The upper end, larger: the cap on the stack, the steerer below it by the gap.
void draw_top(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double crown = 84, stem = 104, stem_top = 128, stack = 134, top = 130, y = 55;
  constexpr double from = 127, to = 108, r = 6, inner = 6.3;
  b.polygon({{crown, y - 9}, {crown, y + 9}, {crown - 5, y + 5}, {crown - 5, y - 5}}, 0.4);
  b.fill({to, y - 0.6 * r, from, y + 0.6 * r}, 0.82);
  for (const double side : {-r, r}) {
    b.rule({crown, y + side}, {crown + 6, y + side}, edge());
    b.rule({crown + 9, y + side}, {top, y + side}, edge());
  }
  for (const double cut : {crown + 6, crown + 9}) {
    b.rule({cut - 0.6, y + r + 1.4}, {cut + 0.6, y - r - 1.4}, thin());
  }
  b.rule({top, y - r}, {top, y + r}, edge());
  sleeve(b, stem, stem_top, y, inner, 10, 0.7);
  sleeve(b, stem_top, stack, y, inner, 8.4, 1);
  b.fill({stack, y - 8.4, stack + 3, y + 8.4}, 0.3);
  b.fill({stack + 3, y - 2, stack + 4.6, y + 2}, 0);
  b.hatch({150, y - r, 172, y + r}, 1.1, thin());
  b.box({150, y - r, 172, y + r}, ghost());
  sketch.level("cap.gap", {top, y - r}, {stack, y - 8.4}, y - 14);
  b.fill({top, y - r, top + 1, y + r}, 0.6);  // the rim of the expander
  sketch.point("expander.flange", {152, y - 14}, {top + 0.5, y - 4});
  sketch.point("as_cut.gap", {122, y - 14}, {(top + stack) / 2, y - 2});
  sketch.level("expander.to", {top, y + r}, {to, y + 0.6 * r}, y + 14);
  sketch.point("expander.from", {143, y + 14}, {(top + from) / 2, y + 1});
  sketch.level("as_cut.length", {crown, y + 9}, {top, y + r}, y + 20);
  sketch.level("as_cut.offcut", {150, y + r}, {172, y + r}, y + 11);
}

}  // namespace

Sketch steerer_sketch(const Letters& letters) {
  Sketch sketch(sketch_width_mm, sketch_height_mm, letters);
  Front(sketch).draw();
  draw_stack(sketch);
  draw_top(sketch);
  return sketch;
}

}  // namespace kerfmark::sheet
