#include "decision.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <string_view>
#include <utility>

#include "band.hpp"
#include "elevation.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Verdict;
using report::Figure;
using report::LimitLine;
using report::OnSheet;
using text::Sentence;

// ---- measures of the page, in millimetres ----

constexpr double between = 3;  // between blocks

// The head of the page.
constexpr double below_band = 2.4;
constexpr auto headline_pts = std::to_array<double>({15, 14, 13});
constexpr double below_headline = 0.8;
constexpr double above_paperwork = 2.2;
constexpr double above_lacking = 1.4;

// Boxes with the label above, in two rows.
constexpr double cell_inset = 1.4;
constexpr double cell_label = 3.7;  // its baseline
constexpr double cell_text = 4.8;   // its upper edge
constexpr double cell_pt = 9.5;
constexpr double least_line = 4.4;
constexpr double below_cell_text = 0.8;
constexpr double cell_frame = 0.15;  // so that the boxes of neighbours do not touch
constexpr Pen cell_pen{.width_mm = 0.25};

// Below the drawing: figures left, cautions right.
constexpr double left_column = 114;
constexpr double reach_pt = 12;
constexpr double halves_apart = 2;
constexpr double cautions_apart = 0.6;
constexpr double caution_indent = 3;
constexpr double above_legend = 0.6;
constexpr double gutter = 5;
constexpr double least_columns = 36;
// The drawing's part of the height of the room: the largest that leaves room for what must stand on
// this page.
constexpr auto drawing_parts = std::to_array<double>({0.4, 0.35, 0.3, 0.26});
constexpr std::size_t most_limits = 12;  // on this page

constexpr double body_pt = 9.5;
constexpr double small_pt = 8.5;
constexpr double because_pt = 10.5;
constexpr std::size_t most_lines_of_because = 4;
constexpr std::size_t most_lines_of_paper = 2;
constexpr std::size_t most_lines_of_lacking = 3;

std::string say(const Subject& subject, const std::string& key) {
  return subject.words().at("sheet.decision." + key);
}

// ---- the verdict ----

std::string_view material_key(const plan::Job& job) {
  constexpr auto keys =
      std::to_array<std::string_view>({"carbon", "aluminium", "steel", "titanium"});
  return job.part.material ? keys[static_cast<std::size_t>(*job.part.material)] : "";
}

// "Seatpost, carbon"
std::string part_in_words(const Subject& subject) {
  const std::string part = say(subject, std::string(plan::word(subject.job.kind)));
  const std::string_view material = material_key(subject.job);
  return material.empty() ? part : part + ", " + say(subject, "material." + std::string(material));
}

Block band_of(const Subject& subject, double width) {
  const std::string cut = subject.now.verdict == Verdict::cut
                              ? "  " + report::cut_in_short(subject.telling())
                              : std::string();
  return verdict_band(width, subject.now.verdict, subject.says.verdict + cut,
                      part_in_words(subject));
}

// As large as it fits on one line, else wrapped.
Lines headline(const Subject& subject, double width) {
  for (const double size : headline_pts) {
    Lines lines = set_in_lines(bold(size), width, subject.says.headline);
    if (lines.texts.size() == 1) {
      return lines;
    }
  }
  return set_in_lines(bold(headline_pts.back()), width, subject.says.headline);
}

// What this page can only begin, to be read in full behind.
struct ToBeContinued {
  std::vector<Pair> texts;
  int page = 0;
};

// As many lines as a place has; where there are more, the whole goes behind and the page says so.
Lines first_lines(ToBeContinued& more, Type type, double width, const Pair& text, std::size_t most,
                  const text::Words& words) {
  Lines lines = set_in_lines(type, width, text.value);
  if (lines.texts.size() <= most) {
    return lines;
  }
  more.texts.push_back(text);
  const std::string pointer =
      " " + words.say("sheet.page.see_page", {{"page", std::to_string(more.page)}});
  const double room =
      std::max(width / 4, width - PdfCanvas::text_width_mm(type.face, type.size_pt, pointer));
  Lines last = set_in_lines(type, room, lines.texts[most - 1], 1);
  if (!last.texts.front().ends_with("…")) {
    last = set_in_lines(type, room, lines.texts[most - 1] + " …", no_limit);
  }
  lines.texts.resize(most);
  lines.texts.back() = last.texts.front() + pointer;
  return lines;
}

