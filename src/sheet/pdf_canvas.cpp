#include "kerfmark/sheet/pdf_canvas.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>
#include <numbers>
#include <numeric>
#include <span>
#include <utility>

#include <utf8proc.h>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/trouble.hpp"
#include "pdf_library.hpp"

// src/sheet/fonts/fonts.S
extern "C" {
extern const char kerfmark_font_regular[];
extern const char kerfmark_font_regular_end[];
extern const char kerfmark_font_bold[];
extern const char kerfmark_font_bold_end[];
extern const char kerfmark_metrics_regular[];
extern const char kerfmark_metrics_regular_end[];
extern const char kerfmark_metrics_bold[];
extern const char kerfmark_metrics_bold_end[];
}

namespace kerfmark::sheet {
namespace {

constexpr double points_in_inch = 72;  // ISO 32000-1, 8.3.2.3
constexpr double mm_in_inch = 254.0 / 10;
constexpr double points_in_mm = points_in_inch / mm_in_inch;

constexpr double largest_size_pt = 600;  // libharu refuses more (HPDF_MAX_FONTSIZE)

// A coordinate may miss the paper by the rounding of the sums that made it; this is far below what
// libharu prints (1e-5 pt) and far above the rounding of a few sums of doubles near 300.
constexpr double rounding_mm = 1e-6;

constexpr char32_t replacement = 0xFFFD;

// ---- Measures of the fonts ----

struct Glyph {
  char32_t point = 0;
  int advance = 0;  // this and the box in font units, y upward from the baseline
  int x_min = 0;
  int y_min = 0;
  int x_max = 0;
  int y_max = 0;
};

struct Metrics {
  int units_per_em = 1;
  std::vector<Glyph> glyphs;  // ascending by code point

  [[nodiscard]] const Glyph* find(char32_t point) const {
    const auto at = std::ranges::lower_bound(glyphs, point, {}, &Glyph::point);
    return at != glyphs.end() && at->point == point ? &*at : nullptr;
  }
};

// Reads the table that make_font.py wrote: little-endian 16-bit numbers.
Metrics read_metrics(const char* begin, const char* end) {
  const std::span<const char> bytes(begin, end);
  std::size_t at = 0;
  const auto number = [&] {
    const auto low = static_cast<unsigned char>(bytes[at]);
    const auto high = static_cast<unsigned char>(bytes[at + 1]);
    at += 2;
    return static_cast<std::uint16_t>(low | (high << 8));
  };
  const auto signed_number = [&] { return static_cast<std::int16_t>(number()); };

  Metrics metrics;
  metrics.units_per_em = number();
  metrics.glyphs.resize(number());
  for (Glyph& glyph : metrics.glyphs) {
    glyph.point = number();
    glyph.advance = number();
    glyph.x_min = signed_number();
    glyph.y_min = signed_number();
    glyph.x_max = signed_number();
    glyph.y_max = signed_number();
  }
  require(at == bytes.size(), "the table of the font's measures is whole");
  return metrics;
}

const Metrics& metrics_of(Face face) {
  if (face == Face::bold) {
    static const Metrics bold = read_metrics(kerfmark_metrics_bold, kerfmark_metrics_bold_end);
    return bold;
  }
  static const Metrics regular =
      read_metrics(kerfmark_metrics_regular, kerfmark_metrics_regular_end);
  return regular;
}

FontFiles built_in_fonts() {
  return {{kerfmark_font_regular, kerfmark_font_regular_end},
          {kerfmark_font_bold, kerfmark_font_bold_end}};
}

// ---- Text ----

// make_font.py gives both faces the same characters.
bool has_glyph(char32_t point) { return metrics_of(Face::regular).find(point) != nullptr; }

bool is_white_control(char32_t point) { return point == U'\t' || point == U'\n' || point == U'\r'; }

bool is_control(char32_t point) { return point < 0x20 || (point >= 0x7F && point < 0xA0); }

// Bytes that are no UTF-8 become one U+FFFD each, so a broken sequence never swallows what follows
// it.
std::u32string decode(std::string_view utf8) {
  std::u32string points;
  points.reserve(utf8.size());
  while (!utf8.empty()) {
    utf8proc_int32_t point = 0;
    const utf8proc_ssize_t used =
        utf8proc_iterate(reinterpret_cast<const utf8proc_uint8_t*>(utf8.data()),
                         static_cast<utf8proc_ssize_t>(utf8.size()), &point);
    points.push_back(used > 0 ? static_cast<char32_t>(point) : replacement);
    utf8.remove_prefix(used > 0 ? static_cast<std::size_t>(used) : 1);
  }
  return points;
}

std::string encode(std::u32string_view points) {
  std::string utf8;
  utf8.reserve(points.size());
  for (const char32_t point : points) {
    std::array<utf8proc_uint8_t, 4> unit{};
    const auto count = utf8proc_encode_char(static_cast<utf8proc_int32_t>(point), unit.data());
    for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i) {
      utf8.push_back(static_cast<char>(unit[i]));
    }
  }
  return utf8;
}

// Unicode normalization form C: e and a combining acute become é. Nothing below U+0300 changes in
// it.
std::u32string compose(std::u32string points) {
  if (std::ranges::all_of(points, [](char32_t point) { return point < 0x300; })) {
    return points;
  }
  const std::string utf8 = encode(points);
  utf8proc_uint8_t* composed = nullptr;
  const utf8proc_ssize_t size =
      utf8proc_map(reinterpret_cast<const utf8proc_uint8_t*>(utf8.data()),
                   static_cast<utf8proc_ssize_t>(utf8.size()), &composed,
                   static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPOSE));
  const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(composed, &std::free);
  if (size < 0) {
    fail_with("put together", "the letters of a text",
              utf8proc_errmsg(size));  // only for lack of memory: the input is valid UTF-8
  }
  return decode({reinterpret_cast<const char*>(composed), static_cast<std::size_t>(size)});
}

