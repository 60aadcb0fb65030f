#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "block.hpp"
#include "kerfmark/text/words.hpp"
#include "page.hpp"
#include "pens.hpp"

/// A long part lying on the page, drawn to a stated scale, with tags above it and dimension lines
/// below. What is drawn is the matter of one file for each kind of part; here places are found, so
/// that no text lies on another or on a line.
namespace kerfmark::sheet {

/// What must be on the drawing: places along the part in millimetres, growing to the right, and
/// millimetres of paper that symbols take beyond them.
struct Extent {
  double from_mm = 0;
  double to_mm = 0;
  double left_mm = 0;
  double right_mm = 0;
  double diameter_mm = 0;  ///< of the part: a thin one is drawn thicker, so that it can be seen

  /// Of paper.
  [[nodiscard]] double width_mm(double scale) const {
    return left_mm + (to_mm - from_mm) / scale + right_mm;
  }
};

/// From places along the part to the paper. Across the part y is 0 on its axis and grows downward.
struct Axis {
  double scale = 1;   ///< 1:scale along the part
  double across = 1;  ///< millimetres of paper for one across the part
  double zero_mm = 0;

  [[nodiscard]] double x(double along_mm) const { return zero_mm + along_mm / scale; }
};

/// What gives way first where there is no room for all. What is fine or useful does so before the
/// scale gets smaller, and so do a few that are needed; what is vital gives way last of all.
enum class Weight { fine, useful, needed, vital };

/// A short text above the part with a line down to what it names.
struct Tag {
  Spot tip;
  std::string text;
  Weight weight = Weight::fine;
  bool dot = false;  ///< at the tip, on a part; without one the line ends on an edge (ISO 128-22)
};

/// A dimension line below the part: between two x, with lines up to where they are taken.
struct Measure {
  Spot from, to;
  std::string name;
  std::string figure;
  Weight weight = Weight::fine;
};

/// A drawing on its axis, before tags and dimensions have their places.
struct Scene {
  Block part{0};
  double above_mm = 0;  ///< of paper that the part takes over its axis
  double below_mm = 0;
  std::vector<Tag> tags;
  std::vector<Measure> measures;
};

/// What goes below a drawing besides its scale.
struct Caption {
  std::string title;
  std::vector<std::string> legend;
};

using SceneMaker = std::function<Scene(const Axis&)>;

/// The drawing at the largest scale of ISO 5455 (and 1:2.5, an intermediate one that scale rules
/// carry) at which it fits. Room for the bare part and its caption there must be: else the block
/// comes back empty.
[[nodiscard]] Block drawn_to_scale(const Extent& extent, const SceneMaker& scene_at,
                                   const Caption& caption, const text::Words& words, Room room);

/// What comes off.
void waste(Block& block, Area area);

/// A zigzag across the axis, where a part goes on that is not drawn.
void broken_off(Block& block, double x_mm, double half_mm);

/// The text with "…" for what is wider than that.
[[nodiscard]] std::string clipped(Type type, double width_mm, std::string_view text);

inline constexpr double tag_pt = 9;
inline constexpr double widest_name_mm = 60;  ///< of a name that the job gives
inline constexpr double break_deep_mm = 2;

}  // namespace kerfmark::sheet
