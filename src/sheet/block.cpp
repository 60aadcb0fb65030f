#include "block.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace kerfmark::sheet {
namespace {

// Parts of an em that a line takes: of ASCII and Latin-1 above and below its baseline, and of the
// tallest letters of the fonts (Vietnamese capitals with two accents).
constexpr double plain_ascent = 0.96;
constexpr double tall_ascent = 1.13;
constexpr double tall_leading = 1.42;

// U+0100 up to where punctuation begins, U+2000: the first bytes of their UTF-8.
bool has_tall_letters(std::string_view text) {
  return std::any_of(text.begin(), text.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte >= 0xC4 && byte <= 0xE1;
  });
}

// Units as the languages write them; "in" and "°" too.
constexpr auto units =
    std::to_array<std::string_view>({"mm", "cm", "in", "deg", "kg", "lb", "N·m", "°", "%", "pt"});
constexpr std::string_view no_break_space = "\u00a0";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// What a figure must not be parted from: its unit, or the fraction of a mixed number.
bool belongs_to_a_figure(std::string_view next) {
  const std::string_view word = next.substr(0, next.find(' '));
  const bool unit = std::ranges::any_of(units, [&](std::string_view one) {
    return word.starts_with(one) &&
           word.find_first_not_of(".,;:)]\"”“", one.size()) == std::string_view::npos;
  });
  const std::size_t slash = word.find('/');
  const bool fraction = slash != std::string_view::npos && slash > 0 && slash + 1 < word.size() &&
                        is_digit(word[0]) && is_digit(word[slash + 1]);
  return unit || fraction;
}

// The spaces inside of figures turned into some at which no line ends.
std::string held_together(std::string_view text) {
  std::string held;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool inside =
        text[i] == ' ' && i > 0 && is_digit(text[i - 1]) && belongs_to_a_figure(text.substr(i + 1));
    held += inside ? no_break_space : text.substr(i, 1);
  }
  return held;
}

// Back again, so that what is copied out of a sheet can be searched.
void loosen(std::string& line) {
  for (std::size_t at = line.find(no_break_space); at != std::string::npos;
       at = line.find(no_break_space, at)) {
    line.replace(at, no_break_space.size(), " ");
  }
}

Spot moved(Spot spot, Spot by) { return {spot.x_mm + by.x_mm, spot.y_mm + by.y_mm}; }

Area moved(Area area, Spot by) {
  return {area.left_mm + by.x_mm, area.top_mm + by.y_mm, area.right_mm + by.x_mm,
          area.bottom_mm + by.y_mm};
}

}  // namespace

Lines set_in_lines(Type type, double width_mm, std::string_view text, std::size_t most) {
  Lines lines;
  lines.type = type;
  lines.texts = PdfCanvas::wrap(type.face, type.size_pt, width_mm, held_together(text));
  if (lines.texts.size() > most) {
    lines.texts.resize(most);
    if (most > 0) {
      // The last line may be full: what is cut off for the sign of omission goes with the rest.
      const std::string last = lines.texts.back();
      const double room = width_mm - PdfCanvas::text_width_mm(type.face, type.size_pt, " …");
      lines.texts.back() =
          PdfCanvas::wrap(type.face, type.size_pt, room, held_together(last)).front() + " …";
      loosen(lines.texts.back());
    }
  }
  std::ranges::for_each(lines.texts, loosen);
  const bool tall = has_tall_letters(text);
  lines.leading_mm = (tall ? tall_leading : plain_leading) * type.size_pt * mm_per_pt;
  lines.ascent_mm = (tall ? tall_ascent : plain_ascent) * type.size_pt * mm_per_pt;
  return lines;
}

void Block::text(Spot baseline_left, Type type, std::string_view text) {
  text_turned(baseline_left, 0, type, text);
}

void Block::text_turned(Spot baseline_left, double angle_deg, Type type, std::string_view text) {
  if (!text.empty()) {
    add(Text{baseline_left, type, std::string(text), angle_deg});
  }
}

void Block::text_up_to(Spot baseline_right, Type type, std::string_view utf8) {
  const double width = PdfCanvas::text_width_mm(type.face, type.size_pt, utf8);
  text({baseline_right.x_mm - width, baseline_right.y_mm}, type, utf8);
}

void Block::rule(Spot from, Spot to, Pen pen) { add(Rule{from, to, std::move(pen)}); }

void Block::box(Area area, Pen pen) { add(Box{area, std::move(pen)}); }

void Block::fill(Area area, double grey) { add(Fill{area, grey}); }

void Block::polygon(std::vector<Spot> corners, double grey) {
  add(Polygon{std::move(corners), grey});
}

void Block::circle(Spot centre, double radius_mm, Pen pen) {
  add(Circle{centre, radius_mm, std::move(pen)});
}

void Block::hatch(Area area, double spacing_mm, Pen pen) {
  add(Hatch{area, spacing_mm, std::move(pen)});
}

void Block::lines_at(Spot upper_left, const Lines& lines) {
  double baseline = upper_left.y_mm + lines.ascent_mm;
  for (const std::string& line : lines.texts) {
    text({upper_left.x_mm, baseline}, lines.type, line);
    baseline += lines.leading_mm;
  }
}

void Block::paragraph(double x_mm, const Lines& lines) {
  lines_at({x_mm, height_mm_}, lines);
  height_mm_ += lines.height_mm();
}

void Block::append(const Block& other, double x_mm) {
  inset(other, {x_mm, height_mm_});
  height_mm_ += other.height_mm_;
}

void Block::inset(const Block& other, Spot upper_left) {
  for (const Placed& one : other.pieces_) {
    pieces_.push_back({moved(one.at, upper_left), one.piece});
  }
}

// Draws a piece whose coordinates count from a place.
struct Block::Drawer {
  Canvas& canvas;
  Spot at;

  void operator()(const Text& text) const {
    const auto& [face, size_pt, grey] = text.type;
    if (text.angle_deg == 0) {
      canvas.text(moved(text.spot, at), face, size_pt, text.text, grey);
    } else {
      canvas.text_turned(moved(text.spot, at), text.angle_deg, face, size_pt, text.text, grey);
    }
  }
  void operator()(const Rule& rule) const {
    canvas.line(moved(rule.from, at), moved(rule.to, at), rule.pen);
  }
  void operator()(const Box& box) const { canvas.rectangle(moved(box.area, at), box.pen); }
  void operator()(const Fill& fill) const {
    canvas.filled_rectangle(moved(fill.area, at), fill.grey);
  }
  void operator()(const Polygon& polygon) const {
    std::vector<Spot> corners = polygon.corners;
    for (Spot& corner : corners) {
      corner = moved(corner, at);
    }
    canvas.filled_polygon(corners, polygon.grey);
  }
  void operator()(const Circle& circle) const {
    canvas.circle(moved(circle.centre, at), circle.radius_mm, circle.pen);
  }
  void operator()(const Hatch& hatch) const {
    canvas.hatch(moved(hatch.area, at), hatch.spacing_mm, hatch.pen);
  }
};

void Block::draw(Canvas& canvas, Spot upper_left) const {
  for (const Placed& one : pieces_) {
    std::visit(Drawer{canvas, moved(one.at, upper_left)}, one.piece);
  }
}

}  // namespace kerfmark::sheet
