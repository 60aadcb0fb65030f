// Where the measures of a seatpost are taken: on the bike, in the tube, on the bench. The picture
// is drawn by eye; its figures are millimetres of paper.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "pens.hpp"
#include "seatpost.hpp"

namespace kerfmark::sheet {
namespace {

void rectangle(Block& block, Area area, double grey) {
  block.fill(area, grey);
  block.box(area, thin());
}

// The bike from its right side: saddle, post and seat tube, the axis in front of the BB centre.
class OnTheBike {
 public:
  OnTheBike(Sketch& sketch, std::string_view setback) : sketch_(sketch), setback_(setback) {}

  void draw() {
    draw_lines();
    sketch_.span("saddle.height", bb_, level_on_parallel(), 16);
    sketch_.span(extension_place, collar_, on_axis_, 24);
    sketch_.span("frame.seat_tube", bb_, collar_, -17);
    sketch_.angle("frame.seat_angle", collar_, 12, 180 - tube_deg, 180);
    sketch_.span("saddle.crank", bb_, pedal_, 7);
    sketch_.span("frame.axis_offset", bb_, foot_, 11);
    sketch_.span(setback_, rails_, on_axis_, -13);
    sketch_.upright("saddle.rail_to_top", rails_, {rails_.x_mm, top_}, rails_.x_mm - 16);
    sketch_.point("saddle.highest", {67, top_ - 5}, {60, top_ - 5});
    sketch_.point("saddle.lowest", {67, top_ + 5}, {60, top_ + 5});
  }

 private:
  static constexpr double tube_deg = 73;
  static constexpr double top_ = 12;  // the level of the saddle top

  [[nodiscard]] Spot along(Spot from, double up_mm, double forward_mm = 0) const {
    return {from.x_mm + up_mm * up_.x_mm + forward_mm * forward_.x_mm,
            from.y_mm + up_mm * up_.y_mm + forward_mm * forward_.y_mm};
  }

  // From the BB centre, parallel to the tube, up to the level of the saddle top.
  [[nodiscard]] Spot level_on_parallel() const { return along(bb_, (top_ - bb_.y_mm) / up_.y_mm); }

  void tube(Spot from, Spot to, double half, const Pen& pen) {
    for (const double side : {-half, half}) {
      sketch_.lines().rule(along(from, 0, side), along(to, 0, side), pen);
    }
  }

  void draw_lines() {
    Block& b = sketch_.lines();
    b.circle(bb_, 4.4, edge());
    b.circle(bb_, 0.8, edge());
    tube(along(foot_, 3.5), collar_, 2.6, edge());
    b.rule(along(collar_, 0, -3.4), along(collar_, 0, 3.4), strong());
    tube(collar_, along(on_axis_, -1), 2, edge());
    b.rule(along(foot_, -12), along(on_axis_, 3), chain());
    b.rule(bb_, pedal_, strong());
    b.circle(pedal_, 1.6, edge());
    const double x = rails_.x_mm;
    b.rule({x - 8, rails_.y_mm}, {x + 9, rails_.y_mm}, strong());
    b.circle(rails_, 1.1, edge());
    b.polygon({{x - 13, top_ - 1.4},
               {x - 8, top_},
               {x + 6, top_},
               {x + 17, top_ + 0.2},
               {x + 17.5, top_ + 1.6},
               {x + 4, top_ + 2.6},
               {x - 12.5, top_ + 1.8}},
              0.3);
    b.rule({x - 24, top_}, {60, top_}, phantom());
    b.rule({52, top_ - 5}, {60, top_ - 5}, ghost());
    b.rule({52, top_ + 5}, {60, top_ + 5}, ghost());
    b.rule({collar_.x_mm - 15, collar_.y_mm}, collar_, phantom());
  }

