#include "page.hpp"

#include <algorithm>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::sheet {
namespace {

// ---- measures in millimetres ----

constexpr double room_width = a4.width_mm - 2 * page_margin_mm;
constexpr double head_height = 10.5;  // two lines, a rule and the air below it
constexpr double foot_height = 10;    // likewise, the air above the rule
constexpr double number_width = 34;   // of the box for a sheet number
constexpr double number_height = 7.4;

double left_margin(Paper paper) { return (paper.width_mm - room_width) / 2; }

// Lines of a strip are so far apart that the tallest letters of the fonts find room.

// One line, as much of it as there is room for; "…" says that there is more.
std::string in_width(Type type, double width_mm, std::string_view text) {
  const Lines lines = set_in_lines(type, width_mm, text, 1);
  return lines.texts.empty() ? std::string() : lines.texts.front();
}

Block head_strip(const Strips& strips, const SheetOptions& options, std::size_t page,
                 std::size_t pages) {
  Block strip(room_width);
  const std::string count = options.words.say(
      "sheet.page.page_of", {{"page", std::to_string(page)}, {"pages", std::to_string(pages)}});
  const Type strong = bold(9.5);
  const Type plain = regular(8);
  strip.text_up_to({room_width, 3.8}, strong, strips.title);
  strip.text_up_to({room_width, 7.9}, plain, count);
  const double free = room_width - 6;
  const double beside_title =
      free - PdfCanvas::text_width_mm(strong.face, strong.size_pt, strips.title);
  const double beside_count = free - PdfCanvas::text_width_mm(plain.face, plain.size_pt, count);
  strip.text({0, 3.8}, strong, in_width(strong, beside_title, text::harmless(options.shop.name)));
  strip.text({0, 7.9}, plain, in_width(plain, beside_count, text::harmless(options.shop.line)));
  strip.rule({0, 9}, {room_width, 9}, {.width_mm = 0.35});
  return strip;
}

// A number from the register, or a box to write one in.
void sheet_number(Block& strip, const SheetOptions& options, double top) {
  const double left = room_width - number_width;
  const Type small = regular(fill_in_pt);
  const std::string label = options.words.at("sheet.page.sheet_number");
  if (options.record || options.record_is_pending) {
    strip.text_up_to({room_width, top + 3}, small, label);
    strip.text_up_to({room_width, top + 7}, bold(10),
                     options.record ? std::to_string(options.record->number)
                                    : options.words.at("sheet.page.pending"));
    return;
  }
  strip.box({left + 0.2, top, room_width - 0.2, top + number_height}, {.width_mm = 0.3});
  strip.text({left + 1.2, top + 3.6}, small, label);
}

Block foot_strip(const Strips& strips, const SheetOptions& options) {
  Block strip(room_width);
  const double rule_y = 1.4;
  strip.rule({0, rule_y}, {room_width, rule_y}, {.width_mm = 0.35});
  const Type type = regular(smallest_pt);
  const double free = room_width - number_width - 3;
  strip.text({0, rule_y + 3.6}, bold(8), in_width(bold(8), free, strips.mine));
  std::string figures;
  if (!options.digest.empty()) {
    figures = options.words.say("sheet.page.digest", {{"digest", options.digest}});
  }
  if (options.record) {
    figures += (figures.empty() ? "" : "   ") +
               options.words.say("sheet.page.record", {{"hash", options.record->hash}});
  }
  strip.text({0, rule_y + 7}, type, in_width(type, free, figures));
  sheet_number(strip, options, rule_y + 1);
  return strip;
}

}  // namespace

Room room_on(Paper paper) {
  return {room_width, paper.height_mm - 2 * page_margin_mm - head_height - foot_height};
}

PrintedSheet printed(const std::vector<Block>& pages, const Strips& strips,
                     const SheetOptions& options) {
  PdfCanvas canvas(strips.mine.empty() ? strips.title : strips.title + ", " + strips.mine,
                   options.words.at("language.tag"));
  const Paper paper = options.paper;
  const double left = left_margin(paper);
  const Block foot = foot_strip(strips, options);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    canvas.start_page(paper);
    head_strip(strips, options, i + 1, pages.size()).draw(canvas, {left, page_margin_mm});
    pages[i].draw(canvas, {left, page_margin_mm + head_height});
    foot.draw(canvas, {left, paper.height_mm - page_margin_mm - foot_height});
  }
  std::string pdf = canvas.bytes();
  return {std::move(pdf), {}, canvas.ink()};
}

Block page_title(double width_mm, std::string_view title, std::string_view reminder, bool dark) {
  constexpr double height = 9;
  Block band(width_mm);
  const double ink = dark ? 1 : 0;
  if (dark) {
    band.fill({0, 0, width_mm, height}, 0);
  } else {
    band.box({0.4, 0.4, width_mm - 0.4, height - 0.4}, {.width_mm = 0.8});
  }
  band.text({3, 6.3}, {Face::bold, 13, ink}, title);
  band.text_up_to({width_mm - 3, 6.3}, {Face::bold, 13, ink}, reminder);
  band.space(height);
  return band;
}

}  // namespace kerfmark::sheet