// A hold may have many reasons; the first stands above, all of them on the next page.
std::string more_reasons(const Subject& subject) {
  std::set<std::string> reasons;
  for (const report::Step& step : subject.says.next) {
    if (!step.why.empty()) {
      reasons.insert(step.why);
    }
  }
  const bool hold = subject.now.verdict == Verdict::hold;
  return hold && subject.now.holds.size() > 1 && reasons.size() > 1
             ? subject.words().say("sheet.decision.more_reasons",
                                   {{"count", std::to_string(reasons.size() - 1)}})
             : std::string();
}

// ---- the paperwork ----

struct Cell {
  std::string key;
  const std::string& value;
  double part;  // of the row's width
};

// Boxes with the label above; an empty one is there to be written in.
Block cells(const Subject& subject, const std::vector<Cell>& row, double width,
            ToBeContinued& more) {
  std::vector<Lines> values;
  double height = 0;
  for (const Cell& cell : row) {
    const Pair text{say(subject, cell.key), text::harmless(cell.value)};
    values.push_back(first_lines(more, regular(cell_pt), cell.part * width - 2 * cell_inset, text,
                                 most_lines_of_paper, subject.words()));
    height = std::max(height, values.back().height_mm());
  }
  height = cell_text + std::max(height, least_line) + below_cell_text;
  Block block(width);
  double x = 0;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const double right = x + row[i].part * width;
    block.box({x + cell_frame, cell_frame, right - cell_frame, height}, cell_pen);
    block.text({x + cell_inset, cell_label}, bold(fill_in_pt), say(subject, row[i].key));
    block.lines_at({x + cell_inset, cell_text}, values[i]);
    x = right;
  }
  block.space(height);
  return block;
}

Block paperwork(const Subject& subject, double width, ToBeContinued& more) {
  const plan::Paperwork p = subject.job.signed_last();
  Block block(width);
  block.append(cells(subject,
                     {{"job", p.number, 0.22}, {"bike", p.bike, 0.46}, {"owner", p.owner, 0.32}},
                     width, more));
  block.append(cells(
      subject, {{"date", p.date, 0.22}, {"by", p.by, 0.39}, {"checked_by", p.checked_by, 0.39}},
      width, more));
  return block;
}

Block lacking(const Subject& subject, double width, ToBeContinued& more) {
  Block block(width);
  if (subject.lacking.empty()) {
    return block;
  }
  std::string list;
  for (const std::string& one : subject.lacking) {
    list += (list.empty() ? "" : "; ") + one;
  }
  const std::string text = subject.words().say("sheet.page.cannot_be_printed", {{"list", list}});
  block.space(above_lacking);
  block.paragraph(0, first_lines(more, bold(small_pt), width, {"⚠", text}, most_lines_of_lacking,
                                 subject.words()));
  return block;
}

Block head_of_page(const Subject& subject, double width, ToBeContinued& more) {
  Block block(width);
  block.append(band_of(subject, width));
  block.space(below_band);
  block.paragraph(0, headline(subject, width));
  block.space(below_headline);
  const Pair because{say(subject, "because"), subject.says.because};
  block.paragraph(0, first_lines(more, regular(because_pt), width, because, most_lines_of_because,
                                 subject.words()));
  if (const std::string reasons = more_reasons(subject); !reasons.empty()) {
    block.paragraph(0, set_in_lines(bold(because_pt), width, reasons));
  }
  block.space(above_paperwork);
  block.append(paperwork(subject, width, more));
  block.append(lacking(subject, width, more));
  return block;
}

// ---- below the drawing ----

std::vector<Pair> pairs_of(const std::vector<Figure>& figures) {
  std::vector<Pair> pairs;
  for (const Figure& figure : figures) {
    pairs.push_back({figure.label, figure.value});
  }
  return pairs;
}

