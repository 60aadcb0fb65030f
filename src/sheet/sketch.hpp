#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "block.hpp"
#include "kerfmark/sheet/form.hpp"

/// A picture, not to scale, that shows where each measure is taken: every measure by the letter
/// under which its key stands in the list beside it.
namespace kerfmark::sheet {

class Sketch {
 public:
  Sketch(double width_mm, double height_mm, Letters letters);

  /// For what is not a measure.
  [[nodiscard]] Block& lines() { return block_; }

  /// A dimension line between two places, moved to the left of the way from one to the other (on
  /// the page, y down). Where it is short, arrows and letter stand beyond its second end.
  void span(std::string_view path, Spot from, Spot to, double left_mm);
  /// The same, level or upright, at an x or y of its own whatever the heights of the two places.
  void level(std::string_view path, Spot from, Spot to, double y_mm);
  void upright(std::string_view path, Spot from, Spot to, double x_mm);
  /// A line from a letter to what it names.
  void point(std::string_view path, Spot sign, Spot to);
  /// An arc between two directions, in degrees anticlockwise from the right, the letter on it.
  void angle(std::string_view path, Spot apex, double radius_mm, double from_deg, double to_deg);

  /// The keys that have a place in the picture; a key without a letter is not drawn.
  [[nodiscard]] const std::vector<std::string>& places() const { return places_; }
  [[nodiscard]] Block block() const { return block_; }

 private:
  /// Notes the place of a key; empty: it has no letter.
  std::string letter_of(std::string_view path);
  void dimension(const std::string& sign, Spot from, Spot to);
  void bubble(Spot centre, const std::string& sign);
  void arrow(Spot tip, Spot from);

  Block block_;
  Letters letters_;
  std::vector<std::string> places_;
};

/// The place of the saddle height where it is the extension, read off the post itself: by the
/// letter of the height.
inline constexpr std::string_view extension_place = "saddle.extension";

/// The bike from its right side with what is measured between BB centre and saddle; `setback` is
/// the key of the part that holds the rails.
void draw_on_the_bike(Sketch& sketch, std::string_view setback);

/// The sketches of the kinds of job, as wide as a page's room.
inline constexpr double sketch_width_mm = 188;
inline constexpr double sketch_height_mm = 83;
[[nodiscard]] Sketch sketch_of(plan::Kind kind, const Letters& letters);

}  // namespace kerfmark::sheet
