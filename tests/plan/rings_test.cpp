#include "kerfmark/plan/rings.hpp"

#include <cmath>
#include <map>
#include <numeric>
#include <random>
#include <set>
#include <vector>

#include "planned.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Length;
using plan::ring_splits;
using plan::ring_sums;
using plan::rings_for;
using plan::RingSplit;
using planned::Near;

namespace {

std::vector<Length> lengths(const std::vector<double>& mm) {
  std::vector<Length> rings;
  for (const double ring : mm) {
    rings.push_back(millimetres(ring));
  }
  return rings;
}

double sum_of(const std::vector<Length>& rings) {
  return std::accumulate(rings.begin(), rings.end(), 0.0,
                         [](double sum, Length ring) { return sum + ring.in_mm(); });
}

/// Every sum below with every sum above that goes with it, in tenths of a millimetre: each ring is
/// below, above or left on the bench.
std::map<int, std::set<int>> every_split(const std::vector<int>& rings) {
  std::map<int, std::set<int>> all;
  const auto place = [&](auto& self, std::size_t next, int below, int above) -> void {
    if (next == rings.size()) {
      all[below].insert(above);
      return;
    }
    self(self, next + 1, below, above);
    self(self, next + 1, below + rings[next], above);
    self(self, next + 1, below, above + rings[next]);
  };
  place(place, 0, 0, 0);
  return all;
}

std::vector<double> below_of(const std::vector<RingSplit>& splits) {
  std::vector<double> below;
  for (const auto& split : splits) {
    below.push_back(split.below.in_mm());
  }
  return below;
}

}  // namespace

TEST_CASE("positions are those of an enumeration of all sets of rings") {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    std::mt19937 random(seed);
    const auto draw = [&](int least, int most) {
      return std::uniform_int_distribution<int>(least, most)(random);
    };
    // Twelve rings are half a million sets: once is enough, fewer do otherwise.
    const int count = seed == 1 ? 12 : draw(0, 7);
    std::vector<int> tenths;
    std::vector<Length> rings;
    const int grid = draw(0, 1) == 0 ? 1 : 25;
    for (int i = 0; i < count; ++i) {
      tenths.push_back(draw(1, 200 / grid) * grid + (grid == 1 ? 4 : 0));
      rings.push_back(millimetres(tenths.back() / 10.0));
    }
    const int lowest = draw(0, 200);
    const int highest = lowest + draw(0, 200);
    const int total = highest + draw(0, 150);

    std::map<int, int> want;
    for (const auto& [below, aboves] : every_split(tenths)) {
      if (below < lowest - 5 || below > highest + 5) {
        continue;
      }
      std::optional<int> nearest;
      for (const int above : aboves) {  // ascending: the smaller wins a tie
        const int off = std::abs(above + below - total);
        if (off <= 5 && (!nearest || off < std::abs(*nearest + below - total))) {
          nearest = above;
        }
      }
      if (nearest) {
        want[below] = *nearest;
      }
    }
    CAPTURE(seed);
    const auto found = ring_splits(rings, millimetres(lowest / 10.0), millimetres(highest / 10.0),
                                   millimetres(total / 10.0));
    REQUIRE(found.size() == want.size());
    std::size_t i = 0;
    for (const auto& [below, above] : want) {
      CHECK(found.at(i).below == Near{below / 10.0});
      CHECK(found.at(i).above == Near{above / 10.0});
      const auto sets = rings_for(rings, found.at(i));
      REQUIRE(sets.has_value());
      CHECK(sum_of(sets->below) == Near{below / 10.0});
      CHECK(sum_of(sets->above) == Near{above / 10.0});
      auto used = sets->below;
      used.insert(used.end(), sets->above.begin(), sets->above.end());
      auto bench = rings;
      std::ranges::sort(used);
      std::ranges::sort(bench);
      CHECK(std::ranges::includes(bench, used));
      ++i;
    }
  }
}

