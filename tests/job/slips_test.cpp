#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"

using namespace kerfmark;

namespace {

std::string syntax_finding(const std::string& text) {
  const auto outcome = job::read_job(text, "j");
  REQUIRE(outcome.findings.size() == 1);
  CHECK_FALSE(outcome.job.has_value());
  return job::one_line(outcome.findings[0]);
}

struct Row {
  std::string_view value;
  std::string_view message;
};

}  // namespace

TEST_CASE("the usual slips in a value say what to write") {
  const std::vector<Row> rows = {
      {"212,5", "212,5 has a decimal comma; write 212.5"},
      {"-1,5", "-1,5 has a decimal comma; write -1.5"},
      {".5", ".5 has no digit before its point; write 0.5"},
      {"5.", "5. has no digit after its point; write 5.0"},
      {"06.5", "06.5 begins with a 0; write 6.5"},
      {"+06", "+06 begins with a 0; write 6"},
      {"−5", "the minus sign is a dash; write -5"},
      {"8 3/8 in", "8 3/8 in is text and has no quotes; write \"8 3/8 in\""},
      {"8-3/8 in", "8-3/8 in is text and has no quotes; write \"8-3/8 in\""},
      {"8 3/8", "8 3/8 is text and has no quotes; write \"8 3/8 in\""},
      {"8 3/8\"", "8 3/8\" is text and has no quotes; write \"8 3/8 in\""},
      {"\"8 3/8\"\"", "the inch sign closes the quotes; write \"8 3/8 in\""},
      {"\"8 3/8\" in", "the text goes on after its quotes; write \"8 3/8 in\""},
      {"31.6mm", "31.6mm is text and has no quotes; write \"31.6 mm\""},
      {"31.6 mm", "31.6 mm is text and has no quotes; write \"31.6 mm\""},
      {"31,6 mm # stamped", "31,6 mm is text and has no quotes; write \"31.6 mm\""},
      {"73.5°", "73.5° is text and has no quotes; write \"73.5°\""},
      {"176lb", "176lb is text and has no quotes; write \"176 lb\""},
      // Quotes make no length of a word.
      {"carbon",
       "this is neither a number nor text in quotes; write a number such as 212.5, or text such as "
       "\"8 3/8 in\""},
      {"±1",
       "this is neither a number nor text in quotes; write a number such as 212.5, or text such as "
       "\"8 3/8 in\""},
      {"“212 mm”", "the quotes are curly; write \"212 mm\""},
      {"„212 mm“", "the quotes are curly; write \"212 mm\""},
      {"‘carbon’", "the quotes are curly; write \"carbon\""},
      {"\"carbon", "the quotes do not close; write \"carbon\""},
      {"'carbon\"", "the quotes do not close; write \"carbon\""},
      {"\"C:\\post\"", "a \\ in text has a meaning of its own; write / or \\\\ instead"},
      {"True", "True is no value of length; write what it is, or take the line out"},
      {"no", "no is no value of length; write what it is, or take the line out"},
      {"212;", "the \";\" at the end does not belong there; write 212"},
      {"212,", "the \",\" at the end does not belong there; write 212"},
      {"= 212", "one = is enough; write 212"},
      {"", "there is no value after the =; write length = … or take the line out"},
      {"[212 212.5]", "there is no comma between the values; write [212, 212.5]"},
      {"[212, 212.5", "the list does not close; write [212, 212.5]"},
      {"[212 mm, 213 mm]", "212 mm is text and has no quotes; write [\"212 mm\", \"213 mm\"]"},
      {"[212,5 mm, 213 mm]",
       "212,5 mm is text and has no quotes; write [\"212.5 mm\", \"213 mm\"]"},
      {"[212,5 mm]", "212,5 mm has no quotes; write [\"212.5 mm\"]"},
      {"{ read = 212, within 0.3 }",
       "the braces cannot be read; write them on one line, such as { read = 212, within = 0.3 }"},
      {"1.2.3",
       "this is neither a number nor text in quotes; write a number such as 212.5, or text such as "
       "\"8 3/8 in\""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.value);
    const auto text = "kind = \"seatpost\"\n[post]\nlength = " + std::string(row.value) + "\n";
    const auto finding = syntax_finding(text);
    const auto place = finding.find(": post.length: ");
    REQUIRE(place != std::string::npos);
    CHECK(finding.starts_with("j:3:"));
    CHECK(finding.substr(place + 15) == row.message);
  }
}

TEST_CASE("what a slips message says to write can be read") {
  for (const std::string_view value :
       {"212,5", ".5", "5.", "06.5", "8 3/8 in", "8 3/8\"", "\"8 3/8\"\"", "31.6mm", "“212 mm”",
        "212,5 mm", "[212 mm, 213 mm]", "[212,5 mm]", "−5", "[212, 212.5"}) {
    CAPTURE(value);
    const std::string before = "kind = \"seatpost\"\n[post]\nlength = ";
    const auto finding = syntax_finding(before + std::string(value) + "\n");
    const auto write = finding.find("; write ");
    REQUIRE(write != std::string::npos);
    const auto again = job::read_job(before + finding.substr(write + 8) + "\n", "j");
    for (const auto& other : again.findings) {
      CHECK(other.code != job::FindingCode::not_toml);
      CHECK(other.code != job::FindingCode::bad_quantity);
      CHECK(other.code != job::FindingCode::wrong_type);
    }
  }
}

