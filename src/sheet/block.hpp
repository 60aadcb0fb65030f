#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "kerfmark/sheet/pdf_canvas.hpp"

namespace kerfmark::sheet {

inline constexpr double mm_per_pt = 25.4 / 72;  // 1 pt = 1/72 in

/// Of an em that a line of plain letters takes: ASCII and Latin-1.
inline constexpr double plain_leading = 1.2;

// Sizes of print. Steps are read at arm's length and by the light of a workshop, the rest in the
// hand (common practice).
inline constexpr double bench_pt = 11;
inline constexpr double warning_pt = 10;  ///< also of tables of figures to measure by
inline constexpr double fill_in_pt = 9;   ///< of what stands beside anything to write in
inline constexpr double smallest_pt = 8;  ///< nothing on a sheet is smaller

/// Grey print is as dark as this, or darker: contrast 7:1 on white paper (WCAG 2.1, 1.4.6), which
/// leaves a tired printer something to lose.
inline constexpr double lightest_text_grey = 0.34;

inline constexpr std::size_t no_limit = std::numeric_limits<std::size_t>::max();

struct Type {
  Face face = Face::regular;
  double size_pt = 9;
  double grey = 0;
};

/// Lines of one text with room for every letter that the fonts have, accents stacked twice
/// included.
struct Lines {
  Type type;
  std::vector<std::string> texts;
  double leading_mm = 0;
  double ascent_mm = 0;  ///< from the upper edge of a line to its baseline

  [[nodiscard]] double height_mm() const { return leading_mm * static_cast<double>(texts.size()); }
};

/// The text wrapped to a width, no figure parted from its unit; lines beyond `most` give way, and
/// "…" says so.
[[nodiscard]] Lines set_in_lines(Type type, double width_mm, std::string_view text,
                                 std::size_t most = no_limit);

/// A piece of a page that is drawn before its place is known: coordinates are millimetres from its
/// own upper left corner. It grows downward.
class Block {
 public:
  explicit Block(double width_mm) : width_mm_(width_mm) {}

  [[nodiscard]] double width_mm() const { return width_mm_; }
  [[nodiscard]] double height_mm() const { return height_mm_; }

  void space(double mm) { height_mm_ += mm; }

  void text(Spot baseline_left, Type type, std::string_view text);
  /// The same, ending at an x.
  void text_up_to(Spot baseline_right, Type type, std::string_view text);
  void rule(Spot from, Spot to, Pen pen = {});
  void box(Area area, Pen pen = {});
  void fill(Area area, double grey);
  void polygon(std::vector<Spot> corners, double grey);
  void circle(Spot centre, double radius_mm, Pen pen = {});
  /// See PdfCanvas::hatch.
  void hatch(Area area, double spacing_mm, Pen pen = {});
  /// Turned about baseline_left, anticlockwise.
  void text_turned(Spot baseline_left, double angle_deg, Type type, std::string_view text);

  /// Lines with their upper edge at a place, without growing the block.
  void lines_at(Spot upper_left, const Lines& lines);
  /// Lines below everything so far.
  void paragraph(double x_mm, const Lines& lines);
  /// Another block below everything so far.
  void append(const Block& other, double x_mm = 0);
  /// Another block at a place, without growing this one.
  void inset(const Block& other, Spot upper_left);

  void draw(Canvas& canvas, Spot upper_left) const;

 private:
  struct Text {
    Spot spot;
    Type type;
    std::string text;
    double angle_deg = 0;
  };
  struct Rule {
    Spot from, to;
    Pen pen;
  };
  struct Box {
    Area area;
    Pen pen;
  };
  struct Fill {
    Area area;
    double grey;
  };
  struct Polygon {
    std::vector<Spot> corners;
    double grey;
  };
  struct Circle {
    Spot centre;
    double radius_mm;
    Pen pen;
  };
  struct Hatch {
    Area area;
    double spacing_mm;
    Pen pen;
  };
  using Piece = std::variant<Text, Rule, Box, Fill, Polygon, Circle, Hatch>;

  // With the place of the corner that its coordinates count from.
  struct Placed {
    Spot at;
    Piece piece;
  };
  struct Drawer;

  void add(Piece piece) { pieces_.push_back({{}, std::move(piece)}); }

  double width_mm_;
  double height_mm_ = 0;
  std::vector<Placed> pieces_;
};

}  // namespace kerfmark::sheet