bool is_mark(char32_t point) {
  const utf8proc_category_t category = utf8proc_category(static_cast<utf8proc_int32_t>(point));
  return category == UTF8PROC_CATEGORY_MN || category == UTF8PROC_CATEGORY_ME;
}

// What is printed for a text: see the class comment. A mark that starts a text stands on a no-break
// space, as Unicode advises; libharu prints nothing of a text without width.
std::u32string printed_points(std::string_view utf8) {
  std::u32string points = compose(decode(utf8));
  if (!points.empty() && is_mark(points.front())) {
    points.insert(points.begin(), U'\u00A0');
  }
  for (char32_t& point : points) {
    if (is_white_control(point)) {
      point = U' ';
    } else if (!has_glyph(point)) {
      point = replacement;
    }
  }
  return points;
}

// Document properties are shown in the viewer's own font, so only what libharu cannot store is
// replaced: controls and characters outside the basic plane, which it would turn into spaces.
std::string stored_text(std::string_view utf8) {
  std::u32string points = decode(utf8);
  for (char32_t& point : points) {
    if (is_white_control(point)) {
      point = U' ';
    } else if (is_control(point) || point > 0xFFFF) {
      point = replacement;
    }
  }
  return encode(points);
}

const Glyph& glyph_of(const Metrics& metrics, char32_t point) {
  const Glyph* glyph = metrics.find(point);
  require(glyph != nullptr, "printed text holds only what the fonts have");
  return *glyph;
}

// The advance in thousandths of an em, rounded down as libharu writes it into the PDF: that is what
// a viewer uses.
int printed_advance(const Metrics& metrics, const Glyph& glyph) {
  return glyph.advance * 1000 / metrics.units_per_em;
}

double thousandths_to_mm(int thousandths, double size_pt) {
  return thousandths / 1000.0 * size_pt / points_in_mm;
}

