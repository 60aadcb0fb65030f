#include "kerfmark/text/printable.hpp"

#include <array>
#include <string>

#include <doctest/doctest.h>

using namespace kerfmark::text;

TEST_CASE("lines on their way to a terminal keep their ends and lose what steers it") {
  struct Row {
    std::string text, plain, in_colour;
  };
  const auto rows = std::to_array<Row>({
      {"", "", ""},
      {"one\ntwo\n", "one\ntwo\n", "one\ntwo\n"},
      {"a\tb", "a\tb", "a\tb"},
      {"Zo\xC3\xAB \xC3\x98 27.2\n", "Zo\xC3\xAB \xC3\x98 27.2\n", "Zo\xC3\xAB \xC3\x98 27.2\n"},
      // The colours of our reports; no other sequence, and not half of one (U+241B stands for ESC).
      {"\x1b[1;32mCUT\x1b[0m\n", "\u241B[1;32mCUT\u241B[0m\n", "\x1b[1;32mCUT\x1b[0m\n"},
      {"\x1b[8mhidden", "\u241B[8mhidden", "\u241B[8mhidden"},
      {"\x1b[1", "\u241B[1", "\u241B[1"},
      {"\x1b]0;title\x07", "\u241B]0;title\u2407", "\u241B]0;title\u2407"},
      {"a\rb", "a\u240Db", "a\u240Db"},
      {"\xC2\x9B"
       "31m",
       "\uFFFD31m", "\uFFFD31m"},               // CSI in one character
      {"\u202Eabc", "\uFFFDabc", "\uFFFDabc"},  // right-to-left override
      {"\xFF\n\xC3", "\uFFFD\n\uFFFD", "\uFFFD\n\uFFFD"},
  });
  for (const Row& row : rows) {
    CAPTURE(row.text);
    CHECK(harmless_lines(row.text, Colours::none) == row.plain);
    CHECK(harmless_lines(row.text, Colours::of_reports) == row.in_colour);
  }
}
