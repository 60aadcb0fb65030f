#include "kerfmark/job/help.hpp"

#include <algorithm>
#include <charconv>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/words.hpp"

using namespace kerfmark;

TEST_CASE("every key has an example and no sentence is about a key that is not there") {
  REQUIRE(plan::keys().size() > 50);
  std::set<std::string_view> paths;
  for (const auto& key : plan::keys()) {
    CAPTURE(key.path);
    paths.insert(key.path);
    CHECK_FALSE(key.example.empty());
  }
  constexpr std::string_view begin = "key.";
  std::size_t of_keys = 0;
  for (const std::string_view sentence : text::sentence_keys) {
    if (sentence.starts_with(begin)) {
      CAPTURE(sentence);
      ++of_keys;
      CHECK(paths.contains(sentence.substr(begin.size(), sentence.rfind('.') - begin.size())));
    }
  }
  CHECK(of_keys == 3 * paths.size() - 2);  // the form does not ask for the kind
}

TEST_CASE("help is plain ASCII on one line and ends as a sentence") {
  for (const auto& key : plan::keys()) {
    CAPTURE(key.path);
    const std::string help = job::help_for(key.path);
    CHECK(std::all_of(help.begin(), help.end(), [](char c) { return c >= ' ' && c <= '~'; }));
    CHECK(help.ends_with('.'));
  }
}

TEST_CASE("a key that is needed in some jobs says in which and in each language") {
  std::size_t in_some = 0;
  for (const auto& key : plan::keys()) {
    CAPTURE(key.path);
    const bool by_choice = key.spec.needed == plan::Needed::by_choice;
    in_some += by_choice ? 1 : 0;
    CHECK(job::needed_because(key).empty() != by_choice);
  }
  CHECK(in_some > 10);
  const text::Phrase crank = job::needed_because(plan::key_at("saddle.crank"));
  CHECK(crank.in(text::words_in("en")) == "with from = \"pedal axle\"");
  CHECK(crank.in(text::words_in("de")) == "bei from = \"pedal axle\"");
}

TEST_CASE("help names the instrument of its key and what it is within") {
  int counted = 0;
  for (const auto& key : plan::keys()) {
    const auto instrument = key.instrument_for(plan::Job{});
    // saddle.lowest and .highest refer to height.
    if (instrument.empty() || key.path == "saddle.lowest" || key.path == "saddle.highest") {
      continue;
    }
    ++counted;
    CAPTURE(key.path);
    CAPTURE(instrument);
    const auto row = std::find_if(plan::instruments().begin(), plan::instruments().end(),
                                  [&](const auto& each) { return each.name == instrument; });
    REQUIRE(row != plan::instruments().end());
    char buffer[16];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, row->half_width_base).ptr;
    const bool angle = row->dimension == measure::Dimension::angle;
    const std::string within = "+-" + std::string(buffer, end) + (angle ? " deg" : " mm");
    const std::string help(job::help_for(key.path));
    CHECK(help.find(instrument) != std::string::npos);
    CHECK(help.find(within) != std::string::npos);
  }
  CHECK(counted >= 24);
}
