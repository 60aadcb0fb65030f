#include "steps.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/report/statement.hpp"

using namespace kerfmark;
using sheet::BenchStep;
using sheet::Signal;

namespace {

std::string post(std::string_view material, std::string_view more = "") {
  return "kind = 'seatpost'\n[saddle]\nmeasured = 'extension'\nheight = 140\n"
         "[[frame.blockage]]\ndepth = 225\n[post]\nlength = 400\nmark = 100\ndiameter = 27.2\n"
         "cutting = 'allowed'\nmaterial = '" +
         std::string(material) + "'\n" + std::string(more);
}

std::string steerer(std::string_view material, std::string_view more = "") {
  return "kind = 'steerer'\n[frame]\nhead_tube = 150\n[headset]\nupper = 12\n[stem]\nclamp = 40\n"
         "[spacers]\nbelow = 25\nabove = 5\n[steerer]\nlength = 260\nmaterial = '" +
         std::string(material) + "'\n" + std::string(more);
}

std::string keep_post() {
  return planned::replaced(post("carbon"), "length = 400", "length = 350");
}

std::string keep_steerer() {
  return planned::replaced(steerer("aluminium"), "length = 260", "length = 229");
}

std::string hold() { return planned::replaced(post("carbon"), "'allowed'", "'not stated'"); }

struct Said {
  plan::Verdict verdict = plan::Verdict::hold;
  std::vector<BenchStep> steps;
  std::vector<sheet::SafetyNote> notes;
  std::vector<BenchStep> names, results;
};

Said say(const std::string& text, const text::Words& words, const sheet::Letterhead& shop = {}) {
  const plan::Job job = planned::job_of(text);
  const plan::Plan plan = plan::plan_cut(job);
  const sheet::SheetOptions options{
      .paper = sheet::a4, .words = words, .shop = shop, .digest = {}, .record = {}};
  const sheet::Subject subject{job, plan, options, report::statement_of(job, plan, words), {}};
  return {plan.verdict, sheet::bench_steps(subject), sheet::safety_notes(subject),
          sheet::sign_off(subject), sheet::results(subject)};
}

// The place of the step that begins with or has a word; the words are looked for one after another.
bool in_order(const std::vector<BenchStep>& steps, const std::vector<std::string_view>& words) {
  auto from = steps.begin();
  for (const std::string_view word : words) {
    from = std::find_if(from, steps.end(), [&](const BenchStep& step) {
      return step.text.find(word) != std::string::npos;
    });
    INFO("looked for ", word);
    CHECK(from != steps.end());
    if (from == steps.end()) {
      return false;
    }
    ++from;
  }
  return true;
}

bool any_has(const std::vector<BenchStep>& steps, std::string_view word) {
  return std::any_of(steps.begin(), steps.end(), [&](const BenchStep& step) {
    return step.text.find(word) != std::string::npos;
  });
}

}  // namespace

TEST_CASE("steps of a carbon post stand in the order of the work") {
  // Common practice of wet cutting; the masks are those of EN 149 and 42 CFR 84. By hand: 400 long,
  // 140 out, 225 to the blockage with 2 of air: 37 off, 363 left.
  const Said said = say(post("carbon"), planned::english());
  REQUIRE(said.verdict == plan::Verdict::cut);
  CHECK(in_order(said.steps,
                 {"maker's instructions", "Battery", "Measure twice", "tape", "363 mm down",
                  "wrap of page 3", "saw guide", "FFP3", "wet", "outside inward", "Seal",
                  "Never blow", "Inspect", "offcut", "new line 100 mm", "Try it dry",
                  "Carbon paste or grease only as the maker says", "planned 223.0 mm", "Record"}));
}

TEST_CASE("steps of a steerer end with cap then stem then brake") {
  // Once the stem is clamped, the cap moves nothing: common practice.
  for (const char* material : {"carbon", "aluminium"}) {
    const Said said = say(steerer(material, "diameter = 28.6\n"), planned::english());
    REQUIRE(said.verdict == plan::Verdict::cut);
    CHECK(in_order(said.steps, {"Build the stack dry", "229 mm up from the crown race seat",
                                "Fork, rings and stem back", "Confirm the gap", "Cap on, preload",
                                "no play", "Record"}));
    CHECK(any_has(said.steps, "never a star nut") == (material == std::string_view("carbon")));
  }
  // Without a diameter there is no wrap to speak of.
  const Said bare = say(steerer("aluminium"), planned::english());
  CHECK_FALSE(any_has(bare.steps, "wrap"));
  CHECK(any_has(bare.steps, "strip of page 3"));
}

