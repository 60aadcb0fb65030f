#include "steps.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/report/statement.hpp"

using namespace kerfmark;
using sheet::BenchStep;
using sheet::Signal;
using sheet::Task;

namespace {

std::string post(std::string_view material, std::string_view more = "") {
  return "kind = 'seatpost'\n[saddle]\nmeasured = 'extension'\nheight = 140\n"
         "[[frame.blockage]]\ndepth = 225\n[post]\nlength = 400\nmark = 100\ndiameter = 27.2\n"
         "cutting = 'allowed'\nmaterial = '" +
         std::string(material) + "'\n" + std::string(more);
}

std::string steerer(std::string_view material, std::string_view more = "") {
  return "kind = 'steerer'\n[frame]\nhead_tube = 150\n[headset]\nlower = { read = 0, within = 0 "
         "}\nupper = 12\n[stem]\nclamp = 40\n"
         "[spacers]\nbelow = 25\nabove = 5\n[steerer]\nlength = 260\nmaterial = '" +
         std::string(material) + "'\n" + std::string(more);
}

std::string handlebar(std::string_view material, std::string_view more = "") {
  return "kind = 'handlebar'\n[handlebar]\nwidth = 780\nwanted = 740\nstraight = 190\n"
         "cutting = 'allowed'\nmaterial = '" +
         std::string(material) + "'\n" + std::string(more) + "[[controls]]\nwidth = 165\n";
}

std::string mast(std::string_view material, std::string_view more = "") {
  return "kind = 'mast'\n[saddle]\nmeasured = 'extension'\nheight = 150\n[topper]\nrise = 32.5\n"
         "spacers_most = 20\n[mast]\nlength = 180\ncutting = 'allowed'\nmaterial = '" +
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
  const sheet::Subject subject{
      job, plan, plan.now(), options, report::statement_of({job, plan, words}), {}};
  return {plan.before.verdict, sheet::bench_steps(subject), sheet::safety_notes(subject),
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

bool has_task(const std::vector<BenchStep>& steps, Task task) {
  return std::ranges::find(steps, task, &BenchStep::task) != steps.end();
}

// A part of this material that is cut, or left whole.
struct Work {
  std::string what, job;
  plan::Verdict verdict;
};

// Gap of the steerer by hand: 162 + 25 + 40 + 5 = 232 of stack. On 260 it stands 28 proud, on 229
// it ends 3 below, on 231 the wanted cut of 3 takes a steerer that ends 1 below already. A star
// nut's place, or what presses behind the clamp, is the same for all.
std::vector<Work> all_work() {
  using plan::Verdict;
  std::vector<Work> all;
  for (const std::string material : {"carbon", "aluminium", "steel", "titanium"}) {
    const std::string wanted = "[saw]\nwanted = 3\n";
    const std::string expander = "[expander]\nto = 90\n";
    all.push_back({"post, " + material, post(material), Verdict::cut});
    all.push_back({"post with hang, " + material, post(material, "hang = 20\n"), Verdict::cut});
    all.push_back({"whole post, " + material,
                   planned::replaced(post(material), "length = 400", "length = 350"),
                   Verdict::keep});
    all.push_back({"steerer, " + material, steerer(material), Verdict::cut});
    all.push_back({"steerer and expander, " + material, steerer(material, expander), Verdict::cut});
    all.push_back({"steerer below its stack, " + material,
                   planned::replaced(steerer(material, wanted), "length = 260", "length = 231"),
                   Verdict::cut});
    all.push_back({"whole steerer, " + material,
                   planned::replaced(steerer(material), "length = 260", "length = 229"),
                   Verdict::keep});
  }
  return all;
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
  CHECK(in_order(said.steps, {"maker's instructions",
                              "tape round the post",
                              "measure again",
                              "battery",
                              "rest of",
                              "Wrap tape",
                              "363 mm down",
                              "wrap of the page at true scale",
                              "saw guide",
                              "FFP3",
                              "wet",
                              "outside in",
                              "Never blow",
                              "Inspect",
                              "offcut",
                              "Seal",
                              "100 mm above",
                              "Clean the seat tube",
                              "Try it dry",
                              "Carbon paste or grease only as the maker says",
                              "planned 223.0 mm",
                              "torque",
                              "Fill in the record"}));
}

TEST_CASE("steps of a steerer end with cap then stem then brake") {
  // Once the stem is clamped, the cap moves nothing: common practice.
  for (const char* material : {"carbon", "aluminium"}) {
    const Said said = say(steerer(material, "diameter = 28.6\n"), planned::english());
    REQUIRE(said.verdict == plan::Verdict::cut);
    CHECK(
        in_order(said.steps, {"Stack on dry", "229 mm up from the crown race seat",
                              "Fork, spacers and stem back", "check the gap", "wheel and brake in",
                              "Cap on", "in line with the wheel", "no play", "record"}));
    CHECK(any_has(said.steps, "never a star nut") == (material == std::string_view("carbon")));
  }
  // Without a diameter there is no wrap to speak of.
  const Said bare = say(steerer("aluminium"), planned::english());
  CHECK_FALSE(any_has(bare.steps, "wrap"));
  CHECK(any_has(bare.steps, "strip of the page at true scale"));
}

TEST_CASE("what hangs in a post goes back with its measure") {
  const std::string hanging = post("aluminium", "hang = 20\n");
  CHECK(any_has(say(hanging, planned::english()).steps, "no more than 20 mm below the lower end"));
  CHECK_FALSE(any_has(say(post("aluminium"), planned::english()).steps, "hangs in the post"));
}

TEST_CASE("a part that stays whole is not sawn and a part in doubt has no steps") {
  for (const std::string& job : {keep_post(), keep_steerer()}) {
    const Said said = say(job, planned::english());
    REQUIRE(said.verdict == plan::Verdict::keep);
    CHECK(in_order(said.steps, {"Leave it whole", "check the", "Fill in the record"}));
    for (const char* word : {"true scale", "blade", "offcut", "Mask", "tape"}) {
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
    CHECK(said.steps[last].task == Task::record);
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

TEST_CASE("what needs the bicycle whole is done before it is stripped or after it is together") {
  // Common practice: a saddle height cannot be read from a post that lies on the bench.
  for (const Work& work : all_work()) {
    CAPTURE(work.what);
    const Said said = say(work.job, planned::english());
    REQUIRE(said.verdict == work.verdict);
    bool whole = said.verdict == plan::Verdict::cut;  // a part to be left whole may lie there new
    for (const BenchStep& step : said.steps) {
      CAPTURE(step.text);
      CHECK((whole || !sheet::needs_bike_whole(step.task)));
      whole = (whole && step.task != Task::strip) || step.task == Task::assemble;
    }
    CHECK(whole);
    CHECK(has_task(said.steps, Task::strip) == (said.verdict == plan::Verdict::cut));
  }
  for (const Task task : {Task::note_state, Task::measure_whole, Task::mark_mock_up, Task::check,
                          Task::torque, Task::try_out}) {
    CHECK(sheet::needs_bike_whole(task));
  }
}

TEST_CASE("steps keep the order of the work for every part and material and verdict") {
  struct Pair {
    Task first, then;
    std::string_view why;
  };
  constexpr auto pairs = std::to_array<Pair>({
      {Task::note_state, Task::strip, "nobody knows how it stood once it is apart"},
      {Task::measure_whole, Task::strip, "heights are read on the whole bicycle"},
      {Task::mark_mock_up, Task::strip, "the stack stands on the uncut steerer"},
      {Task::mark_mock_up, Task::tape, "the tape keeps clear of a mark that is there"},
      {Task::strip, Task::measure_bench, "lengths are read on the bench"},
      {Task::measure_bench, Task::mark, "a second reading may stop the work"},
      {Task::tape, Task::mark, "a mark is not taped over"},
      {Task::mark, Task::clamp, ""},
      {Task::clamp, Task::saw, ""},
      {Task::protect, Task::saw, "dust and chips"},
      {Task::saw, Task::deburr, ""},
      {Task::deburr, Task::wipe, "sanding makes dust again"},
      {Task::wipe, Task::inspect, "dust hides a crack"},
      {Task::inspect, Task::measure_left, "a cracked part needs no measuring"},
      {Task::measure_left, Task::seal, "the sealant adds to the length"},
      {Task::wipe, Task::seal, "nothing sticks to dust"},
      {Task::inspect, Task::seal, "sealant hides a crack"},
      {Task::seal, Task::mark_anew, ""},
      {Task::mark_anew, Task::try_dry, "the line is looked at then"},
      {Task::clean_frame, Task::try_dry, "a burr scores the post"},
      {Task::try_dry, Task::assemble, "paste is on it then"},
      {Task::fit_hang, Task::assemble, ""},
      {Task::seal, Task::assemble, "it cures first"},
      {Task::set_star_nut, Task::assemble,
       "nothing may stand on the steerer that it is driven into"},
      {Task::assemble, Task::check, ""},
      {Task::check, Task::set_expander, "its rim would hide the gap"},
      {Task::check, Task::preload, "the gap is read without the cap"},
      {Task::check, Task::torque, "too little is found while the bolts are loose"},
      {Task::set_expander, Task::preload, "the cap pulls on it"},
      {Task::set_star_nut, Task::preload, "the cap pulls on it"},
      {Task::wheel_in, Task::preload, "the bearings carry the wheel"},
      {Task::wheel_in, Task::torque, "the stem is set in line with the wheel"},
      {Task::preload, Task::torque, "a clamped stem takes no preload"},
      {Task::torque, Task::try_out, "bearings are tried as they are ridden"},
      {Task::wheel_in, Task::try_out, "the brake is held"},
  });
  std::array<bool, pairs.size()> met{};
  for (const Work& work : all_work()) {
    CAPTURE(work.what);
    const std::vector<BenchStep> steps = say(work.job, planned::english()).steps;
    REQUIRE(steps.size() > 5);
    for (std::size_t i = 0; i < steps.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        for (std::size_t p = 0; p < pairs.size(); ++p) {
          const bool turned = steps[i].task == pairs[p].first && steps[j].task == pairs[p].then;
          met[p] = met[p] || (steps[j].task == pairs[p].first && steps[i].task == pairs[p].then);
          INFO(pairs[p].why);
          INFO(steps[j].text, " stands before ", steps[i].text);
          CHECK_FALSE(turned);
        }
      }
    }
    CHECK(steps.back().task == Task::record);
  }
  CHECK(std::ranges::count(met, false) == 0);  // every pair has been seen somewhere
}

TEST_CASE("every sheet that lets a part be ridden checks it and asks for the torque") {
  for (const Work& work : all_work()) {
    CAPTURE(work.what);
    const Said said = say(work.job, planned::english());
    for (const Task task : {Task::assemble, Task::check, Task::torque, Task::record}) {
      CHECK(has_task(said.steps, task));
    }
    const bool is_cut = said.verdict == plan::Verdict::cut;
    for (const Task task :
         {Task::note_state, Task::measure_whole, Task::measure_bench, Task::protect, Task::saw,
          Task::deburr, Task::wipe, Task::inspect, Task::measure_left}) {
      CHECK(has_task(said.steps, task) == is_cut);
    }
    const bool carbon = work.what.find("carbon") != std::string::npos;
    CHECK(has_task(said.steps, Task::seal) == (carbon && is_cut));
  }
}

TEST_CASE("the words of a step do what its task says") {
  struct Row {
    Task task;
    std::string_view english, german;
  };
  for (const Row& row :
       {Row{Task::strip, "strip", "zerlegen"}, Row{Task::measure_whole, "Bike whole", "noch ganz"},
        Row{Task::note_state, "Bike whole", "noch ganz"}, Row{Task::wipe, "ipe", "wischen"},
        Row{Task::seal, "cure", "aushärten"}, Row{Task::check, "Before any torque", "Vor dem"},
        Row{Task::torque, "maker's torque", "Drehmoment"},
        Row{Task::set_star_nut, "crown", "Krone"}, Row{Task::try_out, "brake", "bremse"}}) {
    for (const auto& [words, word] :
         {std::pair(&planned::english(), row.english), std::pair(&planned::german(), row.german)}) {
      CAPTURE(word);
      std::size_t seen = 0;
      for (const Work& work : all_work()) {
        for (const BenchStep& step : say(work.job, *words).steps) {
          if (step.task == row.task) {
            ++seen;
            CAPTURE(step.text);
            CHECK(step.text.find(word) != std::string::npos);
          }
        }
      }
      CHECK(seen > 0);
    }
  }
}

TEST_CASE("a star nut is set in metal only and an expander is named first for aluminium") {
  // ISO 4210-2:2014 4.7.4 notes that inner devices may harm the steerer; 15 mm below the top is
  // common practice: more than any cap reaches down, less than its bolt is long.
  const auto star_nut = [](std::string_view material, std::string_view more = "") {
    for (const BenchStep& step : say(steerer(material, more), planned::english()).steps) {
      if (step.task == Task::set_star_nut) {
        return step.text;
      }
    }
    return std::string();
  };
  CHECK(star_nut("carbon").empty());
  CHECK(star_nut("aluminium", "[expander]\nto = 90\n").empty());
  CHECK(star_nut("steel").find("15 mm below the top") != std::string::npos);
  const std::string aluminium = star_nut("aluminium");
  CHECK(aluminium.find("Expander") < aluminium.find("star nut"));
  CHECK(aluminium.find("ISO 4210-2, 4.7.4") != std::string::npos);
  CHECK(aluminium.find("15 mm below the top") != std::string::npos);
}

TEST_CASE("the top of the stack is marked only on a steerer that stands above it") {
  const auto steps_of = [](std::string_view length, std::string_view wanted) {
    const std::string saw = "[saw]\nwanted = " + std::string(wanted) + "\n";
    const Said said = say(
        planned::replaced(steerer("steel", saw), "length = 260", "length = " + std::string(length)),
        planned::english());
    REQUIRE(said.verdict == plan::Verdict::cut);
    return said.steps;
  };
  // By hand, the stack is 232 high: 235 stands 3 proud, 231 ends 1 below.
  const std::vector<BenchStep> proud = steps_of("235", "6");
  const std::vector<BenchStep> below = steps_of("231", "3");
  CHECK(has_task(proud, Task::mark_mock_up));
  CHECK(any_has(proud, "never tape over a mark"));
  CHECK_FALSE(has_task(below, Task::mark_mock_up));
  CHECK_FALSE(any_has(below, "never tape over a mark"));
}

TEST_CASE("the new line is painted on the outside and the old mark struck out") {
  // Tape would jam in the bore, a scratch starts a crack: common practice.
  for (const char* material : {"carbon", "aluminium"}) {
    const Said said = say(post(material), planned::english());
    const auto found = std::ranges::find(said.steps, Task::mark_anew, &BenchStep::task);
    REQUIRE(found != said.steps.end());
    for (const char* word : {"paint pen", "outside", "No tape", "never scratch", "Strike out"}) {
      CAPTURE(word);
      CHECK(found->text.find(word) != std::string::npos);
    }
  }
}

TEST_CASE("of a handlebar one end is cut and measured before the other and both are plugged") {
  for (const std::string material : {"carbon", "aluminium"}) {
    const Said cut = say(handlebar(material), planned::english());
    CAPTURE(material);
    CHECK(cut.verdict == plan::Verdict::cut);
    CHECK(in_order(cut.steps, {"middle of the stem's clamp", "grips off", "from the middle",
                               "One end first", "Cut ", "second end", "both offcuts", "Plugs",
                               "width", "torque", "brakes hard"}));
    CHECK(in_order(cut.steps, {"370.0 mm from the middle", "both lines", "One end first"}));
    CHECK(cut.notes.front().text.find("open end") != std::string::npos);
    CHECK(cut.results.back().text == "Width");
  }
  const Said sides = say(handlebar("steel", "left = 391\nright = 389\n"), planned::english());
  CHECK(in_order(sides.steps, {"371.0 mm left and 369.0 mm right", "One end first"}));
  const Said whole = say(planned::replaced(handlebar("carbon"), "wanted = 740", "wanted = 780"),
                         planned::english());
  CHECK(whole.verdict == plan::Verdict::keep);
  CHECK(in_order(whole.steps, {"nothing is sawn off this handlebar", "Plugs"}));
}

TEST_CASE("a mast is emptied - held by something else and cut long before it is cut to the line") {
  for (const std::string material : {"carbon", "aluminium"}) {
    CAPTURE(material);
    const Said cut = say(mast(material), planned::english());
    CHECK(cut.verdict == plan::Verdict::cut);
    CHECK(in_order(cut.steps,
                   {"how the topper sits",
                    "battery, wires and hoses out of the mast, saddle and topper off. Hold the "
                    "frame in a stand by something other than the mast",
                    "up from the datum", "3 mm or more above the line", "made for this section",
                    "Cut ", "try the topper", "cut to the line", "all offcuts together", "back in",
                    "Topper on", "planned 0.0 mm", "torque", "nothing turns"}));
    CHECK(cut.notes.front().text.find("topper slips") != std::string::npos);
    CHECK(cut.results.back().text == "Below the topper");
  }
  // 180 + 32.5 - 150 = 62.5, cut to 62. Of 5 there is no second cut of 3 to be had.
  const Said thin = say(mast("carbon", "[saw]\nwanted = 5\n"), planned::english());
  CHECK(in_order(thin.steps, {"one cut must do", "Cut wet", "all offcuts"}));
  const Said whole =
      say(planned::replaced(mast("carbon"), "length = 180", "length = 117"), planned::english());
  CHECK(whole.verdict == plan::Verdict::keep);
  CHECK(in_order(whole.steps, {"nothing is sawn off this mast", "Topper on"}));
}