// Where the rows with the positions of the stem begin: they stand together, named by the first.
std::size_t first_position(const std::vector<Figure>& figures) {
  const auto found = std::ranges::find_if(figures, [](const Figure& f) { return f.label.empty(); });
  return found == figures.begin() || found == figures.end()
             ? figures.size()
             : static_cast<std::size_t>(found - figures.begin()) - 1;
}

struct Figures {
  Section key, positions;
};

std::vector<Figure> second_ones_second(std::vector<Figure> figures) {
  const auto second = std::ranges::find(figures, OnSheet::second, &Figure::on_sheet);
  if (second != figures.end() && second - figures.begin() > 1) {
    std::rotate(figures.begin() + 1, second, second + 1);
  }
  return figures;
}

// On a sheet to cut by, how the part was is in the drawing, the headline says what comes off, and a
// step which mark is sawn at.
std::vector<Figure> at_the_saw(const Subject& subject) {
  std::vector<Figure> figures = subject.says.figures;
  if (subject.now.verdict == Verdict::cut) {
    std::erase_if(figures, [](const Figure& figure) {
      return figure.on_sheet == OnSheet::not_of_a_cut ||
             (!figure.in_brief && figure.on_sheet != OnSheet::spare);
    });
  }
  return figures;
}

// Short lines, two side by side.
std::vector<Row> two_abreast(const std::vector<std::string>& texts) {
  std::vector<Row> rows;
  for (std::size_t i = 0; i < texts.size(); i += 2) {
    const std::string right = i + 1 < texts.size() ? texts[i + 1] : std::string();
    rows.push_back(row([left = texts[i], right](double width) {
      const double half = width / 2;
      const Lines one = set_in_lines(regular(small_pt), half - halves_apart, left);
      const Lines other = set_in_lines(regular(small_pt), half - halves_apart, right);
      Block block(width);
      block.lines_at({half, 0}, other);
      block.paragraph(0, one);
      block.space(std::max(0.0, other.height_mm() - one.height_mm()));
      return block;
    }));
  }
  return rows;
}

// How far up and down the saddle still goes is for good, and for whoever rides the frame next: it
// is printed large.
std::vector<Row> reach_for_good(const Subject& subject, std::vector<Figure>& figures) {
  const text::Words& words = subject.words();
  const auto reach = std::ranges::find(figures, OnSheet::large, &Figure::on_sheet);
  if (reach == figures.end()) {
    return {};
  }
  const bool sawn = subject.now.verdict == Verdict::cut || subject.now.is_after();
  const std::string text =
      words.say(sawn ? Sentence("sheet.decision.reach") : Sentence("sheet.decision.reach_uncut"),
                {{"heights", reach->value}});
  figures.erase(reach);
  return {text_row(bold(reach_pt), text)};
}

Figures figures_of(const Subject& subject) {
  std::vector<Figure> all = second_ones_second(at_the_saw(subject));
  const std::vector<Row> large = reach_for_good(subject, all);
  std::vector<Figure> key;
  std::vector<std::string> positions;
  Figures sections{{.title = say(subject, "figures")}, {}};
  const std::size_t first = first_position(all);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (i == first) {
      sections.positions.title = all[i].label;
    }
    if (i == first || (i > first && all[i].label.empty())) {
      positions.push_back(all[i].value);
    } else {
      key.push_back(all[i]);
    }
  }
  sections.key.rows = pair_rows(pairs_of(key), body_pt);
  sections.key.rows.insert(sections.key.rows.begin(), large.begin(), large.end());
  sections.positions.rows = two_abreast(positions);
  return sections;
}

Section cautions(const Subject& subject) {
  Section section{.title = say(subject, "cautions"), .apart_mm = cautions_apart};
  // Where there are steps, the first of them says that the maker's instructions come first.
  const bool steps = plan::is_yes(subject.now.verdict);
  for (const std::string& caution : subject.says.cautions) {
    if (steps && caution == subject.words().at("report.caution.maker_first")) {
      continue;
    }
    section.rows.emplace_back([caution](double width) {
      const Lines lines = set_in_lines(regular(warning_pt), width - caution_indent, caution);
      std::vector<Block> pieces = in_pieces(lines, width, caution_indent);
      if (!pieces.empty()) {
        pieces.front().text({0, lines.ascent_mm}, bold(warning_pt), "•");
      }
      return pieces;
    });
  }
  return section;
}

