#include "kerfmark/manual/manual.hpp"

#include <algorithm>

#include <doctest/doctest.h>

#include "kerfmark/text/printable.hpp"

using namespace kerfmark;

namespace {

// Those that there are pages of, with these options.
std::vector<manual::Command> made_up_commands() {
  std::vector<manual::Command> all{
      {"", "the program", {{"-V, --version", "", "Print the version"}}},
      {"plan", "Decide", {{"FILE...", "", "Job files"}, {"--sheet", "PDF", "Print *_it_*"}}},
      {"record add", "Add one", {{"--replaces", "NUMBER", "The record"}}},
  };
  for (const manual::Page& one : manual::pages()) {
    if (one.section == 1 && one.name != "kerfmark-plan") {
      all.push_back({std::string(manual::topic_of(one)), std::string(one.what), {}});
    }
  }
  return all;
}

const std::vector<manual::Command> commands = made_up_commands();

const manual::Page& page(std::string_view topic) {
  const manual::Page* found = manual::page_about(topic);
  REQUIRE(found != nullptr);
  return *found;
}

manual::Page made_of(std::string_view body) { return {"kerfmark-test", 7, "a page", body}; }

std::string on_terminal(std::string_view body, bool colour = false) {
  report::View view{.width = 40, .utf8 = true, .colour = colour};
  return manual::on_terminal(made_of(body), commands, view);
}

}  // namespace

TEST_CASE("a page is found by its topic and its name and an action of its command") {
  CHECK(page("plan").name == "kerfmark-plan");
  CHECK(page("kerfmark-plan").name == "kerfmark-plan");
  CHECK(page("kerfmark").name == "kerfmark");
  CHECK(page("record add").name == "kerfmark-record");
  CHECK(page("job").section == 5);
  CHECK(manual::page_about("plam") == nullptr);
  CHECK(manual::page_about("") == nullptr);
}

TEST_CASE("every page has all its tables filled in and no mark left on a terminal") {
  for (const manual::Page& one : manual::pages()) {
    CAPTURE(one.name);
    const std::string source = manual::source_of(one, commands);
    CHECK(source.find("\n; table") == std::string::npos);
    CHECK(source.starts_with(std::string(one.name) + "(" + std::to_string(one.section) + ") \""));
    const std::string shown = manual::on_terminal(one, commands, {});
    CHECK(shown.starts_with("NAME\n  " + std::string(one.name) + " - "));
    CHECK(shown.find("\n\t") == std::string::npos);
    CHECK(shown.find("\x1b") == std::string::npos);
  }
}

TEST_CASE("options of a table stand as they are whatever is in their text") {
  const std::string source = manual::source_of(page("plan"), commands);
  CHECK(source.find("*--sheet* _PDF_\n\tPrint \\*\\_it\\_\\*.\n") != std::string::npos);
  const std::string shown = manual::on_terminal(page("plan"), commands, {});
  CHECK(shown.find("  --sheet PDF\n      Print *_it_*.\n") != std::string::npos);
  CHECK(manual::source_of(page("record"), commands)
            .find("## kerfmark record add\n\nAdd one.\n\n*--replaces* _NUMBER_\n") !=
        std::string::npos);
}

TEST_CASE("paragraphs and terms and lists and blocks on a terminal of forty columns") {
  CHECK(on_terminal("t(7)\n\n# ONE\n\nA paragraph of words that is *wider* than the\nterminal, and "
                    "rail_to_top as _it_ stands.\n\n*term*\n\tText.\n\n*other*\n\tMore.\n") ==
        "ONE\n  A paragraph of words that is wider\n  than the terminal, and rail_to_top as\n"
        "  it stands.\n\n  term\n      Text.\n\n  other\n      More.\n");
  CHECK(
      on_terminal("t(7)\n\n# ONE\n\n- an item that goes on in another\n  line\n- a second\n\n"
                  "```text\n$ a | b \\ c   # *d*\n```\n\nAfter.\n") ==
      "ONE\n  - an item that goes on in another line\n  - a second\n\n      $ a | b \\ c   # *d*\n"
      "\n  After.\n");
}

TEST_CASE("a file in a block is named for who reads it") {
  CHECK(on_terminal("t(7)\n\n# ONE\n\n```toml job.toml\na = 1\n```\n") ==
        "ONE\n  job.toml:\n\n      a = 1\n");
}

TEST_CASE("bold is a rendition of the terminal and takes no room") {
  CHECK(on_terminal("t(7)\n\n# ONE\n\n*--json*, *two words*.\n", true) ==
        "\x1b[1mONE\x1b[0m\n  \x1b[1m--json\x1b[0m, \x1b[1mtwo\x1b[0m \x1b[1mwords\x1b[0m.\n");
  CHECK(on_terminal("t(7)\n\n# ONE\n\n*aaaaaaaaaaaaaaaaaa* *bbbbbbbbbbbbbbbbbbb*\n", true)
            .find('\n', 20) > 60);
}
