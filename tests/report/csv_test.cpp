#include "kerfmark/report/csv.hpp"

#include <string>
#include <vector>

#include "../plan/planned.hpp"

using namespace kerfmark;
using report::csv_cell;

TEST_SUITE("csv") {
  // RFC 4180, section 2, rules 1, 5, 6 and 7, by its own examples; a line end in a cell is a line
  // feed.
  TEST_CASE("cells and rows are those of the standard") {
    CHECK(csv_cell("aaa") == "aaa");
    CHECK(csv_cell("b \nbb") == "\"b \nbb\"");
    CHECK(csv_cell("b\"bb") == "\"b\"\"bb\"");
    CHECK(csv_cell("a,b") == "\"a,b\"");
    CHECK(csv_cell("").empty());
    const std::vector<std::string> cells = {"aaa", "bbb", "ccc"};
    CHECK(report::csv_row(cells) == "aaa,bbb,ccc\r\n");
  }

  // CWE-1236.
  TEST_CASE("what a spreadsheet would reckon has an apostrophe in front") {
    for (const char* text : {"=1+1", "+1", "-1", "@SUM(A1)", " =1", "\t=1", "\xC2\xA0=1",
                             "\xEF\xBC\x9D"
                             "1"}) {
      CAPTURE(text);
      CHECK(csv_cell(text).front() == '\'');
    }
    CHECK(csv_cell("2031") == "2031");
    CHECK(csv_cell("a=1") == "a=1");
  }

  TEST_CASE("nothing in a cell steers a terminal") {
    CHECK(csv_cell("a\x1b[31mb").find('\x1b') == std::string::npos);
    CHECK(csv_cell("a\tb") == "a b");
  }

  TEST_CASE("a file that is no job is a row of the same width with its first error") {
    const text::FindingLine first{3, 10, "post.length", "is missing; write length = 400"};
    CHECK(report::bad_file_row("x.toml", first, 0, report::Owner::left_out) ==
          "x.toml,,,,error,,,,,,,,,3:10: post.length: is missing; write length = 400\r\n");
    CHECK(report::bad_file_row("x.toml", {{}, {}, {}, "cannot read"}, 2, report::Owner::shown) ==
          "x.toml,,,,,error,,,,,,,,,cannot read (and 2 more)\r\n");
  }
}
