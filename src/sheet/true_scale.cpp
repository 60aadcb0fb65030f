#include "true_scale.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "flow.hpp"
#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_sheets.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Length;

// ---- measures of the page, in millimetres ----

// The middle of the paper runs round a part of diameter d at half its thickness from the surface:
// its length is pi (d + thickness). Copy paper of 80 g/m2 is 0.1 thick (common practice).
constexpr double paper_thickness = 0.1;

constexpr double between = 5;
constexpr double small_pt = 8.5;
constexpr double text_pt = 9.5;
constexpr double large_pt = 11;  // of the column with the words, where there is room
constexpr double step_pt = 0.5;

constexpr Pen thin{.width_mm = 0.2};
constexpr Pen fine{.width_mm = 0.15};  // of ticks and hatching
constexpr double paper_grey = 0.85;    // of what lies below other paper

// Head: a check bar with its figure below it, and how to check by it.
constexpr double below_title = 3;
constexpr double check_rise = 0.5;  // of the words over the upper edge of the bar
constexpr double below_check = 3;

constexpr double bar_length = 100;
constexpr double bar_cell = 10;
constexpr double bar_thick = 3;
constexpr double bar_end = 0.3;      // of the line that closes the last, white cell
constexpr double bar_figure = 4;     // room for the figure beside the bar
constexpr double figure_drop = 3.5;  // of its baseline, below a bar that lies
constexpr double figure_out = 3.2;   // beside one that stands

// The wrap.
constexpr double wrap_width = 50;   // more than a diameter, so that it cannot lie askew unseen
constexpr double tab_length = 10;   // of the overlap: a strip of tape holds on it
constexpr double tab_drop = 1.1;    // of the baseline of its name, below its middle
constexpr double waste_band = 4;    // hatched along the straight edge
constexpr double waste_lines = 1;   // of the hatching
constexpr double guide_apart = 10;  // of the stubs that meet when the wrap lies square
constexpr double guide_long = 3;
constexpr double wrap_to_bar = between - 2;
// What is written on it: baselines from the ends of the stubs.
constexpr double on_wrap_left = 2;
constexpr double on_wrap_right = 5;
constexpr double middle_left = 1;  // of the middle of the wrap, as an edge has its name along it
constexpr double short_edge_drop = 4;
constexpr double stays_drop = 10;
constexpr double goes_drop = 15;
constexpr double diameter_drop = 25;
constexpr double diameter_pt = 16;
constexpr double number_top = 28;
constexpr double number_spare = 10;   // of the width
constexpr double overlap_rise = 1.5;  // above the stubs at the other end
constexpr double edge_name_left = 1.2;

// A small picture for the room below a wrap, not to scale: the part with the wrap on it. Places
// count from the line, plus on the side that stays.
constexpr double picture_width = 60;
constexpr double picture_height = 56;
constexpr double picture_left = 4;  // of the part
constexpr double picture_right = 20;
constexpr double picture_names = 25;
constexpr double picture_from = -20;
constexpr double picture_to = 36;
constexpr double picture_wrap = 22;
constexpr double wrap_stands = 0.5;    // out on the part
constexpr double overlap_left = 5;     // of its edge, from the right edge of the part
constexpr double line_stands = 3;      // out on both sides
constexpr double picture_hatch = 1.5;  // lines of it
constexpr double name_of_stays = 30;
constexpr double name_of_wrap = 12;
constexpr double name_of_waste = -12;
constexpr Pen line_pen{.width_mm = 0.5};

// The strip.
constexpr double tick_band = 6;       // beside the outline of the part
constexpr double tick_of_five = 4.5;  // of every fifth millimetre; every tenth takes the band
constexpr double tick_of_one = 3;
constexpr double number_band = 7;  // beside the ticks
constexpr double number_gap = 0.8;
constexpr double number_drop = 1;     // of its baseline, below its tick
constexpr double side_band = 6;       // above and below the strip: names of the sides
constexpr double side_rise = 2;       // of the baseline of the upper one, above the strip
constexpr double side_drop = 3.5;     // of the lower one, below it
constexpr double label_band = 8;      // beyond the uncut end: its name, in two lines
constexpr double label_gap = 0.6;     // of a name, to its line
constexpr double label_spare = 1.5;   // of the width
constexpr double most_waste = 70;     // a longer offcut is shown in part
constexpr double some_waste = 20;     // of it
constexpr double unknown_width = 30;  // between the ticks when the diameter does not tell
constexpr double overhang = 1.5;      // of the cut line beyond the ticks
constexpr double strip_hatch = 1.5;
constexpr double kerf_grey = 0.35;
constexpr Pen ten_pen{.width_mm = 0.25};
constexpr Pen cut_pen{.width_mm = 0.4};
[[nodiscard]] Pen insertion_pen() { return {.width_mm = 0.5, .dash_pt = {6, 2}}; }
[[nodiscard]] Pen end_pen() { return {.width_mm = 0.3, .dash_pt = {3, 2}}; }
[[nodiscard]] Pen hidden_pen() { return {.width_mm = 0.2, .dash_pt = {3, 2}}; }

