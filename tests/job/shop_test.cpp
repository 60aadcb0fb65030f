#include "kerfmark/job/shop.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/text/words.hpp"
#include "sample.hpp"
#include "shop_sample.hpp"

using namespace kerfmark;
using job::FindingCode;
using sample::shop_findings;

namespace {

job::Shop shop_of(std::string_view text) {
  const auto outcome = job::read_shop(text, "shop.toml", sample::few_sentences());
  INFO(shop_findings(text));
  REQUIRE(outcome.shop.has_value());
  CHECK(outcome.findings.empty());
  return *outcome.shop;
}

std::string repeated(std::string_view text, int times) {
  std::string out;
  for (int i = 0; i < times; ++i) {
    out += text;
  }
  return out;
}

}  // namespace

TEST_CASE("a shop file with everything in it") {
  const auto shop = shop_of(R"(
name = "Corner workshop"
line = "1 Mill Lane, open till six"
paper = "letter"
language = "de"
register = "cuts/register.db"
steps = ["Ring the owner.", "Weigh the offcut."]
notes = ["The bench is rented by the hour."]
[texts]
step.tape = "Tape on, tight, where the line will be."
step.mark = "Mark at {off} and at {left}, and at {off} once more."
[texts.note]
scrap = "Too short is too short, for good: measure twice."
)");
  CHECK(shop.name == "Corner workshop");
  CHECK(shop.line == "1 Mill Lane, open till six");
  CHECK(shop.paper == job::PaperSize::letter);
  CHECK(shop.language == "de");
  CHECK(shop.register_file == "cuts/register.db");
  CHECK(shop.steps == std::vector<std::string>{"Ring the owner.", "Weigh the offcut."});
  CHECK(shop.notes == std::vector<std::string>{"The bench is rented by the hour."});
  auto texts = shop.texts;
  std::ranges::sort(texts);
  CHECK(texts == std::vector<job::ShopText>{
                     {"note.scrap", "Too short is too short, for good: measure twice."},
                     {"step.mark", "Mark at {off} and at {left}, and at {off} once more."},
                     {"step.tape", "Tape on, tight, where the line will be."}});
}

TEST_CASE("an empty shop file says nothing and neither do empty lists") {
  CHECK(shop_of("") == job::Shop{});
  CHECK(shop_of("# nothing\nsteps = []\nnotes = []\n[texts]\n") == job::Shop{});
}

TEST_CASE("everything that is wrong with a shop file comes at once and in its order") {
  CHECK(shop_findings("nmae = \"x\"\nline = 3\npaper = \"A5\"\nsteps = [\"\", 4]\n"
                      "[texts]\nstep.tap = \"x\"\n") ==
        "shop.toml:1:1: nmae: there is no key \"nmae\" in a shop file; write name\n"
        "shop.toml:2:8: line: 3 is not text; write \"3\"\n"
        "shop.toml:3:9: paper: \"A5\" is not one of the words to choose from; write \"a4\" or "
        "\"letter\"\n"
        "shop.toml:4:10: steps-1: the text is empty; write it, or take it out\n"
        "shop.toml:4:14: steps-2: 4 is not text; write \"4\"\n"
        "shop.toml:6:6: texts.step.tap: there is no key \"tap\" in [texts.step]; write tape\n");
}

