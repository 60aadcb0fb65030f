#include "drawn_ink.hpp"

#include <algorithm>
#include <array>

namespace drawn_ink {
namespace {

constexpr double grain_mm = 0.001;

// Whether the line between two corners of a box runs through another: where it enters that one
// comes before where it leaves it.
bool runs_through(double x0, double y0, double x1, double y1, const Area& box) {
  double enters = 0, leaves = 1;
  const auto clip = [&](double from, double to, double low, double high) {
    const double a = (low - from) / (to - from);
    const double b = (high - from) / (to - from);
    enters = std::max(enters, std::min(a, b));
    leaves = std::min(leaves, std::max(a, b));
  };
  clip(x0, x1, box.left_mm, box.right_mm);
  clip(y0, y1, box.top_mm, box.bottom_mm);
  return enters < leaves;
}

// The box of a slanting line says little: the line is one of its diagonals.
bool meets(const Ink& line, const Area& text) {
  const Area& box = line.box;
  constexpr double slanting_mm = 1.2;  // wider than any pen
  if (!overlap(box, text)) {
    return false;
  }
  if (line.what != "line" || box.right_mm - box.left_mm < slanting_mm ||
      box.bottom_mm - box.top_mm < slanting_mm) {
    return true;
  }
  return runs_through(box.left_mm, box.top_mm, box.right_mm, box.bottom_mm, text) ||
         runs_through(box.left_mm, box.bottom_mm, box.right_mm, box.top_mm, text);
}

std::string named(const Ink& ink) { return is_text(ink) ? "\"" + ink.what + "\"" : ink.what; }

}  // namespace

bool is_text(const Ink& ink) {
  constexpr auto shapes =
      std::to_array<std::string_view>({"line", "rectangle", "polygon", "circle", "hatch"});
  return std::ranges::find(shapes, ink.what) == shapes.end();
}

bool overlap(const Area& a, const Area& b) {
  return std::min(a.right_mm, b.right_mm) - std::max(a.left_mm, b.left_mm) > grain_mm &&
         std::min(a.bottom_mm, b.bottom_mm) - std::max(a.top_mm, b.top_mm) > grain_mm;
}

bool inside(const Area& a, const Area& outer) {
  return a.left_mm >= outer.left_mm - grain_mm && a.right_mm <= outer.right_mm + grain_mm &&
         a.top_mm >= outer.top_mm - grain_mm && a.bottom_mm <= outer.bottom_mm + grain_mm;
}

std::string text_in_the_way(const std::vector<Ink>& ink) {
  for (const Ink& one : ink) {
    if (!is_text(one)) {
      continue;
    }
    for (const Ink& other : ink) {
      const bool frames = other.what == "rectangle" || other.what == "circle";
      const bool around = frames && inside(one.box, other.box);
      if (&one != &other && one.page == other.page && !around && meets(other, one.box)) {
        return named(one) + " meets " + named(other) + " on page " + std::to_string(one.page);
      }
    }
  }
  return {};
}

std::string ink_outside(const std::vector<Ink>& ink, const Area& area) {
  for (const Ink& one : ink) {
    if (!inside(one.box, area)) {
      return named(one) + " leaves its room on page " + std::to_string(one.page);
    }
  }
  return {};
}

}  // namespace drawn_ink
