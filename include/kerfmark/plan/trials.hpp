#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "kerfmark/measure/drawn.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

/// Propagation of distributions by a Monte Carlo method, JCGM 101:2008: every reading is drawn from
/// the rectangle of its half-width, and the saw where there is a cut, independently of each other;
/// the limits of the plan are reckoned from what was drawn, without any linearisation. Several
/// readings of one value are drawn once, around their mean. Routes, a ring sum chosen for a bar
/// height, and the cut stay as the plan chose them.
namespace kerfmark::plan {

/// With fewer, the ends of an interval scatter by more than a tenth of u.
inline constexpr std::size_t fewest_trials = 1000;
inline constexpr std::size_t most_trials = 10'000'000;

struct TrialsOrder {
  std::size_t count = 0;     ///< fewest_trials to most_trials
  std::uint32_t seed = 101;  ///< the same seed gives the same result
  /// Margins that may be kept at a time, 8 bytes each. Of more, only those are kept that may be an
  /// end of an interval, as the first trials show. Interval and shares come out the same; mean and
  /// standard deviation may differ in the last digits, being summed in another order.
  std::size_t most_kept = 20'000'000;
  /// How far to either side of an end the kept margins reach, in standard deviations of its place
  /// among the first trials. Beyond 6 lies one end in a hundred million; that limit is tried anew.
  double kept_reach = 6.0;
  bool uncut = false;  ///< with the part as it is, instead of at the cut the plan is about
};

/// What the trials say of one limit, in its unit.
struct LimitTrials {
  measure::Drawn margin;
  double holds = 0.0;  ///< share of the trials in which the margin is not below 0
  /// Share of the trials whose margin lies below the nominal one by more than the guard: how often
  /// a part would be passed wrongly whose margin is just its guard. Empty for limits that are
  /// compared as marked.
  std::optional<double> beyond_guard;
  measure::Interval first_order;  ///< m ± 1.96·u, u being the guard's own
  double tolerance = 0.0;         ///< measure::numerical_tolerance of that u
  /// measure::validates of the two intervals.
  std::optional<bool> validates;
  bool operator==(const LimitTrials&) const = default;
};

struct Trials {
  std::size_t count = 0;
  std::uint32_t seed = 0;
  Length at;  ///< the cut
  /// Trials whose lengths no triangle can have. They count as trials in which no limit holds, and
  /// for nothing else; where there are any, first order is not validated.
  std::size_t impossible = 0;
  std::vector<LimitTrials> limits;  ///< in the order of Plan::limits
  bool operator==(const Trials&) const = default;
};

/// Runs task(0) … task(count − 1), each once, in any order and on as many threads as it likes. The
/// core knows no threads; the result of the trials does not depend on how this is done.
using RunAll = std::function<void(std::size_t count, const std::function<void(std::size_t)>& task)>;

/// Told after every so many trials how many are done and how many there will be, the second growing
/// where some have to be made anew. Called from the tasks, so by several threads at once and not
/// always in order.
using Progress = std::function<void(std::size_t done, std::size_t of)>;

/// The trials of a plan that was made of this job.
[[nodiscard]] Trials run_trials(const Job& job, const Plan& plan, const TrialsOrder& order,
                                const RunAll& run_all, const Progress& progress = {});

}  // namespace kerfmark::plan
