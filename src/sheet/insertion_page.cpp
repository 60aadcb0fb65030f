#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

#include "band.hpp"
#include "flow.hpp"
#include "insertion_elevation.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "lacking.hpp"
#include "limits_table.hpp"
#include "page.hpp"
#include "panel.hpp"
#include "steps.hpp"

namespace kerfmark::sheet {
namespace {

using text::Words;

// ---- measures in millimetres ----

constexpr double between = 2.8;
constexpr double gutter = 5;
constexpr double left_part = 0.53;  // of the width: figures; the rest is the cautions'
// The drawing gives way where the texts are long.
constexpr auto drawing_heights = std::to_array<double>({58, 54, 50, 46, 42, 38});
constexpr double write_in_height = 11;
constexpr double row_height = 7.5;  // of the table to write in
constexpr int least_rows = 2;
constexpr int most_rows = 8;

// At arm's length (common practice).
constexpr double body_pt = warning_pt;
constexpr double action_pt = 11.5;
constexpr double headline_pt = 14;
constexpr double long_headline_pt = 12;

// The head of the page.
constexpr double below_band = 2.4;
constexpr double below_look = 1.6;
constexpr double below_headline = 0.8;
constexpr double below_action = 2.4;

// Boxes to write in, the label in their corner.
constexpr double box_inset = 0.15;  // so that the boxes of neighbours do not touch
constexpr Spot box_label{1.4, 3.8};
constexpr Pen box_pen{.width_mm = 0.25};

constexpr double figures_apart = 0.4;
constexpr double cautions_apart = 0.6;
constexpr double notes_apart = 1.6;

// The table to write in.
constexpr double heads_height = 5.2;
constexpr double heads_baseline = 3.7;
constexpr double above_table = 1;

struct Sheet {
  const plan::InsertionCheck& check;
  const SheetOptions& options;
  report::InsertionStatement says;

