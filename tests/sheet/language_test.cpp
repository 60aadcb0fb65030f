#include <set>
#include <string>

#include "../languages.hpp"
#include "../plan/planned.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "sheets.hpp"

using namespace kerfmark;

namespace {

/// A job without the texts of whoever wrote it, which stay in their language.
plan::Job without_texts(plan::Job job) {
  job.paperwork = {};
  for (plan::Blockage& blockage : job.frame.blockages) {
    blockage.what.clear();
  }
  return job;
}

bool is_text(const sheet::Ink& ink) {
  static const std::set<std::string> drawn = {"line", "rectangle", "polygon", "circle", "hatch"};
  return !drawn.contains(ink.what);
}

}  // namespace

TEST_CASE("no English word is left on a German sheet") {
  const std::set<std::string> forbidden = languages::english_only();
  std::set<plan::Verdict> verdicts;
  std::size_t looked_at = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= 60; ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = without_texts(planned::job_of(text));
      const plan::Plan plan = plan::plan_cut(job);
      verdicts.insert(plan.before.verdict);
      const auto printed = sheet::print_sheet(job, plan, sheets::plain_options("de"));
      for (const sheet::Ink& ink : printed.ink) {
        if (!is_text(ink)) {
          continue;
        }
        for (const std::string& word : languages::words_in(ink.what)) {
          CAPTURE(ink.what);
          CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
          ++looked_at;
        }
      }
    }
  }
  CHECK(verdicts.size() == 4);
  CHECK(looked_at > 20000);
}
