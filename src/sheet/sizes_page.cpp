#include <algorithm>
#include <array>
#include <iterator>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "flow.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kerfmark/report/sizes.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "lacking.hpp"
#include "page.hpp"
#include "panel.hpp"
#include "steps.hpp"

namespace kerfmark::sheet {
namespace {

using text::Words;

// ---- measures in millimetres ----

constexpr double between = 2.4;
constexpr double air = 0.4;      // above and below them
constexpr double padding = 1.4;  // between the words of a cell and the rules around it
constexpr double least_of_names = 26;
constexpr double most_of_names = 0.3;  // of the width
constexpr double wide_part = 24;       // of a column; names give way to that
constexpr double widest_part = 34;

constexpr double sets_apart = 1;
constexpr double frame_across = 0.3;  // of what is chosen, into its cell
constexpr double frame_down = 0.4;
constexpr double cautions_apart = 0.6;

constexpr double body_pt = 8.5;
constexpr double below_less_pt = 1;  // of the second line of a cell; never below the smallest
constexpr double set_pt = warning_pt;
// How large the print is, and how many lines each text may have: names are whatever somebody typed.
struct Setting {
  double size_pt;
  std::size_t lines_of_limit, lines_of_name, lines_of_set;
};
// The first that leaves the page one page. The last does for the largest run, whatever its names.
constexpr auto settings = std::to_array<Setting>({
    {10, 2, 2, 4},
    {9, 2, 2, 3},
    {smallest_pt, 2, 2, 3},
    {smallest_pt, 1, 2, 2},
    {smallest_pt, 1, 1, 2},
    {smallest_pt, 1, 1, 1},
});

constexpr Pen below_heads{.width_mm = 0.35};
constexpr Pen below_row{.width_mm = 0.1, .grey = 0.5};
Pen of_the_fewest() { return {.width_mm = 0.6}; }
Pen of_the_whole() { return {.width_mm = 0.4, .dash_pt = {3, 2}}; }

class SizesSheet {
 public:
  SizesSheet(const report::SizesTelling& run, const SheetOptions& options, Room room)
      : run_(run), words_(options.words), width_(room.width_mm) {
    double widest = least_of_names;
    for (std::size_t row = 0; row < run.matrix.rows(); ++row) {
      const std::string name = text::harmless(run.row_name(row));
      widest =
          std::max(widest, PdfCanvas::text_width_mm(Face::bold, settings.front().size_pt, name) +
                               2 * padding);
    }
    const auto parts = static_cast<double>(run.matrix.parts);
    const double of_parts = std::min(parts * wide_part, width_ - least_of_names);
    names_ = std::min({widest, width_ * most_of_names, width_ - of_parts});
    part_ = std::min((width_ - names_) / parts, widest_part);
  }

  [[nodiscard]] std::string at(std::string_view name) const {
    return words_.at("sheet.sizes." + std::string(name));
  }
  [[nodiscard]] std::string title() const {
    return at("title." + std::string(plan::word(run_.kind)));
  }

  // All but the cautions and the warning.
  [[nodiscard]] Block upper_part(const Setting& setting) const {
    Block block = page_title(width_, title(), at("reminder"), false);
    block.space(between);
    tell_set(block, run_.least, false, bold(set_pt), setting.lines_of_set);
    if (sawn_less()) {
      block.space(sets_apart);
      tell_set(block, run_.whole, true, regular(set_pt), setting.lines_of_set);
    }
    block.space(between);
    block.append(heads(setting));
    for (std::size_t row = 0; row < run_.matrix.rows(); ++row) {
      block.append(row_of(row, setting));
    }
    block.space(between);
    const bool saddle = plan::holds_saddle(run_.kind);
    const std::string legend = at(saddle ? "below_saddle" : "below_other") + " " + at("framed") +
                               (sawn_less() ? " " + at("dashed") : "");
    block.paragraph(0, set_in_lines(regular(body_pt), width_, legend));
    block.space(between);
    return block;
  }

  [[nodiscard]] Block warning() const {
    const Panel panel =
        set_in_panel(at("warning"), signal_word(Signal::warning, words_), true, width_, body_pt);
    Block block(width_);
    put_panel(block, panel, 0, width_, panel.height_mm());
    block.space(panel.height_mm());
    return block;
  }

 private:
  [[nodiscard]] bool sawn_less() const { return run_.whole.parts != run_.least.parts; }

  void tell_set(Block& block, const plan::LeastSet& set, bool whole, Type type,
                std::size_t lines) const {
    block.paragraph(
        0, set_in_lines(type, width_, report::set_sentence(run_, set, whole, words_), lines));
    if (const std::string none = report::unserved_sentence(run_, set, words_); !none.empty()) {
      block.paragraph(0, set_in_lines(regular(set_pt), width_, none, lines));
    }
  }

  [[nodiscard]] double left_of(std::size_t part) const {
    return names_ + static_cast<double>(part) * part_;
  }
  [[nodiscard]] double right() const { return left_of(run_.matrix.parts); }

  [[nodiscard]] Block heads(const Setting& setting) const {
    Block block(width_);
    const auto set = [&](double width, const std::string& name) {
      return set_in_lines(bold(setting.size_pt), width - 2 * padding, text::harmless(name),
                          setting.lines_of_name);
    };
    const Lines size = set(names_, at("size"));
    block.lines_at({padding, 0}, size);
    double height = size.height_mm();
    for (std::size_t part = 0; part < run_.matrix.parts; ++part) {
      const Lines name = set(part_, run_.parts[part]);
      block.lines_at({left_of(part) + padding, 0}, name);
      height = std::max(height, name.height_mm());
    }
    block.space(height + air);
    block.rule({0, block.height_mm()}, {right(), block.height_mm()}, below_heads);
    return block;
  }

