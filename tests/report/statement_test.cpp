#include "kerfmark/report/statement.hpp"

#include <cctype>
#include <set>
#include <string>
#include <vector>

#include "../plan/planned.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/report/wording.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Plan;
using plan::Verdict;
using report::Statement;

// Whoever reads a hold or a reject must not find a length to saw. Cut lengths stand in nothing but
// `if_settled` then.

namespace {

/// All that a person reads first: everything but the figures for when the doubt is settled, and the
/// table of limits.
std::vector<std::string> read_first(const Statement& s) {
  std::vector<std::string> texts = {s.verdict, s.headline, s.because, s.limits_title};
  for (const report::Figure& figure : s.figures) {
    texts.push_back(figure.label);
    texts.push_back(figure.value);
  }
  for (const report::Step& step : s.next) {
    texts.push_back(step.why);
    texts.push_back(step.action);
  }
  // How far an expander must reach is said for the cut that the figures would give.
  std::ranges::copy_if(s.cautions, std::back_inserter(texts), [](const std::string& caution) {
    return caution.find("(expander.to)") == std::string::npos;
  });
  return texts;
}

std::set<std::string> numbers_in(const std::vector<std::string>& texts) {
  std::set<std::string> numbers;
  for (const std::string& text : texts) {
    std::string number;
    for (const char c : text + " ") {
      const bool digit = std::isdigit(static_cast<unsigned char>(c)) != 0;
      if (digit || (c == '.' && !number.empty())) {
        number += c;
      } else if (!number.empty()) {
        while (number.back() == '.') {
          number.pop_back();
        }
        numbers.insert(number);
        number.clear();
      }
    }
  }
  return numbers;
}

plan::Job with_step(plan::Job job, double mm) {
  job.saw.step->nominal = millimetres(mm);
  return job;
}

plan::Job with_wanted(plan::Job job, double mm) {
  job.saw.wanted = plan::Measured<plan::Length>{millimetres(mm), std::nullopt};
  return job;
}

bool concluded(const Plan& plan) {
  return plan.before.verdict == Verdict::cut || plan.before.verdict == Verdict::keep;
}

}  // namespace

TEST_CASE("the planned cut of a hold or reject changes nothing that is read first") {
  // Another step of the saw moves the planned cut and nothing else; a text that stays the same
  // cannot have told it.
  std::size_t open = 0;
  std::size_t cuts = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(600); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      plan::Job job = planned::job_of(text);
      job.saw.wanted.reset();
      const Plan first = plan::plan_cut(with_step(job, 0.1));
      const plan::Job coarse = with_step(job, 7);
      const Plan second = plan::plan_cut(coarse);
      if (!first.planned || !second.planned || first.planned == second.planned) {
        continue;
      }
      REQUIRE(first.before.verdict == second.before.verdict);
      const Statement a = report::statement_of({with_step(job, 0.1), first, planned::english()});
      const Statement b = report::statement_of({coarse, second, planned::english()});
      if (concluded(first)) {
        CHECK(read_first(a) != read_first(b));
        ++cuts;
        continue;
      }
      CHECK(read_first(a) == read_first(b));
      REQUIRE(a.limits.size() == b.limits.size());
      for (std::size_t i = 0; i < a.limits.size(); ++i) {
        CHECK(a.limits[i].has == b.limits[i].has);
        CHECK(a.limits[i].margin == b.limits[i].margin);
      }
      CHECK_FALSE(a.if_settled.empty());
      ++open;
    }
  }
  CHECK(open > random_job::jobs(50));
  CHECK(cuts > 50);
}

TEST_CASE("a wanted cut that is held or rejected is not told as a length to saw") {
  // Cuts print with two decimals, all other figures with one: such a number can be nothing else.
  std::size_t open = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(600); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = with_wanted(planned::job_of(text), 10.37 + seed % 70);
      const Plan plan = plan::plan_cut(job);
      if (concluded(plan)) {
        continue;
      }
      const auto numbers =
          numbers_in(read_first(report::statement_of({job, plan, planned::english()})));
      CHECK(numbers.count(report::plain(plan.before.at.in_mm(), planned::english())) == 0);
      if (plan.before.remaining && plan.before.remaining->in_mm() > 0.0) {
        const std::string left = report::plain(plan.before.remaining->in_mm(), planned::english());
        // Whatever the grid of the job, unless it happens to be a whole tenth.
        if (left.find('.') != std::string::npos && left.size() - left.find('.') == 3) {
          CHECK(numbers.count(left) == 0);
        }
      }
      ++open;
    }
  }
  CHECK(open > 200);
}

TEST_CASE("numbers are found in a text") {
  CHECK(numbers_in({"Cut 37.5 mm, 362.5 left.", "to 12. Or 7"}) ==
        std::set<std::string>{"37.5", "362.5", "12", "7"});
}
