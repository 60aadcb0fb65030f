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

/// What every drawing of a part is made with: the scene, and places along the part on it.
class SceneTools {
 protected:
  SceneTools(const Axis& axis, double diameter_mm, const text::Words& words)
      : axis_(axis), words_(words), radius_(diameter_mm * axis.across / 2) {}

  [[nodiscard]] const text::Words& words() const { return words_; }
  [[nodiscard]] const Axis& axis() const { return axis_; }
  [[nodiscard]] double x(double along_mm) const { return axis_.x(along_mm); }
  [[nodiscard]] double radius() const { return radius_; }  ///< of the part, of paper
  [[nodiscard]] Block& part() { return scene_.part; }

  /// A line across the part, so far to either side of its axis.
  void across(double along_mm, double half_mm, const Pen& pen);
  void tag(double along_mm, double off_axis_mm, std::string text, Weight weight, bool dot = false);
  /// Of a place that is not along the part: where it is broken off.
  void tag_on_paper(Spot tip, std::string text, Weight weight);
  /// Taken from the edge of the part.
  void measure(double from_mm, double to_mm, std::string_view name, std::string figure,
               Weight weight);
  /// All that was drawn, which takes so much on either side of the axis.
  [[nodiscard]] Scene finished(double half_mm);

 private:
  const Axis& axis_;
  const text::Words& words_;
  double radius_;
  Scene scene_;
};

/// A saddle from behind its rails, which are clamped at this x.
enum class SaddleLies { left, right };
void draw_saddle(Block& block, double rails_x_mm, SaddleLies side);
inline constexpr double saddle_half_mm = 11;
inline constexpr double saddle_deep_mm = 6.5;  ///< beyond the rails
/// The clamp of the rails, above the axis and below it, and their eye.
inline constexpr double rail_clamp_high_mm = 5.5;
inline constexpr double rail_clamp_low_mm = 6.5;
inline constexpr double rail_eye_mm = 1.3;
/// Clear of what is drawn, above and below it.
inline constexpr double air_mm = 0.6;

/// A seat tube cut open, from its upper edge at place 0 down to an x where it is broken off, with
/// the clamp that holds the post: a collar at the edge, or one that grips as far down as that.
struct SeatTube {
  double inner_mm = 0, outer_mm = 0;  ///< of paper, from the axis
  double end_x_mm = 0;
  double clamp_below_mm = 0;  ///< along the tube; 0: a collar
};
void draw_seat_tube(Block& block, const Axis& axis, const SeatTube& tube);
inline constexpr double seat_tube_wall_mm = 1.1;
inline constexpr double seat_tube_play_mm = 0.4;  ///< round the post: both lines are to be seen
inline constexpr double seat_clamp_high_mm = 1.5;
inline constexpr double seat_tube_below_mm = 14;  ///< along the tube, below the last thing in it

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
inline constexpr double break_stands_mm = 0.8;  ///< of its zigzag, beyond a part

}  // namespace kerfmark::sheet