  [[nodiscard]] const Words& words() const { return options.words; }
  [[nodiscard]] std::string at(std::string_view name) const {
    return words().at("sheet.insertion." + std::string(name));
  }
};

// As large as it fits on one line, else wrapped.
Lines headline(const std::string& text, double width) {
  Lines lines = set_in_lines(bold(headline_pt), width, text);
  return lines.texts.size() == 1 ? lines : set_in_lines(bold(long_headline_pt), width, text);
}

struct Cell {
  std::string_view key;
  double part;  // of the row's width
};

// Boxes to write in, the label above.
void boxes(Block& block, const Sheet& sheet, const std::vector<Cell>& row) {
  Block line(block.width_mm());
  double x = 0;
  for (const Cell& cell : row) {
    const double right = x + cell.part * block.width_mm();
    line.box({x + box_inset, box_inset, right - box_inset, write_in_height}, box_pen);
    line.text({x + box_label.x_mm, box_label.y_mm}, bold(fill_in_pt), sheet.at(cell.key));
    x = right;
  }
  line.space(write_in_height);
  block.append(line);
}

Block head_of_page(const Sheet& sheet, double width) {
  Block block(width);
  block.append(verdict_band(width, sheet.check.verdict, sheet.says.verdict, sheet.at("about")));
  block.space(below_band);
  if (!sheet.says.look.empty()) {
    block.paragraph(0, set_in_lines(bold(action_pt), width, sheet.says.look));
    block.space(below_look);
  }
  block.paragraph(0, headline(sheet.says.headline, width));
  block.space(below_headline);
  block.paragraph(0, set_in_lines(regular(action_pt), width, sheet.says.action));
  block.space(below_action);
  boxes(block, sheet, {{"bike", 0.34}, {"owner", 0.26}, {"date", 0.16}, {"by", 0.24}});
  return block;
}

Section figures(const Sheet& sheet) {
  std::vector<Pair> pairs;
  for (const report::Figure& figure : sheet.says.figures) {
    pairs.push_back({figure.label, figure.value});
  }
  Section section{
      .title = sheet.at("figures"), .rows = pair_rows(pairs, body_pt), .apart_mm = figures_apart};
  if (!sheet.says.how.empty()) {
    section.rows.push_back(text_row(regular(body_pt), sheet.says.how));
  }
  return section;
}

Section cautions(const Sheet& sheet) {
  Section section{.title = sheet.at("cautions"), .apart_mm = cautions_apart};
  for (const std::string& caution : sheet.says.cautions) {
    section.rows.push_back(text_row(regular(body_pt), caution));
  }
  return section;
}

Block two_columns(const Sheet& sheet, Room room) {
  const double left = room.width_mm * left_part;
  const Column one = filled({figures(sheet)}, {left, room.height_mm}, sheet.words());
  const Column other =
      filled({cautions(sheet)}, {room.width_mm - left - gutter, room.height_mm}, sheet.words());
  Block block(room.width_mm);
  block.inset(one.block, {0, 0});
  block.inset(other.block, {left + gutter, 0});
  block.space(std::max(one.block.height_mm(), other.block.height_mm()));
  return block;
}

// ---- to be written on later ----

// Where nobody knows how much must be in, no figure may stand there to be aimed at.
std::string what_to_write_in(const Sheet& sheet) {
  if (!plan::has_target(sheet.check)) {
    return sheet.at("again_unknown");
  }
  const std::string least =
      report::with_unit(report::one_decimal(plan::least_to_read(sheet.check).in_mm(),
                                            report::Rounding::up, sheet.words()),
                        measure::Dimension::length, sheet.words());
  return sheet.words().say("sheet.insertion.again", {{"least", least}});
}

Block head_of_table(const Sheet& sheet, double width) {
  Block block(width);
  block.append(titled(width, sheet.at("again_title")));
  block.paragraph(0, set_in_lines(regular(body_pt), width, what_to_write_in(sheet)));
  block.space(above_table);
  return block;
}

Block table_to_write_in(const Sheet& sheet, double width, int rows) {
  constexpr auto columns = std::to_array<Cell>({{"date", 0.15},
                                                {"again_saddle", 0.19},
                                                {"again_line", 0.2},
                                                {"again_inserted", 0.22},
                                                {"by", 0.24}});
  Block block = head_of_table(sheet, width);
  Block grid(width);
  const double bottom = heads_height + rows * row_height;
  double x = 0;
  for (const Cell& column : columns) {
    const double right = x + column.part * width;
    grid.box({x + box_inset, box_inset, right - box_inset, bottom}, box_pen);
    grid.text({x + box_label.x_mm, heads_baseline}, bold(fill_in_pt), sheet.at(column.key));
    x = right;
  }
  for (int row = 0; row < rows; ++row) {
    const double y = heads_height + row * row_height;
    grid.rule({box_inset, y}, {width - box_inset, y}, box_pen);
  }
  grid.space(bottom);
  block.append(grid);
  return block;
}

Block panel_block(const std::string& text, const std::string& word, bool dark, double width) {
  const Panel panel = set_in_panel(text, word, dark, width, body_pt);
  Block block(width);
  put_panel(block, panel, 0, width, panel.height_mm());
  block.space(panel.height_mm());
  return block;
}

Section notes_of_shop(const Sheet& sheet) {
  Section section{.apart_mm = notes_apart};
  for (const std::string& note : sheet.options.shop.notes) {
    section.rows.push_back(
        row([word = sheet.words().at("sheet.work.note_of_shop"), note](double width) {
          return panel_block(text::harmless(note), word, false, width);
        }));
  }
  return section;
}

// All but the notes of the shop and the table to write in.
Block upper_part(const Sheet& sheet, Room room, double drawing_height) {
  Block page = head_of_page(sheet, room.width_mm);
  page.space(between);
  if (sheet.check.inserted) {
    page.append(insertion_elevation(sheet.check, sheet.words(), {room.width_mm, drawing_height}));
    page.space(between);
  }
  page.append(two_columns(sheet, room));
  page.space(between);
  if (!sheet.says.shows_limits) {
    return page;
  }
  const LimitsTable table(sheet.says.limits, room.width_mm, sheet.words());
  std::vector<std::size_t> all(sheet.says.limits.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  page.append(filled({table.section(sheet.at("limits"), all)}, room, sheet.words()).block);
  page.space(between);
  return page;
}

// The first page, with as many rows to write in as there is room for; notes of the shop that find
// none go behind.
std::vector<Block> pages_of(const Sheet& sheet, Room room) {
  const double width = room.width_mm;
  const Block warning = panel_block(sheet.words().say("note.part_post"),
                                    signal_word(Signal::warning, sheet.words()), true, width);
  const double least = table_to_write_in(sheet, width, least_rows).height_mm();
  const double bottom = room.height_mm - warning.height_mm() - between;
  Block page = upper_part(sheet, room, drawing_heights.front());
  for (const double drawing_height : drawing_heights) {
    if (page.height_mm() + least > bottom) {
      page = upper_part(sheet, room, drawing_height);
    }
  }
  Column notes = filled({notes_of_shop(sheet)},
                        {width, bottom - page.height_mm() - least - between}, sheet.words());
  if (notes.block.height_mm() > 0) {
    page.append(notes.block);
    page.space(between);
  }
  const double free = bottom - page.height_mm() - least;
  const int rows = least_rows + static_cast<int>(std::floor(free / row_height));
  page.append(table_to_write_in(sheet, width, std::clamp(rows, least_rows, most_rows)));
  page.inset(warning, {0, room.height_mm - warning.height_mm()});

  std::vector<Block> pages = {std::move(page)};
  const Block head = page_title(width, sheet.at("title"), sheet.says.verdict, false);
  for (Block& block : paged(std::move(notes.rest), {head, head}, room, sheet.words()).pages) {
    pages.push_back(std::move(block));
  }
  return pages;
}

}  // namespace

PrintedSheet print_insertion(const plan::InsertionCheck& check, const SheetOptions& options) {
  const Sheet sheet{check, options, report::insertion_statement(check, options.words)};
  PrintedSheet printed_sheet =
      printed(pages_of(sheet, room_on(options.paper)), {sheet.at("title"), ""}, options);
  for (const std::string& list : lacking_characters(plan::Job{}, options)) {
    printed_sheet.cautions.push_back(
        options.words.say("sheet.page.cannot_be_printed", {{"list", list}}));
  }
  return printed_sheet;
}

}  // namespace kerfmark::sheet
