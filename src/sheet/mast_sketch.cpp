// Where the measures of a mast are taken: on the bike, on the mast with its topper, after the cut.
// The picture is drawn by eye; its figures are millimetres of paper.

#include <algorithm>

#include "mast.hpp"
#include "pens.hpp"

namespace kerfmark::sheet {
namespace {

// The frame below the datum, a tube that runs into it from below, and the mast to the right.
void draw_mast(Block& b, double datum, double top, double y, double r) {
  b.fill({datum - 9, y + r, datum, y + r + 9}, 0.9);
  b.rule({datum, y + r}, {datum, y + r + 9}, edge());
  b.rule({datum - 9, y + r}, {datum - 9, y + r + 9}, edge());
  for (const double side : {-r, r}) {
    b.rule({datum - 13, y + side}, {top, y + side}, edge());
  }
  b.rule({top, y - r}, {top, y + r}, edge());
  b.rule({datum, y - r - 4}, {datum, y + r}, chain());
}

void draw_rails(Block& b, double rails, double y) {
  b.rule({rails, y - 8}, {rails, y + 8}, strong());
  b.circle({rails, y}, 1.2, edge());
}

// The topper down on its stop.
void draw_uncut(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double datum = 98, keep = 116, edge_of_topper = 136, top = 152, rails = 172, y = 24;
  constexpr double r = 4.2, out = 6;
  b.fill({datum, y - 2.2, keep, y + 2.2}, 0.8);
  b.box({datum, y - 2.2, keep, y + 2.2}, thin());
  draw_mast(b, datum, top, y, r);
  for (const double side : {-1.0, 1.0}) {
    b.box({edge_of_topper, y + std::min(side * r, side * out), top,
           y + std::max(side * r, side * out)},
          thin());
  }
  b.fill({top, y - out, rails, y + out}, 0.8);
  b.box({top, y - out, rails, y + out}, thin());
  draw_rails(b, rails, y);
  sketch.level("mast.keep", {datum, y - r}, {keep, y - 2.2}, y - 10);
  sketch.level("topper.grip", {edge_of_topper, y - out}, {top, y - out}, y - 10);
  sketch.level("topper.rise", {top, y - out}, {rails, y - 8}, y - 10);
  sketch.span("mast.diameter", {126, y + r}, {126, y - r}, 0);
  sketch.level("mast.length", {datum, y + r}, {top, y + out}, y + 16);
}

// The same mast once it is cut, the offcut beside it, the topper on what it takes of spacers.
void draw_cut(Sketch& sketch) {
  Block& b = sketch.lines();
  constexpr double datum = 98, top = 134, spacers = 140, rails = 160, y = 64, r = 4.2, out = 6;
  draw_mast(b, datum, top, y, r);
  b.box({top - 16, y - out, top, y - r}, thin());
  b.box({top - 16, y + r, top, y + out}, thin());
  b.box({top, y - out, spacers, y + out}, thin());
  b.fill({spacers, y - out, rails, y + out}, 0.8);
  b.box({spacers, y - out, rails, y + out}, thin());
  draw_rails(b, rails, y);
  constexpr double piece = 170, piece_end = 183;
  b.hatch({piece, y - r, piece_end, y + r}, 1.1, thin());
  b.box({piece, y - r, piece_end, y + r}, ghost());
  sketch.level("topper.spacers_most", {top, y - out}, {spacers, y - out}, y - 11);
  sketch.level("topper.min_grip", {top - 16, y - out}, {top, y - out}, y - 11);
  sketch.level("as_cut.length", {datum, y + r}, {top, y + out}, y + 15);
  sketch.level("as_cut.offcut", {piece, y + r}, {piece_end, y + r}, y + 15);
}

}  // namespace

Sketch mast_sketch(const Letters& letters) {
  Sketch sketch(sketch_width_mm, sketch_height_mm, letters);
  draw_on_the_bike(sketch, "topper.setback");
  draw_uncut(sketch);
  draw_cut(sketch);
  return sketch;
}

}  // namespace kerfmark::sheet
