#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "../languages.hpp"
#include "../plan/planned.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"

using namespace kerfmark;
using languages::english_only;
using languages::has_decimal_point;
using languages::note_keys;
using languages::told_by_key;
using languages::words_in;
using planned::english;
using planned::german;
using report::Statement;
using text::Words;

// What is said about a plan is said in the language of its words, whole: no English word and no
// decimal point is left in a German statement, and everything that can be named has a name.

namespace {

struct Told {
  std::string where;
  std::string text;
};

std::vector<Told> everything(const Statement& s) {
  std::vector<Told> all = {{"verdict", s.verdict},
                           {"headline", s.headline},
                           {"because", s.because},
                           {"title of limits", s.limits_title},
                           {"title of what is open", s.if_settled_title}};
  for (const auto* figures : {&s.job, &s.figures, &s.if_settled}) {
    for (const report::Figure& figure : *figures) {
      all.push_back({"label", figure.label});
      all.push_back({figure.label, figure.value});
    }
  }
  for (const report::LimitLine& limit : s.limits) {
    for (const auto field :
         {&report::LimitLine::name, &report::LimitLine::bound, &report::LimitLine::has,
          &report::LimitLine::margin, &report::LimitLine::doubt, &report::LimitLine::status,
          &report::LimitLine::origin, &report::LimitLine::what, &report::LimitLine::odds}) {
      all.push_back({limit.name, limit.*field});
    }
    all.push_back({"source", limit.source});
  }
  for (const report::Step& step : s.next) {
    all.push_back({"why", step.why});
    all.push_back({"action", step.action});
  }
  for (const std::string& caution : s.cautions) {
    all.push_back({"caution", caution});
  }
  return all;
}

/// A job without the texts of whoever wrote it.
plan::Job without_texts(plan::Job job) {
  job.paperwork = {};
  for (plan::Blockage& blockage : job.frame.blockages) {
    blockage.what.clear();
  }
  return job;
}

plan::Job with_wanted(plan::Job job, std::optional<double> mm) {
  job.saw.wanted = std::nullopt;
  if (mm) {
    job.saw.wanted = plan::Measured<plan::Length>{measure::millimetres(*mm), std::nullopt};
  }
  return job;
}

/// What random jobs do not come to: a steerer without a word on its expander, one whose lower
/// headset stack nobody has measured, a post that is gripped below its collar, a bar height without
/// the reach of the frame, a carbon steerer too short and no spacer to leave out, a post too short
/// for which there is one in stock, readings that disagree on a cut of more than the whole post,
/// and limits that nothing but the saw puts in doubt. Then handlebars, each for what it alone says.
constexpr auto rare_jobs = std::to_array<std::string_view>({
    R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
post = { length = 360, mark = 100, diameter = 27.2, material = "aluminium", cutting = "allowed" }
[[frame.blockage]]
depth = { read = 219, within = 0.1 }
[[frame.blockage]]
depth = { read = 225, within = 10 }
)",
    R"(kind = "steerer"
steerer = { material = "aluminium", length = 300 }
frame = { head_tube = 150, head_angle = 72, stack = 560, reach = 380 }
headset = { lower = 10, upper = 12 }
stem = { clamp = 40, length = 100, angle = -6 }
spacers = { below = 25, above = 5, max_below = 15 }
)",
    R"(kind = "steerer"
steerer = { material = "carbon", length = 300 }
frame = { head_tube = 150 }
headset = { lower = { read = 0, within = 0 }, upper = 12 }
stem = { clamp = 40 }
spacers = { below = 25, above = 5 }
)",
    R"(kind = "steerer"
steerer = { material = "aluminium", length = 300 }
frame = { head_tube = 150, stack = 600, head_angle = 72 }
headset = { lower = 0, upper = 12 }
stem = { clamp = 40, length = 100, angle = 6 }
spacers = { on_hand = [10, 5], above = 5 }
bar = { height = 640 }
)",
    R"(kind = "steerer"
steerer = { material = "aluminium", length = 300, max_rider = 100, max_system = 120 }
frame = { head_tube = 150 }
headset = { upper = 12 }
stem = { clamp = 40 }
spacers = { below = 25, above = 5 }
)",
    R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
frame = { clamp_below = 60, max_system = 110 }
post = { length = 300, mark = 100, diameter = 27.2, material = "steel" }
rider = { mass = 80 }
)",
    R"(kind = "steerer"
steerer = { material = "carbon", length = 208 }
frame = { head_tube = 150 }
headset = { lower = 10, upper = 12 }
stem = { clamp = 40 }
spacers = { below = [] }
)",
    R"(kind = "seatpost"
saddle = { measured = "extension", height = 230 }
post = { length = 300, mark = 100, diameter = 27.2, material = "steel" }
stock = { lengths = [400] }
)",
    R"(kind = "seatpost"