int advance_of(const Metrics& metrics, std::u32string_view points) {
  return std::accumulate(points.begin(), points.end(), 0, [&](int sum, char32_t point) {
    return sum + printed_advance(metrics, glyph_of(metrics, point));
  });
}

// A box that grows around what is put into it.
class Bounds {
 public:
  void add(Spot spot) {
    area_.left_mm = std::min(area_.left_mm, spot.x_mm);
    area_.right_mm = std::max(area_.right_mm, spot.x_mm);
    area_.top_mm = std::min(area_.top_mm, spot.y_mm);
    area_.bottom_mm = std::max(area_.bottom_mm, spot.y_mm);
  }
  [[nodiscard]] bool empty() const { return area_.left_mm > area_.right_mm; }
  [[nodiscard]] Area area() const { return area_; }

 private:
  static constexpr double far_mm = std::numeric_limits<double>::infinity();
  Area area_{far_mm, far_mm, -far_mm, -far_mm};
};

// An angle as its cosine and sine, exact for no turn.
struct Turn {
  double cosine = 1;
  double sine = 0;
};

Turn turn_by(double angle_deg) {
  const double angle_rad = angle_deg * std::numbers::pi / 180;
  return {std::cos(angle_rad), std::sin(angle_rad)};
}

// The box around the ink of a line of text that starts at a spot.
Bounds text_ink(std::u32string_view points, const Metrics& metrics, Spot start, Turn turn,
                double size_pt) {
  Bounds bounds;
  const double mm_in_em = size_pt / points_in_mm;
  int pen = 0;
  for (const char32_t point : points) {
    const Glyph& glyph = glyph_of(metrics, point);
    const auto add = [&](int x, int y) {
      const double along =
          (pen / 1000.0 + static_cast<double>(x) / metrics.units_per_em) * mm_in_em;
      const double above = static_cast<double>(y) / metrics.units_per_em * mm_in_em;
      bounds.add({start.x_mm + along * turn.cosine - above * turn.sine,
                  start.y_mm - along * turn.sine - above * turn.cosine});
    };
    if (glyph.x_max > glyph.x_min) {
      add(glyph.x_min, glyph.y_min);
      add(glyph.x_min, glyph.y_max);
      add(glyph.x_max, glyph.y_min);
      add(glyph.x_max, glyph.y_max);
    }
    pen += printed_advance(metrics, glyph);
  }
  return bounds;
}

// ---- Wrapping ----

bool is_break_space(char32_t point) {
  return point == U' ' ||
         point == 0x2009;  // of the spaces in the fonts, those that let a line break
}

bool is_dash(char32_t point) {
  constexpr std::u32string_view dashes = U"-\u00AD\u2010\u2012\u2013\u2014\u2015";
  return dashes.find(point) != std::u32string_view::npos;
}

// Whether a line may break before text[at], at > 0. A dash stays with the figure after it and with
// the start of its word, so a minus sign never loses its number and an option never its dashes.
bool may_break_before(std::u32string_view text, std::size_t at) {
  if (is_break_space(text[at])) {
    return true;
  }
  const bool figure = text[at] >= U'0' && text[at] <= U'9';
  const bool inside_word = at > 1 && !is_break_space(text[at - 2]) && !is_dash(text[at - 2]);
  return is_dash(text[at - 1]) && inside_word && !figure && !is_dash(text[at]);
}

// The length of the first line of a text that does not start with a space.
std::size_t first_line(const Metrics& metrics, std::u32string_view text, double width_thousandths) {
  std::size_t last_break = 0;
  int width = 0;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (at > 0 && may_break_before(text, at)) {
      last_break = at;
    }
    width += printed_advance(metrics, glyph_of(metrics, text[at]));
    if (width > width_thousandths && !is_break_space(text[at])) {
      return last_break > 0 ? last_break : std::max<std::size_t>(at, 1);
    }
  }
  return text.size();
}

std::u32string_view without_spaces_before(std::u32string_view text) {
  const auto first = std::ranges::find_if_not(text, is_break_space);
  text.remove_prefix(static_cast<std::size_t>(first - text.begin()));
  return text;
}

