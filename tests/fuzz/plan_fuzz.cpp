#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "../property/random_job.hpp"
#include "fuzz.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/plan/plan.hpp"

/// Plans, whatever the figures: the input is the seed of a random job and then changes to its
/// figures, so that nearly every input is a job.
using namespace kerfmark;

namespace {

using plan::HoldReason;
using plan::Job;
using plan::Judgement;
using plan::Plan;

constexpr double arithmetic = 1e-9;  // what sums of doubles leave, in mm, degrees or kg

struct Input {
  const std::uint8_t* data;
  std::size_t size;

  unsigned next() { return size == 0 ? 0U : (--size, static_cast<unsigned>(*data++)); }
};

void change(random_job::Tables& tables, Input& input) {
  std::vector<double*> figures;
  for (random_job::Table& table : tables) {
    for (random_job::Entry& entry : table.entries) {
      for (double& number : entry.value.numbers) {
        figures.push_back(&number);
      }
    }
  }
  while (input.size > 1 && !figures.empty()) {
    double& figure = *figures[input.next() % figures.size()];
    const int by = static_cast<int>(input.next()) - 128;
    figure = by % 2 == 0 ? figure + by / 16.0 : figure * (1.0 + by / 512.0);
  }
}

std::string job_text(Input input) {
  const auto make = random_job::makers.at(input.next() % random_job::makers.size());
  unsigned seed = 0;
  for (int byte = 0; byte < 3; ++byte) {
    seed = seed * 256 + input.next();
  }
  random_job::Random random(seed);
  random_job::Tables tables = make(random);
  change(tables, input);
  return random_job::text_of(tables);
}

// A wish that a wanted cut misses is only a caution. What came off is compared with the maker's
// most as it is: it cannot come off again.
bool holds_well(const plan::JudgedLimit& limit, const Judgement& judgement) {
  const bool only_wished = judgement.wanted && limit.row().origin == plan::Origin::wish;
  const bool as_it_is = judgement.is_after() && limit.rule == plan::Rule::max_cut;
  return only_wished || limit.at.margin >= (as_it_is ? 0.0 : limit.at.guard) - arithmetic;
}

// A yes rests on limits that hold by the figures given, each with its doubt.
void check_yes(const Judgement& judgement) {
  if (!plan::is_yes(judgement.verdict)) {
    return;
  }
  for (const plan::JudgedLimit& limit : judgement.limits) {
    require(holds_well(limit, judgement), "a yes with a limit that does not hold");
  }
}

// Readings that contradict each other agree once they are trusted less, and another route may be
// the better one then: that is no yes out of doubt.
constexpr auto contradictions = std::to_array<HoldReason>(
    {HoldReason::readings_disagree, HoldReason::routes_disagree, HoldReason::no_room_for_stack,
     HoldReason::halves_against_width, HoldReason::off_centre});

bool is_by_the_same_readings(const Judgement& narrow, const Judgement& wide) {
  const bool disagreed = std::ranges::any_of(narrow.holds, [](const plan::Hold& hold) {
    return std::ranges::find(contradictions, hold.reason) != contradictions.end();
  });
  const bool other_post =
      narrow.seatpost && narrow.seatpost->by_mock_up != wide.seatpost->by_mock_up;
  const bool other_steerer = narrow.steerer && narrow.steerer->gap_by != wide.steerer->gap_by;
  const bool other_bar =
      narrow.handlebar && narrow.handlebar->by_halves != wide.handlebar->by_halves;
  return !disagreed && !other_post && !other_steerer && !other_bar;
}

void check_wider(const Job& job, const Plan& plan, std::size_t which) {
  if (plan::is_yes(plan.before.verdict)) {
    return;
  }
  Job wider = job;
  measure::Reading& reading = wider.readings[which % wider.readings.size()];
  reading.half_width_base = reading.half_width_base * 1.5 + 0.1;
  const Judgement wide = plan::plan_cut(wider).before;
  require(!plan::is_yes(wide.verdict) || !is_by_the_same_readings(plan.before, wide),
          "a yes out of more doubt");
}

// The planned cut, made and measured without any doubt, is fit to ride by the limits that hold.
void check_applied(const Job& job, const Plan& plan) {
  if (plan.before.verdict != plan::Verdict::cut || !plan.before.remaining || job.as_cut.given()) {
    return;
  }
  Job made = job;
  made.readings.push_back({.key = "as_cut.length",
                           .values_base = {plan.before.remaining->in_mm()},
                           .half_width_base = 0.0,
                           .instrument = {},
                           .place = {}});
  made.as_cut.length =
      plan::Measured<plan::Length>{*plan.before.remaining, made.readings.size() - 1};
  const Judgement after = *plan::plan_cut(made).after;
  require(after.verdict != plan::Verdict::unfit, "cut as planned, and unfit");
  check_yes(after);
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text = job_text({data, size});
  const auto job = job::read_job(text, "fuzz.toml").job;
  if (!job || size == 0) {
    return 0;
  }
  const Plan plan = plan::plan_cut(*job);
  check_yes(plan.before);
  check_wider(*job, plan, data[size - 1]);
  check_applied(*job, plan);
  return 0;
}
