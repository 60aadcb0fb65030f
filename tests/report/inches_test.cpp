#include "kerfmark/report/inches.hpp"

#include <optional>
#include <string>

#include "../plan/planned.hpp"
#include "kerfmark/report/explain.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"

using namespace kerfmark;
using planned::english;
using planned::german;

// Worked by hand: 1/32 in is 25.4 / 32 = 0.79375 mm.

namespace {

// Extension 5 1/2 in = 139.7 and post 15 3/4 in = 400.05 put 260.35 mm in the frame. The lip lies
// at 8 7/8 in = 225.425; with 2 mm of air the shortest cut is 260.35 - 223.425 = 36.925,
// planned 37.
const std::string inch_post = R"(
kind = "seatpost"
[saddle]
measured = "extension"
height = "5 1/2 in"
[[frame.blockage]]
what = "lip"
depth = "8 7/8 in"
[post]
length = "15 3/4 in"
mark = "4 in"
diameter = 27.2
material = "aluminium"
cutting = "allowed"
)";

// 2 7/8 in = 73.025 mm proud: 76 mm off leaves a gap of 2.975.
const std::string inch_fork = R"(
kind = "steerer"
[steerer]
length = 300
material = "steel"
[stem]
clamp = 40
[spacers]
below = 20
above = 5
[mock_up]
stands_proud = "2 7/8 in"
)";

report::LengthsToMark marks_of(const std::string& text, const text::Words& words = english()) {
  const plan::Job job = planned::job_of(text);
  const plan::Plan plan = plan::plan_cut(job);
  return report::lengths_to_mark({job, plan, words});
}

}  // namespace

TEST_CASE("the nearer mark of a rule in 32nds of those that do no harm") {
  struct Row {
    const char* what;
    double wanted, least, most;
    std::optional<int> marks;
  };
  // 348 mm lies between 438/32 = 347.6625 and 439/32 = 348.45625.
  for (const Row& row :
       {Row{"the nearer", 348, 347, 349, 438}, Row{"the nearer does harm", 348, 348, 349, 439},
        Row{"the further does harm", 348, 347, 348, 438},
        Row{"neither will do", 348, 347.7, 348.4, std::nullopt},
        Row{"its own mark", 25.4, 25.4, 25.4, 32},
        Row{"its own mark in binary dust", 25.4 + 1e-9, 25, 26, 32},
        Row{"an end of the room is inside", 348, 347.6625, 348, 438},
        Row{"less than half a mark", 0.3, 0, 10, 1},
        Row{"no mark but 0", 0.3, 0, 0.5, std::nullopt}}) {
    CAPTURE(row.what);
    CHECK(report::thirty_seconds(row.wanted, row.least, row.most) == row.marks);
  }
}

TEST_CASE("inches are written in lowest terms") {
  CHECK(report::inches_text(438, english()) == "13 11/16 in");
  CHECK(report::inches_text(439, english()) == "13 23/32 in");
  CHECK(report::inches_text(64, english()) == "2 in");
  CHECK(report::inches_text(3, english()) == "3/32 in");
  CHECK(report::inches_text(16, english()) == "1/2 in");
  CHECK(report::inches_text(48, german()) == "1 1/2 Zoll");
}

TEST_CASE("lengths to mark on a post measured in inches") {
  // 37 mm lies between 46/32 = 36.5125, which leaves too little air, and 47/32 = 37.30625.
  const report::LengthsToMark marks = marks_of(inch_post);
  CHECK(marks.cut == "37 mm (1 15/32 in)");
  CHECK(marks.left == "363.05 mm (14 9/32 in)");
  CHECK(marks.mark_up == "101.6 mm (4 in)");
  // 14 9/32 less 4, the shorter of what is left: from above, a line too low would be a danger.
  CHECK(marks.mark_down == "261.45 mm (10 9/32 in)");
}

TEST_CASE("lengths to mark on a steerer measured in inches") {
  // gap 2 to 5 asks for cuts of 75.025 to 78.025; 76 lies beside 96/32 = 76.2
  const report::LengthsToMark marks = marks_of(inch_fork);
  CHECK(marks.cut == "76 mm (3 in)");
  CHECK(marks.left == "224 mm (8 13/16 in)");
  CHECK(marks.gap == "3.0 mm (1/8 in)");
}

TEST_CASE("an inch that would leave the window is not printed") {
  // 36.925 to 37 has no mark of the rule in it.
  const report::LengthsToMark marks = marks_of(inch_post + "max_cut = 37\n");
  CHECK(marks.cut == "37 mm");
  CHECK(marks.left == "363.05 mm");
  // The line is no length of the cut; rounded up it does no harm.
  CHECK(marks.mark_up == "101.6 mm (4 in)");
}

TEST_CASE("a new line is rounded up only as far as the post reaches") {
  // The maker's 101 mm lies between 127/32 = 100.80625, too low, and 128/32 = 101.6.
  const std::string line = "mark = \"4 in\"\n";
  std::string text = inch_post;
  text.replace(text.find(line), line.size(), "mark = \"3 31/32 in\"\nmin_insertion = 101\n");
  CHECK(marks_of(text).mark_up == "101 mm (4 in)");
  // At its highest, 260.75, 400.05 - 37 - 260.75 = 102.3 stays in; post, saddle and saw, each
  // within 0.5, leave 2 * sqrt(3 * 0.25 / 3) = 1.0 of doubt: 0.3 to spare, where 0.6 would be
  // needed.
  const std::string height = "height = \"5 1/2 in\"\n";
  text.replace(text.find(height), height.size(), height + "highest = 260.75\n");
  CHECK(marks_of(text).mark_up == "101 mm");
}

TEST_CASE("a metric job has no inches and a size in inches makes none") {
  std::string text = inch_fork;
  text.replace(text.find("\"2 7/8 in\""), 10, "73.025");
  text.replace(text.find("material"), 8, "diameter = \"1 1/8 in\"\nmaterial");
  const report::LengthsToMark marks = marks_of(text);
  CHECK_FALSE(report::in_inches(planned::job_of(text)));
  CHECK(marks.cut == "76 mm");
  CHECK(marks.left == "224 mm");
  CHECK(marks.gap == "3.0 mm");
}

TEST_CASE("a figure is shown as it was written") {
  const auto shown = [](const std::string& value) {
    std::string text = inch_post;
    text.replace(text.find("\"15 3/4 in\""), 11, value);
    const plan::Job job = planned::job_of(text);
    return report::as_written(*job.post.length, job, english());
  };
  CHECK(shown("\"15 3/4 in\"") == "15 3/4 in (400.1 mm)");
  CHECK(shown("\" 15 3/4\\\" \"") == "15 3/4\" (400.1 mm)");
  CHECK(shown("{ read = \"15.75 inches\", within = 1 }") == "15.75 inches (400.1 mm)");
  // (400.05 + 398.4625) / 2 = 399.25625
  CHECK(shown("[\"15 3/4 in\", \"15 11/16 in\"]") == "15 3/4 in, 15 11/16 in (399.3 mm)");
  CHECK(shown("[\"15 3/4 in\", 400]") == "400.02 mm");
  CHECK(shown("400.5") == "400.5 mm");
  CHECK(shown("\"40 cm\"") == "400 mm");
}
