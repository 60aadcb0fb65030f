#include "kerfmark/plan/trials.hpp"

#include <algorithm>
#include <limits>
#include <memory>
#include <random>
#include <span>
#include <utility>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/seatpost.hpp"
#include "limits_again.hpp"
#include "part.hpp"

namespace kerfmark::plan {
namespace {

using measure::ReadingIndex;

// Trials that share one stream of random numbers, and one task: some milliseconds of work.
constexpr std::size_t in_a_chunk = 10'000;

// What stands for the margins of a trial that has none.
constexpr double no_margin = std::numeric_limits<double>::quiet_NaN();

// Uniform in [−1, 1) from the 53 leading bits: std::uniform_real_distribution may differ from one
// library to the next, the generator may not.
double drawn_from_rectangle(std::mt19937_64& random) {
  constexpr int dropped = 11;
  return static_cast<double>(random() >> dropped) * 0x1p-52 - 1.0;
}

// The rings chosen for a wish stand in its place. No limit asks where the bar is.
void settle_wishes(Job& job) {
  const auto settle = [](Rings& wished, Rings& rings) {
    if (wished) {
      rings = std::exchange(wished, std::nullopt);
    }
  };
  settle(job.wished.below, job.spacers.below);
  settle(job.wished.lowest, job.spacers.lowest);
  settle(job.wished.highest, job.spacers.highest);
  job.bar = {};
  job.stem.length.reset();
}

// A value of the job that came from a reading, and what was read.
template <class Q>
struct Place {
  Q* value;
  Q read;
  ReadingIndex reading;
};

// A job whose values are drawn anew for each trial. Its readings are taken out, so that what is
// reckoned carries no doubt and takes no time for it.
class DrawnJob {
 public:
  DrawnJob(const Job& job, const Plan& plan, Length cut)
      : job_(job), plan_(plan), cut_(cut), drawn_(job.readings.size(), 0.0) {
    settle_wishes(job_);
    for (const measure::Reading& reading : job.readings) {
      half_widths_.push_back(reading.half_width_base);
    }
    for (const ReadingIndex after : readings_of_after(job)) {
      half_widths_[after] = 0.0;
    }
    for_every_measured(job_, [&](auto& measured) {
      if (measured.reading && half_widths_[*measured.reading] > 0.0) {
        add(measured.nominal, *measured.reading);
      }
      measured.reading.reset();
    });
    for (const JudgedLimit& limit : plan.limits) {
      const RuleRow& row = limit.row();
      signs_.push_back({row.bound == Bound::at_least ? 1.0 : -1.0, static_cast<double>(row.sense)});
    }
  }
  // The places point into the job.
  DrawnJob(const DrawnJob&) = delete;
  DrawnJob& operator=(const DrawnJob&) = delete;

  // Every reading is drawn, also one that no limit asks for, so that none depends on what the
  // others are good for.
  void draw(std::mt19937_64& random) {
    for (ReadingIndex i = 0; i < drawn_.size(); ++i) {
      if (half_widths_[i] > 0.0) {
        drawn_[i] = half_widths_[i] * drawn_from_rectangle(random);
      }
    }
    put(lengths_);
    put(angles_);
    put(masses_);
  }

  // The margins of what was drawn, at that cut; false where a triangle is impossible.
  bool margins(std::vector<double>& out) const {
    if (plan_.seatpost && !impossible_triangles(job_).empty()) {
      return false;
    }
    const std::vector<Limit> limits = plan_.seatpost
                                          ? seatpost_limits(job_, plan_.seatpost->by_mock_up)
                                          : steerer_limits(job_, plan_.steerer->by_mock_up);
    require(limits.size() == signs_.size(), "trials have other limits than their plan");
    const double cut = cut_ > Length{} ? cut_.in_mm() + drawn_[Job::saw_row] : 0.0;
    for (std::size_t i = 0; i < limits.size(); ++i) {
      out[i] =
          signs_[i].of_bound * (limits[i].has.base - limits[i].needs.base) + signs_[i].of_cut * cut;
    }
    return true;
  }

 private:
  struct Signs {
    double of_bound, of_cut;
  };

  void add(Length& value, ReadingIndex reading) { lengths_.push_back({&value, value, reading}); }
  void add(Angle& value, ReadingIndex reading) { angles_.push_back({&value, value, reading}); }
  void add(Mass& value, ReadingIndex reading) { masses_.push_back({&value, value, reading}); }

  template <class Q>
  void put(std::vector<Place<Q>>& places) {
    for (Place<Q>& place : places) {
      *place.value = place.read + Q::from_base(drawn_[place.reading]);
    }
  }

  Job job_;
  const Plan& plan_;
  Length cut_;
  std::vector<Place<Length>> lengths_;
  std::vector<Place<Angle>> angles_;
  std::vector<Place<Mass>> masses_;
  std::vector<double> half_widths_;  // of every reading
  std::vector<double> drawn_;        // what was added to it
  std::vector<Signs> signs_;         // of every limit
};

// Margins of a group of limits, one row a limit, in the order of the trials. Not filled before:
// each thread is the first to touch what it writes.
class Margins {
 public:
  Margins(std::vector<std::size_t> limits, std::size_t count)
      : limits_(std::move(limits)),
        count_(count),
        kept_(std::make_unique_for_overwrite<double[]>(limits_.size() * count)) {}

  [[nodiscard]] const std::vector<std::size_t>& limits() const { return limits_; }
  [[nodiscard]] std::span<double> row(std::size_t i) const {
    return {kept_.get() + i * count_, count_};
  }

