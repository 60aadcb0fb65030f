#include "kerfmark/job/length_text.hpp"

#include <string>
#include <variant>

#include <doctest/doctest.h>

using kerfmark::job::length_in;
using kerfmark::plan::Length;
using kerfmark::plan::Range;

namespace {

constexpr Range of_posts{50, 700};

std::string wrong(std::string_view text) {
  const auto read = length_in(text, of_posts);
  const auto* said = std::get_if<kerfmark::text::Phrase>(&read);
  return said == nullptr ? "" : said->in(kerfmark::text::Words());
}

}  // namespace

TEST_CASE("a length is read with its unit or as millimetres") {
  CHECK(std::get<Length>(length_in("350", of_posts)).in_mm() == 350);
  CHECK(std::get<Length>(length_in("35 cm", of_posts)).in_mm() == 350);
  CHECK(std::get<Length>(length_in("10 1/2 in", of_posts)).in_mm() == 266.7);  // 10.5 * 25.4
  CHECK(std::get<Length>(length_in("50", of_posts)).in_mm() == 50);            // ends are inside
  CHECK(std::get<Length>(length_in("700", of_posts)).in_mm() == 700);
}

TEST_CASE("a length that cannot be or cannot be read is told with what to write") {
  CHECK(wrong("14").find("if these are inches, write \"14 in\"") != std::string::npos);
  CHECK(wrong("14").find("if centimetres, write \"14 cm\"") != std::string::npos);
  CHECK(wrong("49.9").find("50 to 700 mm") != std::string::npos);
  CHECK(wrong("700.1").find("is not plausible") != std::string::npos);
  CHECK_FALSE(wrong("31/2 in").empty());
  CHECK_FALSE(wrong("about 350").empty());
  CHECK_FALSE(wrong("nan").empty());
}
