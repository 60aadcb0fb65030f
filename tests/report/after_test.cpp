#include <algorithm>
#include <array>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "../languages.hpp"
#include "../plan/planned.hpp"
#include "../property/as_cut.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/text.hpp"

using namespace kerfmark;
using planned::english;
using planned::german;
using report::Statement;
using text::Words;

namespace {

Statement said_of(const std::string& text, const Words& words = english()) {
  const plan::Job job = planned::job_of(text);
  return report::statement_of({job, plan::plan_cut(job), words});
}

std::vector<std::string> everything(const Statement& s) {
  std::vector<std::string> all = {s.verdict, s.headline, s.because, s.figures_title,
                                  s.limits_title};
  for (const report::Figure& figure : s.figures) {
    all.push_back(figure.label);
    all.push_back(figure.value);
  }
  for (const report::LimitLine& limit : s.limits) {
    all.insert(all.end(), {limit.name, limit.bound, limit.has, limit.margin, limit.doubt,
                           limit.status, limit.origin, limit.what, limit.odds});
  }
  for (const report::Step& step : s.next) {
    all.push_back(step.why);
    all.push_back(step.action);
  }
  return all;
}

bool says(const Statement& s, std::string_view part) {
  return std::ranges::any_of(
      everything(s), [&](const std::string& text) { return text.find(part) != std::string::npos; });
}

const std::string fork = R"(kind = "steerer"
steerer = { material = "aluminium", length = 300 }
frame = { head_tube = 150 }
headset = { lower = 0, upper = 12 }
stem = { clamp = 40 }
spacers = { below = 25, above = 5 }
)";
const std::string fork_by_mock_up = R"(kind = "steerer"
steerer = { material = "aluminium", max_cut = 80 }
stem = { clamp = 40 }
spacers = { below = 25, above = 5 }
mock_up = { stands_proud = 68 }
)";
const std::string bar = R"(kind = "handlebar"
handlebar = { width = 780, wanted = 740, straight = 190, material = "aluminium", cutting = "allowed" }
controls = [{ width = 130 }, { width = 35 }]
)";
const std::string mast = R"(kind = "mast"
saddle = { measured = "extension", height = 150 }
topper = { rise = 32.5, spacers_most = 20 }
mast = { length = 180, material = "carbon", cutting = "allowed" }
)";
const std::string post = R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
frame = { blockage = [{ depth = 225 }] }
post = { length = 400, mark = 100, diameter = 27.2, material = "steel", cutting = "allowed" }
)";

std::string with(const std::string& job, std::string_view as_cut) {
  return job + "as_cut = { " + std::string(as_cut) + " }\n";
}

/// What random cuts do not come to.
std::vector<std::string> rare_jobs() {
  const auto changed = [](const std::string& job, std::string_view from, std::string_view to) {
    return planned::replaced(job, from, to);
  };
  return {
      with(fork, "length = 229, offcut = 70, by = '1', checked_by = '2', date = 2026-05-02"),
      with(fork, "length = 229, offcut = 72"),
      with(fork, "length = 229, offcut = 68"),
      with(fork, "length = 229, gap = 5"),
      with(fork, "length = 301"),
      with(fork, "length = 236"),
      with(fork, "length = 226"),
      with(changed(fork, "above = 5 }", "above = 5 }\ncap = { gap_min = 0 }"), "length = 231.5"),
      with(changed(fork, "above = 5 }", "above = 5 }\ncap = { gap_min = 0 }"), "length = 231.8"),
      with(fork_by_mock_up, "gap = 3"),
      with(fork_by_mock_up, "length = 229"),
      with(changed(fork_by_mock_up, "max_cut = 80", "length = 300"), "length = 229"),
      with(changed(fork_by_mock_up, "max_cut = 80", "length = 300"), "length = 229, gap = 5"),
      with(post, "length = 350, offcut = 52"),
      with(post, "length = 370"),
      with(post, "length = 235"),
      with(post, "length = 399.8"),
      with(changed(post, "depth = 225", "depth = 300"), "length = 399.8"),
      with(changed(post, "\"allowed\"", "\"allowed\", max_cut = 20"), "length = 350"),
      with(changed(post, "mark = 100", "mark = \"unknown\""), "length = 350"),
      with(changed(post, "material = \"steel\", cutting = \"allowed\"", "material = \"carbon\""),
           "length = 350"),
      with(changed(post, "mark = 100", "mark = [100, 104]"), "length = 350"),
      with(bar, "width = 740"),
      with(bar, "width = 740, offcut_left = 19, offcut_right = 19"),
      with(bar, "width = 740, offcut_left = 20, offcut_right = 22"),
      with(bar, "width = 760"),
      with(mast, "length = 117, offcut = 61, kerf = 2"),
      with(mast, "length = 117, offcut = 64, kerf = 2"),
      with(mast, "length = 130"),
      with(mast, "length = 90"),
      with(changed(mast, ", cutting = \"allowed\"", ""), "length = 117"),
  };
}