// The column with the words.
constexpr double above_heading = 3;
constexpr double heading_more_pt = 1.5;
constexpr double heading_to_rule = 0.4;
constexpr double below_rule = 1.2;
constexpr double below_sentence = 1.4;
constexpr Pen heading_pen{.width_mm = 0.4};

// ---- words ----

std::string own(const Subject& subject, report::KindSentence sentence) {
  return subject.words().say(subject.own(sentence));
}

bool stays_above(const Subject& subject) {
  return plan::kind_of_part(subject.job.kind).stays_above;
}

std::string said(const Subject& subject, std::string_view key,
                 std::initializer_list<text::Filling> fillings = {}) {
  return subject.words().say("sheet.scale." + std::string(key), fillings);
}

std::optional<Length> diameter(const plan::Job& job) { return sheet_of(job.kind).diameter(job); }

double round_the_part(Length diameter) {
  return std::numbers::pi * (diameter.in_mm() + paper_thickness);
}

// ---- pieces ----

void text_centred(Block& block, Spot baseline_middle, Type type, std::string_view text) {
  const double width = PdfCanvas::text_width_mm(type.face, type.size_pt, text);
  block.text({baseline_middle.x_mm - width / 2, baseline_middle.y_mm}, type, text);
}

/// Lines that stand in the middle of a width, their upper edge at y.
void lines_centred(Block& block, double middle_x, double y, const Lines& lines) {
  double baseline = y + lines.ascent_mm;
  for (const std::string& line : lines.texts) {
    text_centred(block, {middle_x, baseline}, lines.type, line);
    baseline += lines.leading_mm;
  }
}

/// Which way a check bar runs.
enum class Bar { across, down };

Area turned(Bar bar, double from, double to, double near, double far) {
  return bar == Bar::across ? Area{from, near, to, far} : Area{near, from, far, to};
}

/// 100 mm from the outer edge of the first cell to that of the last: filled areas only, no pen adds
/// to them. Its corner is the block's.
Block check_bar(Bar bar) {
  Block block(bar == Bar::across ? bar_length : bar_thick);
  for (double from = 0; from < bar_length; from += 2 * bar_cell) {
    block.fill(turned(bar, from, from + bar_cell, 0, bar_thick), 0);
  }
  block.fill(turned(bar, 0, bar_length, 0, bar_end), 0);
  block.fill(turned(bar, 0, bar_length, bar_thick - bar_end, bar_thick), 0);
  block.fill(turned(bar, bar_length - bar_end, bar_length, 0, bar_thick), 0);
  block.space(bar == Bar::across ? bar_thick : bar_length);
  return block;
}

constexpr std::string_view bar_says = "100 mm";

Block head(const Subject& subject, double width) {
  Block block(width);
  block.append(heads_of(subject, said(subject, "title"), width).first);
  block.space(below_title);
  const double text_x = bar_length + between;
  const double top = block.height_mm();
  const Lines check = set_in_lines(bold(text_pt), width - text_x, said(subject, "check"));
  block.inset(check_bar(Bar::across), {0, top});
  text_centred(block, {bar_length / 2, top + bar_thick + figure_drop}, regular(small_pt), bar_says);
  block.lines_at({text_x, top - check_rise}, check);
  block.space(std::max(bar_thick + bar_figure, check.height_mm() - check_rise) + below_check);
  return block;
}

/// A check bar with its figure along it, reading upward.
Block bar_down() {
  Block block(bar_thick + bar_figure);
  block.inset(check_bar(Bar::down), {0, 0});
  const double half = PdfCanvas::text_width_mm(Face::regular, small_pt, bar_says) / 2;
  block.text_turned({bar_thick + figure_out, bar_length / 2 + half}, 90, regular(small_pt),
                    bar_says);
  block.space(bar_length);
  return block;
}

// ---- the wrap ----

// Stubs of lines along the part: where the wrap closes they go on into themselves.
void guides(Block& block, double from, double to) {
  for (double x = guide_apart; x < wrap_width; x += guide_apart) {
    block.rule({x, from}, {x, to}, fine);
  }
}

