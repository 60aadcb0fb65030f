#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/report/view.hpp"

/// Lines of text for a terminal: words, columns and widths in cells, for every script.
namespace kerfmark::report {

[[nodiscard]] std::string padded(std::string_view text, std::size_t width, bool right = false);

/// Words of `text`, which others' text has passed harmless() to get into, in lines of `width`
/// cells, the first behind `first`, the others behind as many blanks; a word longer than a line is
/// broken. Ends in a line feed.
[[nodiscard]] std::string wrapped(std::string_view first, std::string_view text, std::size_t width);

struct Column {
  std::string title;
  bool right = false;
};

/// Columns as wide as their widest cell, two blanks apart.
[[nodiscard]] std::string table(const std::vector<Column>& columns,
                                const std::vector<std::vector<std::string>>& rows);

/// The same no wider than `width`, if the last column can be made narrower: its words go on below.
[[nodiscard]] std::string table_to_fit(const std::vector<Column>& columns,
                                       const std::vector<std::vector<std::string>>& rows,
                                       std::size_t width);

/// The view, no narrower than what can be read.
[[nodiscard]] View usable(View view);

/// The title of what follows.
[[nodiscard]] std::string heading(std::string_view title, const View& view);

/// A blank line and the title of what follows.
[[nodiscard]] std::string section(std::string_view title, const View& view);

/// The text as the view can show it.
[[nodiscard]] std::string finished(const std::string& out, const View& view);

/// Cells of the widest line of a text.
[[nodiscard]] std::size_t widest_line(std::string_view text);

}  // namespace kerfmark::report
