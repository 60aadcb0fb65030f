#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace kerfmark::sheet {

/// A place on the page in millimetres from its upper left corner: x to the right, y down.
struct Spot {
  double x_mm = 0;
  double y_mm = 0;
};

/// A box on the page, in the same coordinates: left <= right, top <= bottom.
struct Area {
  double left_mm = 0;
  double top_mm = 0;
  double right_mm = 0;
  double bottom_mm = 0;
};

enum class Face { regular, bold };

/// How a line is drawn. Grey runs from 0, black, to 1, white. The dash is in whole points (1/72
/// in), on and off in turn: an even count up to 8, none of them 0; empty is a solid line. Ends are
/// cut square, so a line is as long as it says.
struct Pen {
  double width_mm = 0.2;  // a thin line, common practice
  double grey = 0;
  std::vector<std::uint16_t> dash_pt = {};
};

/// Where a drawing goes: a page of a PDF or a picture of a web page. Millimetres, y down.
class Canvas {
 public:
  Canvas() = default;
  Canvas(const Canvas&) = default;
  Canvas(Canvas&&) = default;
  Canvas& operator=(const Canvas&) = default;
  Canvas& operator=(Canvas&&) = default;
  virtual ~Canvas() = default;

  /// One line of text; baseline_left is where its baseline starts. size_pt: the em in points.
  virtual void text(Spot baseline_left, Face face, double size_pt, std::string_view utf8,
                    double grey) = 0;
  /// The same, turned about baseline_left by an angle in degrees, positive anticlockwise.
  virtual void text_turned(Spot baseline_left, double angle_deg, Face face, double size_pt,
                           std::string_view utf8, double grey) = 0;
  virtual void line(Spot from, Spot to, const Pen& pen) = 0;
  /// The pen's middle runs along the edge of the area.
  virtual void rectangle(Area area, const Pen& pen) = 0;
  virtual void filled_rectangle(Area area, double grey) = 0;
  /// At least three corners; the last is joined to the first.
  virtual void filled_polygon(const std::vector<Spot>& corners, double grey) = 0;
  virtual void circle(Spot centre, double radius_mm, const Pen& pen) = 0;
  /// Lines rising to the right at 45 degrees, spacing_mm apart measured across them, clipped to the
  /// area.
  virtual void hatch(Area area, double spacing_mm, const Pen& pen) = 0;
};

}  // namespace kerfmark::sheet
