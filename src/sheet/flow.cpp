#include "flow.hpp"

#include <algorithm>
#include <utility>

#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::sheet {
namespace {

constexpr double between_sections = 3.2;  // mm
constexpr double below_heads = 4;
constexpr double title_pt = 11;
constexpr double title_to_rule = 0.4;
constexpr double below_rule = 1.4;
constexpr Pen title_pen{.width_mm = 0.4};
constexpr double pointer_pt = 8.5;
constexpr double above_pointer = 1.2;
constexpr double label_gap = 2;    // of a pair, to what stands beside it
constexpr double label_spare = 1;  // of it, where the label is wrapped
constexpr double below_pair = 0.5;
constexpr std::size_t lines_of_a_piece = 6;
// Labels wider than this part of a row get a line of their own.
constexpr double widest_label = 0.42;

double height_of(const std::vector<Block>& pieces) {
  double height = 0;
  for (const Block& piece : pieces) {
    height += piece.height_mm();
  }
  return height;
}

Block heading(const Section& section, double width, const text::Words& words) {
  Block head(width);
  if (!section.title.empty()) {
    head.append(titled(width, section.goes_on
                                  ? words.say("sheet.page.continued", {{"title", section.title}})
                                  : section.title));
  }
  if (section.columns) {
    head.append(section.columns(width));
  }
  return head;
}

// Puts rows of one section below what is there; what is left of it comes back.
Section put(Column& column, Section section, Room room, const text::Words& words) {
  const Block head = heading(section, room.width_mm, words);
  const double gap = column.block.height_mm() > 0 ? between_sections : 0;
  bool has_rows = false;
  const auto free_below = [&](double more) {
    const double height = column.block.height_mm() + (has_rows ? section.apart_mm : gap);
    return room.height_mm - height - (has_rows ? 0 : head.height_mm()) >= more;
  };
  const auto append = [&](const Block& piece, bool first) {
    if (!has_rows) {
      column.block.space(gap);
      column.block.append(head);
      has_rows = true;
    } else if (first) {
      column.block.space(section.apart_mm);
    }
    column.block.append(piece);
  };
  std::vector<Row> left;
  std::size_t next = 0;
  for (; next < section.rows.size(); ++next) {
    std::vector<Block> pieces = section.rows[next](room.width_mm);
    const double height = height_of(pieces);
    const bool whole = free_below(height);
    const bool parted = !whole && pieces.size() > 1 && height + head.height_mm() > room.height_mm;
    if (!whole && !parted) {
      break;
    }
    std::size_t put_down = 0;
    while (put_down < pieces.size() && (whole || free_below(pieces[put_down].height_mm()))) {
      append(pieces[put_down], put_down == 0);
      ++put_down;
    }
    if (put_down < pieces.size()) {
      pieces.erase(pieces.begin(), pieces.begin() + static_cast<std::ptrdiff_t>(put_down));
      left.emplace_back([pieces = std::move(pieces)](double) { return pieces; });
      ++next;
      break;
    }
  }
  left.insert(left.end(), section.rows.begin() + static_cast<std::ptrdiff_t>(next),
              section.rows.end());
  section.rows = std::move(left);
  section.goes_on = section.goes_on || has_rows;
  return section;
}

}  // namespace

Column filled(std::vector<Section> sections, Room room, const text::Words& words) {
  Column column{Block(room.width_mm), {}};
  for (Section& section : sections) {
    if (!column.rest.empty()) {
      column.rest.push_back(std::move(section));
      continue;
    }
    if (section.rows.empty()) {
      continue;
    }
    Section rest = put(column, std::move(section), room, words);
    if (!rest.rows.empty()) {
      column.rest.push_back(std::move(rest));
    }
  }
  return column;
}

Column filled(const std::vector<Section>& sections, Room room, const text::Words& words,
              int page_of_rest) {
  Column column = filled(sections, room, words);
  if (column.rest.empty()) {
    return column;
  }
  const Lines pointer =
      set_in_lines(bold(pointer_pt), room.width_mm,
                   words.say("sheet.page.goes_on", {{"page", std::to_string(page_of_rest)}}));
  column = filled(sections, {room.width_mm, room.height_mm - pointer.height_mm() - above_pointer},
                  words);
  column.block.space(above_pointer);
  column.block.paragraph(0, pointer);
  return column;
}

