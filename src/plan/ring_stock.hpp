#pragma once

#include <optional>
#include <vector>

#include "kerfmark/plan/job.hpp"

/// Which spacers lie on the bench and on the steerer, and which of them make a change of so many
/// millimetres.
namespace kerfmark::plan {

struct RingStock {
  /// Ring by ring, in the stem's highest position; empty where only a sum is known.
  std::optional<std::vector<Length>> below, above;
  std::vector<Length> lowest;                ///< that stay below the stem in its lowest position
  std::optional<std::vector<Length>> spare;  ///< on hand and not on the steerer; empty: not said
};

/// Of a job whose rings stand in lists.
[[nodiscard]] RingStock ring_stock_of(const Job& listed);

struct RingExchange {
  std::vector<Length> out, in;  ///< tallest first
};

/// Rings of `here` that go and rings of `spare` that come, so that the sum changes by `least_mm` to
/// `most_mm`, which may be negative: as few rings as can be, then nearest to the middle. Empty
/// where no rings do that. Time grows with rings × sum, not with the number of subsets.
[[nodiscard]] std::optional<RingExchange> pick_rings(const std::vector<Length>& here,
                                                     const std::vector<Length>& spare,
                                                     double least_mm, double most_mm);

}  // namespace kerfmark::plan