std::u32string_view without_spaces_after(std::u32string_view text) {
  while (!text.empty() && is_break_space(text.back())) {
    text.remove_suffix(1);
  }
  return text;
}

void wrap_paragraph(const Metrics& metrics, std::u32string_view text, double width_thousandths,
                    std::vector<std::string>& lines) {
  text = without_spaces_before(text);
  if (text.empty()) {
    lines.emplace_back();
  }
  while (!text.empty()) {
    const std::size_t length = first_line(metrics, text, width_thousandths);
    lines.push_back(encode(without_spaces_after(text.substr(0, length))));
    text = without_spaces_before(text.substr(length));
  }
}

// ---- libharu ----

// The characters of a face that are printed, with their widths in thousandths of an em.
using Printed = std::map<char32_t, int>;

HPDF_REAL real(double value) { return static_cast<HPDF_REAL>(value); }

HPDF_REAL points(double mm) { return real(mm * points_in_mm); }

bool is_grey(double grey) { return grey >= 0 && grey <= 1; }

}  // namespace

// The document being made, and the page being drawn on.
struct PdfCanvas::Document {
  Document(std::string_view title, std::string_view language, FontFiles files) : fonts(files) {
    HPDF_Doc pdf = document.get();
    check(HPDF_SetCompressionMode(pdf, HPDF_COMP_ALL));
    check(HPDF_UseUTFEncodings(pdf));
    check(HPDF_SetCurrentEncoder(pdf, "UTF-8"));
    check(HPDF_SetInfoAttr(pdf, HPDF_INFO_TITLE, stored_text(title).c_str()));
    // Print dialogues that heed it then start at "actual size": a template must not be shrunk to
    // fit.
    check(HPDF_SetViewerPreference(pdf, HPDF_PRINT_SCALING_NONE));
    set_language(document, language);
  }

  // The page to draw on.
  HPDF_Page now() const {
    require(page != nullptr, "a page was started before drawing");
    require(!finished, "nothing is drawn after the bytes were taken");
    return page;
  }

  void require_on_page(Spot spot) const {
    require(std::isfinite(spot.x_mm) && std::isfinite(spot.y_mm), "coordinates are finite");
    require(spot.x_mm >= -rounding_mm && spot.x_mm <= paper.width_mm + rounding_mm &&
                spot.y_mm >= -rounding_mm && spot.y_mm <= paper.height_mm + rounding_mm,
            "coordinates are on the page");
  }

  void require_on_page(Area area) const {
    require_on_page(Spot{area.left_mm, area.top_mm});
    require_on_page(Spot{area.right_mm, area.bottom_mm});
    require(area.left_mm <= area.right_mm && area.top_mm <= area.bottom_mm,
            "the sides of an area are in order");
  }

  [[nodiscard]] HPDF_REAL x(double x_mm) const { return points(x_mm); }
  [[nodiscard]] HPDF_REAL y(double y_mm) const { return points(paper.height_mm - y_mm); }

  HPDF_Font font(Face face) {
    const bool bold = face == Face::bold;
    HPDF_Font& loaded = bold ? bold_font : regular_font;
    if (loaded == nullptr) {
      loaded = load_font(document, bold ? fonts.bold : fonts.regular, bold ? "KERFMB" : "KERFMR");
    }
    return loaded;
  }

  void print(Face face, std::u32string_view shown) {
    const Metrics& metrics = metrics_of(face);
    Printed& printed = face == Face::bold ? bold_printed : regular_printed;
    for (const char32_t point : shown) {
      printed.try_emplace(point, printed_advance(metrics, glyph_of(metrics, point)));
    }
  }

  // Once everything is printed.
  void finish_font(HPDF_Font font, const Printed& printed) const {
    if (font != nullptr) {
      list_widths(document, font, printed);
      map_to_unicode(document, font, printed);
    }
  }

  void check(HPDF_STATUS status) const { document.check(status); }