TEST_CASE("sums of rings are those of an enumeration") {
  for (unsigned seed = 1; seed <= 30; ++seed) {
    std::mt19937 random(seed);
    std::vector<int> tenths(std::uniform_int_distribution<std::size_t>(0, 10)(random));
    std::vector<Length> rings;
    for (int& ring : tenths) {
      ring = std::uniform_int_distribution<int>(5, 600)(random);
      rings.push_back(millimetres(ring / 10.0));
    }
    std::set<int> want;
    for (std::size_t set = 0; set < (std::size_t{1} << tenths.size()); ++set) {
      int sum = 0;
      for (std::size_t i = 0; i < tenths.size(); ++i) {
        sum += (set >> i & 1U) != 0 ? tenths[i] : 0;
      }
      want.insert(sum);
    }
    CAPTURE(seed);
    const auto found = ring_sums(rings);
    REQUIRE(found.size() == want.size());
    std::size_t i = 0;
    for (const int sum : want) {
      CHECK(found.at(i++) == Near{sum / 10.0});
    }
  }
}

TEST_CASE("equal sums are one position") {
  // 10 below is one ring or two; with the other 10 above it is one position.
  const auto found =
      ring_splits(lengths({10, 10, 5, 5}), millimetres(0), millimetres(30), millimetres(30));
  CHECK(below_of(found) == std::vector<double>{0, 5, 10, 15, 20, 25, 30});
}

TEST_CASE("half a millimetre is forgiven and no more") {
  struct Row {
    std::string_view what;
    double ring, lowest, highest, total;
    bool want;
  };
  const Row rows[] = {
      {"half a millimetre above the highest", 10.5, 0, 10, 10.5, true},
      {"a tenth more", 10.6, 0, 10, 10.6, false},
      {"half a millimetre below the lowest", 9.5, 10, 20, 9.5, true},
      {"a tenth more below", 9.4, 10, 20, 9.4, false},
      {"what stands above differs by a half", 10, 10, 10, 10.5, true},
      {"by a tenth more", 10, 10, 10, 10.6, false},
      {"the other way", 10, 10, 10, 9.5, true},
      {"a tenth more the other way", 10, 10, 10, 9.4, false},
      {"a total that is no tenth", 10, 10, 10, 10.45, true},
      {"and too far", 10, 10, 10, 10.55, false},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto found = ring_splits(lengths({row.ring}), millimetres(row.lowest),
                                   millimetres(row.highest), millimetres(row.total));
    const auto below = below_of(found);
    CHECK((std::ranges::find(below, row.ring) != below.end()) == row.want);
  }
}

TEST_CASE("of two sums above the nearer counts - the smaller on a tie") {
  const auto above_of = [](const std::vector<double>& rings, double total) {
    const auto found =
        ring_splits(lengths(rings), millimetres(0), millimetres(0), millimetres(total));
    REQUIRE(found.size() == 1);
    return found.front().above.in_mm();
  };
  CHECK(above_of({9.8, 10.4}, 10) == Near{9.8});
  CHECK(above_of({9.7, 10.2}, 10) == Near{10.2});
  CHECK(above_of({9.8, 10.2}, 10) == Near{9.8});
}

TEST_CASE("a bench without rings is one position and one sum") {
  CHECK(ring_sums({}) == std::vector{Length{}});
  CHECK(ring_splits({}, Length{}, millimetres(20), millimetres(20)).empty());
  CHECK(ring_splits({}, Length{}, millimetres(20), millimetres(0.5)) ==
        std::vector{RingSplit{Length{}, Length{}}});
}

TEST_CASE("sixty-four rings") {
  const std::vector<Length> ones(64, millimetres(1));
  CHECK(ring_sums(ones).size() == 65);
  const auto found = ring_splits(ones, Length{}, millimetres(40), millimetres(64));
  REQUIRE(found.size() == 41);
  CHECK(found.back().above == Near{24});
  // All of them are needed for each.
  const auto sets = rings_for(ones, found.back());
  REQUIRE(sets.has_value());
  CHECK(sets->below.size() == 40);
  CHECK(sets->above.size() == 24);
}

