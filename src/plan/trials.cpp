#include "kerfmark/plan/trials.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <memory>
#include <random>
#include <span>
#include <utility>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kind_rows.hpp"
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
    for (const JudgedLimit& limit : plan.before.limits) {
      const RuleRow& row = limit.row();
      signs_.push_back({row.bound == Bound::at_least ? 1.0 : -1.0, row.slope});
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
    const KindRow& kind = row_of(job_.kind);
    if (!impossible_triangles(job_).empty()) {
      return false;
    }
    const std::vector<Limit> limits = kind.limits(job_, plan_.before);
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

std::size_t chunks_of(std::size_t count) { return (count + in_a_chunk - 1) / in_a_chunk; }

// Makes the trials of chunks, and tells how many are done.
class Runner {
 public:
  Runner(const Job& job, const Plan& plan, const Trials& trials, const RunAll& run_all,
         const Progress& progress)
      : job_(job), plan_(plan), trials_(trials), run_all_(run_all), progress_(progress) {}

  // take(chunk, trial, margins) for each of the first `count` trials, in order within a chunk; the
  // margins are empty where a triangle is impossible.
  template <class Take>
  void run(std::size_t count, const Take& take) {
    run_all_(chunks_of(count), [&](std::size_t chunk) { run_chunk(chunk, count, take); });
  }
  void expect(std::size_t count) { expected_ += count; }
  void side_by_side(std::size_t count, const std::function<void(std::size_t)>& task) const {
    run_all_(count, task);
  }

 private:
  template <class Take>
  void run_chunk(std::size_t chunk, std::size_t count, const Take& take) {
    std::seed_seq stream{trials_.seed, static_cast<std::uint32_t>(chunk)};
    std::mt19937_64 random(stream);
    DrawnJob drawn(job_, plan_, trials_.at);
    std::vector<double> of_limits(plan_.before.limits.size());
    const std::size_t first = chunk * in_a_chunk;
    const std::size_t end = std::min(first + in_a_chunk, count);
    for (std::size_t trial = first; trial < end; ++trial) {
      drawn.draw(random);
      const bool possible = drawn.margins(of_limits);
      take(chunk, trial, possible ? std::span<const double>(of_limits) : std::span<const double>());
    }
    const std::size_t done = done_ += end - first;
    if (progress_) {
      progress_(done, expected_);
    }
  }

  const Job& job_;
  const Plan& plan_;
  const Trials& trials_;
  const RunAll& run_all_;
  const Progress& progress_;
  std::size_t expected_ = 0;
  std::atomic<std::size_t> done_ = 0;
};

void fill(const Margins& margins, Runner& runner) {
  runner.run(margins.row(0).size(), [&](std::size_t, std::size_t trial,
                                        std::span<const double> of_limits) {
    for (std::size_t i = 0; i < margins.limits().size(); ++i) {
      margins.row(i)[trial] = of_limits.empty() ? no_margin : of_limits[margins.limits()[i]];
    }
  });
}

// The margins that there are, to the front. Not std::ranges::remove_if: clang 14 does not take the
// subrange it returns.
std::span<double> possible_of(std::span<double> row) {
  const auto end = std::remove_if(row.begin(), row.end(), [](double m) { return m != m; });
  return row.first(static_cast<std::size_t>(end - row.begin()));
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

// What is compared with the margins of a limit, but for the ends of their interval.
struct Bounds {
  double holds;
  double guard;
};

Bounds bounds_of(const FirstOrder& first_order) {
  return {-measure::grain,
          first_order.standing.margin - first_order.standing.guard - measure::grain};
}

// What the trials of a limit come to.
struct Found {
  measure::Drawn margin;
  std::size_t possible = 0;
  std::size_t below_holds = 0;
  std::size_t below_guard = 0;
};

Found found_in(std::span<double> row, const Bounds& bounds) {
  const std::span<double> possible = possible_of(row);
  const auto below = [&](double bound) {
    return static_cast<std::size_t>(
        std::ranges::count_if(possible, [&](double m) { return m < bound; }));
  };
  return {measure::drawn_from(possible), possible.size(), below(bounds.holds), below(bounds.guard)};
}

double share(std::size_t part, std::size_t of) {
  return static_cast<double>(part) / static_cast<double>(of);
}

LimitTrials summary_of(const RuleRow& rule, const FirstOrder& first_order,
                       const measure::Readings& readings, const Found& found, std::size_t count) {
  const auto& [standing, slopes] = first_order;
  const double u = measure::standard_uncertainty(slopes, readings);
  LimitTrials summary;
  summary.margin = found.margin;
  summary.holds = share(found.possible, count) - share(found.below_holds, count);
  if (is_guarded(rule)) {
    summary.beyond_guard = share(found.below_guard, found.possible);
  }
  summary.tolerance = measure::numerical_tolerance(u);
  summary.first_order = measure::normal_interval(standing.margin, u);
  summary.validates = measure::validates(summary.first_order, summary.margin, summary.tolerance);
  if (found.possible < count) {
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

// ---- more margins than may be kept ----

// Margins that come into question for an end of the interval.
struct Bracket {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
};

// What the first trials of a limit say of where the rest will lie.
struct Outlook {
  double origin = 0.0;  // sums are taken around it, so that small differences keep their digits
  Bracket low, high;
};

// Around the place that a share of the margins lies below. One that reaches past the ends of the
// sample is open there.
Bracket bracket_of(std::span<const double> sorted, double below, double reach) {
  const auto size = static_cast<double>(sorted.size());
  const double to_either_side = reach * std::sqrt(size * below * (1.0 - below));
  const double first = std::floor(size * below - to_either_side);
  const double last = std::ceil(size * below + to_either_side);
  Bracket bracket;
  if (first >= 0.0) {
    bracket.low = sorted[static_cast<std::size_t>(first)];
  }
  if (last < size) {
    bracket.high = sorted[static_cast<std::size_t>(last)];
  }
  return bracket;
}

Outlook outlook_of(std::span<double> row, double reach) {
  const std::span<double> possible = possible_of(row);
  std::ranges::sort(possible);
  Outlook outlook;
  if (!possible.empty()) {
    outlook.origin = possible[possible.size() / 2];
  }
  outlook.low = bracket_of(possible, measure::outside_each_end, reach);
  outlook.high = bracket_of(possible, 1.0 - measure::outside_each_end, reach);
  return outlook;
}

// How the margins of one chunk, or of all, lie to a bracket. Those that are just its ends are only
// counted: there may be any number of them, as where a margin has a stop.
struct Sorted {
  std::size_t below = 0, at_low = 0, at_high = 0;
  std::vector<double> within;

  void add(const Bracket& bracket, double m) {
    if (m < bracket.low) {
      ++below;
    } else if (m == bracket.low) {
      ++at_low;
    } else if (m < bracket.high) {
      within.push_back(m);
    } else if (m == bracket.high) {
      ++at_high;
    }
  }
  void add(const Sorted& other) {
    below += other.below;
    at_low += other.at_low;
    at_high += other.at_high;
    within.insert(within.end(), other.within.begin(), other.within.end());
  }
  // The value at a place of all margins in order, from 0; empty where the bracket missed it. What
  // is kept is in order.
  [[nodiscard]] std::optional<double> at(const Bracket& bracket, std::size_t place) const {
    if (place < below) {
      return std::nullopt;
    }
    place -= below;
    if (place < at_low) {
      return bracket.low;
    }
    place -= at_low;
    if (place < within.size()) {
      return within[place];
    }
    return place - within.size() < at_high ? std::optional(bracket.high) : std::nullopt;
  }
};

// What is kept of the margins of one limit, of one chunk or of all.
struct Tally {
  double sum = 0.0, squares = 0.0;  // around the origin
  std::size_t possible = 0, below_holds = 0, below_guard = 0;
  Sorted low, high;

  void add(const Outlook& outlook, const Bounds& bounds, double m) {
    const double off = m - outlook.origin;
    sum += off;
    squares += off * off;
    ++possible;
    below_holds += m < bounds.holds ? 1 : 0;
    below_guard += m < bounds.guard ? 1 : 0;
    low.add(outlook.low, m);
    high.add(outlook.high, m);
  }
  void add(const Tally& other) {
    sum += other.sum;
    squares += other.squares;
    possible += other.possible;
    below_holds += other.below_holds;
    below_guard += other.below_guard;
    low.add(other.low);
    high.add(other.high);
  }
  void shrink() {
    low.within.shrink_to_fit();
    high.within.shrink_to_fit();
  }
};

// Chunks are put together in their order: a sum depends on it.
Tally total_of(std::span<const std::vector<Tally>> chunks, std::size_t limit) {
  Tally total;
  for (const std::vector<Tally>& chunk : chunks) {
    total.add(chunk[limit]);
  }
  std::ranges::sort(total.low.within);
  std::ranges::sort(total.high.within);
  return total;
}

// Empty where a bracket missed.
std::optional<Found> found_in(const Tally& tally, const Outlook& outlook) {
  const auto at_low = [&](std::size_t place) { return tally.low.at(outlook.low, place); };
  const auto at_high = [&](std::size_t place) { return tally.high.at(outlook.high, place); };
  const auto ends = measure::ends_of(tally.possible, at_low, at_high);
  if (!ends) {
    return std::nullopt;
  }
  const auto count = static_cast<double>(tally.possible);
  measure::Drawn drawn = *ends;
  drawn.mean = outlook.origin + tally.sum / count;
  const double squares = std::max(0.0, tally.squares - tally.sum * (tally.sum / count));
  drawn.standard_deviation = std::sqrt(squares / (count - 1.0));
  return Found{drawn, tally.possible, tally.below_holds, tally.below_guard};
}

// ---- all limits ----

class AllLimits {
 public:
  AllLimits(const Job& job, const Plan& plan, const TrialsOrder& order, Trials& trials,
            Runner& runner)
      : job_(job), plan_(plan), order_(order), trials_(trials), runner_(runner) {
    for (const JudgedLimit& limit : plan.before.limits) {
      first_order_.push_back(first_order_of(limit, trials));
    }
  }

  void run() {
    std::vector<std::size_t> drawn;  // limits that any reading enters
    for (std::size_t i = 0; i < first_order_.size(); ++i) {
      if (!first_order_[i].slopes.empty()) {
        drawn.push_back(i);
      }
    }
    const bool all_at_once = drawn.size() <= at_a_time();
    keep_all(all_at_once ? drawn : keep_few(drawn));
    const double possible = 1.0 - share(trials_.impossible, order_.count);
    for (std::size_t i = 0; i < first_order_.size(); ++i) {
      if (first_order_[i].slopes.empty()) {
        trials_.limits[i] =
            exact_summary(plan_.before.limits[i].row(), first_order_[i].standing.margin, possible);
      }
    }
  }

 private:
  [[nodiscard]] std::size_t at_a_time() const {
    return std::max<std::size_t>(1, order_.most_kept / order_.count);
  }
  void put(std::size_t limit, const Found& found) {
    trials_.limits[limit] = summary_of(plan_.before.limits[limit].row(), first_order_[limit],
                                       job_.readings, found, order_.count);
  }

  // Keeps every margin, of as many limits at a time as there is room for.
  void keep_all(const std::vector<std::size_t>& limits) {
    runner_.expect(order_.count * ((limits.size() + at_a_time() - 1) / at_a_time()));
    for (std::size_t first = 0; first < limits.size(); first += at_a_time()) {
      const auto begin = limits.begin() + static_cast<std::ptrdiff_t>(first);
      const std::size_t size = std::min(at_a_time(), limits.size() - first);
      const Margins margins({begin, begin + static_cast<std::ptrdiff_t>(size)}, order_.count);
      fill(margins, runner_);
      trials_.impossible = static_cast<std::size_t>(
          std::ranges::count_if(margins.row(0), [](double m) { return m != m; }));
      runner_.side_by_side(size, [&](std::size_t i) {
        const std::size_t limit = margins.limits()[i];
        put(limit, found_in(margins.row(i), bounds_of(first_order_[limit])));
      });
    }
  }

  // Keeps the margins that come into question for an end of an interval; gives back the limits of
  // which an end was missed.
  std::vector<std::size_t> keep_few(const std::vector<std::size_t>& limits) {
    const std::size_t sampled = sample_size(limits.size());
    runner_.expect(sampled + order_.count);
    const std::vector<Outlook> outlooks = outlooks_of(limits, sampled);
    std::vector<Bounds> bounds;
    for (const std::size_t limit : limits) {
      bounds.push_back(bounds_of(first_order_[limit]));
    }
    std::vector<std::vector<Tally>> chunks(chunks_of(order_.count));
    runner_.run(order_.count,
                [&](std::size_t chunk, std::size_t trial, std::span<const double> of_limits) {
                  std::vector<Tally>& tallies = chunks[chunk];
                  tallies.resize(limits.size());
                  for (std::size_t i = 0; i < limits.size() && !of_limits.empty(); ++i) {
                    tallies[i].add(outlooks[i], bounds[i], of_limits[limits[i]]);
                  }
                  if ((trial + 1) % in_a_chunk == 0) {
                    std::ranges::for_each(tallies, &Tally::shrink);
                  }
                });
    std::vector<std::optional<Found>> found(limits.size());
    runner_.side_by_side(limits.size(), [&](std::size_t i) {
      found[i] = found_in(total_of(chunks, i), outlooks[i]);
    });
    std::vector<std::size_t> missed;
    for (std::size_t i = 0; i < limits.size(); ++i) {
      if (found[i]) {
        trials_.impossible = order_.count - found[i]->possible;
        put(limits[i], *found[i]);
      } else {
        missed.push_back(limits[i]);
      }
    }
    return missed;
  }

  // A hundred thousand put the ends within 3 % of their places, so that some 1.6 % of all margins
  // are kept; where there is less room, whole chunks.
  [[nodiscard]] std::size_t sample_size(std::size_t limits) const {
    constexpr std::size_t enough = 10;
    const std::size_t room = order_.most_kept / 2 / limits / in_a_chunk;
    return std::min(order_.count, in_a_chunk * std::clamp<std::size_t>(room, 1, enough));
  }

  [[nodiscard]] std::vector<Outlook> outlooks_of(const std::vector<std::size_t>& limits,
                                                 std::size_t sampled) const {
    const Margins margins(limits, sampled);
    fill(margins, runner_);
    std::vector<Outlook> outlooks(limits.size());
    runner_.side_by_side(limits.size(), [&](std::size_t i) {
      outlooks[i] = outlook_of(margins.row(i), order_.kept_reach);
    });
    return outlooks;
  }

  const Job& job_;
  const Plan& plan_;
  const TrialsOrder& order_;
  Trials& trials_;
  Runner& runner_;
  std::vector<FirstOrder> first_order_;
};

}  // namespace

Trials run_trials(const Job& job, const Plan& plan, const TrialsOrder& order, const RunAll& run_all,
                  const Progress& progress) {
  const std::size_t count = order.count;
  require(count >= fewest_trials && count <= most_trials, "so many trials are not made");
  Trials trials{.count = count,
                .seed = order.seed,
                .at = order.uncut ? Length{} : plan.before.at,
                .limits = std::vector<LimitTrials>(plan.before.limits.size())};
  Runner runner(job, plan, trials, run_all, progress);
  AllLimits(job, plan, order, trials, runner).run();
  return trials;
}

}  // namespace kerfmark::plan
