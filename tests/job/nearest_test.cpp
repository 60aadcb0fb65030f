#include "kerfmark/job/nearest.hpp"

#include <array>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

using kerfmark::job::nearest;
using kerfmark::job::slips_between;

TEST_CASE("slips between words are counted") {
  struct Row {
    std::string_view a, b;
    std::size_t slips;
  };
  // Damerau (1964): insertion, omission, change and swap of neighbours each count as one error.
  constexpr auto rows = std::to_array<Row>({
      {"height", "height", 0},
      {"", "", 0},
      {"", "mark", 4},
      {"mark", "", 4},
      {"hieght", "height", 1},
      {"heigt", "height", 1},
      {"heeight", "height", 1},
      {"hoight", "height", 1},
      {"HEIGHT", "height", 0},
      // The textbook pair of Wagner and Fischer's distance.
      {"kitten", "sitting", 3},
      {"ab", "ba", 1},
      {"abc", "cab", 2},
  });
  for (const Row& row : rows) {
    CAPTURE(row.a);
    CAPTURE(row.b);
    CHECK(slips_between(row.a, row.b) == row.slips);
    CHECK(slips_between(row.b, row.a) == row.slips);
  }
}

TEST_CASE("the nearest word is offered only when it may be meant") {
  const std::vector<std::string_view> words = {"height", "lowest", "highest", "from"};
  CHECK(nearest("hight", words) == "height");
  CHECK(nearest("highst", words) == "highest");
  CHECK(nearest("form", words) == "from");
  CHECK_FALSE(nearest("crank", words).has_value());
  CHECK_FALSE(nearest("", words).has_value());
  CHECK_FALSE(
      nearest(std::string_view("heightheightheightheightheightheightheight"), words).has_value());
  CHECK_FALSE(nearest("height", {}).has_value());
}

TEST_CASE("a short word is not turned into another one") {
  const std::vector<std::string_view> words = {"mm", "in"};
  CHECK(nearest("im", words) == "mm");
  CHECK_FALSE(nearest("kg", words).has_value());
  const std::vector<std::string_view> tie = {"bar", "car"};
  CHECK(nearest("dar", tie) == "bar");
}