saddle = { measured = "extension", height = { read = [140, 150] } }
post = { length = 200, mark = 100, diameter = 27.2, material = "steel" }
saw = { wanted = 300 }
)",
    R"(kind = "seatpost"
saddle = { measured = "extension", height = { read = 140, within = 0 } }
post = { length = { read = 400, within = 0 }, mark = { read = 100, within = 0 }, diameter = 27.2, material = "steel" }
saw = { wanted = 159.7 }
)",
    R"(kind = "seatpost"
saddle = { measured = "extension", height = { read = 140, within = 0 } }
post = { length = { read = 400, within = 0 }, mark = { read = 100, within = 0 }, diameter = 27.2, material = "steel" }
saw = { wanted = 159.95 }
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, straight = 190, to_mark = 30, grip_zone = 188, min_width = 700, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, left = 390.5, right = 389.5, wanted = 740, straight = 186, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, left = 380, right = 390, wanted = 740, straight = 190, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, left = 395, right = 385, wanted = 740, straight = 190, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, material = "aluminium", cutting = "allowed" }
)",
    R"(kind = "handlebar"
handlebar = { width = 700, wanted = 740, straight = 190, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, straight = 170, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 780, straight = 190, max_rider = 80, material = "aluminium", cutting = "allowed" }
rider = { mass = 100 }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 780, straight = 190, material = "aluminium", cutting = "allowed" }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, straight = 190, material = "aluminium", cutting = "allowed" }
saw = { wanted = 10 }
[[controls]]
width = 165
)",
    R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, straight = 190, material = "carbon" }
[[controls]]
width = 165
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150, lowest = 148 }
topper = { rise = 32.5, spacers_most = 20, goes = "into", grip = 50, min_grip = 30 }
mast = { length = 180, keep = 60, min_length = 90, material = "carbon", cutting = "allowed" }
)",
    R"(kind = "mast"
saddle = { measured = "along tube", height = 742, rail_to_top = 45 }
frame = { seat_tube = 545, seat_angle = 73.5, axis_offset = 10 }
topper = { rise = 32.5, setback = 10, grip = 50 }
mast = { length = 180, keep = 60, material = "steel" }
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = 118, max_rider = 80, material = "carbon", cutting = "allowed" }
rider = { mass = 100 }
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = 118, material = "carbon", cutting = "allowed" }
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = 80, material = "carbon", cutting = "allowed" }
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = 180, keep = 130, material = "carbon", cutting = "allowed" }
saw = { wanted = 20 }
)",
    R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = [180, 184], material = "carbon", cutting = "allowed" }
saw = { wanted = 190 }
)",
});

/// Jobs of all kinds, each as it comes and once more without and with a wanted cut.
template <class Look>
void for_jobs(const Look& look) {
  for (const std::string_view text : rare_jobs) {
    CAPTURE(text);
    look(planned::job_of(text));
  }
  plan::Job with_shop = planned::job_of(rare_jobs.front());
  with_shop.from_shop = {"measuring.coverage", "measuring.twice", "measuring.instruments.Laser",
                         "saw.kerf",           "saw.within",      "saw.step",
                         "stock.lengths",      "spacers.on_hand"};
  look(with_shop);
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(600); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = without_texts(planned::job_of(text));
      look(job);
      look(with_wanted(job, std::nullopt));
      look(with_wanted(job, 5.0 + seed % 60));
    }
  }
}

/// Three figures behind a point are thousands: nothing is printed with more than two decimals.
bool is_read(const plan::Key& key) {
  return std::holds_alternative<plan::LengthSlot>(key.slot) ||
         std::holds_alternative<plan::AngleSlot>(key.slot) ||
         std::holds_alternative<plan::MassSlot>(key.slot) ||
         std::holds_alternative<plan::RingsSlot>(key.slot);
}

/// What a statement is made of. Names of readings have a test of their own.
constexpr auto tables_of_a_statement = std::to_array<std::string_view>(
    {"report.range.",   "report.origin.",   "report.status.",   "report.bound.",
     "report.source.",  "report.limit.",    "report.blockage.", "report.measured.",
     "report.verdict.", "report.headline.", "report.because.",  "report.hold.",
     "report.remedy.",  "report.caution.",  "report.title.",    "report.label.",
     "report.value.",   "report.next.",     "report.odds.",     "report.shop."});

}  // namespace

