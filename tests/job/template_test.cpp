#include "kerfmark/job/template.hpp"

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/help.hpp"
#include "kerfmark/job/reader.hpp"

using namespace kerfmark;

namespace {

struct Template {
  plan::Kind kind;
  std::string name;
  std::string text;
  std::set<std::string> needed;            ///< what an untouched one lacks
  std::vector<std::string_view> must_say;  ///< words without which somebody gets hurt or lost
};

const std::vector<Template>& templates() {
  static const std::vector<Template> both = {
      {plan::Kind::seatpost,
       "seatpost.toml",
       job::job_template(plan::Kind::seatpost),
       {"saddle.height", "saddle.rail_to_top", "frame.seat_tube", "frame.seat_angle", "post.length",
        "post.mark", "post.diameter", "post.material"},
       {"Ask the maker", "slanted lower end", "top of the head",
        "Not a catalogue's effective angle", "plus when", "\"unknown\""}},
      {plan::Kind::steerer,
       "steerer.toml",
       job::job_template(plan::Kind::steerer),
       {"steerer.material", "stem.clamp", "spacers.below"},
       {"Ask the makers", "quill stems, threaded steerers, and cuts at the", "never a star nut",
        "never a pipe cutter", "one of them is enough", "they must agree", "pressed home",
        "snug by hand", "crown race seat", "wear a mask"}}};
  return both;
}

// Keys and headers are commented out without a blank; prose has one.
bool is_left_out(const std::string& line) {
  return line.size() > 1 && line[0] == '#' &&
         (line[1] == '[' || (line[1] >= 'a' && line[1] <= 'z'));
}

template <class TakeIn>
std::string filled_in(const Template& fresh, TakeIn take_in) {
  std::istringstream in(fresh.text);
  std::string text;
  for (std::string line; std::getline(in, line);) {
    text += (is_left_out(line) && take_in(line) ? line.substr(1) : line) + "\n";
  }
  return text;
}

std::string shown(const job::Outcome& outcome) {
  std::string text;
  for (const auto& finding : outcome.findings) {
    text += job::one_line(finding) + "\n";
  }
  return text;
}

}  // namespace

TEST_CASE("the templates in the tree are those that the program writes") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    std::ifstream file(KERFMARK_TESTS "/../templates/" + fresh.name, std::ios::binary);
    REQUIRE(file.is_open());
    std::ostringstream text;
    text << file.rdbuf();
    CHECK(text.str() == fresh.text);
  }
}

TEST_CASE("an untouched template names each missing key and nothing else") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    const auto outcome = job::read_job(fresh.text, fresh.name);
    CHECK_FALSE(outcome.job.has_value());
    std::set<std::string> keys;
    for (const auto& finding : outcome.findings) {
      CHECK(finding.code == job::FindingCode::missing_key);
      keys.insert(finding.key);
    }
    CHECK(keys == fresh.needed);
    CHECK(outcome.findings.size() == keys.size());
  }
}

TEST_CASE("the needed lines taken in make a job") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    std::size_t taken = 0;
    const auto text = filled_in(fresh, [&taken](const std::string& line) {
      const bool needed = line.find("# NEEDED") != std::string::npos;
      taken += needed ? 1 : 0;
      return needed;
    });
    CHECK(taken == fresh.needed.size());
    const auto outcome = job::read_job(text, "f");
    CHECK(shown(outcome).empty());
    REQUIRE(outcome.job.has_value());
    CHECK(outcome.job->kind == fresh.kind);
  }
}

TEST_CASE("all lines taken in make a job too") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    const auto outcome =
        job::read_job(filled_in(fresh, [](const std::string&) { return true; }), "f");
    CHECK(outcome.job.has_value());
    // The seatpost's heights begin at the BB centre, where no crank counts.
    const bool crank = fresh.kind == plan::Kind::seatpost;
    CHECK(outcome.findings.size() == (crank ? 1 : 0));
    CHECK((shown(outcome).find("saddle.crank: is not used") != std::string::npos) == crank);
  }
}

TEST_CASE("every key of the kind stands in the template with its help") {
  for (const Template& fresh : templates()) {
    std::string one_line = fresh.text;
    // Undo the wrapping.
    for (auto at = one_line.find("\n#   "); at != std::string::npos;
         at = one_line.find("\n#   ", at)) {
      one_line.replace(at, 5, " ");
    }
    for (const auto& key : plan::keys()) {
      if (key.belongs_to(fresh.kind) && key.path != "kind") {
        CAPTURE(key.path);
        const std::string name(plan::name_of(key.path));
        CHECK(one_line.find("# " + name + ": " + std::string(job::help_for(key.path))) !=
              std::string::npos);
        CHECK(one_line.find(name + " = ") != std::string::npos);
      }
    }
  }
}

TEST_CASE("each table of a template begins with a sentence") {
  for (const Template& fresh : templates()) {
    std::istringstream in(fresh.text);
    std::string before;
    for (std::string line; std::getline(in, line); before = line) {
      if (line.starts_with("[") || line.starts_with("#[")) {
        CAPTURE(line);
        CHECK(before.starts_with("# "));
      }
    }
  }
}

TEST_CASE("a template is ASCII narrow and says what must be said") {
  for (const Template& fresh : templates()) {
    CHECK(std::all_of(fresh.text.begin(), fresh.text.end(),
                      [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
    std::istringstream in(fresh.text);
    std::string running;
    for (std::string line; std::getline(in, line);) {
      CAPTURE(line);
      CHECK(line.size() <= 100);
      CHECK_FALSE(line.ends_with(' '));
      running += " " + (line.starts_with("# ") ? line.substr(2) : line);
    }
    for (const std::string_view words : fresh.must_say) {
      CAPTURE(words);
      CHECK(running.find(words) != std::string::npos);
    }
  }
}