/// Jobs of all kinds, each with something measured after a cut.
template <class Look>
void for_jobs(const Look& look) {
  for (const std::string& text : rare_jobs()) {
    CAPTURE(text);
    look(planned::job_of(text));
  }
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(300); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      std::string text = random_job::text_of(make(random));
      std::uniform_int_distribution<int> left(120, 380);
      const plan::Kind kind = planned::job_of(text).kind;
      const int more = kind == plan::Kind::handlebar ? 300 : 0;
      text += "\n[as_cut]\n" + as_cut::left(kind, std::to_string(more + left(random))) +
              as_cut::offcut(kind, "40.5");
      CAPTURE(text);
      plan::Job job = planned::job_of(text);
      job.paperwork = {};
      for (plan::Blockage& blockage : job.frame.blockages) {
        blockage.what.clear();
      }
      for (plan::Control& control : job.controls) {
        control.what.clear();
      }
      look(job);
    }
  }
}

}  // namespace

TEST_CASE("a part that is fit says what is left and what comes next") {
  const Statement s = said_of(with(fork, "length = 229, offcut = 70, gap = 3"));
  CHECK(s.verdict == "FIT TO RIDE");
  CHECK(s.headline == "Every limit holds with a gap of 3.0 mm below the cap.");
  CHECK(s.because ==
        "Tightest is room below the cap to adjust the bearings, with 1.0 mm to spare beyond the "
        "doubt.");
  CHECK(says(s,
             "229 mm left + 70 mm offcut + 1 mm kerf make up 300 mm: 0.0 mm apart, within the "
             "1.0 mm that the readings may be off by"));
  REQUIRE(s.next.size() == 1);
  CHECK(s.next.front().action ==
        "Set the preload with the cap, then clamp the stem to the maker's torque.");
}

TEST_CASE("an open sum says by how much and what may be wrong") {
  // By hand: 350 + 52 + 1 is 3 more than 400; three readings of half a millimetre allow 1.
  const Statement s = said_of(with(post, "length = 350, offcut = 52"));
  CHECK(s.verdict == "HOLD");
  CHECK(s.because ==
        "What is left, offcut and kerf add up to 403 mm; before the cut it was 400 mm. That is 3.0 "
        "mm apart, and 1.0 mm is what the readings may be off by.");
  CHECK(s.next.front().action ==
        "Check what is left (as_cut.length): it makes up 33 % of what the sum may be off by.");
  CHECK(says(s, "Look for the extra 3.0 mm: an offcut measured along a slanted end"));
}

TEST_CASE("an unfit post says from which saddle height down it is safe or that it is scrap") {
  // 95 inserted against 100, doubt 1: safe from 140 - 5 - 1 down.
  const Statement low = said_of(with(post, "length = 235"));
  CHECK(low.verdict == "DO NOT RIDE");
  CHECK(low.headline == "It breaks a limit as it stands.");
  REQUIRE(low.next.size() == 1);
  CHECK(low.next.front().action ==
        "Safe from a saddle height of 134.0 mm down (12.0 to 134.0 mm, measured \"extension\"): "
        "set it there, enter it in the job and plan again.");
  // 5 too deep for a lip at 225, and 2 of air: safe from 147 up.
  const Statement high = said_of(with(post, "length = 370"));
  CHECK(high.next.front().action.starts_with("Safe from a saddle height of 147.0 mm up ("));
  const Statement scrap = said_of(
      with(planned::replaced(post, "\"allowed\"", "\"allowed\", max_cut = 20"), "length = 350"));
  CHECK(scrap.headline == "Nothing can make this part safe again.");
  CHECK(scrap.because ==
        "max-cut asks for no more cut off than the maker allows: 30.0 mm too much has come off.");
  REQUIRE(scrap.next.size() == 1);
  CHECK(scrap.next.front().action.starts_with("Scrap it: do not ride it."));
  CHECK_FALSE(says(scrap, "Saddle heights"));
  CHECK_FALSE(says(scrap, "New mark"));
}

