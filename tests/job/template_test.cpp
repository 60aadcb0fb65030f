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

using job::TemplateKeys;

struct Template {
  plan::Kind kind;
  std::string name;
  TemplateKeys keys;
  std::string text;
  std::set<std::string> open;              ///< what an untouched one has to be filled in
  std::vector<std::string_view> must_say;  ///< words without which somebody gets hurt or lost
};

Template template_of(plan::Kind kind, TemplateKeys keys) {
  const bool all = keys == TemplateKeys::all;
  if (kind == plan::Kind::seatpost) {
    std::vector<std::string_view> must_say = {"Ask the maker", "slanted lower end",
                                              "top of the head", "\"unknown\""};
    if (all) {
      must_say.insert(must_say.end(), {"Not a catalogue's effective angle", "plus when"});
    }
    return {kind,
            "seatpost.toml",
            keys,
            job::job_template(kind, keys),
            {"saddle.height", "frame.blockage-1.depth", "post.length", "post.mark", "post.diameter",
             "post.material", "post.cutting"},
            must_say};
  }
  if (kind == plan::Kind::handlebar) {
    return {kind,
            "handlebar.toml",
            keys,
            job::job_template(kind, keys),
            {"handlebar.width", "handlebar.wanted", "handlebar.straight", "handlebar.material",
             "handlebar.cutting", "controls-1.width"},
            {"Ask the maker", "drop bars", "both ends", "never a pipe cutter", "wear a mask"}};
  }
  if (kind == plan::Kind::mast) {
    return {kind,
            "mast.toml",
            keys,
            job::job_template(kind, keys),
            {"saddle.height", "mast.length", "mast.material", "mast.cutting", "topper.rise",
             "topper.spacers_most", "topper.goes"},
            {"Ask the maker", "nothing can be exchanged", "it can be cut again", "battery",
             "never a pipe cutter", "wear a mask"}};
  }
  return {kind,
          "steerer.toml",
          keys,
          job::job_template(kind, keys),
          {"mock_up.stands_proud", "spacers.below", "spacers.above", "stem.clamp",
           "steerer.material", "expander.flange"},
          {"Ask the makers", "quill stems, threaded steerers, and cuts at the", "never a star nut",
           "never a pipe cutter", "one of them is enough", "they must agree", "pressed home",
           "snug by hand", "crown race seat", "wear a mask"}};
}

const std::vector<Template>& templates() {
  static const std::vector<Template> all = {template_of(plan::Kind::seatpost, TemplateKeys::usual),
                                            template_of(plan::Kind::seatpost, TemplateKeys::all),
                                            template_of(plan::Kind::steerer, TemplateKeys::usual),
                                            template_of(plan::Kind::steerer, TemplateKeys::all),
                                            template_of(plan::Kind::handlebar, TemplateKeys::usual),
                                            template_of(plan::Kind::handlebar, TemplateKeys::all),
                                            template_of(plan::Kind::mast, TemplateKeys::usual),
                                            template_of(plan::Kind::mast, TemplateKeys::all)};
  return all;
}

// Keys and headers are commented out without a blank; prose has one.
bool is_left_out(const std::string& line) {
  return line.size() > 1 && line[0] == '#' &&
         (line[1] == '[' || (line[1] >= 'a' && line[1] <= 'z'));
}

// Every line that was left out is taken in.
std::string taken_in(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string line; std::getline(in, line);) {
    out += (is_left_out(line) ? line.substr(1) : line) + "\n";
  }
  return out;
}

// A line "key = "?"  # such as example" with the example for a value.
std::string with_example(const std::string& line) {
  const std::string such_as = "# such as ";
  const auto at = line.find(" = ");
  const auto note = line.find(such_as);
  if (at == std::string::npos || note == std::string::npos) {
    return line;
  }
  const std::string example = line.substr(note + such_as.size());
  return line.substr(0, at) + " = " + example.substr(0, example.find(';'));
}

template <class Fill>
std::string filled_in(const std::string& text, Fill is_filled) {
  std::istringstream in(text);
  std::string out;
  for (std::string line; std::getline(in, line);) {
    out += (!is_left_out(line) && is_filled(line) ? with_example(line) : line) + "\n";
  }
  return out;
}

std::string shown(const job::Outcome& outcome) {
  std::string text;
  for (const auto& finding : outcome.findings) {
    text += job::one_line(finding) + "\n";
  }
  return text;
}

std::set<std::string> keys_of(const job::Outcome& outcome) {
  std::set<std::string> keys;
  for (const auto& finding : outcome.findings) {
    keys.insert(finding.key);
  }
  return keys;
}