TEST_CASE("what a finding about a shop file says") {
  struct Said {
    std::string text;
    std::string message;
  };
  const std::vector<Said> said = {
      {"owner = \"x\"\n",
       "shop.toml:1:1: owner: there is no key \"owner\" in a shop file; what can be written here "
       "is name, line, paper, language, register, steps, notes, texts, measuring, saw, stock or "
       "spacers\n"},
      {"language = \"fr\"\n",
       "shop.toml:1:12: language: \"fr\" is not one of the words to choose from; write \"en\" or "
       "\"de\"\n"},
      {"steps = \"one\"\n",
       "shop.toml:1:9: steps: \"one\" is not a list of texts; write [\"one\"]\n"},
      {"notes = 5\n",
       "shop.toml:1:9: notes: 5 is not a list of texts; write a list such as [\"first\", "
       "\"second\"]\n"},
      {"texts = 5\n",
       "shop.toml:1:9: texts: 5 is not a table; write [texts] on a line of its own and the keys "
       "below it\n"},
      {"[texts]\nstep = \"x\"\n",
       "shop.toml:2:8: texts.step: \"x\" is not a table; write [texts.step] on a line of its own "
       "and the keys below it\n"},
      {"[texts]\nstep.tape = 5\n", "shop.toml:2:13: texts.step.tape: 5 is not text; write \"5\"\n"},
      {"[texts]\n\"step.tape\" = \"x\"\n",
       "shop.toml:2:1: texts.step.tape: there is no key \"step.tape\" in [texts]; write step.tape, "
       "without quotes, under [texts]\n"},
      {"[texts]\ntape = \"x\"\n",
       "shop.toml:2:1: texts.tape: there is no key \"tape\" in [texts]; write step.tape under "
       "[texts]\n"},
      {"[texts]\nstep.scrap = \"x\"\n",
       "shop.toml:2:6: texts.step.scrap: there is no key \"scrap\" in [texts.step]; write "
       "note.scrap under [texts]\n"},
      {"[texts.note]\nwhatever = \"x\"\n",
       "shop.toml:2:1: texts.note.whatever: there is no key \"whatever\" in [texts.note]; what can "
       "be written here is scrap\n"},
      // Sentences of the report are not the shop's, and neither is what a signal word says.
      {"[texts]\nreport.x = \"x\"\n",
       "shop.toml:2:1: texts.report: there is no key \"report\" in [texts]; what can be written "
       "here is note or step\n"},
      {"[texts]\nnote.word_warning = \"BY THE WAY\"\n",
       "shop.toml:2:6: texts.note.word_warning: there is no key \"word_warning\" in [texts.note]; "
       "what can be written here is scrap\n"},
      // Places: one left out, one too many, one misspelt.
      {"[texts]\nstep.mark = \"At {off}.\"\n",
       "shop.toml:2:13: texts.step.mark: the text has no {left}; write {left} and {off} where the "
       "sheet puts its figures\n"},
      {"[texts]\nstep.tape = \"At {off}.\"\n",
       "shop.toml:2:13: texts.step.tape: nothing fills {off}; write it without { and }\n"},
      {"[texts]\nstep.mark = \"At {off} and {lft}.\"\n",
       "shop.toml:2:13: texts.step.mark: the text has no {left}, and nothing fills {lft}; write "
       "{left} and {off} where the sheet puts its figures\n"},
      {"[texts]\nstep.mark = \" \"\n",
       "shop.toml:2:13: texts.step.mark: the text is empty; write it, or take it out\n"},
      {"register = \"\\u0000\"\n",
       "shop.toml:1:12: register: there is a NUL character in the text; take \\u0000 out\n"},
      // What is no TOML at all.
      {"name = Corner workshop\n",
       "shop.toml:1:8: name: Corner workshop is text and has no quotes; write \"Corner "
       "workshop\"\n"},
      {"Corner workshop?\n",
       "shop.toml:1:8: Corner: there is no = between key and value; write Corner = "
       "\"workshop?\"\n"},
      {"?\n",
       "shop.toml:1:1: this is neither a table nor a key; write a line such as name = \"Corner "
       "workshop\"\n"},
      {"[?]\n",
       "shop.toml:1:2: this is not the header of a table; write the name in brackets, such as "
       "[texts]\n"},
      {"steps = [\n  \"one\"\n  \"two\"\n]\n",
       "shop.toml:1:9: steps: the list that begins here cannot be read; write it on one line, such "
       "as [\"first\", \"second\"]\n"},
      {std::string(1024 * 1024 + 1, '\n'),
       "shop.toml:1:1: the file is larger than 1 MiB, and no shop file is; check that this is the "
       "right file\n"},
  };
  for (const Said& row : said) {
    CAPTURE(row.text.substr(0, 80));
    CHECK(shop_findings(row.text) == row.message);
    CHECK_FALSE(job::read_shop(row.text, "shop.toml", sample::few_sentences()).shop.has_value());
  }
}

