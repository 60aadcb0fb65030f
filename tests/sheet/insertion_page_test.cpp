#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../languages.hpp"
#include "drawn_ink.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "sheets.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Length;
using sheet::Ink;

// The page of a post as it stands: one page, nothing lies on anything else or near the edge, the
// drawing is to its scale, and in German no English word is on it.

namespace {

struct Post {
  std::string what;
  plan::PostAsItStands stands;
};

// Every verdict, both ways of measuring, and the ends of what may be entered.
std::vector<Post> posts() {
  const auto mm = millimetres;
  return {
      {"keep", {.inserted = mm(112), .mark = mm(100), .diameter = mm(27.2)}},
      {"hold", {.inserted = mm(100.5), .mark = mm(100)}},
      {"reject",
       {.length = mm(350),
        .exposed = mm(280),
        .mark = mm(100),
        .minimum = mm(90),
        .diameter = mm(31.6)}},
      {"only the diameter", {.length = mm(350), .exposed = mm(245), .diameter = mm(31.6)}},
      {"below the floor", {.inserted = mm(40), .diameter = mm(27.2)}},
      {"no line, by tape",
       {.inserted = mm(120), .line = plan::LineSeen::none, .instrument = "tape"}},
      {"line seen, nothing measured", {.line = plan::LineSeen::above}},
      {"line seen", {.inserted = mm(120), .mark = mm(100), .line = plan::LineSeen::above}},
      {"line hidden", {.inserted = mm(120), .mark = mm(100), .line = plan::LineSeen::hidden}},
      {"too short", {.length = mm(90), .exposed = mm(20), .mark = mm(100)}},
      {"nothing inside", {.inserted = mm(0), .minimum = mm(300)}},
      {"all of it inside", {.length = mm(700), .exposed = mm(0), .mark = mm(20)}},
      {"all of it outside", {.length = mm(600), .exposed = mm(600), .mark = mm(300)}},
      {"long", {.inserted = mm(700), .mark = mm(300), .minimum = mm(20), .diameter = mm(60)}},
  };
}

plan::InsertionCheck check_of(const Post& post) { return plan::check_insertion(post.stands); }

// W is the widest letter; U+1EB2 the tallest and U+0122 among the deepest of the fonts.
std::vector<std::string> notes_of_shops() {
  return {"", "Ask at the counter.", sheets::repeated("W", 500),
          sheets::repeated("\u1EB2\u0122 ", 166)};
}

std::string text_on(const std::vector<Ink>& ink) {
  std::string all;
  for (const Ink& one : ink) {
    if (drawn_ink::is_text(one)) {
      all += one.what + "\n";
    }
  }
  return all;
}

int times_in(const std::string& text, std::string_view part) {
  int times = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++times;
  }
  return times;
}

}  // namespace