std::size_t lines_in(const std::string& text) {
  return static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
}

}  // namespace

TEST_CASE("the templates in the tree are those that the program writes") {
  for (const Template& fresh : templates()) {
    if (fresh.keys != TemplateKeys::all) {
      continue;
    }
    CAPTURE(fresh.name);
    std::ifstream file(KERFMARK_TESTS "/../templates/" + fresh.name, std::ios::binary);
    REQUIRE(file.is_open());
    std::ostringstream text;
    text << file.rdbuf();
    CHECK(text.str() == fresh.text);
  }
}

TEST_CASE("an untouched template is refused for each thing that it asks and for nothing else") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    const auto outcome = job::read_job(fresh.text, fresh.name);
    CHECK_FALSE(outcome.job.has_value());
    for (const auto& finding : outcome.findings) {
      CHECK(finding.code == job::FindingCode::not_filled_in);
    }
    CHECK(keys_of(outcome) == fresh.open);
    CHECK(outcome.findings.size() == fresh.open.size());
  }
}

TEST_CASE("a template with any one thing left open is refused for that") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    std::size_t looked_at = 0;
    std::istringstream in(fresh.text);
    for (std::string left; std::getline(in, left);) {
      if (is_left_out(left) || left.find("\"?\"  ") == std::string::npos) {
        continue;
      }
      CAPTURE(left);
      const auto outcome = job::read_job(
          filled_in(fresh.text, [&](const std::string& line) { return line != left; }), "f");
      CHECK_FALSE(outcome.job.has_value());
      CHECK(shown(outcome).find("is not filled in yet") != std::string::npos);
      ++looked_at;
    }
    CHECK(looked_at == fresh.open.size());
  }
}

TEST_CASE("lines taken in and not filled in are refused whatever they are") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    // All that is asked is filled in; of what was left out, one line is taken in as it stands.
    const std::string base = filled_in(fresh.text, [](const std::string&) { return true; });
    REQUIRE(job::read_job(base, "f").job.has_value());
    std::istringstream in(base);
    std::size_t looked_at = 0;
    for (std::string line; std::getline(in, line);) {
      if (!is_left_out(line) || line.find("\"?\"") == std::string::npos) {
        continue;
      }
      CAPTURE(line);
      std::string text = base;
      text.replace(text.find("\n" + line + "\n") + 1, 1, "");
      CHECK_FALSE(job::read_job(text, "f").job.has_value());
      ++looked_at;
    }
    CHECK(looked_at > 8);
  }
}

TEST_CASE("a template filled in is a job and so are all its lines") {
  for (const Template& fresh : templates()) {
    CAPTURE(fresh.name);
    const auto all = [](const std::string&) { return true; };
    const auto asked = job::read_job(filled_in(fresh.text, all), "f");
    CHECK(shown(asked).empty());
    REQUIRE(asked.job.has_value());
    CHECK(asked.job->kind == fresh.kind);
    std::string everything = filled_in(taken_in(fresh.text), all);
    const auto inner = everything.find("zero_at = \"?\"");
    if (inner != std::string::npos) {
      everything.replace(inner, 13, "zero_at = 100");
    }
    const auto outcome = job::read_job(everything, "f");
    INFO(shown(outcome));
    CHECK(outcome.job.has_value());
  }
}

TEST_CASE("a template asks for the extension first and the blockage second") {
  for (const Template& fresh : templates()) {
    if (fresh.kind == plan::Kind::seatpost) {
      const auto extension = fresh.text.find("\nheight = ");
      const auto blockage = fresh.text.find("\n[[frame.blockage]]");
      const auto length = fresh.text.find("\nlength = ");
      CHECK(fresh.text.find("\nmeasured = \"extension\"") < extension);
      CHECK(extension < blockage);
      CHECK(blockage < length);
    }
  }
}

TEST_CASE("a template comes short unless everything is asked for") {
  for (const auto kind :
       {plan::Kind::seatpost, plan::Kind::steerer, plan::Kind::handlebar, plan::Kind::mast}) {
    const std::string usual = job::job_template(kind, TemplateKeys::usual);
    CHECK(lines_in(usual) < 150);
    CHECK(lines_in(usual) * 2 < lines_in(job::job_template(kind, TemplateKeys::all)));
    CHECK(usual.find("--full") != std::string::npos);
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
      if (fresh.keys == TemplateKeys::all && key.belongs_to(fresh.kind) && key.path != "kind") {
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