  // What becomes of the part, and below it where the saddle can go, or what is in the way.
  [[nodiscard]] Block cell(const plan::SizeCell& cell, bool serves, const Setting& setting) const {
    Block block(part_);
    const double inner = part_ - 2 * padding;
    plan::SizeCell verdict = cell;
    verdict.limit.reset();
    block.space(air);
    block.paragraph(padding, set_in_lines(serves ? bold(setting.size_pt) : regular(setting.size_pt),
                                          inner, report::size_word(verdict, words_), 1));
    const std::string below =
        plan::is_yes(cell.verdict) ? range_of(cell) : report::limit_of(cell, words_);
    block.paragraph(padding,
                    set_in_lines(regular(std::max(setting.size_pt - below_less_pt, smallest_pt)),
                                 inner, below, setting.lines_of_limit));
    block.space(air);
    return block;
  }

  [[nodiscard]] std::string range_of(const plan::SizeCell& cell) const {
    const auto [lo, hi] = report::saddle_ends(cell, words_);
    if (lo.empty()) {
      return hi.empty() ? std::string{} : words_.say("sheet.sizes.up_to", {{"hi", hi}});
    }
    return hi.empty() ? words_.say("sheet.sizes.from", {{"lo", lo}})
                      : words_.say("sheet.sizes.range", {{"lo", lo}, {"hi", hi}});
  }

  [[nodiscard]] Block row_of(std::size_t row, const Setting& setting) const {
    const Lines name = set_in_lines(bold(setting.size_pt), names_ - 2 * padding,
                                    text::harmless(run_.row_name(row)), setting.lines_of_name);
    std::vector<Block> cells;
    double height = name.height_mm() + padding;
    for (std::size_t part = 0; part < run_.matrix.parts; ++part) {
      const bool serves = run_.least.serves[row] == part;
      cells.push_back(cell(run_.matrix.at(row, part), serves, setting));
      height = std::max(height, cells.back().height_mm());
    }
    Block block(width_);
    block.lines_at({padding, air}, name);
    for (std::size_t part = 0; part < run_.matrix.parts; ++part) {
      block.inset(cells[part], {left_of(part), 0});
      const Area frame{left_of(part) + frame_across, frame_down,
                       left_of(part) + part_ - frame_across, height - frame_down};
      if (run_.least.serves[row] == part) {
        block.box(frame, of_the_fewest());
      } else if (sawn_less() && run_.whole.serves[row] == part) {
        block.box(frame, of_the_whole());
      }
    }
    block.space(height);
    block.rule({0, height}, {right(), height}, below_row);
    return block;
  }

  const report::SizesTelling& run_;
  const Words& words_;
  double width_;
  double names_ = least_of_names;
  double part_ = widest_part;
};

Section texts_under(std::string title, const std::vector<std::string>& texts) {
  Section section{.title = std::move(title), .apart_mm = cautions_apart};
  for (const std::string& text : texts) {
    section.rows.push_back(text_row(regular(body_pt), text::harmless(text)));
  }
  return section;
}

Block in_the_largest_print(const SizesSheet& sheet, double room) {
  Block block = sheet.upper_part(settings.front());
  for (auto setting = settings.begin() + 1; setting != settings.end() && block.height_mm() > room;
       ++setting) {
    block = sheet.upper_part(*setting);
  }
  return block;
}

}  // namespace

PrintedSheet print_sizes(const report::SizesTelling& run, const std::vector<std::string>& cautions,
                         const std::string& file, const SheetOptions& options) {
  const Room room = room_on(options.paper);
  const SizesSheet sheet(run, options, room);
  const Block warning = sheet.warning();
  const double bottom = room.height_mm - warning.height_mm() - between;
  Block page = in_the_largest_print(sheet, bottom);
  Column rest =
      filled({texts_under(sheet.at("cautions"), cautions),
              texts_under(options.words.at("sheet.work.note_of_shop"), options.shop.notes)},
             {room.width_mm, bottom - page.height_mm()}, options.words);
  page.append(rest.block);
  page.inset(warning, {0, room.height_mm - warning.height_mm()});

  std::vector<Block> pages = {std::move(page)};
  const Block head = page_title(room.width_mm, sheet.title(), sheet.at("reminder"), false);
  for (Block& block : paged(std::move(rest.rest), {head, head}, room, options.words).pages) {
    pages.push_back(std::move(block));
  }
  PrintedSheet result = printed(pages, {sheet.title(), text::harmless(file)}, options);
  std::vector<std::string> lacking = lacking_characters(plan::Job{}, options);
  for (const auto& [key, names] : {std::pair("size", &run.sizes), std::pair("range", &run.ranges),
                                   std::pair("part", &run.parts)}) {
    std::ranges::copy(lacking_in_names(key, *names, options.words), std::back_inserter(lacking));
  }
  for (const std::string& list : lacking) {
    result.cautions.push_back(options.words.say("sheet.page.cannot_be_printed", {{"list", list}}));
  }
  return result;
}

}  // namespace kerfmark::sheet