Heads heads_of(const Subject& subject, const std::string& title, double width) {
  const bool cut = subject.now.verdict == plan::Verdict::cut;
  const std::string reminder =
      subject.says.verdict + (cut ? "  " + report::cut_in_short(subject.telling()) : std::string());
  return {page_title(width, title, reminder, cut),
          page_title(width, subject.words().say("sheet.page.continued", {{"title", title}}),
                     reminder, cut)};
}

namespace {

// Less than this on the last page, and the page before it gives some of its own.
constexpr double least_on_a_page = 6 * plain_leading * bench_pt * mm_per_pt;  // six lines

struct Laid {
  Paged paged;
  double on_last = 0;  // mm
};

// One page may be told to leave some of its height free.
Laid laid(std::vector<Section> sections, const Heads& heads, Room room, const text::Words& words,
          std::size_t short_page, double left_free) {
  Laid laid;
  Paged& paged = laid.paged;
  const std::size_t count = sections.size();
  while (!sections.empty()) {
    Block page(room.width_mm);
    page.append(paged.pages.empty() ? heads.first : heads.next);
    page.space(below_heads);
    const double free = paged.pages.size() == short_page ? left_free : 0;
    Column column = filled(std::move(sections),
                           {room.width_mm, room.height_mm - page.height_mm() - free}, words);
    if (column.block.height_mm() == 0) {
      fail_with("print", "the sheet", "a line of it is higher than a page");
    }
    page.append(column.block);
    laid.on_last = column.block.height_mm();
    sections = std::move(column.rest);
    const bool one_is_begun = !sections.empty() && sections.front().goes_on;
    paged.begins.resize(count - sections.size() + (one_is_begun ? 1 : 0), paged.pages.size());
    paged.pages.push_back(std::move(page));
  }
  return laid;
}

}  // namespace

Paged paged(std::vector<Section> sections, const Heads& heads, Room room,
            const text::Words& words) {
  std::erase_if(sections, [](const Section& section) { return section.rows.empty(); });
  Laid first = laid(sections, heads, room, words, 0, 0);
  const std::size_t pages = first.paged.pages.size();
  if (pages < 2 || first.on_last >= least_on_a_page) {
    return std::move(first.paged);
  }
  return laid(std::move(sections), heads, room, words, pages - 2, least_on_a_page).paged;
}

Block titled(double width, std::string_view title) {
  Block block(width);
  block.paragraph(0, set_in_lines(bold(title_pt), width, title));
  block.space(title_to_rule);
  block.rule({0, block.height_mm()}, {width, block.height_mm()}, title_pen);
  block.space(below_rule);
  return block;
}

std::vector<Block> in_pieces(const Lines& lines, double width_mm, double x_mm) {
  std::vector<Block> pieces;
  for (std::size_t at = 0; at < lines.texts.size(); at += lines_of_a_piece) {
    Lines some = lines;
    const auto from = lines.texts.begin() + static_cast<std::ptrdiff_t>(at);
    const auto count = std::min(lines_of_a_piece, lines.texts.size() - at);
    some.texts.assign(from, from + static_cast<std::ptrdiff_t>(count));
    pieces.emplace_back(width_mm).paragraph(x_mm, some);
  }
  return pieces;
}

Row text_row(Type type, std::string text, double indent_mm) {
  return [=, text = std::move(text)](double width_mm) {
    return in_pieces(set_in_lines(type, width_mm - indent_mm, text), width_mm, indent_mm);
  };
}

std::vector<Row> pair_rows(const std::vector<Pair>& pairs, double size_pt) {
  double widest = 0;
  for (const Pair& pair : pairs) {
    widest =
        std::max(widest, PdfCanvas::text_width_mm(Face::bold, size_pt, pair.label) + label_gap);
  }
  std::vector<Row> rows;
  for (const Pair& pair : pairs) {
    rows.emplace_back([=](double width_mm) {
      const double label = std::min(widest, widest_label * width_mm);
      const Lines name = set_in_lines(bold(size_pt), label - label_spare, pair.label);
      const Lines value = set_in_lines(regular(size_pt), width_mm - label, pair.value);
      std::vector<Block> pieces = in_pieces(value, width_mm, label);
      if (pieces.empty()) {
        pieces.emplace_back(width_mm);
      }
      Block& first = pieces.front();
      Lines beside = name;
      if (!value.texts.empty() && name.texts.size() == 1) {
        beside.ascent_mm = value.ascent_mm;  // one baseline, however tall the letters of either
      }
      first.lines_at({0, 0}, beside);
      first.space(std::max(0.0, name.height_mm() - first.height_mm()) + below_pair);
      return pieces;
    });
  }
  return rows;
}

}  // namespace kerfmark::sheet
