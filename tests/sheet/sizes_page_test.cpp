#include <algorithm>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../languages.hpp"
#include "drawn_ink.hpp"
#include "kerfmark/report/sizes.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "sheets.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::SizeCell;
using plan::Verdict;
using sheet::Ink;

// The page of a run of sizes: one page up to its bound whatever the names are, nothing lies on
// anything else or near the edge, and in German no English word is on it.

namespace {

struct Run {
  std::vector<std::string> sizes, ranges, parts;
  plan::SizeMatrix matrix;
  plan::LeastSet least, whole;

  [[nodiscard]] report::SizesTelling telling() const {
    return {plan::Kind::seatpost, sizes, ranges, parts, matrix, least, whole};
  }
};

// Every sort of cell in turn, with the longest words that a limit and a range can have.
SizeCell cell_number(std::size_t number) {
  SizeCell cell;
  switch (number % 5) {
    case 0:
      cell.verdict = Verdict::keep;
      cell.saddle = plan::Span{millimetres(1045.2), millimetres(1099.9)};
      break;
    case 1:
      cell.verdict = Verdict::cut;
      cell.cut = millimetres(52.5);
      cell.saddle = plan::Span{std::nullopt, millimetres(249)};
      break;
    case 2:
      cell.verdict = Verdict::reject;
      cell.limit = plan::Rule::spacers_above_least;
      break;
    case 3:
      cell.verdict = Verdict::hold;
      break;
    default:
      cell.verdict = Verdict::reject;
      cell.limit = plan::Rule::clearance;
      cell.number = 2;
      break;
  }
  return cell;
}

Run run_of(std::size_t sizes, std::size_t parts, const std::string& name) {
  Run run;
  for (std::size_t i = 0; i < sizes; ++i) {
    run.sizes.push_back(name + std::to_string(i));
  }
  run.ranges = {""};
  for (std::size_t i = 0; i < parts; ++i) {
    run.parts.push_back(name + std::to_string(i));
  }
  run.matrix.parts = parts;
  for (std::size_t i = 0; i < sizes * parts; ++i) {
    run.matrix.cells.push_back(cell_number(i));
  }
  run.least = plan::least_set(run.matrix);
  run.whole = plan::least_set(run.matrix, plan::Sawing::none);
  return run;
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

int pages_of(const std::vector<Ink>& ink) {
  int pages = 0;
  for (const Ink& one : ink) {
    pages = std::max(pages, one.page);
  }
  return pages;
}

std::vector<std::string> cautions(std::size_t count) {
  return std::vector<std::string>(count, sheets::repeated("Ask the maker. ", 12));
}

}  // namespace

TEST_CASE("the largest run stands on one page without anything on anything else") {
  const std::size_t rows = sheet::most_rows_of_sizes;
  const std::size_t parts = sheet::most_parts_of_sizes;
  std::size_t printed = 0;
  // W is the widest letter; U+1EB2 the tallest and U+0122 among the deepest of the fonts.
  for (const std::string& name : {std::string("M "), sheets::repeated("W", 90),
                                  sheets::repeated("\u1EB2\u0122 ", 40), std::string("size ")}) {
    for (const auto& [sizes, posts] :
         {std::pair(rows, parts), std::pair<std::size_t, std::size_t>(1, 1),
          std::pair(std::size_t{3}, parts)}) {
      for (const auto& [paper, language] :
           {std::pair(sheet::a4, "en"), std::pair(sheet::letter, "de")}) {
        for (const std::size_t said : {0U, 60U}) {
          const Run run = run_of(sizes, posts, name);
          auto options = sheets::plain_options(language, paper);
          options.digest = "3f9a-1c07";
          options.shop.name = "Corner workshop";
          const auto page = sheet::print_sizes(run.telling(), cautions(said), "run.toml", options);
          CAPTURE(name);
          CAPTURE(sizes);
          CAPTURE(posts);
          CAPTURE(language);
          CAPTURE(paper.height_mm);
          CHECK((pages_of(page.ink) == 1 || said > 0));
          CHECK(drawn_ink::text_in_the_way(page.ink) == "");
          const double edge = 10;  // every printer reaches this far, common practice
          CHECK(drawn_ink::ink_outside(
                    page.ink, {edge, edge, paper.width_mm - edge, paper.height_mm - edge}) == "");
          CHECK(text_on(page.ink).find("3f9a-1c07") != std::string::npos);
          ++printed;
        }
      }
    }
  }
  CHECK(printed == 4 * 3 * 2 * 2);
}

TEST_CASE("the page says what the run says") {
  // S keeps the 350 and would have the 400 cut by 50; L takes the 400 alone.
  Run run{{"S", "L"}, {""}, {"350", "400"}, {}, {}, {}};
  run.matrix.parts = 2;
  SizeCell keep{Verdict::keep, {}, plan::Span{millimetres(137.4), millimetres(259.6)}, {}, 0};
  SizeCell cut{
      Verdict::cut, millimetres(50), plan::Span{millimetres(138), millimetres(249)}, {}, 0};
  SizeCell no{Verdict::reject, {}, {}, plan::Rule::mark, 0};
  SizeCell open{Verdict::keep, {}, plan::Span{std::nullopt, millimetres(299.9)}, {}, 0};
  run.matrix.cells = {keep, cut, no, open};
  run.least = plan::least_set(run.matrix);
  run.whole = plan::least_set(run.matrix, plan::Sawing::none);
  const auto page = sheet::print_sizes(run.telling(), {"Ask the maker."}, "run.toml",
                                       sheets::plain_options("en", sheet::a4));
  const std::string text = text_on(page.ink);
  // Heights are rounded inwards: 137.4 to 138, 259.6 to 259.
  for (const char* part : {"The fewest that serve all of these: 400", "nothing is sawn: 350, 400",
                           "cut 50", "138–259", "138–249", "up to 299", "mark", "Ask the maker.",
                           "not a cut sheet", "qualified mechanic", "run.toml", "WARNING"}) {
    CAPTURE(part);
    CHECK(text.find(part) != std::string::npos);
  }
  // A solid frame for each size of the least set, a dashed one for the other of the whole set.
  CHECK(std::ranges::count(page.ink, std::string("rectangle"), &Ink::what) >= 3);
}

TEST_CASE("no English word and no decimal point is on a German page of sizes") {
  const std::set<std::string> forbidden = languages::english_only();
  const Run run = run_of(10, 5, "M ");
  const auto page =
      sheet::print_sizes(run.telling(), {}, "", sheets::plain_options("de", sheet::a4));
  std::size_t looked_at = 0;
  for (const Ink& ink : page.ink) {
    if (!drawn_ink::is_text(ink)) {
      continue;
    }
    CAPTURE(ink.what);
    for (const std::string& word : languages::words_in(ink.what)) {
      CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
      ++looked_at;
    }
    CHECK_FALSE(languages::has_decimal_point(ink.what));
  }
  CHECK(looked_at > 100);
}

TEST_CASE("characters of names that cannot be printed are named") {
  Run run = run_of(2, 1, "M ");
  run.sizes[1] = "\u05D0";
  const auto page =
      sheet::print_sizes(run.telling(), {}, "run.toml", sheets::plain_options("en", sheet::a4));
  REQUIRE(page.cautions.size() == 1);
  CHECK(page.cautions[0].find("size-2.name: U+05D0 (Hebrew)") != std::string::npos);
}