  void use_fill(double grey) const {
    require(is_grey(grey), "grey lies between 0 and 1");
    check(HPDF_Page_SetGrayFill(now(), real(grey)));
  }

  void use_pen(const Pen& pen) const {
    require(is_grey(pen.grey), "grey lies between 0 and 1");
    require(std::isfinite(pen.width_mm) && pen.width_mm > 0, "a line has a width");
    require(pen.dash_pt.size() % 2 == 0 && pen.dash_pt.size() <= 8 &&
                std::ranges::find(pen.dash_pt, 0) == pen.dash_pt.end(),
            "a dash has at most four pairs of whole points");
    check(HPDF_Page_SetGrayStroke(now(), real(pen.grey)));
    check(HPDF_Page_SetLineWidth(page, points(pen.width_mm)));
    check(
        HPDF_Page_SetDash(page, pen.dash_pt.data(), static_cast<HPDF_UINT>(pen.dash_pt.size()), 0));
  }

  void draw_path(Spot from, Spot to) const {
    check(HPDF_Page_MoveTo(page, x(from.x_mm), y(from.y_mm)));
    check(HPDF_Page_LineTo(page, x(to.x_mm), y(to.y_mm)));
  }

  void draw_path(Area area) const {
    check(HPDF_Page_Rectangle(page, x(area.left_mm), y(area.bottom_mm),
                              points(area.right_mm - area.left_mm),
                              points(area.bottom_mm - area.top_mm)));
  }

  void note(Area box, std::string_view what, double size_pt = 0, double grey = 0) {
    ink.push_back({page_count, box, std::string(what), size_pt, grey});
  }

  FontFiles fonts;
  PdfDocument document;
  HPDF_Page page = nullptr;
  Paper paper;
  int page_count = 0;
  HPDF_Font regular_font = nullptr;
  HPDF_Font bold_font = nullptr;
  Printed regular_printed, bold_printed;
  std::vector<Ink> ink;
  std::string bytes;
  bool finished = false;
};

PdfCanvas::PdfCanvas(std::string_view title, std::string_view language)
    : PdfCanvas(title, language, built_in_fonts()) {}

PdfCanvas::PdfCanvas(std::string_view title, std::string_view language, FontFiles fonts)
    : document_(std::make_unique<Document>(title, language, fonts)) {}

PdfCanvas::PdfCanvas(PdfCanvas&&) noexcept = default;
PdfCanvas& PdfCanvas::operator=(PdfCanvas&&) noexcept = default;
PdfCanvas::~PdfCanvas() = default;

void PdfCanvas::start_page(Paper paper) {
  Document& on = *document_;
  require(!on.finished, "no page is started after the bytes were taken");
  on.page = on.document.checked(HPDF_AddPage(on.document.get()));
  on.paper = paper;
  ++on.page_count;
  on.check(HPDF_Page_SetWidth(on.page, points(paper.width_mm)));
  on.check(HPDF_Page_SetHeight(on.page, points(paper.height_mm)));
}

void PdfCanvas::text(Spot baseline_left, Face face, double size_pt, std::string_view utf8,
                     double grey) {
  text_turned(baseline_left, 0, face, size_pt, utf8, grey);
}

void PdfCanvas::text_turned(Spot baseline_left, double angle_deg, Face face, double size_pt,
                            std::string_view utf8, double grey) {
  Document& on = *document_;
  on.require_on_page(baseline_left);
  require(std::isfinite(angle_deg), "the angle of a text is finite");
  require(size_pt > 0 && size_pt <= largest_size_pt, "the size of a text is printable");
  const std::u32string shown = printed_points(utf8);
  const Turn turn = turn_by(angle_deg);
  const Bounds bounds = text_ink(shown, metrics_of(face), baseline_left, turn, size_pt);
  if (bounds.empty()) {
    return;
  }
  on.use_fill(grey);
  on.check(HPDF_Page_BeginText(on.page));
  on.check(HPDF_Page_SetFontAndSize(on.page, on.font(face), real(size_pt)));
  on.check(HPDF_Page_SetTextMatrix(on.page, real(turn.cosine), real(turn.sine), real(-turn.sine),
                                   real(turn.cosine), on.x(baseline_left.x_mm),
                                   on.y(baseline_left.y_mm)));
  on.print(face, shown);
  const std::string shown_utf8 = encode(shown);
  on.check(HPDF_Page_ShowText(on.page, shown_utf8.c_str()));
  on.check(HPDF_Page_EndText(on.page));
  on.note(bounds.area(), shown_utf8, size_pt, grey);
}

