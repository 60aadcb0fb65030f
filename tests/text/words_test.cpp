#include "kerfmark/text/words.hpp"

#include <array>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../aborts.hpp"

using kerfmark::text::Filling;
using kerfmark::text::Place;
using kerfmark::text::places_in;
using kerfmark::text::Sentence;
using kerfmark::text::Words;
using kerfmark::text::words_in;

namespace {

// What the compiler is asked for; a key or a place that is in no language file is refused.
template <class T, class... From>
concept made_of = requires(From... from) {
  T(from...);
};
static_assert(!made_of<Sentence, std::string>, "a key put together goes through Sentence::named");
static_assert(!made_of<Place, std::string>);
static_assert(Sentence("language.tag").key() == "language.tag");
static_assert(Sentence::named("language.tag") == Sentence("language.tag"));
static_assert(!Sentence::named("language"));
static_assert(!Sentence::named("language.tags"));
static_assert(!Sentence::named(""));

std::string filled(std::string_view text, std::initializer_list<Filling> fillings) {
  return kerfmark::text::filled(text, fillings, "a test");
}

}  // namespace

TEST_CASE("each language says its own sentences and English comes first") {
  CHECK(Words().at("language.tag") == "en");
  CHECK(words_in("en").at("language.decimal_mark") == ".");
  CHECK(words_in("de").at("language.decimal_mark") == ",");
  CHECK(words_in("de").at(std::string("language.") + "tag") == "de");
  CHECK(aborts([] { (void)words_in("xx"); }));
}

TEST_CASE("a key put together is looked up while the program runs") {
  CHECK(Words::has("language.unit.length"));
  CHECK_FALSE(Words::has("language.unit"));
  CHECK_FALSE(Words::has("language.unit.lengths"));
  CHECK_FALSE(Words::has(""));
  CHECK(aborts([] { (void)Words().at(std::string("language.unit.lengths")); }));
}

TEST_CASE("each place is filled as often as it stands there and nothing else is touched") {
  constexpr auto sentence = "{one} and {other}; {one} is an open { here";
  CHECK(filled(sentence, {{"other", "top"}, {"one", "37 mm"}}) ==
        "37 mm and top; 37 mm is an open { here");
  // What is filled in may hold braces itself: texts of a job do.
  CHECK(filled("{one} {other}", {{"one", "{other}"}, {"other", "{x"}}) == "{other} {x");
  CHECK(filled("Look.", {{"one", "37 mm"}}) == "Look.");
  CHECK(aborts([] { (void)filled("{one} {other}", {{"one", "37 mm"}}); }));
}

TEST_CASE("places are named in their order and each once") {
  CHECK(places_in("Cut {length} off the {end}; {length} is waste.") ==
        std::vector<std::string>{"length", "end"});
  CHECK(places_in("{a}{b}") == std::vector<std::string>{"a", "b"});
  CHECK(places_in("none } here {") == std::vector<std::string>{});
  CHECK(places_in("") == std::vector<std::string>{});
}

TEST_CASE("another text takes the place of one sentence only") {
  Words words;
  words.replace("language.unit.length", "millimetres");
  CHECK(words.at("language.unit.length") == "millimetres");
  words.replace(std::string("language.with_unit.length"), "{figure} millimetres");
  CHECK(words.say("language.with_unit.length", {{"figure", "3"}}) == "3 millimetres");
  CHECK(words.at("language.unit.angle") == Words().at("language.unit.angle"));
  CHECK(Words().at("language.unit.length") == "mm");
  CHECK(aborts([] { Words().replace(std::string("step.looks"), ""); }));
}