TEST_CASE("what hangs in a post goes back with its measure") {
  const std::string hanging = post("aluminium", "hang = 20\n");
  CHECK(any_has(say(hanging, planned::english()).steps, "within 20 mm below the lower end"));
  CHECK_FALSE(any_has(say(post("aluminium"), planned::english()).steps, "hangs in the post"));
}

TEST_CASE("a part that stays whole is not sawn and a part in doubt has no steps") {
  for (const std::string& job : {keep_post(), keep_steerer()}) {
    const Said said = say(job, planned::english());
    REQUIRE(said.verdict == plan::Verdict::keep);
    CHECK(in_order(said.steps, {"Leave it whole", "Confirm the", "Record"}));
    for (const char* word : {"page 3", "blade", "offcut", "Mask", "tape"}) {
      CAPTURE(word);
      CHECK_FALSE(any_has(said.steps, word));
    }
    CHECK_FALSE(any_has(said.names, "Cut by"));
  }
  const Said doubt = say(hold(), planned::english());
  REQUIRE(doubt.verdict == plan::Verdict::hold);
  CHECK(doubt.steps.empty());
  CHECK(doubt.results.empty());
}

TEST_CASE("steps and notes of the shop come after ours and the record last") {
  sheet::Letterhead shop;
  shop.steps = {"Ring the owner.", "Sweep\tthe\x1b bench."};
  shop.notes = {"Spare blades: drawer 3."};
  for (const std::string& job : {post("carbon"), keep_post()}) {
    const Said said = say(job, planned::english(), shop);
    REQUIRE(said.steps.size() > 3);
    const std::size_t last = said.steps.size() - 1;
    CHECK(said.steps[last].text.find("Record") == 0);
    CHECK(said.steps[last - 2].text == "Ring the owner.");
    // A control character of others never reaches the page.
    CHECK(said.steps[last - 1].text.find('\x1b') == std::string::npos);
    REQUIRE(said.notes.size() > 1);
    CHECK(said.notes.back().text == "Spare blades: drawer 3.");
    CHECK_FALSE(said.notes.back().signal.has_value());
    CHECK(said.notes.front().signal == Signal::warning);
  }
}

TEST_CASE("signal words are those of the standards") {
  // ANSI Z535.4-2007, 4.14: a warning could end in death or serious injury, a caution in a minor
  // injury, a notice in none; only the first two have the alert symbol. German: DIN ISO 3864-2.
  struct Row {
    Signal signal;
    std::string_view english, german;
  };
  for (const Row& row : {Row{Signal::warning, "⚠ WARNING", "⚠ WARNUNG"},
                         Row{Signal::caution, "⚠ CAUTION", "⚠ VORSICHT"},
                         Row{Signal::notice, "NOTICE", "HINWEIS"}}) {
    CHECK(sheet::signal_word(row.signal, planned::english()) == row.english);
    CHECK(sheet::signal_word(row.signal, planned::german()) == row.german);
  }
  for (const std::string& job : {post("carbon"), steerer("carbon"), keep_post(), hold()}) {
    for (const sheet::SafetyNote& note : say(job, planned::english()).notes) {
      CAPTURE(note.text);
      CHECK((note.signal == Signal::warning) == (note.text.find("death") != std::string::npos));
    }
  }
}

TEST_CASE("both languages have the same steps and boxes") {
  for (const std::string& job :
       {post("carbon"), post("steel", "hang = 20\n"), steerer("carbon"),
        steerer("aluminium", "diameter = 28.6\n"), keep_post(), keep_steerer(), hold()}) {
    const Said english = say(job, planned::english());
    const Said german = say(job, planned::german());
    REQUIRE(english.steps.size() == german.steps.size());
    for (std::size_t i = 0; i < english.steps.size(); ++i) {
      CHECK(english.steps[i].write_in == german.steps[i].write_in);
      CHECK(english.steps[i].text != german.steps[i].text);
    }
    CHECK(english.notes.size() == german.notes.size());
    CHECK(english.names.size() == german.names.size());
    CHECK(english.results.size() == german.results.size());
  }
}
