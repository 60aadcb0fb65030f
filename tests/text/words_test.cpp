#include "kerfmark/text/words.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../aborts.hpp"

using kerfmark::text::places_in;
using kerfmark::text::Words;

namespace {

Words some() {
  return Words({{"step.cut", "Cut {length} off the {end}; {length} is waste."},
                {"step.look", "Look."},
                {"note.brace", "an open { stays"},
                {"step", "the shortest key"}});
}

}  // namespace

TEST_CASE("a sentence is found by its whole key whatever the order") {
  const Words words = some();
  CHECK(words.at("step.look") == "Look.");
  CHECK(words.at("step") == "the shortest key");
  CHECK(words.has("note.brace"));
  CHECK_FALSE(words.has("note"));
  CHECK_FALSE(words.has("step.l"));
  CHECK_FALSE(words.has(""));
  CHECK_FALSE(Words().has("step"));
  REQUIRE(words.sentences().size() == 4);
  CHECK(words.sentences().front().first == "note.brace");
  CHECK(words.sentences().back().first == "step.look");
}

TEST_CASE("each place is filled as often as it stands there and nothing else is touched") {
  const Words words = some();
  CHECK(words.say("step.cut", {{"end", "top"}, {"length", "37 mm"}}) ==
        "Cut 37 mm off the top; 37 mm is waste.");
  // What is filled in may hold braces itself: texts of a job do.
  CHECK(words.say("step.cut", {{"length", "{end}"}, {"end", "{x"}}) ==
        "Cut {end} off the {x; {end} is waste.");
  CHECK(words.say("step.look", {{"length", "37 mm"}}) == "Look.");
  CHECK(words.say("note.brace") == "an open { stays");
}

TEST_CASE("places are named in their order and each once") {
  CHECK(places_in("Cut {length} off the {end}; {length} is waste.") ==
        std::vector<std::string>{"length", "end"});
  CHECK(places_in("{a}{b}") == std::vector<std::string>{"a", "b"});
  CHECK(places_in("none } here {") == std::vector<std::string>{});
  CHECK(places_in("") == std::vector<std::string>{});
}

TEST_CASE("another text takes the place of one sentence only") {
  Words words = some();
  words.replace("step.look", "Look twice at the {end}.");
  CHECK(words.say("step.look", {{"end", "top"}}) == "Look twice at the top.");
  CHECK(words.at("step") == "the shortest key");
  CHECK(words.sentences().size() == 4);
}

TEST_CASE("a key or a filling that is missing stops the program") {
  const Words words = some();
  CHECK(aborts([&] { (void)words.at("step.looks"); }));
  CHECK(aborts([&] { (void)words.say("step.cut", {{"length", "37 mm"}}); }));
  CHECK(aborts([] { some().replace("step.looks", ""); }));
  CHECK_FALSE(aborts([&] { (void)words.say("step.look"); }));
}
