#include "kerfmark/plan/rings.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <span>

#include "kerfmark/measure/doubt.hpp"

namespace kerfmark::plan {
namespace {

// Heights and sums in steps: the most hundredths of a millimetre of which every ring is a multiple.
// Rings as they are sold, by half millimetres, make tables of a fiftieth of the size.
using Steps = std::size_t;

constexpr double hundredths_in_mm = 100.0;
constexpr std::size_t word_bits = 64;

// Halves go up; a height that is a half but for its last binary digits is one.
std::size_t hundredths(Length length) {
  const double count = (length.in_mm() + measure::grain) * hundredths_in_mm + 0.5;
  return static_cast<std::size_t>(std::max(0.0, std::floor(count)));
}

// The rings on the bench, counted in steps.
class RingsInSteps {
 public:
  explicit RingsInSteps(const std::vector<Length>& rings) : step_(0) {
    for (const Length ring : rings) {
      rings_.push_back(hundredths(ring));
      step_ = std::gcd(step_, rings_.back());
    }
    step_ = std::max<std::size_t>(step_, 1);
    for (Steps& ring : rings_) {
      ring /= step_;
      all_ += ring;
    }
  }

  [[nodiscard]] const std::vector<Steps>& rings() const { return rings_; }
  [[nodiscard]] Steps all() const { return all_; }
  [[nodiscard]] Length length_of(Steps steps) const {
    return measure::millimetres(static_cast<double>(steps * step_) / hundredths_in_mm);
  }
  // The steps that make this sum to the hundredth; empty where none do, or there is not as much.
  [[nodiscard]] std::optional<Steps> exactly(Length sum) const {
    const std::size_t count = hundredths(sum);
    return count % step_ == 0 && count / step_ <= all_ ? std::optional(count / step_)
                                                       : std::nullopt;
  }
  // The steps that lie within the tolerance of a length, which need not be a whole step itself:
  // the first of them, and one past the last; 0 where there is none.
  [[nodiscard]] Steps first_within(double mm) const {
    const double first = (mm - ring_tolerance_mm - measure::grain) / step_mm();
    return first <= 0.0 ? 0 : static_cast<Steps>(std::ceil(first));
  }
  [[nodiscard]] Steps past_within(double mm) const {
    const double last = std::floor((mm + ring_tolerance_mm + measure::grain) / step_mm());
    return last < 0.0 ? 0 : std::min(static_cast<Steps>(last), all_) + 1;
  }

 private:
  [[nodiscard]] double step_mm() const { return static_cast<double>(step_) / hundredths_in_mm; }

  std::vector<Steps> rings_;
  std::size_t step_;  // in hundredths of a millimetre
  Steps all_ = 0;
};

// For each sum below up to `most_below`, which sums above up to `most_above` go with it: a row of
// bits for each sum below. Sums past the end of a row are dropped.
class Splits {
 public:
  Splits(Steps most_below, Steps most_above)
      : rows_(most_below + 1), width_(most_above / word_bits + 1), bits_(rows_ * width_, 0) {
    bits_.at(0) = 1;
  }

  // A ring goes above, below or is not used; rows from the end, so that none takes it twice. Rows
  // that no ring has reached so far are empty.
  void add(Steps ring) {
    reached_ = std::min(rows_, reached_ + ring);
    for (Steps below = reached_; below-- > 0;) {
      or_shifted(below, below, ring);
      if (below >= ring) {
        or_shifted(below, below - ring, 0);
      }
    }
  }

  void add(std::span<const Steps> rings) {
    for (const Steps ring : rings) {
      add(ring);
    }
  }

  // Of sums up to the two most.
  [[nodiscard]] bool has(Steps below, Steps above) const {
    return ((bits_[below * width_ + above / word_bits] >> (above % word_bits)) & 1U) != 0;
  }

  // Calls visit(below, above) for every pair until one call says true; whether one did.
  bool any_of(auto visit) const {
    for (std::size_t i = 0; i < bits_.size(); ++i) {
      for (std::uint64_t rest = bits_[i]; rest != 0; rest &= rest - 1) {
        const auto bit = static_cast<std::size_t>(std::countr_zero(rest));
        if (visit(i / width_, i % width_ * word_bits + bit)) {
          return true;
        }
      }
    }
    return false;
  }

 private:
  // row |= from << shift, perhaps the same row: high words first.
  void or_shifted(Steps row, Steps from, Steps shift) {
    const std::size_t words = shift / word_bits;
    const std::size_t bits = shift % word_bits;
    for (std::size_t i = width_; i-- > words;) {
      const std::size_t source = from * width_ + i - words;
      std::uint64_t moved = bits_[source] << bits;
      if (bits != 0 && i > words) {
        moved |= bits_[source - 1] >> (word_bits - bits);
      }
      bits_[row * width_ + i] |= moved;
    }
  }