void PdfCanvas::line(Spot from, Spot to, const Pen& pen) {
  Document& on = *document_;
  on.require_on_page(from);
  on.require_on_page(to);
  const double length_mm = std::hypot(to.x_mm - from.x_mm, to.y_mm - from.y_mm);
  require(length_mm > 0, "a line has a length");
  on.use_pen(pen);
  on.draw_path(from, to);
  on.check(HPDF_Page_Stroke(on.page));

  const double across_x_mm = (to.y_mm - from.y_mm) / length_mm * pen.width_mm / 2;
  const double across_y_mm = (from.x_mm - to.x_mm) / length_mm * pen.width_mm / 2;
  Bounds bounds;
  for (const Spot end : {from, to}) {
    bounds.add({end.x_mm + across_x_mm, end.y_mm + across_y_mm});
    bounds.add({end.x_mm - across_x_mm, end.y_mm - across_y_mm});
  }
  on.note(bounds.area(), "line");
}

void PdfCanvas::rectangle(Area area, const Pen& pen) {
  Document& on = *document_;
  on.require_on_page(area);
  on.use_pen(pen);
  on.draw_path(area);
  on.check(HPDF_Page_Stroke(on.page));
  const double half_mm = pen.width_mm / 2;
  on.note({area.left_mm - half_mm, area.top_mm - half_mm, area.right_mm + half_mm,
           area.bottom_mm + half_mm},
          "rectangle");
}

void PdfCanvas::filled_rectangle(Area area, double grey) {
  Document& on = *document_;
  on.require_on_page(area);
  on.use_fill(grey);
  on.draw_path(area);
  on.check(HPDF_Page_Fill(on.page));
  on.note(area, "rectangle");
}

void PdfCanvas::filled_polygon(const std::vector<Spot>& corners, double grey) {
  Document& on = *document_;
  require(corners.size() >= 3, "a polygon has three corners or more");
  on.use_fill(grey);
  Bounds bounds;
  for (const Spot& corner : corners) {
    on.require_on_page(corner);
    const bool first = bounds.empty();
    on.check((first ? HPDF_Page_MoveTo : HPDF_Page_LineTo)(on.page, on.x(corner.x_mm),
                                                           on.y(corner.y_mm)));
    bounds.add(corner);
  }
  on.check(HPDF_Page_ClosePath(on.page));
  on.check(HPDF_Page_Fill(on.page));
  on.note(bounds.area(), "polygon");
}

void PdfCanvas::circle(Spot centre, double radius_mm, const Pen& pen) {
  Document& on = *document_;
  require(radius_mm > 0, "a circle has a radius");
  on.require_on_page(Area{centre.x_mm - radius_mm, centre.y_mm - radius_mm, centre.x_mm + radius_mm,
                          centre.y_mm + radius_mm});
  on.use_pen(pen);
  on.check(HPDF_Page_Circle(on.page, on.x(centre.x_mm), on.y(centre.y_mm), points(radius_mm)));
  on.check(HPDF_Page_Stroke(on.page));
  const double reach_mm = radius_mm + pen.width_mm / 2;
  on.note({centre.x_mm - reach_mm, centre.y_mm - reach_mm, centre.x_mm + reach_mm,
           centre.y_mm + reach_mm},
          "circle");
}

