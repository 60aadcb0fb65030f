#include "kerfmark/job/template.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>
#include <string>

#include <doctest/doctest.h>

#include "kerfmark/job/help.hpp"
#include "kerfmark/job/reader.hpp"

using namespace kerfmark;

namespace {

const std::string& seatpost() {
  static const std::string text = job::job_template(plan::Kind::seatpost);
  return text;
}

// Keys and headers are commented out without a blank; prose has one.
bool is_left_out(const std::string& line) {
  return line.size() > 1 && line[0] == '#' &&
         (line[1] == '[' || (line[1] >= 'a' && line[1] <= 'z'));
}

template <class TakeIn>
std::string filled_in(TakeIn take_in) {
  std::istringstream in(seatpost());
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

TEST_CASE("the template in the tree is the one the program writes") {
  std::ifstream file(KERFMARK_TEST_DATA "/../../templates/seatpost.toml", std::ios::binary);
  REQUIRE(file.is_open());
  const std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  CHECK(text == seatpost());
}

TEST_CASE("the untouched template names each missing key and nothing else") {
  const auto outcome = job::read_job(seatpost(), "seatpost.toml");
  CHECK_FALSE(outcome.job.has_value());
  std::set<std::string> keys;
  for (const auto& finding : outcome.findings) {
    CHECK(finding.code == job::FindingCode::missing_key);
    keys.insert(finding.key);
  }
  CHECK(keys == std::set<std::string>{"saddle.height", "saddle.rail_to_top", "frame.seat_tube",
                                      "frame.seat_angle", "post.length", "post.mark",
                                      "post.diameter", "post.material"});
  CHECK(outcome.findings.size() == keys.size());
}

TEST_CASE("the needed lines taken in make a job") {
  int taken = 0;
  const auto text = filled_in([&taken](const std::string& line) {
    const bool needed = line.find("# NEEDED") != std::string::npos;
    taken += needed ? 1 : 0;
    return needed;
  });
  CHECK(taken == 8);
  const auto outcome = job::read_job(text, "f");
  CHECK(shown(outcome).empty());
  CHECK(outcome.job.has_value());
}

TEST_CASE("all lines taken in make a job too") {
  const auto outcome = job::read_job(filled_in([](const std::string&) { return true; }), "f");
  CHECK(shown(outcome).find("saddle.crank: is not used") != std::string::npos);
  CHECK(outcome.findings.size() == 1);
  CHECK(outcome.job.has_value());
}

TEST_CASE("every key of the kind stands in the template with its help") {
  std::string one_line;
  for (const char c : seatpost()) {
    one_line += c;
  }
  // Undo the wrapping.
  for (auto at = one_line.find("\n#   "); at != std::string::npos; at = one_line.find("\n#   ")) {
    one_line.replace(at, 5, " ");
  }
  for (const auto& key : plan::keys()) {
    if (key.belongs_to(plan::Kind::seatpost) && key.path != "kind") {
      CAPTURE(key.path);
      const std::string name(plan::name_of(key.path));
      CHECK(one_line.find("# " + name + ": " + std::string(job::help_for(key.path))) !=
            std::string::npos);
      CHECK(one_line.find(name + " = ") != std::string::npos);
    }
  }
}

TEST_CASE("the template is ASCII narrow and says what must be said") {
  CHECK(std::all_of(seatpost().begin(), seatpost().end(),
                    [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
  std::istringstream in(seatpost());
  for (std::string line; std::getline(in, line);) {
    CAPTURE(line);
    CHECK(line.size() <= 100);
    CHECK_FALSE(line.ends_with(' '));
  }
  for (const std::string_view words :
       {"Ask the maker", "slanted lower end", "top of the head",
        "Not a catalogue's effective angle", "plus when", "\"unknown\""}) {
    CAPTURE(words);
    CHECK(seatpost().find(words) != std::string::npos);
  }
}
