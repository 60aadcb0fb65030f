// Where the measures of a handlebar are taken: seen from the saddle, before the cut and after it.
// The picture is drawn by eye; its figures are millimetres of paper.

#include "handlebar.hpp"
#include "pens.hpp"

namespace kerfmark::sheet {
namespace {

constexpr double middle = 94;

// The whole bar, with the controls of the fuller side.
void draw_whole(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double left = 12, right = 176, y = 22, r = 2.2;
  constexpr double bend_left = 62, bend_right = 126, grip = 152, lever = 142, shifter = 134;
  b.box({left, y - r, right, y + r}, edge());
  b.fill({middle - 6, y - 6, middle + 6, y + 6}, 0.7);
  b.box({middle - 6, y - 6, middle + 6, y + 6}, thin());
  b.rule({middle, y - 13}, {middle, y + 13}, chain());
  for (const double bend : {bend_left, bend_right}) {
    b.rule({bend, y - r - 1.5}, {bend, y + r + 1.5}, chain());
  }
  for (const Area& control :
       {Area{grip, y - 4, right, y + 4}, Area{lever, y - 4.6, grip - 1.5, y + 4.6},
        Area{shifter, y - 4.6, lever - 1.5, y + 4.6}}) {
    b.box(control, thin());
  }
  b.rule({left + 14, y - r - 1}, {left + 14, y + r + 1}, phantom());
  sketch.level("handlebar.left", {left, y + r}, {middle, y + 13}, y + 13);
  sketch.level("handlebar.right", {middle, y + 13}, {right, y + 4}, y + 13);
  sketch.level("handlebar.width", {left, y + r}, {right, y + 4}, y + 20);
  sketch.level("handlebar.straight", {left, y - r}, {bend_left, y - r - 1.5}, y - 9);
  sketch.level("handlebar.to_mark", {left, y - r}, {left + 14, y - r - 1}, y - 16);
  sketch.level("handlebar.grip_zone", {bend_right + 3, y - r}, {right, y - 4}, y - 16);
  sketch.level("controls.width", {grip, y - 4}, {right, y - 4}, y - 9);
}

// The same bar once it is cut, an offcut beside each end.
void draw_cut(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double left = 34, right = 154, y = 66, r = 2.2, offcut = 18, apart = 4;
  b.box({left, y - r, right, y + r}, edge());
  b.fill({middle - 6, y - 6, middle + 6, y + 6}, 0.7);
  b.box({middle - 6, y - 6, middle + 6, y + 6}, thin());
  const Area waste_left{left - apart - offcut, y - r, left - apart, y + r};
  const Area waste_right{right + apart, y - r, right + apart + offcut, y + r};
  for (const Area& piece : {waste_left, waste_right}) {
    b.hatch(piece, 1.1, thin());
    b.box(piece, ghost());
  }
  sketch.level("as_cut.width", {left, y + r}, {right, y + r}, y + 11);
  sketch.level("as_cut.offcut_left", {left - apart - offcut, y + r}, {left - apart, y + r}, y + 11);
  sketch.level("as_cut.offcut_right", {right + apart, y + r}, {right + apart + offcut, y + r},
               y + 11);
  sketch.span("handlebar.diameter", {left + 12, y + r}, {left + 12, y - r}, 0);
}

}  // namespace

Sketch handlebar_sketch(const Letters& letters) {
  Sketch sketch(sketch_width_mm, sketch_height_mm, letters);
  draw_whole(sketch);
  draw_cut(sketch);
  return sketch;
}

}  // namespace kerfmark::sheet
