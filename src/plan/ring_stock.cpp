#include "ring_stock.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "kerfmark/plan/rings.hpp"
#include "remedied_job.hpp"

namespace kerfmark::plan {
namespace {

using Grain = std::size_t;  // hundredths of a millimetre, in which rings on hand count

constexpr double grains_in_mm = 100.0;

Grain grains(Length length) {
  return static_cast<Grain>(std::llround(length.in_mm() * grains_in_mm));
}

std::vector<Length> heights_of(const Rings& rings) {
  std::vector<Length> heights;
  for (const Measured<Length>& ring : rings.value_or(std::vector<Measured<Length>>{})) {
    heights.push_back(ring.nominal);
  }
  return heights;
}

// A list names each ring by its number, "spacers.below-2"; a sum has the key alone.
bool is_list(const Rings& rings, const measure::Readings& readings) {
  return !rings || std::ranges::all_of(*rings, [&](const Measured<Length>& ring) {
    return ring.reading && readings[*ring.reading].key.find('-') != std::string::npos;
  });
}

void take_from(std::vector<Length>& spare, const std::vector<Length>& used) {
  for (const Length ring : used) {
    const auto same =
        std::ranges::find_if(spare, [&](Length other) { return grains(other) == grains(ring); });
    if (same != spare.end()) {
      spare.erase(same);
    }
  }
}

}  // namespace

RingStock ring_stock_of(const Job& listed) {
  const Spacers& s = listed.spacers;
  RingStock ring_stock;
  ring_stock.lowest = heights_of(s.lowest);
  if (is_list(s.highest, listed.readings)) {
    ring_stock.below = heights_of(s.highest);
  }
  if (is_list(s.above, listed.readings)) {
    ring_stock.above = heights_of(s.above);
  }
  if (s.on_hand.empty()) {
    return ring_stock;
  }
  // A sum is made of rings on hand, if they make it.
  if (!ring_stock.below || !ring_stock.above) {
    const RingSplit split{measure::millimetres(sum_mm(s.highest)),
                          measure::millimetres(sum_mm(s.above))};
    if (const auto sets = rings_for(s.on_hand, split)) {
      ring_stock.below = sets->below;
      ring_stock.above = sets->above;
    }
  }
  ring_stock.spare = s.on_hand;
  for (const auto* used : {&ring_stock.below, &ring_stock.above}) {
    if (*used) {
      take_from(*ring_stock.spare, **used);
    }
  }
  return ring_stock;
}

std::optional<RingExchange> pick_rings(const std::vector<Length>& here,
                                       const std::vector<Length>& spare, double least_mm,
                                       double most_mm) {
  std::vector<Grain> heights;
  Grain now = 0;
  for (const Length ring : here) {
    heights.push_back(grains(ring));
    now += heights.back();
  }
  for (const Length ring : spare) {
    heights.push_back(grains(ring));
  }
  const double from = static_cast<double>(now) + least_mm * grains_in_mm - measure::grain;
  const double to = static_cast<double>(now) + most_mm * grains_in_mm + measure::grain;
  if (to < 0.0) {
    return std::nullopt;
  }
  const auto first = static_cast<Grain>(std::max(0.0, std::ceil(from)));
  const auto last = static_cast<Grain>(std::floor(to));

  // handled[s]: the fewest rings that change place so that those which stay or come make s.
  constexpr int never = std::numeric_limits<int>::max() / 2;
  std::vector<int> handled(last + 1, never);
  handled[0] = 0;
  std::vector<std::vector<bool>> used;  // of each ring in turn, by the sum
  for (std::size_t i = 0; i < heights.size(); ++i) {
    const int to_use = i < here.size() ? 0 : 1;
    used.emplace_back(last + 1, false);
    for (Grain s = last + 1; s-- > 0;) {
      const int without = handled[s] == never ? never : handled[s] + 1 - to_use;
      const int with = s >= heights[i] && handled[s - heights[i]] != never
                           ? handled[s - heights[i]] + to_use
                           : never;
      used.back()[s] = with < without;
      handled[s] = std::min(with, without);
    }
  }
  const double middle = (from + to) / 2.0;
  std::optional<Grain> best;
  for (Grain s = first; s <= last; ++s) {
    const auto off = [&](Grain sum) { return std::abs(static_cast<double>(sum) - middle); };
    if (handled[s] != never && (!best || handled[s] < handled[*best] ||
                                (handled[s] == handled[*best] && off(s) < off(*best)))) {
      best = s;
    }
  }
  if (!best) {
    return std::nullopt;
  }
  RingExchange picked;
  Grain left = *best;
  for (std::size_t i = heights.size(); i-- > 0;) {
    const bool stays_or_comes = used[i][left];
    if (stays_or_comes) {
      left -= heights[i];
    }
    if (i < here.size() && !stays_or_comes) {
      picked.out.push_back(here[i]);
    } else if (i >= here.size() && stays_or_comes) {
      picked.in.push_back(spare[i - here.size()]);
    }
  }
  std::ranges::sort(picked.out, std::ranges::greater{});
  std::ranges::sort(picked.in, std::ranges::greater{});
  return picked;
}

}  // namespace kerfmark::plan
