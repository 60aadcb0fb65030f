#include "kerfmark/text/phrase.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

using kerfmark::text::all_of;
using kerfmark::text::one_of;
using kerfmark::text::Phrase;
using kerfmark::text::Words;
using kerfmark::text::words_in;

namespace {

using Texts = std::vector<std::string>;

}  // namespace

TEST_CASE("a phrase is said in the language that is asked for") {
  const Phrase header = std::string("[post]");
  CHECK(header.in(Words()) == "[post]");
  const Phrase nested("finding.do.or_take_out", {{"do", {"finding.do.write", {{"what", header}}}}});
  CHECK(nested.in(Words()) == "write [post], or take the line out");
  CHECK(nested.in(words_in("de")) == "[post] eintragen, oder die Zeile herausnehmen");
  CHECK(Phrase().empty());
  CHECK(Phrase().in(Words()).empty());
  CHECK_FALSE(nested.empty());
}

TEST_CASE("lists of phrases end in the words of the language") {
  CHECK(one_of(Texts{}).empty());
  CHECK(one_of(Texts{"a"}).in(Words()) == "a");
  CHECK(one_of(Texts{"a", "b"}).in(Words()) == "a or b");
  CHECK(one_of(Texts{"a", "b", "c"}).in(Words()) == "a, b or c");
  CHECK(one_of(Texts{"a", "b", "c"}).in(words_in("de")) == "a, b oder c");
  CHECK(all_of(Texts{"a", "b", "c"}).in(words_in("de")) == "a, b und c");
  CHECK(Phrase::joined({std::string("a"), std::string("b")}, "; ").in(Words()) == "a; b");
}