TEST_CASE("sums that no rings form have no sets") {
  CHECK_FALSE(rings_for(lengths({10, 5}), {millimetres(12), Length{}}).has_value());
  CHECK_FALSE(rings_for(lengths({10, 5}), {millimetres(10), millimetres(10)}).has_value());
  CHECK_FALSE(rings_for(lengths({10, 5, 5}), {millimetres(10), millimetres(7)}).has_value());
  CHECK_FALSE(rings_for(lengths({10}), {millimetres(5), Length{}}).has_value());
  CHECK_FALSE(rings_for(lengths({10}), {Length{}, millimetres(5)}).has_value());
  CHECK_FALSE(rings_for({}, {Length{}, millimetres(5)}).has_value());
  const auto sets = rings_for(lengths({5, 10, 2}), {millimetres(12), millimetres(5)});
  REQUIRE(sets.has_value());
  CHECK(sets->below == lengths({10, 2}));
  CHECK(sets->above == lengths({5}));
}

TEST_CASE("two rings below that leave none for above are exchanged for two that do") {
  // 10 is 6 and 4 or 7 and 3.
  const std::vector<Length> rings = lengths({6, 4, 7, 3});
  const auto six = rings_for(rings, {millimetres(10), millimetres(6)});
  REQUIRE(six.has_value());
  CHECK(six->below == lengths({7, 3}));
  CHECK(six->above == lengths({6}));
  const auto seven = rings_for(rings, {millimetres(10), millimetres(7)});
  REQUIRE(seven.has_value());
  CHECK(seven->below == lengths({6, 4}));
  CHECK(seven->above == lengths({7}));
}

TEST_CASE("rings count to the hundredth of a millimetre and halves go up") {
  // 3/8 in is 9.525; 1.0049 is nearer to 1.00. A figure a hair below its half, as binary has it,
  // is a half.
  CHECK(ring_sums({measure::inches(0.375)}) == lengths({0, 9.53}));
  CHECK(ring_sums(lengths({1.0049})) == lengths({0, 1}));
  CHECK(ring_sums(lengths({5.325 - 1e-10})) == lengths({0, 5.33}));
  CHECK(ring_sums(lengths({5.325 - 1e-6})) == lengths({0, 5.32}));
  // By tenths these two would be 10 and one position.
  CHECK(below_of(ring_splits(lengths({9.96, 10.04}), millimetres(9.5), millimetres(10.5),
                             millimetres(20))) == std::vector<double>{9.96, 10.04});
}

TEST_CASE("the fewest rings that make a sum") {
  const auto fewest = [](const std::vector<double>& rings, double sum) {
    return plan::fewest_rings(lengths(rings), millimetres(sum));
  };
  CHECK(*fewest({5, 2, 8, 5, 5, 10}, 15) == lengths({10, 5}));
  CHECK(*fewest({5, 5, 5}, 15) == lengths({5, 5, 5}));
  CHECK(*fewest({10, 2.5, 2.5, 5}, 0) == std::vector<Length>{});
  CHECK(*fewest({6, 4, 3, 3, 4}, 10) == lengths({6, 4}));
  CHECK(*fewest({0, 5}, 5) == lengths({5}));
  CHECK_FALSE(fewest({10, 5}, 12).has_value());
  CHECK_FALSE(fewest({10, 5}, 20).has_value());
  CHECK_FALSE(fewest({}, 5).has_value());
}

// No two of their heights are multiples of a larger step.
TEST_CASE("sixty-four rings of any height") {
  std::vector<Length> rings;
  for (int i = 0; i < 64; ++i) {
    rings.push_back(millimetres(1.01 + 0.07 * i));
  }
  const auto found = ring_splits(rings, millimetres(59), millimetres(60), millimetres(90));
  REQUIRE(found.size() > 100);
  const auto sets = rings_for(rings, found.front());
  REQUIRE(sets.has_value());
  CHECK(sum_of(sets->below) == Near{found.front().below.in_mm()});
  CHECK(sum_of(sets->above) == Near{found.front().above.in_mm()});
}
