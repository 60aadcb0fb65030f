#include "page.hpp"

#include <algorithm>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::sheet {
namespace {

// ---- measures in millimetres ----

constexpr double room_width = a4.width_mm - 2 * page_margin_mm;
constexpr double head_height = 10.5;  // two lines, a rule and the air below it
constexpr double foot_height = 10;    // likewise, the air above the rule

// The strip at the head: two lines, so far apart that the tallest letters of the fonts find room.
constexpr double head_pt = 9.5;
constexpr double below_head_pt = 8;
constexpr double head_first = 3.8;  // baselines
constexpr double head_second = 7.9;
constexpr double head_rule = 9;
constexpr double head_gap = 6;  // between what stands left and right
constexpr Pen strip_pen{.width_mm = 0.35};

// The strip at the foot, below its rule.
constexpr double foot_rule = 1.4;
constexpr double foot_first = 3.6;
constexpr double foot_second = 7;
constexpr double foot_gap = 3;
constexpr double mine_pt = 8;
constexpr double number_width = 34;  // of the box for a sheet number
constexpr double number_height = 7.4;
constexpr double number_top = 1;
constexpr double number_inset = 0.2;
constexpr Spot number_label{1.2, 3.6};
constexpr Pen number_pen{.width_mm = 0.3};
// A number that there is: its label and itself, in place of the box.
constexpr double given_label = 3;
constexpr double given_number = 7;
constexpr double given_pt = 10;

// The title of a page.
constexpr double title_height = 9;
constexpr double title_baseline = 6.3;
constexpr double title_inset = 3;
constexpr double title_pt = 13;
constexpr double frame_inset = 0.4;
constexpr Pen title_frame{.width_mm = 0.8};

double left_margin(Paper paper) { return (paper.width_mm - room_width) / 2; }

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
  const Type strong = bold(head_pt);
  const Type plain = regular(below_head_pt);
  strip.text_up_to({room_width, head_first}, strong, strips.title);
  strip.text_up_to({room_width, head_second}, plain, count);
  const double free = room_width - head_gap;
  const double beside_title =
      free - PdfCanvas::text_width_mm(strong.face, strong.size_pt, strips.title);
  const double beside_count = free - PdfCanvas::text_width_mm(plain.face, plain.size_pt, count);
  strip.text({0, head_first}, strong,
             in_width(strong, beside_title, text::harmless(options.shop.name)));
  strip.text({0, head_second}, plain,
             in_width(plain, beside_count, text::harmless(options.shop.line)));
  strip.rule({0, head_rule}, {room_width, head_rule}, strip_pen);
  return strip;
}

// A number from the register, or a box to write one in.
void sheet_number(Block& strip, const SheetOptions& options, double top) {
  const double left = room_width - number_width;
  const Type small = regular(fill_in_pt);
  const std::string label = options.words.at("sheet.page.sheet_number");
  if (options.record || options.record_is_pending) {
    strip.text_up_to({room_width, top + given_label}, small, label);
    strip.text_up_to({room_width, top + given_number}, bold(given_pt),
                     options.record ? std::to_string(options.record->number)
                                    : options.words.at("sheet.page.pending"));
    return;
  }
  strip.box({left + number_inset, top, room_width - number_inset, top + number_height}, number_pen);
  strip.text({left + number_label.x_mm, top + number_label.y_mm}, small, label);
}

Block foot_strip(const Strips& strips, const SheetOptions& options) {
  Block strip(room_width);
  strip.rule({0, foot_rule}, {room_width, foot_rule}, strip_pen);
  const Type type = regular(smallest_pt);
  const double free = room_width - number_width - foot_gap;
  strip.text({0, foot_rule + foot_first}, bold(mine_pt),
             in_width(bold(mine_pt), free, strips.mine));
  std::string figures;
  if (!options.digest.empty()) {
    figures = options.words.say("sheet.page.digest", {{"digest", options.digest}});
  }
  if (options.record) {
    figures += (figures.empty() ? "" : "   ") +
               options.words.say("sheet.page.record", {{"hash", options.record->hash}});
  }
  strip.text({0, foot_rule + foot_second}, type, in_width(type, free, figures));
  sheet_number(strip, options, foot_rule + number_top);
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
  Block band(width_mm);
  const double ink = dark ? 1 : 0;
  if (dark) {
    band.fill({0, 0, width_mm, title_height}, 0);
  } else {
    band.box({frame_inset, frame_inset, width_mm - frame_inset, title_height - frame_inset},
             title_frame);
  }
  band.text({title_inset, title_baseline}, {Face::bold, title_pt, ink}, title);
  band.text_up_to({width_mm - title_inset, title_baseline}, {Face::bold, title_pt, ink}, reminder);
  band.space(title_height);
  return band;
}

}  // namespace kerfmark::sheet