 private:
  std::vector<std::size_t> limits_;  // by their places in the plan
  std::size_t count_;
  std::unique_ptr<double[]> kept_;
};

// Fills the trials of one chunk.
void run_chunk(const Job& job, const Plan& plan, const Trials& trials, std::size_t chunk,
               const Margins& margins) {
  std::seed_seq stream{trials.seed, static_cast<std::uint32_t>(chunk)};
  std::mt19937_64 random(stream);
  DrawnJob drawn(job, plan, trials.at);
  std::vector<double> of_limits(plan.limits.size());
  const std::size_t first = chunk * in_a_chunk;
  const std::size_t end = std::min(first + in_a_chunk, margins.row(0).size());
  for (std::size_t trial = first; trial < end; ++trial) {
    drawn.draw(random);
    if (!drawn.margins(of_limits)) {
      std::ranges::fill(of_limits, no_margin);
    }
    for (std::size_t i = 0; i < margins.limits().size(); ++i) {
      margins.row(i)[trial] = of_limits[margins.limits()[i]];
    }
  }
}

double share_below(std::span<const double> margins, double bound, std::size_t of) {
  const auto below = std::ranges::count_if(margins, [&](double m) { return m < bound; });
  return static_cast<double>(below) / static_cast<double>(of);
}

// What first order says of a limit at the cut of the trials.
struct FirstOrder {
  const Standing& standing;
  measure::Slopes slopes;
};

FirstOrder first_order_of(const JudgedLimit& limit, const Trials& trials) {
  if (trials.at > Length{}) {
    return {limit.at, limit.slopes};
  }
  measure::Slopes slopes = limit.slopes;
  std::erase_if(slopes, [](const measure::Slope& s) { return s.reading == Job::saw_row; });
  return {limit.uncut, std::move(slopes)};
}

LimitTrials summary_of(const RuleRow& rule, const FirstOrder& first_order,
                       const measure::Readings& readings, std::span<double> row) {
  // Not std::ranges::remove_if: clang 14 does not take the subrange it returns.
  const auto end = std::remove_if(row.begin(), row.end(), [](double m) { return m != m; });
  const std::span<double> possible = row.first(static_cast<std::size_t>(end - row.begin()));
  const auto& [standing, slopes] = first_order;
  const double u = measure::standard_uncertainty(slopes, readings);
  LimitTrials summary;
  summary.margin = measure::drawn_from(possible);
  summary.holds = static_cast<double>(possible.size()) / static_cast<double>(row.size()) -
                  share_below(possible, -measure::grain, row.size());
  if (is_guarded(rule)) {
    summary.beyond_guard =
        share_below(possible, standing.margin - standing.guard - measure::grain, possible.size());
  }
  summary.tolerance = measure::numerical_tolerance(u);
  summary.first_order = measure::normal_interval(standing.margin, u);
  summary.validates = measure::validates(summary.first_order, summary.margin, summary.tolerance);
  if (possible.size() < row.size()) {
    summary.validates = false;
  }
  return summary;
}

// A limit without any reading: every trial gives the same.
LimitTrials exact_summary(const RuleRow& rule, double m, double possible) {
  LimitTrials summary;
  summary.margin = {m, 0.0, {m, m}, {0.0, 0.0}};
  summary.first_order = {m, m};
  summary.holds = m >= -measure::grain ? possible : 0.0;
  if (is_guarded(rule)) {
    summary.beyond_guard = 0.0;
  }
  summary.validates = possible == 1.0;
  return summary;
}

}  // namespace

Trials run_trials(const Job& job, const Plan& plan, const TrialsOrder& order,
                  const RunAll& run_all) {
  const std::size_t count = order.count;
  require(count >= fewest_trials && count <= most_trials, "so many trials are not made");
  Trials trials{.count = count,
                .seed = order.seed,
                .at = order.uncut ? Length{} : plan.at,
                .limits = std::vector<LimitTrials>(plan.limits.size())};
  std::vector<FirstOrder> first_order;
  std::vector<std::size_t> drawn;  // limits that any reading enters
  for (const JudgedLimit& limit : plan.limits) {
    first_order.push_back(first_order_of(limit, trials));
    if (!first_order.back().slopes.empty()) {
      drawn.push_back(first_order.size() - 1);
    }
  }
  const std::size_t at_a_time = std::max<std::size_t>(1, order.most_kept / count);
  for (std::size_t first = 0; first < drawn.size(); first += at_a_time) {
    const auto begin = drawn.begin() + static_cast<std::ptrdiff_t>(first);
    const std::size_t size = std::min(at_a_time, drawn.size() - first);
    const Margins margins({begin, begin + static_cast<std::ptrdiff_t>(size)}, count);
    run_all((count + in_a_chunk - 1) / in_a_chunk,
            [&](std::size_t chunk) { run_chunk(job, plan, trials, chunk, margins); });
    trials.impossible = static_cast<std::size_t>(
        std::ranges::count_if(margins.row(0), [](double m) { return m != m; }));
    run_all(size, [&](std::size_t i) {
      const std::size_t limit = margins.limits()[i];
      trials.limits[limit] =
          summary_of(plan.limits[limit].row(), first_order[limit], job.readings, margins.row(i));
    });
  }
  const double possible = 1.0 - static_cast<double>(trials.impossible) / static_cast<double>(count);
  for (std::size_t i = 0; i < plan.limits.size(); ++i) {
    if (first_order[i].slopes.empty()) {
      trials.limits[i] =
          exact_summary(plan.limits[i].row(), first_order[i].standing.margin, possible);
    }
  }
  return trials;
}

}  // namespace kerfmark::plan
