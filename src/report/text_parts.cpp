#include "text_parts.hpp"

#include <algorithm>

#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {

// ANSI colours of a verdict, ISO/IEC 6429: 1 bold, 32 green, 33 yellow, 31 red.
std::string coloured(std::string_view text, plan::Verdict verdict, const View& view) {
  if (!view.colour) {
    return std::string(text);
  }
  const char* code = plan::is_yes(verdict)  ? "\x1b[1;32m"
                     : plan::is_no(verdict) ? "\x1b[1;31m"
                                            : "\x1b[1;33m";
  return code + std::string(text) + "\x1b[0m";
}

std::string figure_lines(const std::vector<Figure>& figures, const View& view) {
  std::size_t width = 0;
  for (const Figure& figure : figures) {
    width = std::max(width, text::cells(figure.label));
  }
  std::string out;
  for (const Figure& figure : figures) {
    out += wrapped("  " + padded(figure.label, width + 2), figure.value, view.width);
  }
  return out;
}

}  // namespace kerfmark::report
