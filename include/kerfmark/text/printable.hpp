#pragma once

#include <string>
#include <string_view>
#include <vector>

/// UTF-8 text on its way to a terminal or a page: what others wrote must not steer either.
namespace kerfmark::text {

/// One character as it may be shown. Control characters become their pictures (U+2400 and on), what
/// changes the direction of writing or cannot be seen becomes U+FFFD, and so does a byte that is no
/// UTF-8; a tab stays a tab.
struct Character {
  std::string shown;
  std::size_t cells = 1;  ///< of a terminal: wide letters two, combining marks none
};

[[nodiscard]] std::vector<Character> characters_of(std::string_view utf8);

/// The numbers of its characters as they are; U+FFFD for a byte that is no UTF-8.
[[nodiscard]] std::u32string code_points(std::string_view utf8);

/// The text with every character as it may be shown; tabs become blanks.
[[nodiscard]] std::string harmless(std::string_view utf8);

/// The same for text of several lines on its way to a terminal: line ends and tabs stay, and so
/// does what sets the colours of our own reports, where it may be there at all.
enum class Colours { none, of_reports };
[[nodiscard]] std::string harmless_lines(std::string_view utf8, Colours colours);

/// Terminal cells that a text takes.
[[nodiscard]] std::size_t cells(std::string_view utf8);

/// The text in ASCII: accents go, signs that have a spelling get it, the rest becomes '?'. Line
/// feeds and the escape character stay.
[[nodiscard]] std::string in_ascii(std::string_view utf8);

}  // namespace kerfmark::text