TEST_CASE("the page of a post as it stands has nothing on anything else or near the edge") {
  std::size_t printed = 0;
  for (const Post& post : posts()) {
    for (const sheet::Paper& paper : {sheet::a4, sheet::letter}) {
      for (const char* language : {"en", "de"}) {
        for (const std::string& note : notes_of_shops()) {
          auto options = sheets::plain_options(language, paper);
          options.shop.name = note.empty() ? "" : "Corner workshop";
          options.shop.line = "";
          options.shop.notes.assign(note.empty() ? 0 : 3, note);
          const auto page = sheet::print_insertion(check_of(post), options);
          CAPTURE(post.what);
          CAPTURE(language);
          CAPTURE(paper.height_mm);
          CAPTURE(note);
          int pages = 0;
          for (const Ink& ink : page.ink) {
            pages = std::max(pages, ink.page);
          }
          CHECK((pages == 1 || !note.empty()));  // what the shop adds may need more
          CHECK(times_in(text_on(page.ink), "Ask at the counter.") ==
                (note.starts_with("Ask") ? 3 : 0));
          CHECK(drawn_ink::text_in_the_way(page.ink) == "");
          const double edge = 10;  // every printer reaches this far, common practice
          CHECK(drawn_ink::ink_outside(
                    page.ink, {edge, edge, paper.width_mm - edge, paper.height_mm - edge}) == "");
          CHECK(page.pdf.starts_with("%PDF-"));
          CHECK(page.pdf.size() < 100'000);
          ++printed;
        }
      }
    }
  }
  CHECK(printed == posts().size() * 2 * 2 * 4);
}

TEST_CASE("what the page says is what the check says") {
  const auto page = sheet::print_insertion(
      check_of({"", {.inserted = millimetres(70), .mark = millimetres(100)}}),
      sheets::plain_options("en", sheet::a4));
  const std::string text = text_on(page.ink);
  for (const char* part : {"TOO LITTLE", "30.9 mm", "70.0", "100.0", "100.9 mm", "rule", "WARNING",
                           "Measured by", "Date"}) {
    CAPTURE(part);
    CHECK(text.find(part) != std::string::npos);
  }
}

TEST_CASE("a page without a known line shows no figure to aim at") {
  for (const char* language : {"en", "de"}) {
    const auto page = sheet::print_insertion(
        check_of({"", {.inserted = millimetres(60), .diameter = millimetres(27.2)}}),
        sheets::plain_options(language, sheet::a4));
    const std::string text = text_on(page.ink);
    for (const char* part : {"54.", "54,", "16 CFR", "must be inside", "muss hinein"}) {
      CAPTURE(part);
      CHECK(text.find(part) == std::string::npos);
    }
    CHECK(text.find(language == std::string("en") ? "LINE NOT KNOWN" : "MARKE UNBEKANNT") !=
          std::string::npos);
  }
}

TEST_CASE("the drawing is to the scale that it states") {
  // Between the line that must be inside and the lower end lie 100 mm, between collar and lower end
  // 160 mm, and so do the dimension lines.
  const auto page = sheet::print_insertion(
      check_of({"", {.inserted = millimetres(160), .mark = millimetres(100)}}),
      sheets::plain_options("en", sheet::a4));
  const std::string text = text_on(page.ink);
  const std::string before = "cale 1:";
  const auto at = text.find(before);
  REQUIRE(at != std::string::npos);
  const double scale = std::stod(text.substr(at + before.size()));
  for (const double mm : {100.0, 160.0}) {
    CAPTURE(mm);
    CHECK(std::ranges::any_of(page.ink, [&](const Ink& ink) {
      const double width = ink.box.right_mm - ink.box.left_mm;
      const double height = ink.box.bottom_mm - ink.box.top_mm;
      return ink.what == "line" && height < 0.5 && std::abs(width - mm / scale) < 0.01;
    }));
  }
}

TEST_CASE("no English word and no decimal point is on a German page") {
  const std::set<std::string> forbidden = languages::english_only();
  std::size_t looked_at = 0;
  for (const Post& post : posts()) {
    const auto page =
        sheet::print_insertion(check_of(post), sheets::plain_options("de", sheet::a4));
    for (const Ink& ink : page.ink) {
      if (!drawn_ink::is_text(ink) || ink.what.find("CFR") != std::string::npos ||
          ink.what.find("1512") != std::string::npos) {
        continue;  // the clause of a regulation
      }
      CAPTURE(ink.what);
      for (const std::string& word : languages::words_in(ink.what)) {
        CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
        ++looked_at;
      }
      CHECK_FALSE(languages::has_decimal_point(ink.what));
    }
  }
  CHECK(looked_at > 1000);
}

TEST_CASE("the same check and options give the same bytes") {
  const auto options = sheets::plain_options("de", sheet::letter);
  const auto check = check_of(posts().front());
  CHECK(sheet::print_insertion(check, options).pdf == sheet::print_insertion(check, options).pdf);
}