void text_on_wrap(Block& block, const Subject& subject, Length diameter, double length) {
  const Type small = regular(small_pt);
  const double inset = on_wrap_left;
  const double middle = wrap_width / 2 - middle_left;
  block.text({inset, guide_long + short_edge_drop}, small, said(subject, "short_edge"));
  block.text({inset, guide_long + stays_drop}, bold(small_pt),
             "◀ " + own(subject, "sheet.scale.stays"));
  block.text_up_to({wrap_width - on_wrap_right, guide_long + goes_drop}, bold(small_pt),
                   said(subject, "waste") + " ▶");
  const std::string size = "Ø " + in_mm(subject, diameter);
  text_centred(block, {middle, guide_long + diameter_drop}, bold(diameter_pt), size);
  const std::string number = text::harmless(subject.job.paperwork.number);
  lines_centred(block, middle, guide_long + number_top,
                set_in_lines(small, wrap_width - number_spare, number, 1));
  block.text({inset, length - guide_long - overlap_rise}, small, said(subject, "overlap_line"));
  const std::string edge = said(subject, "straight_edge");
  const double half = PdfCanvas::text_width_mm(Face::bold, small_pt, edge) / 2;
  block.text_turned({wrap_width - edge_name_left, length / 2 + half}, 90, bold(small_pt), edge);
}

/// Its upper edge is the short edge, its right edge the cut line.
Block wrap(const Subject& subject, Length diameter) {
  Block block(wrap_width + waste_band);
  const double length = round_the_part(diameter);
  const double whole = length + tab_length;
  block.fill({0, length, wrap_width, whole}, paper_grey);
  block.hatch({wrap_width, 0, wrap_width + waste_band, whole}, waste_lines, fine);
  block.box({0, 0, wrap_width, whole}, thin);
  block.rule({0, length}, {wrap_width, length}, thin);
  guides(block, 0, guide_long);
  guides(block, length - guide_long, length);
  text_on_wrap(block, subject, diameter, length);
  text_centred(block, {wrap_width / 2, length + tab_length / 2 + tab_drop}, regular(small_pt),
               said(subject, "tab"));
  block.space(whole);
  return block;
}

// ---- how the wrap lies ----

Block picture_of_wrap(const Subject& subject) {
  Block block(picture_width);
  const double left = picture_left;
  const double right = picture_right;
  const bool post = stays_above(subject);
  const double line = post ? picture_to : picture_height - picture_to;
  const double up = post ? 1 : -1;
  const auto at = [&](double from_line) { return line - up * from_line; };
  const auto band = [&](double x, double from, double to) {
    return Area{left - x, std::min(at(from), at(to)), right + x, std::max(at(from), at(to))};
  };
  for (const double x : {left, right}) {
    block.rule({x, at(picture_to)}, {x, at(picture_from)}, thin);
  }
  const Area wrap = band(wrap_stands, 0, picture_wrap);
  block.fill(wrap, paper_grey);
  block.box(wrap, thin);
  block.rule({right - overlap_left, at(picture_wrap)}, {right - overlap_left, at(0)}, hidden_pen());
  block.hatch(band(0, 0, picture_from), picture_hatch, fine);
  block.rule({left - line_stands, line}, {right + line_stands, line}, line_pen);
  const auto name = [&](double from_line, Face face, const std::string& text) {
    const Lines lines = set_in_lines({face, small_pt, 0}, picture_width - picture_names, text);
    block.lines_at({picture_names, at(from_line) - lines.height_mm() / 2}, lines);
  };
  name(name_of_stays, Face::regular, own(subject, "sheet.scale.stays"));
  name(name_of_wrap, Face::regular, said(subject, "wrap"));
  name(0, Face::bold, said(subject, "cut_line"));
  name(name_of_waste, Face::regular, said(subject, "waste"));
  block.space(picture_height);
  return block;
}

// ---- the strip ----

/// The strip as it stands on the page: upright, the side that stays above the line for a post and
/// for each end of a handlebar, below it for a steerer or mast, as the parts stand in a bicycle.
struct Strip {
  double width = unknown_width;  ///< of the part, between the ticks
  double kept = 0, waste = 0;    ///< shown of each side, from the cut line
  bool shows_end = false;        ///< the uncut end is on it
  double up = 1;                 ///< 1: what stays is above the line; -1: below

  double line = 0;  ///< y of the cut line

  [[nodiscard]] double whole_width() const { return number_band + 2 * tick_band + width; }
  [[nodiscard]] double left() const { return number_band + tick_band; }
  [[nodiscard]] double right() const { return left() + width; }
  /// The y of a place so far from the cut line, positive on the side that stays.
  [[nodiscard]] double at(double from_line) const { return line - up * from_line; }
  [[nodiscard]] Area across(double from, double to) const {
    return {left(), std::min(at(from), at(to)), right(), std::max(at(from), at(to))};
  }
};