TEST_CASE("slips outside a value") {
  struct File {
    std::string_view text, finding;
  };
  const std::vector<File> files = {
      {"h = 1\nh = 2\n", "j:2:1: h: is here a second time; keep one of the two"},
      {"[a]\nh = 1\n[a]\n", "j:3:1: a: [a] is here a second time; put all its keys under one [a]"},
      {"[frame.blockage]\ndepth = 3\n[frame.blockage]\n",
       "j:3:1: frame.blockage: [frame.blockage] is written as one table, but there may be several; "
       "write "
       "[[frame.blockage]] each time"},
      {"[frame.blockage]\ndepth = 3\n[[frame.blockage]]\n",
       "j:3:1: frame.blockage: [frame.blockage] is written as one table, but there may be several; "
       "write "
       "[[frame.blockage]] each time"},
      {"height 607\n", "j:1:8: height: there is no = between key and value; write height = 607"},
      {"height: 607 mm\n",
       "j:1:7: height: there is no = between key and value; write height = \"607 mm\""},
      {"height\n",
       "j:1:7: height: there is no value for height; write height = … or take the line "
       "out"},
      {"[saddle\n", "j:1:8: saddle: the header of a table is not closed properly; write [saddle]"},
      {"[[frame.blockage]\n",
       "j:1:18: frame.blockage: the header of a table is not closed properly; "
       "write [[frame.blockage]]"},
      {"[saddle] height = 5\n",
       "j:1:10: saddle: there is more after [saddle]; write height = 5 on a line of its own"},
      {"// note\n", "j:1:1: a comment begins with #; write # at the start of the line"},
      {"saddle height = 5\n",
       "j:1:8: \"saddle height\" is not a key; write it as one word of the "
       "letters a to z, digits and _"},
      {"[saddle]\nheight = [607,\nlowest = 600\n",
       "j:2:10: saddle.height: the list does not close; write [607]"},
      {"[saddle]\nheight = [\n607,\n608 609]\n",
       "j:2:10: saddle.height: the list that begins here cannot be read; write it on one line, "
       "such "
       "as [212, 212.5]"},
      {"[job]\ndate = 2026-02-30\n",
       "j:2:8: job.date: there is no such day; write it year first, such as 2026-05-01"},
      {"[job]\ndate = 12.05.2026\n",
       "j:2:8: job.date: a date stands year first; write 2026-05-12 or 2026-12-05"},
  };
  for (const File& file : files) {
    CAPTURE(file.text);
    CHECK(syntax_finding(std::string(file.text)) == file.finding);
  }
}

TEST_CASE("a NUL in the file itself is refused") {
  std::string text = "kind = \"seatpost\"\n";
  text += '\0';
  CHECK(syntax_finding(text) == "j:2:1: there is a NUL character in the text; take it out");
}

TEST_CASE("files that would overflow a parser are refused before it") {
  // Dotted keys recurse: 32,000 levels end the program if they get to the parser.
  std::string deep;
  for (int i = 0; i < 40000; ++i) {
    deep += "a.";
  }
  CHECK(syntax_finding(deep + "a = 1\n") ==
        "j:1:1: the line is longer than 4096 bytes; break it into shorter lines");
  std::string nested(2000, '[');
  CHECK(syntax_finding("a = " + nested + "\n").starts_with("j:1:"));
  // The longest that gets through: 2048 levels in a line.
  std::string deepest;
  for (int i = 0; i < 2047; ++i) {
    deepest += "a.";
  }
  const auto findings = job::read_job("[" + deepest.substr(0, 4000) + "a]\nx = 1\n", "j").findings;
  CHECK_FALSE(findings.empty());
}

TEST_CASE("UTF-8 is checked byte by byte") {
  struct Bytes {
    std::string_view bytes;
    bool sound;
  };
  // RFC 3629, section 4: the table of well-formed sequences, its ends and what lies just outside.
  const std::vector<Bytes> rows = {
      {"\x7F", true},
      {"\x80", false},
      {"\xC1\xBF", false},
      {"\xC2\x80", true},
      {"\xDF\xBF", true},
      {"\xDF", false},
      {"\xE0\x9F\xBF", false},
      {"\xE0\xA0\x80", true},
      {"\xED\x9F\xBF", true},
      {"\xED\xA0\x80", false},
      {"\xEF\xBF\xBF", true},
      {"\xF0\x8F\xBF\xBF", false},
      {"\xF0\x90\x80\x80", true},
      {"\xF4\x8F\xBF\xBF", true},
      {"\xF4\x90\x80\x80", false},
      {"\xF5\x80\x80\x80", false},
      {"\xE2\x82", false},
      {"\xFF", false},
  };
  for (const Bytes& row : rows) {
    const auto findings = job::read_job("# " + std::string(row.bytes) + "\n", "j").findings;
    REQUIRE_FALSE(findings.empty());
    CAPTURE(row.sound);
    CAPTURE(job::one_line(findings[0]));
    CHECK((findings[0].code != job::FindingCode::not_text) == row.sound);
  }
}