TEST_CASE("no English word is left in a German statement") {
  const std::set<std::string> forbidden = english_only();
  REQUIRE(forbidden.size() > 300);
  for (const auto* const word :
       {"the", "cut", "mark", "blockage", "post", "stem", "holds", "saw"}) {
    REQUIRE(forbidden.contains(word));
  }
  std::size_t looked_at = 0;
  for_jobs([&](const plan::Job& job) {
    const Statement s = report::statement_of({job, plan::plan_cut(job), german()});
    for (const Told& told : everything(s)) {
      for (const std::string& word : words_in(told.text)) {
        CAPTURE(told.where);
        CAPTURE(told.text);
        CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
        ++looked_at;
      }
    }
  });
  CHECK(looked_at > 100000);
}

TEST_CASE("figures of a German statement have a decimal comma") {
  std::size_t with_comma = 0;
  for_jobs([&](const plan::Job& job) {
    const Statement s = report::statement_of({job, plan::plan_cut(job), german()});
    for (const Told& told : everything(s)) {
      if (told.where != "source") {  // clauses of standards have points
        CHECK_FALSE_MESSAGE(has_decimal_point(told.text), told.text);
      }
      with_comma += told.text.find(',') != std::string::npos ? 1U : 0U;
    }
  });
  CHECK(with_comma > 10000);
  CHECK(report::one_decimal(-12.34, report::Rounding::down, german()) == "-12,4");
  CHECK(report::plain(37.25, german()) == "37,25");
  CHECK(report::plain(38, german()) == "38");
  CHECK(report::with_unit("73,5", measure::Dimension::angle, german()) == "73,5°");
  CHECK(report::with_unit("73.5", measure::Dimension::angle, english()) == "73.5 deg");
}

TEST_CASE("the jobs of these tests make a statement say all it can") {
  // A sentence that none of them says was looked at by nobody.
  const Words keys = told_by_key();
  std::set<std::string> said;
  for_jobs([&](const plan::Job& job) {
    const Statement s = report::statement_of({job, plan::plan_cut(job), keys});
    for (const Told& told : everything(s)) {
      note_keys(told.text, said);
    }
  });
  // These stand in the table of rules, name what is the job's own, or answer to what no geometry
  // brings about, or are the text report's.
  const std::set<std::string> apart = {
      "report.blockage.any",          "report.blockage.called",
      "report.hold.no_cut_keeps_all", "report.limit.what.clearance-any",
      "report.range.up_to",           "report.odds.title",
  };
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    const bool of_a_statement = std::ranges::any_of(
        tables_of_a_statement, [&](std::string_view table) { return key.starts_with(table); });
    if (of_a_statement && !apart.contains(std::string(key))) {
      CHECK_MESSAGE(said.contains(std::string(key)), key);
    }
  }
}

TEST_CASE("every limit and every reading has a name in every language") {
  const plan::Job job;
  const plan::Plan plan;
  for (const Words* words : {&english(), &german()}) {
    std::map<std::string, std::string> named;
    for (const plan::RuleRow& row : plan::rules()) {
      CAPTURE(row.id);
      plan::JudgedLimit limit;
      limit.rule = row.rule;
      limit.number = row.numbered ? 3 : 0;
      const std::string name = report::name_of_limit(limit, *words);
      CHECK_FALSE(report::requirement(row.rule, *words).empty());
      CHECK_FALSE(report::requirement(limit, {job, plan, *words}).empty());
      CHECK(report::source_of(row, *words).empty() == row.source.empty());
      // Two rules of one id have one name, two ids have two.
      const auto [other, fresh] = named.emplace(name, limit.id());
      CHECK(other->second == limit.id());
      if (words == &english()) {
        CHECK(name == limit.id());
        CHECK(report::source_of(row, *words) == row.source);
      }
    }
    std::set<std::string> names;
    std::size_t keys = 0;
    for (const plan::Key& key : plan::keys()) {
      if (is_read(key)) {
        CAPTURE(key.path);
        const std::string name = report::bench_name(key.path, *words);
        CHECK_FALSE(name.empty());
        CHECK(names.insert(name).second);
        ++keys;
      }
    }
    CHECK(keys > 50);
  }
  // By hand: how a job file counts them, and the key for whoever writes the file.
  CHECK(report::name_of_reading("frame.blockage-2.depth", english()) ==
        "the depth of blockage 2 (frame.blockage-2.depth)");
  CHECK(report::name_of_reading("spacers.above-3", english()) ==
        "spacer 3 of those above the stem (spacers.above-3)");
  CHECK(report::name_of_reading("spacers.above-3", german()) == "Spacer 3 über dem Vorbau");
  CHECK(report::bench_name("spacers.lowest-1", german()).starts_with("Spacer 1 "));
}

TEST_CASE("words are found in a text") {
  CHECK(words_in("Die Säge, {limit} an 12 mm (--mark): Nötig?") ==
        std::set<std::string>{"die", "säge", "nötig"});
  CHECK(has_decimal_point("auf 12.5 mm"));
  CHECK_FALSE(has_decimal_point("Schritt 12. Dann 5,5 mm, 1 von 1.000."));
}