void PdfCanvas::hatch(Area area, double spacing_mm, const Pen& pen) {
  Document& on = *document_;
  on.require_on_page(area);
  // A finer hatch than a tenth of a millimetre is a grey area on paper and a slow page.
  require(std::isfinite(spacing_mm) && spacing_mm >= 0.1, "the lines of a hatch are apart");
  on.check(HPDF_Page_GSave(on.now()));
  on.draw_path(area);
  on.check(HPDF_Page_Clip(on.page));
  on.check(HPDF_Page_EndPath(on.page));
  on.use_pen(pen);
  const double height_mm = area.bottom_mm - area.top_mm;
  const double step_mm = spacing_mm * std::numbers::sqrt2;  // along the lower edge
  const auto count = static_cast<int>((area.right_mm - area.left_mm + height_mm) / step_mm);
  for (int i = 0; i <= count; ++i) {
    const double foot_mm = area.left_mm - height_mm + i * step_mm;
    on.draw_path(Spot{foot_mm, area.bottom_mm}, Spot{foot_mm + height_mm, area.top_mm});
  }
  on.check(HPDF_Page_Stroke(on.page));
  on.check(HPDF_Page_GRestore(on.page));
  on.note(area, "hatch");
}

int PdfCanvas::page_count() const { return document_->page_count; }

const std::vector<Ink>& PdfCanvas::ink() const { return document_->ink; }

std::string PdfCanvas::bytes() {
  Document& on = *document_;
  require(on.page_count > 0, "a PDF has a page");
  if (on.finished) {
    return on.bytes;
  }
  HPDF_Doc pdf = on.document.get();
  on.finish_font(on.regular_font, on.regular_printed);
  on.finish_font(on.bold_font, on.bold_printed);
  on.check(HPDF_GetError(pdf));  // an error that neither the handler nor a status reported
  on.check(HPDF_SaveToStream(pdf));
  on.check(HPDF_ResetStream(pdf));
  HPDF_UINT32 size = HPDF_GetStreamSize(pdf);
  std::string whole(size, '\0');
  on.check(HPDF_ReadFromStream(pdf, reinterpret_cast<HPDF_BYTE*>(whole.data()), &size));
  if (size != whole.size()) {
    fail_with("make", "the PDF", "libharu gave only a part of it");
  }
  on.bytes = std::move(whole);
  on.finished = true;
  return on.bytes;
}

double PdfCanvas::text_width_mm(Face face, double size_pt, std::string_view utf8) {
  return thousandths_to_mm(advance_of(metrics_of(face), printed_points(utf8)), size_pt);
}

std::vector<std::string> PdfCanvas::wrap(Face face, double size_pt, double width_mm,
                                         std::string_view utf8) {
  require(std::isfinite(size_pt) && size_pt > 0, "the size of a text is printable");
  require(std::isfinite(width_mm) && width_mm > 0, "a text is wrapped into a width");
  const double width_thousandths = width_mm * points_in_mm / size_pt * 1000;
  std::vector<std::string> lines;
  while (!utf8.empty()) {
    const std::size_t end = std::min(utf8.find('\n'), utf8.size());
    std::string_view paragraph = utf8.substr(0, end);
    utf8.remove_prefix(std::min(end + 1, utf8.size()));
    if (!paragraph.empty() && paragraph.back() == '\r') {
      paragraph.remove_suffix(1);
    }
    wrap_paragraph(metrics_of(face), printed_points(paragraph), width_thousandths, lines);
  }
  return lines;
}

std::vector<char32_t> PdfCanvas::unprintable(std::string_view utf8) {
  std::vector<char32_t> lacking;
  for (const char32_t point : compose(decode(utf8))) {
    if (point == replacement || (!is_white_control(point) && !has_glyph(point))) {
      lacking.push_back(point);
    }
  }
  std::ranges::sort(lacking);
  lacking.erase(std::unique(lacking.begin(), lacking.end()), lacking.end());
  return lacking;
}

}  // namespace kerfmark::sheet
