#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/sheet/canvas.hpp"

namespace kerfmark::sheet {

/// A sheet of paper, upright.
struct Paper {
  double width_mm = 0;
  double height_mm = 0;
};
inline constexpr Paper a4{210.0, 297.0};                           // ISO 216
inline constexpr Paper letter{8.5 * 254.0 / 10, 11 * 254.0 / 10};  // ASME Y14.1, 8.5 in by 11 in

/// Something drawn: the page, from 1, the smallest upright box around its ink, and what it is: the
/// text itself, or "line", "rectangle", "polygon", "circle", "hatch". Of a text also its em in
/// points and its grey. For tests of overlap, of the paper's edge and of what can be read.
struct Ink {
  int page = 0;
  Area box;
  std::string what;
  double size_pt = 0;
  double grey = 0;
};

/// The two faces as TrueType files in memory; they must outlive the canvas.
struct FontFiles {
  std::string_view regular;
  std::string_view bold;
};

/// Pages of a PDF, drawn in millimetres at true scale. It makes bytes and never touches a file, the
/// clock or the locale: the same calls give the same bytes.
///
/// Every coordinate must be a finite number and lie on the page; anything else is a broken
/// invariant and stops the program. Text may run beyond the page to the right: measure or wrap it
/// first, or look at ink().
///
/// Text is UTF-8. Letters with combining marks are put together (Unicode NFC) before they are
/// measured or printed. Tab, line feed and carriage return print as a space; every other control
/// character, bytes that are not UTF-8 and characters the fonts lack print as U+FFFD, the question
/// mark in a black diamond. There is no right-to-left layout, so Hebrew and Arabic count as
/// lacking.
///
/// Throws Trouble when the PDF library fails; the canvas is of no use after that.
class PdfCanvas : public Canvas {
 public:
  /// The title goes into the PDF's properties; language is a tag of BCP 47, such as "en".
  PdfCanvas(std::string_view title, std::string_view language);
  /// The same with other font files, which must have the measures of the built-in ones. For tests.
  PdfCanvas(std::string_view title, std::string_view language, FontFiles fonts);
  PdfCanvas(const PdfCanvas&) = delete;
  PdfCanvas(PdfCanvas&&) noexcept;
  PdfCanvas& operator=(const PdfCanvas&) = delete;
  PdfCanvas& operator=(PdfCanvas&&) noexcept;
  ~PdfCanvas() override;

  /// Everything below is drawn on the page started last.
  void start_page(Paper paper);

  /// One line of text; baseline_left is where its baseline starts. size_pt: the em in points, above
  /// 0, at most 600.
  void text(Spot baseline_left, Face face, double size_pt, std::string_view utf8,
            double grey = 0) override;
  /// The same, turned about baseline_left by an angle in degrees, positive anticlockwise.
  void text_turned(Spot baseline_left, double angle_deg, Face face, double size_pt,
                   std::string_view utf8, double grey = 0) override;

  void line(Spot from, Spot to, const Pen& pen = {}) override;
  /// The pen's middle runs along the edge of the area.
  void rectangle(Area area, const Pen& pen = {}) override;
  void filled_rectangle(Area area, double grey) override;
  /// At least three corners; the last is joined to the first.
  void filled_polygon(const std::vector<Spot>& corners, double grey) override;
  void circle(Spot centre, double radius_mm, const Pen& pen = {}) override;
  /// Lines rising to the right at 45 degrees, spacing_mm apart measured across them, clipped to the
  /// area.
  void hatch(Area area, double spacing_mm, const Pen& pen = {}) override;

  [[nodiscard]] int page_count() const;
  [[nodiscard]] const std::vector<Ink>& ink() const;

  /// The whole PDF. Nothing can be drawn after it; asked again it gives the same bytes. Needs a
  /// page.
  [[nodiscard]] std::string bytes();

  /// How far one line of text moves the pen, in millimetres.
  [[nodiscard]] static double text_width_mm(Face face, double size_pt, std::string_view utf8);

  /// The text in lines that fit width_mm. A line feed starts a new line; otherwise lines break at
  /// spaces, which are dropped there, and after hyphens and dashes, but never between a dash and a
  /// figure ("-5"). A word wider than the box is broken between characters, one character a line at
  /// the least. A no-break space (U+00A0, U+2007, U+202F) or hyphen (U+2011) does not break. Lines
  /// come back as they will be printed. Empty text gives no line; an empty line inside it stays.
  [[nodiscard]] static std::vector<std::string> wrap(Face face, double size_pt, double width_mm,
                                                     std::string_view utf8);

  /// The characters of a text that cannot be printed, ascending, each once; U+FFFD stands for bytes
  /// that are not UTF-8. Tab, line feed and carriage return are no trouble. Empty means that all of
  /// it can be printed.
  [[nodiscard]] static std::vector<char32_t> unprintable(std::string_view utf8);

 private:
  struct Document;
  std::unique_ptr<Document> document_;
};

}  // namespace kerfmark::sheet