  Sketch& sketch_;
  std::string_view setback_;
  Spot up_{-std::cos(tube_deg * std::numbers::pi / 180),
           -std::sin(tube_deg* std::numbers::pi / 180)};
  Spot forward_{-up_.y_mm, up_.x_mm};
  Spot bb_{50, 65};
  Spot foot_ = along(bb_, 0, 3.4);  // of the BB centre on the axis
  Spot collar_ = along(foot_, 33);
  Spot on_axis_ = along(foot_, 49);
  Spot rails_ = along(on_axis_, 0, -3.2);
  Spot pedal_ = along(bb_, -17);
};

// The seat tube cut open, the uncut post pushed in until it rests on the blockage.
void draw_in_the_tube(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double rails = 84, collar = 112, end = 158, tube_end = 181, y = 21;
  constexpr double post = 3.4, bore = 4, out = 5.2;
  for (const double side : {-1.0, 1.0}) {
    const Area wall{collar, y + std::min(side * bore, side * out), tube_end,
                    y + std::max(side * bore, side * out)};
    rectangle(b, wall, 0.8);
    b.rule({collar, y + side * bore}, {collar, y + side * 7}, strong());
    b.polygon({{end, y + side * bore}, {end, y + side * 1.8}, {end + 3, y + side * bore}}, 0);
  }
  rectangle(b, {116, y - 14, 127, y - out}, 0.9);  // the top tube
  b.box({rails, y - post, end, y + post}, edge());
  b.rule({rails, y - 8}, {rails, y + 8}, strong());
  b.circle({rails, y}, 1.2, edge());
  sketch.level("frame.junction", {collar, y - 7}, {127, y - 14}, y - 19);
  b.fill({132, y + out, 137, y + out + 2.4}, 0.4);  // what clamps from inside
  sketch.point("frame.clamp_below", {141, y - 12}, {134.5, y + out + 1.2});
  sketch.span("frame.bore", {174, y + bore}, {174, y - bore}, 0);
  sketch.level("mock_up.exposed_bottomed", {rails, y + 8}, {collar, y + 7}, y + 13);
  sketch.level("frame.blockage.depth", {collar, y + 7}, {end, y + out}, y + 13);
}

// The post beside the rule, with all that may be on it; the offcut as it will be.
void draw_on_the_bench(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double rails = 84, head = 95, mark = 142, cut = 161, end = 170, hang = 181, y = 58;
  constexpr double zero = 106, grip_from = 112, grip_to = 136, r = 3.6;
  b.box({rails, y - r, end, y + r}, edge());
  rectangle(b, {rails, y - r - 1, head, y + r + 1}, 0.85);
  rectangle(b, {end, y - 1.8, hang, y + 1.8}, 0.85);
  b.rule({rails, y - 8}, {rails, y + 8}, strong());
  b.circle({rails, y}, 1.2, edge());
  b.rule({mark, y - r}, {mark, y + r}, strong());
  for (int tick = 0; tick < 4; ++tick) {
    b.rule({zero + 2.0 * tick, y - r}, {zero + 2.0 * tick, y - (tick == 0 ? 0.6 : 2)}, edge());
  }
  b.fill({grip_from, y + 1.2, grip_to, y + 2.4}, 0.6);
  b.rule({cut, y - r - 1.5}, {cut, y + r + 1.5}, ghost());
  sketch.level("post.head", {rails, y - 8}, {head, y - r - 1}, y - 10);
  sketch.level("post.scale.zero_at", {rails, y - 8}, {zero, y - r}, y - 16);
  sketch.point("post.grip", {124, y - 10}, {124, y + 1.8});
  sketch.span("post.diameter", {149, y + r}, {149, y - r}, 0);
  sketch.level("post.hang", {end, y - r}, {hang, y - 1.8}, y - 10);
  sketch.level("post.mark", {mark, y + r}, {end, y + r}, y + 8);
  sketch.level("post.length", {rails, y + 8}, {end, y + r}, y + 14);
  sketch.level("as_cut.length", {rails, y + 8}, {cut, y + r + 1.5}, y + 20);
  sketch.level("as_cut.offcut", {cut, y + r + 1.5}, {end, y + r}, y + 20);
}

}  // namespace

void draw_on_the_bike(Sketch& sketch, std::string_view setback) {
  OnTheBike(sketch, setback).draw();
}

Sketch seatpost_sketch(const Letters& letters) {
  Sketch sketch(sketch_width_mm, sketch_height_mm, letters);
  draw_on_the_bike(sketch, "post.setback");
  draw_in_the_tube(sketch);
  draw_on_the_bench(sketch);
  return sketch;
}

}  // namespace kerfmark::sheet
