#include "kerfmark/plan/rings.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>

#include "kerfmark/measure/doubt.hpp"

namespace kerfmark::plan {
namespace {

using Tenths = std::size_t;

constexpr double tenths_in_mm = 10.0;
constexpr std::size_t word_bits = 64;

Tenths tenths(Length length) {
  return static_cast<Tenths>(std::llround(std::max(0.0, length.in_mm() * tenths_in_mm)));
}

Length length_of(Tenths t) { return measure::millimetres(static_cast<double>(t) / tenths_in_mm); }

// The tenths that lie within the tolerance of a length, which need not be a whole tenth itself.
Tenths first_within(double mm) {
  const double first = (mm - ring_tolerance_mm) * tenths_in_mm - measure::grain;
  return first <= 0.0 ? 0 : static_cast<Tenths>(std::ceil(first));
}
// One past the last; 0 where there is none.
Tenths past_within(double mm) {
  const double last = std::floor((mm + ring_tolerance_mm) * tenths_in_mm + measure::grain);
  return last < 0.0 ? 0 : static_cast<Tenths>(last) + 1;
}

// For each sum below up to `most_below`, which sums above up to `most_above` go with it: a row of
// bits for each sum below. Sums past the end of a row are dropped.
class Splits {
 public:
  Splits(Tenths most_below, Tenths most_above)
      : rows_(most_below + 1), width_(most_above / word_bits + 1), bits_(rows_ * width_, 0) {
    bits_.at(0) = 1;
  }

  // A ring goes above, below or is not used; rows from the end, so that none takes it twice.
  void add(Tenths ring) {
    for (Tenths below = rows_; below-- > 0;) {
      or_shifted(below, below, ring);
      if (below >= ring) {
        or_shifted(below, below - ring, 0);
      }
    }
  }

  [[nodiscard]] bool has(Tenths below, Tenths above) const {
    return below < rows_ && above / word_bits < width_ &&
           ((bits_[below * width_ + above / word_bits] >> (above % word_bits)) & 1U) != 0;
  }

 private:
  // row |= from << shift, perhaps the same row: high words first.
  void or_shifted(Tenths row, Tenths from, Tenths shift) {
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
  std::size_t width_;
  std::vector<std::uint64_t> bits_;
};

// The sum above that goes with `below` and comes nearest to what is wanted, within the tolerance.
std::optional<Tenths> nearest_above(const Splits& splits, Tenths below, double wanted_mm) {
  std::optional<Tenths> nearest;
  double least = std::numeric_limits<double>::infinity();
  for (Tenths t = first_within(wanted_mm); t < past_within(wanted_mm); ++t) {
    const double off = std::abs(static_cast<double>(t) / tenths_in_mm - wanted_mm);
    if (splits.has(below, t) && off < least - measure::grain) {
      least = off;
      nearest = t;
    }
  }
  return nearest;
}

}  // namespace

std::vector<RingSplit> ring_splits(const std::vector<Length>& rings, Length lowest, Length highest,
                                   Length total) {
  const Tenths first = first_within(lowest.in_mm());
  const Tenths past = past_within(highest.in_mm());
  const double most_above_mm = total.in_mm() - static_cast<double>(first) / tenths_in_mm;
  if (first >= past || past_within(most_above_mm) == 0) {
    return {};
  }
  Splits splits(past - 1, past_within(most_above_mm) - 1);
  for (const Length ring : rings) {
    splits.add(tenths(ring));
  }
  std::vector<RingSplit> found;
  for (Tenths below = first; below < past; ++below) {
    const Length sum = length_of(below);
    if (const auto above = nearest_above(splits, below, (total - sum).in_mm())) {
      found.push_back({sum, length_of(*above)});
    }
  }
  return found;
}

std::vector<Length> ring_sums(const std::vector<Length>& rings) {
  Tenths all = 0;
  for (const Length ring : rings) {
    all += tenths(ring);
  }
  // One row is enough: every ring is above or not used.
  Splits sums(0, all);
  for (const Length ring : rings) {
    sums.add(tenths(ring));
  }
  std::vector<Length> found;
  for (Tenths t = 0; t <= all; ++t) {
    if (sums.has(0, t)) {
      found.push_back(length_of(t));
    }
  }
  return found;
}

std::optional<RingSets> rings_for(const std::vector<Length>& rings, RingSplit split) {
  Tenths below = tenths(split.below);
  Tenths above = tenths(split.above);
  // splits[n]: what the first n rings can do; walked back from the last.
  std::vector<Splits> splits = {Splits(below, above)};
  for (const Length ring : rings) {
    splits.push_back(splits.back());
    splits.back().add(tenths(ring));
  }
  if (!splits.back().has(below, above)) {
    return std::nullopt;
  }
  RingSets sets;
  for (std::size_t n = rings.size(); n-- > 0;) {
    const Tenths ring = tenths(rings[n]);
    if (splits[n].has(below, above)) {
      continue;
    }
    if (ring <= below && splits[n].has(below - ring, above)) {
      sets.below.push_back(length_of(ring));
      below -= ring;
    } else {
      sets.above.push_back(length_of(ring));
      above -= ring;
    }
  }
  std::ranges::sort(sets.below, std::ranges::greater{});
  std::ranges::sort(sets.above, std::ranges::greater{});
  return sets;
}

}  // namespace kerfmark::plan