Section remarks(const Subject& subject) {
  Section section{.title = say(subject, "notes")};
  const std::string& notes = subject.job.paperwork.notes;
  std::size_t start = 0;
  while (start < notes.size()) {
    const std::size_t end = std::min(notes.find('\n', start), notes.size());
    if (end > start) {
      section.rows.push_back(
          text_row(regular(body_pt), text::harmless(notes.substr(start, end - start))));
    }
    start = end + 1;
  }
  return section;
}

struct Columns {
  double left_width;
  std::vector<Section> left, right;
  Section positions;  ///< of the stem: behind, where there is room
};

Columns columns_of(const Subject& subject) {
  Figures figures = figures_of(subject);
  return {left_column,
          {std::move(figures.key)},
          {cautions(subject), remarks(subject)},
          std::move(figures.positions)};
}

// ---- limits ----

// What the verdict is about first, then broken ones, those in doubt, those that govern, the others.
std::vector<std::size_t> most_telling_first(const Subject& subject) {
  const std::vector<LimitLine>& all = subject.says.limits;
  std::vector<std::size_t> order = limits_in_question(subject.now);
  const auto in_question = static_cast<std::ptrdiff_t>(order.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (std::find(order.begin(), order.begin() + in_question, i) == order.begin() + in_question) {
      order.push_back(i);
    }
  }
  const auto rank = [&](std::size_t place) {
    switch (all[place].standing) {
      case measure::Status::broken:
        return 0;
      case measure::Status::in_doubt:
        return 1;
      case measure::Status::holds:
        break;
    }
    return all[place].governs ? 2 : 3;
  };
  std::stable_sort(order.begin() + in_question, order.end(),
                   [&](std::size_t a, std::size_t b) { return rank(a) < rank(b); });
  return order;
}

// Places of limits, each in the order of the statement.
struct Shared {
  std::vector<std::size_t> here, telling, passive;  // on this page; of the others, both sorts
};

// The most telling limits that find room; the others too, if all of them do.
Shared share_out(const Subject& subject, const LimitsTable& table, double room_for_telling,
                 double room_for_all) {
  const std::vector<LimitLine>& all = subject.says.limits;
  const std::vector<std::size_t> order = most_telling_first(subject);
  double height_of_all = 0;
  for (const std::size_t place : order) {
    height_of_all += table.height_of_row(place);
  }
  const bool all_of_them = all.size() <= most_limits && height_of_all <= room_for_all;
  Shared shared;
  double height = 0;
  bool full = false;
  for (const std::size_t place : order) {
    height += table.height_of_row(place);
    full = full || shared.here.size() == most_limits || height > room_for_telling;
    const bool telling = all[place].stands_out && !full;
    (all_of_them || telling  ? shared.here
     : all[place].stands_out ? shared.telling
                             : shared.passive)
        .push_back(place);
  }
  std::ranges::sort(shared.here);
  std::ranges::sort(shared.telling);
  std::ranges::sort(shared.passive);
  return shared;
}

// Where the other limits are: on a page behind, or, where they hold and would only fill pages, not
// on the sheet.
std::string other_limits(const Subject& subject, const Shared& shared, const Elsewhere& where) {
  const std::size_t passive = shared.passive.size();
  const std::size_t behind = shared.telling.size() + (where.with_spare ? passive : 0);
  std::string text;
  if (behind > 0) {
    text = subject.words().say(
        "sheet.decision.more_limits",
        {{"count", std::to_string(behind)}, {"page", std::to_string(where.limits)}});
  }
  if (passive > 0 && !where.with_spare) {
    text += (text.empty() ? "" : " ") +
            subject.words().say("sheet.decision.others_hold", {{"count", std::to_string(passive)}});
  }
  return text;
}

// What the signs of the table mean, and where the rest of it is.
Block legend(const Subject& subject, double width, const std::string& pointer) {
  Block block(width);
  block.space(above_legend);
  block.paragraph(0, set_in_lines(regular(small_pt), width, say(subject, "legend")));
  block.paragraph(0, set_in_lines(bold(small_pt), width, pointer));
  return block;
}

