#pragma once

#include <functional>
#include <string>
#include <vector>

#include "block.hpp"
#include "kerfmark/text/words.hpp"
#include "page.hpp"
#include "subject.hpp"

/// Rows that flow down a column and on to the next page. Nothing is dropped: what finds no room is
/// given back.
namespace kerfmark::sheet {

/// A row set to the width that it gets. It is kept together; only where it comes in several pieces
/// and is higher than a whole column it is parted between them.
using Row = std::function<std::vector<Block>(double width_mm)>;

/// A row of one piece.
template <class Set>
[[nodiscard]] Row row(Set set) {
  return [set = std::move(set)](double width_mm) { return std::vector<Block>{set(width_mm)}; };
}

/// Rows under a title. Where they go on on another page, the title says so and the heads of the
/// columns are there again.
struct Section {
  std::string title = {};                          ///< empty: none
  std::function<Block(double)> columns = nullptr;  ///< heads of columns, or none
  std::vector<Row> rows = {};
  double apart_mm = 0;  ///< between rows
  bool goes_on = false;
};

/// What found room, and the rest, in its order.
struct Column {
  Block block;
  std::vector<Section> rest;
};

[[nodiscard]] Column filled(std::vector<Section> sections, Room room, const text::Words& words);

/// The same with a line at the end that names the page of the rest, if there is one.
[[nodiscard]] Column filled(const std::vector<Section>& sections, Room room,
                            const text::Words& words, int page_of_rest);

/// What stands at the head of a page, and of the pages on which it goes on.
struct Heads {
  Block first, next;
};
[[nodiscard]] Heads heads_of(const Subject& subject, const std::string& title, double width_mm);

struct Paged {
  std::vector<Block> pages;
  std::vector<std::size_t> begins;  ///< on which page, from 0, each section with rows begins
};

/// All of it on as many pages as it takes, the last with six lines or more unless it is the only
/// one. Throws Trouble for a row of one piece that is higher than a page.
[[nodiscard]] Paged paged(std::vector<Section> sections, const Heads& heads, Room room,
                          const text::Words& words);

/// A title with a rule below it.
[[nodiscard]] Block titled(double width_mm, std::string_view title);

/// A text as a row; its pieces are a few lines each.
[[nodiscard]] Row text_row(Type type, std::string text, double indent_mm = 0);

/// A label and what belongs to it, the labels of a list as wide as the widest of them.
struct Pair {
  std::string label, value;
};
[[nodiscard]] std::vector<Row> pair_rows(const std::vector<Pair>& pairs, double size_pt);

/// Lines in blocks of a few, so that a long text can be parted.
[[nodiscard]] std::vector<Block> in_pieces(const Lines& lines, double width_mm, double x_mm);

}  // namespace kerfmark::sheet