Strip strip_for(const Subject& subject, double height) {
  const plan::Judgement& now = subject.now;
  Strip strip;
  if (const auto round = diameter(subject.job)) {
    strip.width = round->in_mm();
  }
  strip.shows_end = now.at.in_mm() <= most_waste;
  strip.waste = strip.shows_end ? now.at.in_mm() : some_waste;
  const double beyond = strip.shows_end ? label_band : 0;
  const double room = height - 2 * side_band - strip.waste - beyond;
  const double ends = plan::kind_of_part(subject.job.kind).ends;
  const double left_over = now.remaining ? now.remaining->in_mm() / ends : room;
  strip.kept = 10 * std::floor(std::min(room, left_over) / 10);
  strip.up = stays_above(subject) ? 1 : -1;
  strip.line = side_band + (stays_above(subject) ? strip.kept : strip.waste + beyond);
  return strip;
}

void ticks(Block& block, const Strip& strip) {
  const auto last = static_cast<int>(std::floor(strip.kept + 1e-9));  // whole millimetres on both
  const auto first = -static_cast<int>(std::floor(strip.waste + 1e-9));  // sides of the line
  for (int mm = first; mm <= last; ++mm) {
    if (mm == 0) {
      continue;  // the cut line is its own tick
    }
    const double length = mm % 10 == 0 ? tick_band : mm % 5 == 0 ? tick_of_five : tick_of_one;
    const double y = strip.at(mm);
    const Pen& pen = mm % 10 == 0 ? ten_pen : fine;
    block.rule({strip.left() - length, y}, {strip.left(), y}, pen);
    block.rule({strip.right(), y}, {strip.right() + length, y}, pen);
    if (mm % 10 == 0) {
      block.text_up_to({number_band - number_gap, y + number_drop}, regular(smallest_pt),
                       std::to_string(std::abs(mm)));
    }
  }
}

void outline(Block& block, const Subject& subject, const Strip& strip) {
  const double end = -strip.waste;
  if (has_wrap(subject.job)) {
    for (const double x : {strip.left(), strip.right()}) {
      block.rule({x, strip.at(strip.kept)}, {x, strip.at(end)}, thin);
    }
  }
}

/// A name in the middle of the strip, beyond a line on the side that goes away from the cut or
/// toward the side that stays.
void name_beside(Block& block, const Strip& strip, double y, bool above, Type type,
                 const std::string& name) {
  const Lines lines = set_in_lines(type, strip.width - label_spare, name, 2);
  const double top = above ? y - label_gap - lines.height_mm() : y + label_gap;
  lines_centred(block, (strip.left() + strip.right()) / 2, top, lines);
}

void line_of_insertion(Block& block, const Subject& subject, const Strip& strip) {
  const auto mark = subject.now.new_mark();
  if (!mark) {
    return;
  }
  const double above = mark->from_lower_end.in_mm();
  if (above > strip.kept - label_band) {
    return;
  }
  const double y = strip.at(above);
  block.rule({strip.left(), y}, {strip.right(), y}, insertion_pen());
  name_beside(block, strip, y, true, regular(smallest_pt), said(subject, "new_line"));
}

void cut_line(Block& block, const Subject& subject, const Strip& strip) {
  const double kerf = subject.plan.kerf.in_mm();
  const double waste = strip.waste;
  if (kerf > 0) {
    block.fill(strip.across(0, -kerf), kerf_grey);
  }
  block.hatch(strip.across(-kerf, -waste), strip_hatch, fine);
  const double y = strip.at(0);
  block.rule({number_band - overhang, y}, {strip.right() + tick_band + overhang, y}, cut_pen);
  const bool above = strip.up > 0;
  name_beside(block, strip, y, above, bold(small_pt), said(subject, "cut_line"));
  if (strip.shows_end) {
    const double end = strip.at(-waste);
    block.rule({number_band, end}, {strip.right() + tick_band, end}, end_pen());
    name_beside(block, strip, end, !above, regular(smallest_pt), own(subject, "sheet.scale.end"));
  }
}

