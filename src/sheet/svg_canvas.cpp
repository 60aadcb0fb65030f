#include "svg_canvas.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>

#include "block.hpp"

namespace kerfmark::sheet {
namespace {

// A hundredth of a millimetre is finer than any screen shows.
std::string number(double value) {
  std::array<char, 64> buffer{};
  const double rounded = std::round(value * 100.0) / 100.0;
  const auto end =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), rounded == 0.0 ? 0.0 : rounded)
          .ptr;
  return {buffer.data(), end};
}

std::string attribute(std::string_view name, std::string_view value) {
  return " " + std::string(name) + "=\"" + std::string(value) + "\"";
}

std::string attribute(std::string_view name, double value) {
  return attribute(name, number(value));
}

std::string escaped(std::string_view text) {
  std::string safe;
  for (const char c : text) {
    switch (c) {
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '&':
        safe += "&amp;";
        break;
      case '"':
        safe += "&quot;";
        break;
      default:
        safe += c;
    }
  }
  return safe;
}

// 0 is the colour around the picture, 1 is white, and so is what lies between on a white ground.
std::string shade(double grey) {
  if (grey <= 0.0) {
    return "currentColor";
  }
  const std::string level = std::to_string(std::lround(grey * 255.0));
  return "rgb(" + level + "," + level + "," + level + ")";
}

std::string stroke(const Pen& pen) {
  std::string dash;
  for (const std::uint16_t part : pen.dash_pt) {
    dash += (dash.empty() ? "" : " ") + number(part * mm_per_pt);
  }
  return attribute("fill", "none") + attribute("stroke", shade(pen.grey)) +
         attribute("stroke-width", pen.width_mm) +
         (dash.empty() ? "" : attribute("stroke-dasharray", dash));
}

std::string box(Area area) {
  return "<rect" + attribute("x", area.left_mm) + attribute("y", area.top_mm) +
         attribute("width", area.right_mm - area.left_mm) +
         attribute("height", area.bottom_mm - area.top_mm);
}

}  // namespace

void SvgCanvas::text(Spot baseline_left, Face face, double size_pt, std::string_view utf8,
                     double grey) {
  text_turned(baseline_left, 0.0, face, size_pt, utf8, grey);
}

// The length is said too: places were found for the font of the sheet.
void SvgCanvas::text_turned(Spot baseline_left, double angle_deg, Face face, double size_pt,
                            std::string_view utf8, double grey) {
  if (utf8.empty()) {
    return;
  }
  const std::string turn = "rotate(" + number(-angle_deg) + " " + number(baseline_left.x_mm) + " " +
                           number(baseline_left.y_mm) + ")";
  elements_.push_back(
      "<text" + attribute("x", baseline_left.x_mm) + attribute("y", baseline_left.y_mm) +
      attribute("font-size", size_pt * mm_per_pt) +
      (face == Face::bold ? attribute("font-weight", "bold") : "") +
      attribute("textLength", PdfCanvas::text_width_mm(face, size_pt, utf8)) +
      attribute("lengthAdjust", "spacingAndGlyphs") + attribute("fill", shade(grey)) +
      (angle_deg == 0.0 ? "" : attribute("transform", turn)) + ">" + escaped(utf8) + "</text>");
}

void SvgCanvas::line(Spot from, Spot to, const Pen& pen) {
  elements_.push_back("<line" + attribute("x1", from.x_mm) + attribute("y1", from.y_mm) +
                      attribute("x2", to.x_mm) + attribute("y2", to.y_mm) + stroke(pen) + "/>");
}

void SvgCanvas::rectangle(Area area, const Pen& pen) {
  elements_.push_back(box(area) + stroke(pen) + "/>");
}

void SvgCanvas::filled_rectangle(Area area, double grey) {
  elements_.push_back(box(area) + attribute("fill", shade(grey)) + "/>");
}

void SvgCanvas::filled_polygon(const std::vector<Spot>& corners, double grey) {
  std::string points;
  for (const Spot corner : corners) {
    points += (points.empty() ? "" : " ") + number(corner.x_mm) + "," + number(corner.y_mm);
  }
  elements_.push_back("<polygon" + attribute("points", points) + attribute("fill", shade(grey)) +
                      "/>");
}

void SvgCanvas::circle(Spot centre, double radius_mm, const Pen& pen) {
  elements_.push_back("<circle" + attribute("cx", centre.x_mm) + attribute("cy", centre.y_mm) +
                      attribute("r", radius_mm) + stroke(pen) + "/>");
}

// The lines x + y = constant, each from where it enters the area to where it leaves it.
void SvgCanvas::hatch(Area area, double spacing_mm, const Pen& pen) {
  const double step = spacing_mm * std::numbers::sqrt2;
  const double first = std::ceil((area.left_mm + area.top_mm) / step) * step;
  for (double sum = first; sum <= area.right_mm + area.bottom_mm; sum += step) {
    const Spot low{std::max(area.left_mm, sum - area.bottom_mm),
                   std::min(area.bottom_mm, sum - area.left_mm)};
    const Spot high{std::min(area.right_mm, sum - area.top_mm),
                    std::max(area.top_mm, sum - area.right_mm)};
    line(low, high, pen);
  }
}

std::string svg(double width_mm, double height_mm, std::string_view title,
                const std::vector<std::string>& elements, const std::vector<std::string>& lit) {
  std::string whole = "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\"" +
                      attribute("viewBox", "0 0 " + number(width_mm) + " " + number(height_mm)) +
                      attribute("font-family", "system-ui, sans-serif") + "><title>" +
                      escaped(title) + "</title><g class=\"plain\" color=\"#000\">";
  for (const std::string& element : elements) {
    whole += element;
  }
  whole += "</g><g class=\"lit\">";
  for (const std::string& element : lit) {
    whole += element;
  }
  return whole + "</g></svg>";
}

}  // namespace kerfmark::sheet
