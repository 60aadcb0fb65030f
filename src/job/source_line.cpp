#include "source_line.hpp"

#include <algorithm>

namespace kerfmark::job {

std::string_view source_line(std::string_view text, int line) {
  constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
  if (text.starts_with(byte_order_mark)) {
    text.remove_prefix(byte_order_mark.size());
  }
  for (int passed = 1; passed < line; ++passed) {
    const auto end = text.find('\n');
    if (end == std::string_view::npos) {
      return {};
    }
    text.remove_prefix(end + 1);
  }
  text = text.substr(0, text.find('\n'));
  if (text.ends_with('\r')) {
    text.remove_suffix(1);
  }
  return text;
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r\n";
  const auto first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) {
    return {};
  }
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

int characters(std::string_view text) {
  // Bytes 10xxxxxx go on with a character.
  return static_cast<int>(std::ranges::count_if(
      text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace kerfmark::job
