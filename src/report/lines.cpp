#include "lines.hpp"

#include <algorithm>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

using text::cells;

// A word in pieces of at most `width` cells.
std::vector<std::string> pieces(std::string_view word, std::size_t width) {
  if (cells(word) <= width) {
    return {std::string(word)};
  }
  std::vector<std::string> parts(1);
  std::size_t taken = 0;
  for (const text::Character& character : text::characters_of(word)) {
    if (taken + character.cells > width && taken > 0) {
      parts.emplace_back();
      taken = 0;
    }
    parts.back() += character.shown;
    taken += character.cells;
  }
  return parts;
}

}  // namespace

std::string padded(std::string_view text, std::size_t width, bool right) {
  const std::size_t taken = cells(text);
  const std::string blank(taken < width ? width - taken : 0, ' ');
  return right ? blank + std::string(text) : std::string(text) + blank;
}

std::string wrapped(std::string_view first, std::string_view text, std::size_t width) {
  const std::size_t indent = std::min(cells(first), width / 2);
  const std::string fresh_line = "\n" + std::string(indent, ' ');
  std::string out(first);
  std::size_t column = cells(first);
  bool begins = true;  // nothing of the text stands in this line yet
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find(' ', start), text.size());
    for (const std::string& piece : pieces(text.substr(start, end - start), width - indent)) {
      const std::size_t blank = begins ? 0 : 1;
      if (column + blank + cells(piece) > width && column > indent) {
        out += fresh_line;
        column = indent;
        begins = true;
      }
      out += (begins ? "" : " ") + piece;
      column += (begins ? 0 : 1) + cells(piece);
      begins = false;
    }
    start = end + 1;
  }
  return out + "\n";
}

std::string table(const std::vector<Column>& columns,
                  const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    std::size_t width = cells(columns[i].title);
    for (const auto& row : rows) {
      width = std::max(width, cells(row[i]));
    }
    widths.push_back(width);
  }
  const auto line = [&](const auto& cell_of) {
    std::string out;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      out += (i == 0 ? "" : "  ") + padded(cell_of(i), widths[i], columns[i].right);
    }
    out.erase(out.find_last_not_of(' ') + 1);
    return out + "\n";
  };
  std::string out = line([&](std::size_t i) -> const std::string& { return columns[i].title; });
  for (const auto& row : rows) {
    out += line([&](std::size_t i) -> const std::string& { return row[i]; });
  }
  return out;
}

std::string table_to_fit(const std::vector<Column>& columns,
                         const std::vector<std::vector<std::string>>& rows, std::size_t width) {
  constexpr std::size_t narrowest = 12;  // a word of a source
  const std::string whole = table(columns, rows);
  const std::size_t begins =
      cells(std::string_view(whole).substr(0, whole.find(columns.back().title)));
  const std::size_t room = std::max(width > begins ? width - begins : 0, narrowest);
  std::string out;
  std::size_t start = 0;
  for (std::size_t row = 0; start < whole.size(); ++row) {
    const std::size_t end = whole.find('\n', start);
    const std::string line = whole.substr(start, end - start);
    start = end + 1;
    if (row == 0 || cells(rows[row - 1].back()) <= room) {
      out += line + "\n";
      continue;
    }
    const std::string text = wrapped("", rows[row - 1].back(), room);
    std::string before = line.substr(0, line.size() - rows[row - 1].back().size());
    for (std::size_t from = 0; from < text.size();) {
      const std::size_t to = text.find('\n', from);
      out += before + text.substr(from, to - from) + "\n";
      before = std::string(begins, ' ');
      from = to + 1;
    }
  }
  return out;
}

std::size_t widest_line(std::string_view text) {
  std::size_t widest = 0;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    widest = std::max(widest, cells(text.substr(start, end - start)));
    start = end + 1;
  }
  return widest;
}

View usable(View view) {
  constexpr std::size_t narrowest = 40;  // cells, common practice
  view.width = std::max(view.width, narrowest);
  return view;
}

std::string heading(std::string_view title, const View& view) {
  const std::string line = wrapped("", title, view.width);
  return view.colour ? "\x1b[1m" + line.substr(0, line.size() - 1) + "\x1b[0m\n" : line;
}

std::string section(std::string_view title, const View& view) {
  return "\n" + heading(title, view);
}

std::string finished(const std::string& out, const View& view) {
  return view.utf8 ? out : text::in_ascii(out);
}

}  // namespace kerfmark::report