TEST_CASE("carbon whose maker has not been asked is never just fit") {
  const Statement s =
      said_of(with(planned::replaced(post, "material = \"steel\", cutting = \"allowed\"",
                                     "material = \"carbon\""),
                   "length = 350"));
  CHECK(s.verdict == "FIT TO RIDE");
  CHECK(s.next.front().action.starts_with("Ask the maker, in writing"));
}

TEST_CASE("the verdict line and the report begin with what counts after the cut") {
  const plan::Job job = planned::job_of(with(post, "length = 235"));
  const plan::Plan plan = plan::plan_cut(job);
  REQUIRE(plan.before.verdict == plan::Verdict::cut);
  const report::View view{.width = 200};
  CHECK(report::verdict_line({job, plan, english()}, view) ==
        "DO NOT RIDE. It breaks a limit as it stands. Not met: insertion up to the printed mark, "
        "saddle at its highest; it is out by 5.0 mm.\n");
  // The plan is history: nobody sees it who does not ask, it comes last, and nothing of it is to be
  // done.
  const std::string brief = report::text_report({job, plan, english()}, view);
  CHECK(brief.starts_with("DO NOT RIDE. "));
  CHECK(brief.find("The plan before the cut") == std::string::npos);
  CHECK(brief.find("CUT. ", 10) == std::string::npos);
  const std::string text = report::text_report({job, plan, english()}, view, report::Extent::full);
  CHECK(text.starts_with("DO NOT RIDE. "));
  const auto history = text.find("\nThe plan before the cut\n");
  REQUIRE(history != std::string::npos);
  CHECK(text.find("CUT. ", 10) > history);
  CHECK(text.find("What to do") < history);
  CHECK(text.find("What to do", history) == std::string::npos);
}

TEST_CASE("something is to be done after every cut") {
  for_jobs([](const plan::Job& job) {
    const plan::Plan plan = plan::plan_cut(job);
    const Statement s = report::statement_of({job, plan, english()});
    CHECK_FALSE(s.next.empty());
    CHECK_FALSE(s.because.empty());
    CHECK(s.limits.size() == plan.after->limits.size());
    for (const std::string& said : everything(s)) {
      CHECK(said.find('{') == std::string::npos);
    }
  });
}

TEST_CASE("what is said in German after the cut has no English word and no decimal point") {
  const std::set<std::string> forbidden = languages::english_only();
  std::size_t looked_at = 0;
  for_jobs([&](const plan::Job& job) {
    const Statement s = report::statement_of({job, plan::plan_cut(job), german()});
    for (const std::string& said : everything(s)) {
      CAPTURE(said);
      for (const std::string& word : languages::words_in(said)) {
        CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
        ++looked_at;
      }
      CHECK_FALSE(languages::has_decimal_point(said));
    }
  });
  CHECK(looked_at > 20000);
}

TEST_CASE("the jobs of these tests make it say all it can after the cut") {
  const Words keys = languages::told_by_key();
  std::set<std::string> said;
  for_jobs([&](const plan::Job& job) {
    for (const std::string& text :
         everything(report::statement_of({job, plan::plan_cut(job), keys}))) {
      languages::note_keys(text, said);
    }
  });
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    // The title of the plan is the text report's.
    if (key.starts_with("report.after.") && key != "report.after.title.plan") {
      CHECK_MESSAGE(said.contains(std::string(key)), key);
    }
  }
}