  std::size_t rows_;
  std::size_t reached_ = 1;
  std::size_t width_;
  std::vector<std::uint64_t> bits_;
};

// The sum above that goes with `below` and comes nearest to what is wanted, within the tolerance.
std::optional<Steps> nearest_above(const Splits& splits, const RingsInSteps& in_steps, Steps below,
                                   double wanted_mm) {
  std::optional<Steps> nearest;
  double least = std::numeric_limits<double>::infinity();
  for (Steps s = in_steps.first_within(wanted_mm); s < in_steps.past_within(wanted_mm); ++s) {
    const double off = std::abs(in_steps.length_of(s).in_mm() - wanted_mm);
    if (splits.has(below, s) && off < least - measure::grain) {
      least = off;
      nearest = s;
    }
  }
  return nearest;
}

struct StepSets {
  std::vector<Steps> below, above;
};

// Takes rings into the sets so that they have exactly these sums, if that can be done. Both halves
// of the rings are looked at by themselves and their sums matched, so that no more than two tables
// are kept at a time.
bool take(std::span<const Steps> rings, Steps below, Steps above, StepSets& sets) {
  if (below == 0 && above == 0) {
    return true;
  }
  if (rings.size() == 1) {
    const bool goes_below = above == 0 && rings.front() == below;
    const bool goes_above = below == 0 && rings.front() == above;
    if (goes_below || goes_above) {
      (goes_below ? sets.below : sets.above).push_back(rings.front());
    }
    return goes_below || goes_above;
  }
  const auto first = rings.first(rings.size() / 2);
  const auto second = rings.subspan(rings.size() / 2);
  std::array<Steps, 2> of_first{};
  {
    Splits by_first(below, above);
    Splits by_second(below, above);
    by_first.add(first);
    by_second.add(second);
    const bool found = by_first.any_of([&](Steps b, Steps a) {
      of_first = {b, a};
      return a <= above && by_second.has(below - b, above - a);
    });
    if (!found) {
      return false;
    }
  }
  return take(first, of_first[0], of_first[1], sets) &&
         take(second, below - of_first[0], above - of_first[1], sets);
}

// The fewest rings with exactly this sum; empty where none have it.
std::optional<std::vector<Steps>> fewest(const std::vector<Steps>& rings, Steps wanted) {
  constexpr std::size_t never = std::numeric_limits<std::size_t>::max();
  // How many rings make each sum at the least; `taken` says with which of them that was found.
  std::vector<std::size_t> count(wanted + 1, never);
  count.front() = 0;
  std::vector<std::vector<bool>> taken;
  for (const Steps ring : rings) {
    taken.emplace_back(count.size(), false);
    for (Steps s = wanted; s >= ring && s > 0; --s) {
      if (count[s - ring] != never && count[s - ring] + 1 < count[s]) {
        count[s] = count[s - ring] + 1;
        taken.back()[s] = true;
      }
    }
  }
  if (count.back() == never) {
    return std::nullopt;
  }
  std::vector<Steps> used;
  Steps rest = wanted;
  for (std::size_t n = taken.size(); n-- > 0;) {
    if (taken[n][rest]) {
      used.push_back(rings[n]);
      rest -= used.back();
    }
  }
  return used;
}

// The fewest below and of what they leave the fewest above; empty where that does not work out.
std::optional<StepSets> fewest_of_each(std::vector<Steps> rings, Steps below, Steps above) {
  auto sets_below = fewest(rings, below);
  if (!sets_below) {
    return std::nullopt;
  }
  for (const Steps ring : *sets_below) {
    rings.erase(std::ranges::find(rings, ring));
  }
  auto sets_above = fewest(rings, above);
  return sets_above ? std::optional(StepSets{*std::move(sets_below), *std::move(sets_above)})
                    : std::nullopt;
}

std::vector<Length> lengths_of(std::vector<Steps> rings, const RingsInSteps& in_steps) {
  std::ranges::sort(rings, std::ranges::greater{});
  std::vector<Length> lengths;
  for (const Steps ring : rings) {
    lengths.push_back(in_steps.length_of(ring));
  }
  return lengths;
}

}  // namespace

std::vector<RingSplit> ring_splits(const std::vector<Length>& rings, Length lowest, Length highest,
                                   Length total) {
  const RingsInSteps in_steps(rings);
  const Steps first = in_steps.first_within(lowest.in_mm());
  const Steps past = in_steps.past_within(highest.in_mm());
  const double most_above_mm = (total - in_steps.length_of(first)).in_mm();
  if (first >= past || in_steps.past_within(most_above_mm) == 0) {
    return {};
  }
  Splits splits(past - 1, in_steps.past_within(most_above_mm) - 1);
  splits.add(in_steps.rings());
  std::vector<RingSplit> found;
  for (Steps below = first; below < past; ++below) {
    const Length sum = in_steps.length_of(below);
    if (const auto above = nearest_above(splits, in_steps, below, (total - sum).in_mm())) {
      found.push_back({sum, in_steps.length_of(*above)});
    }
  }
  return found;
}

std::vector<Length> ring_sums(const std::vector<Length>& rings) {
  const RingsInSteps in_steps(rings);
  // One row is enough: every ring is above or not used.
  Splits sums(0, in_steps.all());
  sums.add(in_steps.rings());
  std::vector<Length> found;
  for (Steps s = 0; s <= in_steps.all(); ++s) {
    if (sums.has(0, s)) {
      found.push_back(in_steps.length_of(s));
    }
  }
  return found;
}

std::optional<std::vector<Length>> fewest_rings(const std::vector<Length>& rings, Length sum) {
  const RingsInSteps in_steps(rings);
  const auto wanted = in_steps.exactly(sum);
  if (!wanted) {
    return std::nullopt;
  }
  auto used = fewest(in_steps.rings(), *wanted);
  return used ? std::optional(lengths_of(*std::move(used), in_steps)) : std::nullopt;
}

std::optional<RingSets> rings_for(const std::vector<Length>& rings, RingSplit split) {
  const RingsInSteps in_steps(rings);
  const auto below = in_steps.exactly(split.below);
  const auto above = in_steps.exactly(split.above);
  if (!below || !above || *below + *above > in_steps.all()) {
    return std::nullopt;
  }
  auto sets = fewest_of_each(in_steps.rings(), *below, *above);
  if (!sets) {
    sets.emplace();
    if (!take(in_steps.rings(), *below, *above, *sets)) {
      return std::nullopt;
    }
  }
  return RingSets{lengths_of(std::move(sets->below), in_steps),
                  lengths_of(std::move(sets->above), in_steps)};
}

}  // namespace kerfmark::plan