TEST_CASE("texts have as many characters as fit on paper and lists as many entries") {
  // Counted in characters, not in bytes.
  const auto text = [](int count) { return "\"" + repeated("ä", count) + "\""; };
  for (const auto& key : job::shop_keys()) {
    CAPTURE(key.path);
    const std::string name(key.path);
    if (std::holds_alternative<std::string job::Shop::*>(key.slot)) {
      CHECK(shop_findings(name + " = " + text(static_cast<int>(key.longest))).empty());
      CHECK_FALSE(shop_findings(name + " = " + text(static_cast<int>(key.longest) + 1)).empty());
    } else if (std::holds_alternative<std::vector<std::string> job::Shop::*>(key.slot)) {
      const auto list = [&](std::size_t entries) {
        return name + " = [\n" + repeated("\"x\",\n", static_cast<int>(entries)) + "]\n";
      };
      CHECK(shop_findings(list(key.most)).empty());
      const auto too_many = job::read_shop(list(key.most + 1), "shop.toml").findings;
      REQUIRE(too_many.size() == 1);
      CHECK(too_many[0].code == FindingCode::too_many);
      CHECK(too_many[0].line == static_cast<int>(key.most) + 2);
      CHECK(shop_findings(name + " = [" + text(static_cast<int>(key.longest)) + "]").empty());
      CHECK_FALSE(
          shop_findings(name + " = [" + text(static_cast<int>(key.longest) + 1) + "]").empty());
    }
  }
  CHECK(shop_findings("name = " + text(200)).empty());
  CHECK_FALSE(shop_findings("name = " + text(201)).empty());
  CHECK_FALSE(shop_findings("line = " + text(201)).empty());
}

TEST_CASE("a safety note may be said in other words but is a sentence") {
  const auto note = [](int count) {
    return "[texts]\nnote.scrap = \"  " + repeated("ä", count) + "  \"\n";
  };
  CHECK(shop_findings(note(40)).empty());
  CHECK(shop_findings(note(39)) ==
        "shop.toml:2:14: texts.note.scrap: the text has 39 characters, and a safety note has 40 or "
        "more; say what the danger is and how to stay out of it\n");
  // A step may be as short as it likes.
  CHECK(shop_findings("[texts]\nstep.tape = \"x\"\n").empty());
}

TEST_CASE("what a shop may replace is there in every language with the same places") {
  const auto english = text::words_in("en");
  std::size_t notes = 0;
  for (const auto language : text::languages()) {
    CAPTURE(language);
    const auto words = text::words_in(language);
    for (const std::string_view key : text::sentence_keys) {
      if (!key.starts_with("step.") && !key.starts_with("note.")) {
        continue;
      }
      CAPTURE(key);
      const std::string sentence = words.at(key);
      auto places = text::places_in(sentence);
      auto in_english = text::places_in(english.at(key));
      std::ranges::sort(places);
      std::ranges::sort(in_english);
      CHECK(places == in_english);
      if (key.starts_with("note.") && !key.starts_with("note.word_")) {
        CHECK(sentence.size() > job::shortest_note);
        ++notes;
      }
    }
  }
  CHECK(notes > 0);
}

// ---- what stands for values that a job leaves out ----

namespace {

constexpr std::string_view shop_values = R"([measuring]
coverage = 3
twice = true
instruments = { "steel rule" = 0.7, tape = 2 }
[saw]
kerf = 1.6
within = 0.8
step = 0.5
[stock]
lengths = [350]
)";

plan::Job job_with_shop(const std::string& text, std::string_view shop) {
  const auto outcome = job::read_job(text, "job.toml", shop);
  for (const job::Finding& finding : outcome.findings) {
    INFO(job::one_line(finding));
    CHECK(false);
  }
  REQUIRE(outcome.job);
  return *outcome.job;
}

}  // namespace

