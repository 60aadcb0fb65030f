#pragma once

#include <optional>
#include <vector>

#include "kerfmark/plan/job.hpp"

/// Which heights a handful of rings can make. Ring heights are rounded to hundredths of a
/// millimetre, halves up.
namespace kerfmark::plan {

/// Sums of two separate sets of rings: those below a stem and those above it.
struct RingSplit {
  Length below;
  Length above;
  bool operator==(const RingSplit&) const = default;
};

/// Rings may miss a wanted sum by this much and still count as making it (common practice).
inline constexpr double ring_tolerance_mm = 0.5;

/// Every sum from `lowest` to `highest` that some of the rings form while others form `total` less
/// that sum above, each within the tolerance; lowest first, equal sums once. `above` is the sum
/// that comes nearest, the smaller on a tie. Time grows with rings × highest × total, not with the
/// number of subsets.
[[nodiscard]] std::vector<RingSplit> ring_splits(const std::vector<Length>& rings, Length lowest,
                                                 Length highest, Length total);

/// Every sum that some of the rings form, none being the sum 0; ascending.
[[nodiscard]] std::vector<Length> ring_sums(const std::vector<Length>& rings);

/// The fewest rings whose sum is exactly this, tallest first; empty where none have it.
[[nodiscard]] std::optional<std::vector<Length>> fewest_rings(const std::vector<Length>& rings,
                                                              Length sum);

struct RingSets {
  std::vector<Length> below, above;  ///< tallest first
  bool operator==(const RingSets&) const = default;
};

/// Separate sets of rings with exactly these two sums, as ring_splits() found them; the fewest
/// below and then above, where that leaves enough.
[[nodiscard]] std::optional<RingSets> rings_for(const std::vector<Length>& rings, RingSplit split);

}  // namespace kerfmark::plan