// All texts that the page could only begin.
Section in_full(const Subject& subject, const ToBeContinued& more) {
  return {.title = say(subject, "in_full"), .rows = pair_rows(more.texts, body_pt)};
}

// What stands below the head, as high as the part of the room that the drawing may take.
struct Layout {
  Block drawing;
  Shared shared;
  bool all_that_tells;  ///< no limit that stands out is missing
};

Layout layout(const Subject& subject, const LimitsTable& limits, const Columns& columns, Room below,
              double most_drawing) {
  const text::Words& words = subject.words();
  Block drawing = elevation(subject, {below.width_mm, most_drawing});
  const Room left{columns.left_width, below.height_mm};
  const Room right{below.width_mm - columns.left_width - gutter, below.height_mm};
  const double right_height = filled(columns.right, right, words).block.height_mm();
  const double needed = std::max(filled(columns.left, left, words).block.height_mm(), right_height);
  const double table_height = titled(below.width_mm, subject.says.limits_title).height_mm() +
                              limits.height_of_heads() +
                              legend(subject, below.width_mm, "x").height_mm();
  const double free = below.height_mm - drawing.height_mm() - table_height - 2 * between;
  Shared shared =
      share_out(subject, limits, free - least_columns, free - std::max(least_columns, needed));
  const auto telling = std::ranges::count_if(subject.says.limits, &LimitLine::stands_out);
  const bool all =
      shared.here.size() >= std::min<std::size_t>(static_cast<std::size_t>(telling), most_limits);
  return {std::move(drawing), std::move(shared), all};
}

Layout best_layout(const Subject& subject, const LimitsTable& limits, const Columns& columns,
                   Room room, double below_head) {
  const Room below{room.width_mm, room.height_mm - below_head};
  for (const double part : drawing_parts) {
    Layout one = layout(subject, limits, columns, below, part * room.height_mm);
    if (one.all_that_tells || part == drawing_parts.back()) {
      return one;
    }
  }
  return {Block(room.width_mm), {}, false};
}

Block limits_at_foot(const Subject& subject, const LimitsTable& limits, const Shared& shared,
                     Room room, const Elsewhere& where) {
  if (subject.says.limits.empty()) {
    return Block(room.width_mm);
  }
  Block foot =
      filled({limits.section(subject.says.limits_title, shared.here)}, room, subject.words()).block;
  foot.append(legend(subject, room.width_mm, other_limits(subject, shared, where)));
  return foot;
}

}  // namespace

Decision decision_page(const Subject& subject, const LimitsTable& limits, Room room,
                       const Elsewhere& where) {
  ToBeContinued more{{}, where.rest};
  const text::Words& words = subject.words();
  const double width = room.width_mm;
  const Columns columns = columns_of(subject);
  Block page(width);
  page.append(head_of_page(subject, width, more));
  page.space(between);
  Layout chosen = best_layout(subject, limits, columns, room, page.height_mm());
  page.append(chosen.drawing);
  page.space(between);
  // The table stands at the foot; what it leaves is the columns'.
  const Block foot = limits_at_foot(subject, limits, chosen.shared, room, where);
  const double top = page.height_mm();
  const double height = room.height_mm - top - foot.height_mm() - between;
  Column left = filled(columns.left, {columns.left_width, height}, words, where.rest);
  Column right =
      filled(columns.right, {width - columns.left_width - gutter, height}, words, where.rest);
  page.inset(left.block, {0, top});
  page.inset(right.block, {columns.left_width + gutter, top});
  page.inset(foot, {0, room.height_mm - foot.height_mm()});

  std::vector<Section> rest = {in_full(subject, more)};
  std::ranges::move(left.rest, std::back_inserter(rest));
  std::ranges::move(right.rest, std::back_inserter(rest));
  return {std::move(page), std::move(rest), columns.positions, std::move(chosen.shared.telling),
          std::move(chosen.shared.passive)};
}

}  // namespace kerfmark::sheet
