#include "ring_stock.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "planned.hpp"

// Which spacers do it, by hand: of all sets that make the change, one with the fewest that are
// handled, and of those the one nearest to the middle.
using namespace kerfmark;
using plan::Length;
using planned::Near;

namespace {

using Heights = std::vector<double>;

std::vector<Length> rings(const Heights& heights) {
  std::vector<Length> list;
  for (const double height : heights) {
    list.push_back(measure::millimetres(height));
  }
  return list;
}

Heights in_mm(const std::vector<Length>& list) {
  Heights heights;
  for (const Length ring : list) {
    heights.push_back(ring.in_mm());
  }
  return heights;
}

struct Row {
  const char* what;
  Heights here, spare;
  double least, most;
  Heights out, in;
};

}  // namespace

TEST_CASE("the fewest spacers that make a change - nearest to the middle") {
  const Row rows[] = {
      {"exactly what is asked for", {}, {2.5}, 2.5, 2.5, {}, {2.5}},
      {"exactly that, of several", {}, {0.1, 0.2, 0.3}, 0.6, 0.6, {}, {0.3, 0.2, 0.1}},
      {"the middle of 1 to 4 is 2.5", {}, {1, 3}, 1, 4, {}, {3}},
      {"one ring before two that come nearer", {}, {1, 3}, 3, 4.5, {}, {3}},
      {"two rings where one will not do", {}, {1, 3}, 3.5, 4.5, {}, {3, 1}},
      {"one ring goes", {20, 10, 5}, {}, -12, -8, {10}, {}},
      {"one goes before two that come nearer", {20, 11, 5, 4.5}, {}, -12, -7, {11}, {}},
      {"one goes and one comes", {35}, {5, 20}, -17, -14, {35}, {20}},
      {"all go", {20, 10, 5}, {}, -35, -35, {20, 10, 5}, {}},
      {"nothing has to", {5}, {5}, 0, 1, {}, {}},
      {"rings count in hundredths", {}, {2.504}, 2.496, 2.501, {}, {2.504}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto picked = plan::pick_rings(rings(row.here), rings(row.spare), row.least, row.most);
    REQUIRE(picked.has_value());
    CHECK(in_mm(picked->out) == row.out);
    CHECK(in_mm(picked->in) == row.in);
  }
}

TEST_CASE("no spacers make it where none do") {
  CHECK_FALSE(plan::pick_rings(rings({20, 15}), {}, -12, -9).has_value());
  CHECK_FALSE(plan::pick_rings({}, rings({3, 3}), 4, 5).has_value());
  CHECK_FALSE(plan::pick_rings(rings({5}), {}, -9, -6).has_value());  // more than there is
  CHECK_FALSE(plan::pick_rings({}, {}, 1, 60).has_value());
  CHECK_FALSE(plan::pick_rings({}, rings({2.5}), 2.51, 60).has_value());
  CHECK_FALSE(plan::pick_rings({}, rings({2.5}), 1, 2.49).has_value());
}

namespace {

// Of a set of rings that stand in the end: how many were handled, and how far the sum is from the
// middle, in hundredths.
using Worth = std::pair<int, double>;

// Every set there is, of heights in hundredths.
std::optional<Worth> best_of_all(const std::vector<int>& here, const std::vector<int>& spare,
                                 int least, int most) {
  std::optional<Worth> best;
  const std::size_t count = here.size() + spare.size();
  for (std::size_t set = 0; set < std::size_t{1} << count; ++set) {
    int change = 0;
    int handled = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const bool stands = (set >> i & 1U) != 0;
      if (i < here.size() && !stands) {
        change -= here[i];
        ++handled;
      } else if (i >= here.size() && stands) {
        change += spare[i - here.size()];
        ++handled;
      }
    }
    if (least <= change && change <= most) {
      const Worth worth{handled, std::abs(change - (least + most) / 2.0)};
      best = best ? std::min(*best, worth) : worth;
    }
  }
  return best;
}

int hundredths(const std::vector<Length>& list) {
  int sum = 0;
  for (const Length ring : list) {
    sum += static_cast<int>(std::lround(ring.in_mm() * 100));
  }
  return sum;
}

}  // namespace

TEST_CASE("of all sets of spacers there is none that does it with fewer or nearer to the middle") {
  std::mt19937 random(1);
  const auto between = [&](int least, int most) {
    return std::uniform_int_distribution<int>(least, most)(random);
  };
  int made = 0;
  int not_made = 0;
  for (int turn = 0; turn < 2000; ++turn) {
    CAPTURE(turn);
    std::vector<int> here(static_cast<std::size_t>(between(0, 4)));
    std::vector<int> spare(static_cast<std::size_t>(between(0, 5)));
    const int unit = turn % 2 == 0 ? 50 : 1;  // by half millimetres as they are sold, or any
    Heights here_mm;
    Heights spare_mm;
    for (auto [list, heights] : {std::pair{&here, &here_mm}, std::pair{&spare, &spare_mm}}) {
      for (int& ring : *list) {
        ring = between(1, 20) * unit;
        heights->push_back(ring / 100.0);
      }
    }
    const int least = between(-40, 40) * unit;
    const int most = least + between(0, 6) * unit;
    const auto best = best_of_all(here, spare, least, most);
    const auto picked =
        plan::pick_rings(rings(here_mm), rings(spare_mm), least / 100.0, most / 100.0);
    REQUIRE(picked.has_value() == best.has_value());
    ++(best ? made : not_made);
    if (best) {
      const int change = hundredths(picked->in) - hundredths(picked->out);
      CHECK(picked->in.size() + picked->out.size() == static_cast<std::size_t>(best->first));
      CHECK(std::abs(change - (least + most) / 2.0) == Near{best->second});
      CHECK(change >= least);
      CHECK(change <= most);
    }
  }
  CHECK(made > 300);
  CHECK(not_made > 300);
}
