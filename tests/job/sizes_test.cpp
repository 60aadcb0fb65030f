#include "kerfmark/job/sizes.hpp"

#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/plan/sizes.hpp"

using namespace kerfmark;

namespace {

// Extensions and depths that are exact, so that the sums below can be done in the head.
constexpr const char* run_text = R"(kind = "seatpost"
geometry = "sizes.csv"
[measuring]
instruments = { "steel rule" = 0, "depth probe" = 0 }
[saw]
within = 0
[saddle]
measured = "extension"
[post]
diameter = 27.2
material = "aluminium"
cutting = "allowed"
[[size]]
name = "M"
frame = { blockage = [{ depth = 330 }] }
saddle = { height = 200 }
[[part]]
name = "350"
post = { length = 350, mark = 90 }
[[part]]
name = "400"
post = { length = 400, mark = 100 }
[[part]]
name = "400 with a sharp maker"
post = { length = "400 mm", mark = 100, min_insertion = 210 }
)";

constexpr const char* csv_text =
    "name,frame.blockage.depth,saddle.height\r\nS,214,138\r\n\"L, tall\",400,280\r\n";

job::RunOutcome read(const std::string& text, const std::string& csv = csv_text) {
  return job::read_run(text, "run.toml", [&](const std::string& name) {
    CHECK(name == "sizes.csv");
    return csv;
  });
}

plan::SizeCell planned(const job::SizeRun& run, const job::CellPlace& place) {
  const job::Outcome outcome = job::read_job(run.job_of(place), "cell.toml");
  REQUIRE(outcome.job);
  return plan::cell_of(*outcome.job, plan::plan_cut(*outcome.job));
}

}  // namespace

TEST_CASE("each cell of a run is the plan of its job") {
  const job::RunOutcome outcome = read(run_text);
  REQUIRE(outcome.sound());
  const job::SizeRun& run = outcome.run;
  CHECK(run.sizes() == std::vector<std::string>{"S", "L, tall", "M"});
  std::size_t cells = 0;
  for (std::size_t size = 0; size < 3; ++size) {
    const auto said =
        run.each_of_row({size, 0, 0}, "", [&](std::size_t part, const plan::Job& job) {
          const job::CellPlace place{size, 0, part};
          const job::Outcome alone = job::read_job(run.job_of(place), "cell.toml");
          REQUIRE(alone.job);
          CHECK(job::says_the_same(job, *alone.job));
          CHECK(plan::cell_of(job) == planned(run, place));
          ++cells;
        });
    CHECK(said.empty());
  }
  CHECK(cells == 9);
  CHECK(run.findings_of_parts("").empty());
}

// Common practice: 350 mm for the smaller sizes and 400 for the larger; a 400 in a small frame
// whose lip stops it is cut by 50. 400 - 138 = 262 mm would be in the frame, and the lip with 2 mm
// of air leaves 212.
TEST_CASE("a long post in a small frame is cut and a short one in a large frame will not do") {
  const job::RunOutcome outcome = read(run_text);
  const plan::SizeCell small = planned(outcome.run, {0, 0, 1});
  CHECK(small.verdict == plan::Verdict::cut);
  CHECK(small.cut.in_mm() == doctest::Approx(50.0));
  CHECK(planned(outcome.run, {0, 0, 0}).verdict == plan::Verdict::keep);    // 350 - 138 = 212
  CHECK(planned(outcome.run, {1, 0, 0}).verdict == plan::Verdict::reject);  // 350 - 280 < 90
  CHECK(planned(outcome.run, {1, 0, 1}).verdict == plan::Verdict::keep);    // 400 - 280 > 100
  const plan::SizeCell sharp = planned(outcome.run, {2, 0, 2});
  CHECK(sharp.verdict == plan::Verdict::reject);  // 200 are in, and 210 must be
  REQUIRE(sharp.limit);
  CHECK(*sharp.limit == plan::Rule::post_minimum);
}

TEST_CASE("ranges multiply the sizes and what stands nearer to the cell counts") {
  const std::string ranges = R"([[range]]
name = "low"
saddle = { height = 100 }
[[range]]
name = "high"
saddle = { height = 250 }
)";
  const job::RunOutcome outcome = read(run_text + ranges);
  REQUIRE(outcome.sound());
  CHECK(outcome.run.ranges().size() == 2);
  // S of the table says 138, the range 100: 400 - 100 - 212 = 88.
  CHECK(planned(outcome.run, {0, 0, 1}).cut.in_mm() == doctest::Approx(88.0));
}

TEST_CASE("what is wrong is said at its place in the run") {
  const auto placed = [](const std::string& text, const std::string& csv) {
    const job::RunOutcome outcome = read(text, csv);
    std::vector<job::Finding> findings = outcome.findings;
    if (outcome.sound()) {
      findings = outcome.run.findings_of_parts("");
      for (std::size_t row = 0; row < outcome.run.sizes().size(); ++row) {
        const auto more = outcome.run.each_of_row({row, 0, 0}, "", [](std::size_t, auto&) {});
        findings.insert(findings.end(), more.begin(), more.end());
      }
    }
    REQUIRE_FALSE(findings.empty());
    return findings.front().file + ":" + std::to_string(findings.front().line) + ":" +
           findings.front().key;
  };
  std::string text = run_text;
  text.replace(text.find("length = 350"), 12, "length = 35 ");
  CHECK(placed(text, csv_text) == "run.toml:19:post.length");
  CHECK(placed(run_text, "name,saddle.height\nS,138\nL,2900\n") == "sizes.csv:3:saddle.height");
  CHECK(placed(run_text, "name,saddle.hight\nS,138\n") == "sizes.csv:2:saddle.hight");
  CHECK(placed("kind = \"seatpost\"\n", "") == "run.toml:1:size");
  CHECK(placed("[[size]]\n[[part]]\nname = \"a\"\n", "") == "run.toml:1:size.name");
  CHECK(placed("size = 1\n", "") == "run.toml:1:size");
  CHECK(placed("[[size]]\nname = \"a\"\n[[size]]\nname = \"a\"\n", "") == "run.toml:3:size.name");
  CHECK(placed("[[size]]\nname = \"a\"\nx = 12:00:00\n", "") == "run.toml:3:");
}