Block strip_block(const Subject& subject, const Strip& strip, double height) {
  Block block(strip.whole_width());
  ticks(block, strip);
  outline(block, subject, strip);
  line_of_insertion(block, subject, strip);
  cut_line(block, subject, strip);
  const double middle = (strip.left() + strip.right()) / 2;
  const bool post = stays_above(subject);
  const std::string stays = own(subject, "sheet.scale.stays");
  const std::string waste = said(subject, "waste");
  const double lowest = side_band + strip.kept + strip.waste + (strip.shows_end ? label_band : 0);
  text_centred(block, {middle, side_band - side_rise}, bold(small_pt),
               "▲ " + (post ? stays : waste));
  text_centred(block, {middle, lowest + side_drop}, bold(small_pt), "▼ " + (post ? waste : stays));
  block.space(height);
  return block;
}

// ---- what to do with them ----

/// Words in a column, in print of one size.
class Column {
 public:
  Column(const Subject& subject, double width, double size_pt)
      : subject_(subject), block_(width), size_pt_(size_pt) {}

  [[nodiscard]] const Subject& subject() const { return subject_; }
  [[nodiscard]] const Block& block() const { return block_; }

  void heading(std::string_view key) {
    block_.space(block_.height_mm() > 0 ? above_heading : 0);
    add(bold(size_pt_ + heading_more_pt), said(subject_, key));
    block_.space(heading_to_rule);
    block_.rule({0, block_.height_mm()}, {block_.width_mm(), block_.height_mm()}, heading_pen);
    block_.space(below_rule);
  }
  void say(std::string_view key, std::initializer_list<text::Filling> fillings = {}) {
    add(regular(size_pt_), said(subject_, key, fillings));
    block_.space(below_sentence);
  }
  void stress(const std::string& sentence) {
    add(bold(size_pt_), sentence);
    block_.space(below_sentence);
  }

 private:
  void add(Type type, const std::string& text) {
    block_.paragraph(0, set_in_lines(type, block_.width_mm(), text));
  }

  const Subject& subject_;
  Block block_;
  double size_pt_;
};

void how_to_wrap(Column& column, Length diameter) {
  const Subject& subject = column.subject();
  const text::Words& words = subject.words();
  const std::string length = report::with_unit(report::one_decimal(round_the_part(diameter), words),
                                               measure::Dimension::length, words);
  column.heading("wrap");
  column.stress(said(subject, "wrap_rule"));
  column.say("wrap_1");
  column.say("wrap_2", {{"stays", own(subject, "sheet.scale.stays")}});
  column.say("wrap_3");
  column.say("wrap_4");
  column.say("wrap_length", {{"length", length},
                             {"diameter", report::plain(diameter.in_mm(), words)},
                             {"paper", report::plain(paper_thickness, words)}});
}

void how_to_lay(Column& column, const Strip& strip) {
  const Subject& subject = column.subject();
  column.heading("strip");
  if (!has_wrap(subject.job)) {
    column.stress(own(subject, "sheet.scale.no_wrap"));
  }
  if (strip.shows_end) {
    column.say("strip_to_end", {{"end", own(subject, "sheet.scale.end")}});
  } else {
    column.say("strip_to_mark");
  }
  column.say("strip_figures", {{"kerf", in_mm(subject, subject.plan.kerf)}});
  column.stress(said(subject, "strip_rule"));
}

// In the largest print that finds room.
Block how_to(const Subject& subject, const Strip& strip, Room room) {
  for (double size_pt = large_pt;; size_pt -= step_pt) {
    Column column(subject, room.width_mm, size_pt);
    if (const auto round = diameter(subject.job)) {
      how_to_wrap(column, *round);
    }
    how_to_lay(column, strip);
    if (column.block().height_mm() <= room.height_mm || size_pt <= smallest_pt) {
      return column.block();
    }
  }
}

}  // namespace

bool has_wrap(const plan::Job& job) { return diameter(job).has_value(); }

std::vector<Block> true_scale_pages(const Subject& subject, Room room) {
  if (subject.now.verdict != plan::Verdict::cut) {
    return {};
  }
  Block page = head(subject, room.width_mm);
  const double top = page.height_mm();
  const double height = room.height_mm - top;
  const auto round = diameter(subject.job);
  double x = 0;
  if (round) {
    const Block piece = wrap(subject, *round);
    page.inset(piece, {x, top});
    const double below = std::max(piece.height_mm(), bar_length) + 2 * between;
    if (below + picture_height <= height) {
      page.inset(picture_of_wrap(subject), {x, top + below});
    }
    x += piece.width_mm() + wrap_to_bar;
  }
  const Block bar = bar_down();
  page.inset(bar, {x, top});
  x += bar.width_mm();
  const Strip strip = strip_for(subject, height);
  page.inset(strip_block(subject, strip, height), {x, top});
  x += strip.whole_width() + between;
  page.inset(how_to(subject, strip, {room.width_mm - x, height}), {x, top});
  page.space(height);
  return {page};
}

}  // namespace kerfmark::sheet
