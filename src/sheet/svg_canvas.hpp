#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/sheet/canvas.hpp"

namespace kerfmark::sheet {

/// One picture as SVG 1.1, in millimetres, with what it says as its title for whoever cannot see
/// it. Black is the colour of the text around it, so that a picture can be lit.
class SvgCanvas : public Canvas {
 public:
  void text(Spot baseline_left, Face face, double size_pt, std::string_view utf8,
            double grey) override;
  void text_turned(Spot baseline_left, double angle_deg, Face face, double size_pt,
                   std::string_view utf8, double grey) override;
  void line(Spot from, Spot to, const Pen& pen) override;
  void rectangle(Area area, const Pen& pen) override;
  void filled_rectangle(Area area, double grey) override;
  void filled_polygon(const std::vector<Spot>& corners, double grey) override;
  void circle(Spot centre, double radius_mm, const Pen& pen) override;
  void hatch(Area area, double spacing_mm, const Pen& pen) override;

  /// What was drawn so far, an element each.
  [[nodiscard]] const std::vector<std::string>& elements() const { return elements_; }

 private:
  std::vector<std::string> elements_;
};

/// A whole picture: what is lit comes last and has the class "lit".
[[nodiscard]] std::string svg(double width_mm, double height_mm, std::string_view title,
                              const std::vector<std::string>& elements,
                              const std::vector<std::string>& lit = {});

}  // namespace kerfmark::sheet
