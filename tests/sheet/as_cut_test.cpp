// The sheet of a part that was cut: fit, hold or unfit, for both kinds, on both papers, in both
// languages. Which answer each job has is worked out by hand beside it.

#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "drawn_ink.hpp"
#include "kerfmark/report/statement.hpp"
#include "sheets.hpp"

using namespace kerfmark;

namespace {

struct Cut {
  std::string job;
  plan::Verdict verdict;
};

// A post of 400 with 140 out of the frame and a lip 225 deep; its mark is at 100.
std::string post(const std::string& left, const std::string& offcut) {
  return "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = 140\n"
         "[[frame.blockage]]\nwhat = \"lip\"\ndepth = 225\n[post]\nlength = 400\nmark = 100\n"
         "diameter = 27.2\nmaterial = \"carbon\"\ncutting = \"allowed\"\n[as_cut]\nlength = " +
         left + "\noffcut = " + offcut + "\n";
}

// A steerer of 300; its stack is 150 + 12 + 25 + 40 + 5 = 232 high.
std::string steerer(const std::string& left, const std::string& offcut, const std::string& gap) {
  return "kind = \"steerer\"\n[steerer]\nmaterial = \"carbon\"\nlength = 300\ndiameter = 28.6\n"
         "[frame]\nhead_tube = 150\n[headset]\nlower = { read = 0, within = 0 }\nupper = "
         "12\n[stem]\nclamp = 40\n[spacers]\n"
         "below = 25\nabove = 5\n[as_cut]\nlength = " +
         left + "\noffcut = " + offcut + "\ngap = " + gap + "\n";
}

std::vector<Cut> cuts() {
  using plan::Verdict;
  return {{post("362", "37"), Verdict::fit},              // 222 in the frame, 3 of air
          {post("362", "30"), Verdict::hold},             // 7 mm of post are nowhere
          {post("220", "179"), Verdict::unfit},           // 80 in the frame, 100 asked for
          {steerer("229", "70", "3"), Verdict::fit},      // 232 - 229 = 3
          {steerer("229", "75", "3"), Verdict::hold},     // 5 mm too much
          {steerer("213", "86", "19"), Verdict::unfit}};  // 19 - 5 = 14 below the stem, 5 allowed
}

sheet::Area room_of(sheet::Paper paper) {
  constexpr double edge = 10;  // mm; every printer reaches this far, common practice
  return {edge, edge, paper.width_mm - edge, paper.height_mm - edge};
}

bool says(const std::vector<sheet::Ink>& ink, const std::string& text) {
  return std::any_of(ink.begin(), ink.end(), [&](const sheet::Ink& one) {
    return one.what.find(text) != std::string::npos;
  });
}

void check_sheet(const plan::Job& job, const plan::Plan& plan, const sheet::SheetOptions& options) {
  const sheet::PrintedSheet printed = sheet::print_sheet(job, plan, options);
  CHECK(drawn_ink::text_in_the_way(printed.ink) == "");
  CHECK(drawn_ink::ink_outside(printed.ink, room_of(options.paper)) == "");
  const report::Statement after = report::statement_of({job, plan, options.words});
  CHECK(says(printed.ink, after.verdict));
  for (const report::LimitLine& limit : after.limits) {
    CAPTURE(limit.name);
    CHECK((says(printed.ink, limit.name) || !limit.stands_out));
  }
  // Nothing is cut any more: no waste, no line to saw along, no scissors.
  CHECK_FALSE(says(printed.ink, "hatch"));
  CHECK_FALSE(says(printed.ink, options.words.at("sheet.drawing.cut_line")));
  CHECK_FALSE(says(printed.ink, "✂"));
}

}  // namespace

TEST_CASE("the sheet of a part that was cut says what it is worth and cuts no more") {
  for (const Cut& cut : cuts()) {
    CAPTURE(cut.job);
    const plan::Job job = sheets::read(cut.job);
    const plan::Plan plan = plan::plan_cut(job);
    REQUIRE(plan.after);
    CHECK(plan.after->verdict == cut.verdict);
    for (const char* language : {"en", "de"}) {
      for (const sheet::Paper& paper : {sheet::a4, sheet::letter}) {
        CAPTURE(language);
        sheet::SheetOptions options = sheets::plain_options(language);
        options.paper = paper;
        check_sheet(job, plan, options);
      }
    }
  }
}