TEST_CASE("what the shop gives stands for what a job leaves out") {
  const std::string text(sample::extension_job);
  plan::Job filled_in = job_with_shop(text, shop_values);
  const plan::Job written = job_with_shop(text + std::string(shop_values), "");
  // Every key but the tape: nothing of this job is measured with one.
  CHECK(filled_in.from_shop == std::vector<std::string>{"measuring.coverage", "measuring.twice",
                                                        "measuring.instruments.steel rule",
                                                        "saw.kerf", "saw.within", "saw.step",
                                                        "stock.lengths"});
  CHECK(written.from_shop.empty());
  CHECK(filled_in.measuring.coverage == 3);
  CHECK(filled_in.saw.kerf->nominal.in_mm() == 1.6);
  CHECK(filled_in.readings[plan::Job::saw_row].half_width_base == 0.8);
  filled_in.from_shop.clear();
  CHECK(job::says_the_same(filled_in, written));
}

TEST_CASE("what a job gives itself wins over the shop") {
  const std::string own =
      std::string(sample::extension_job) +
      "[measuring]\ncoverage = 2\ntwice = false\ninstruments = { \"steel rule\" = 0.5 }\n"
      "[saw]\nkerf = 1.0\nwithin = 0.5\nstep = 1.0\n[stock]\nlengths = [400]\n";
  const plan::Job job = job_with_shop(own, shop_values);
  CHECK(job.from_shop.empty());
  CHECK(job::says_the_same(job, job_with_shop(own, "")));
}

TEST_CASE("a value of the shop that is the default changes nothing") {
  const plan::Job job = job_with_shop(std::string(sample::extension_job),
                                      "[measuring]\ncoverage = 2\ninstruments = { \"steel rule\" = "
                                      "\"0.5 mm\" }\n[saw]\nkerf = 1\n");
  CHECK(job.from_shop.empty());
}

TEST_CASE("rings of the shop are on hand for a steerer alone") {
  constexpr std::string_view shop = "[spacers]\non_hand = [10, 5]\n";
  CHECK(job_with_shop(std::string(sample::extension_job), shop).spacers.on_hand.empty());
  // A wish for the bar needs the rings.
  const std::string steerer =
      "kind = \"steerer\"\n[steerer]\nlength = 300\nmaterial = \"steel\"\n"
      "[frame]\nhead_tube = 150\nhead_angle = 72\nstack = 560\nreach = 380\n"
      "[headset]\nlower = 12\nupper = 15\n[stem]\nclamp = 40\nlength = 90\nangle = -6\n"
      "[bar]\nheight = 640\n";
  CHECK_FALSE(job::read_job(steerer, "f").job);
  const plan::Job job = job_with_shop(steerer, shop);
  CHECK(job.spacers.on_hand.size() == 2);
  CHECK(job.from_shop == std::vector<std::string>{"spacers.on_hand"});
}

TEST_CASE("what is wrong with values in a shop file is told at its place there") {
  CHECK(
      shop_findings("[saw]\nwanted = 3\nkerff = 1\nstep = 20\n[stok]\nlengths = [1]\n"
                    "[measuring]\ninstruments = { tape = -1 }\n[spacers]\non_hand = 4\n") ==
      "shop.toml:2:1: saw.wanted: there is no key \"wanted\" in [saw]; what can be written here is "
      "kerf, within or step\n"
      "shop.toml:3:1: saw.kerff: there is no key \"kerff\" in [saw]; write kerf\n"
      "shop.toml:4:8: saw.step: 20 mm is not between 0.1 and 10 mm; check the figure and its unit\n"
      "shop.toml:5:2: stok: there is no key \"stok\" in a shop file; write stock\n"
      "shop.toml:8:24: measuring.instruments.tape: -1 mm is not between 0 and 20 mm; check the "
      "figure and its unit\n"
      "shop.toml:10:11: spacers.on_hand: 4 is not a list; write [4]\n");
}
