#include "kerfmark/plan/sizes.hpp"

#include <algorithm>
#include <cstdint>
#include <random>
#include <string>
#include <tuple>
#include <vector>

#include <doctest/doctest.h>

#include "planned.hpp"

using namespace kerfmark;
using plan::LeastSet;
using plan::SizeCell;
using plan::SizeMatrix;
using plan::Verdict;

namespace {

// "k" keep, "n" no, a figure: cut by so much; a row for each text.
SizeMatrix matrix_of(const std::vector<std::string>& rows) {
  SizeMatrix matrix;
  matrix.parts = rows.front().size();
  for (const std::string& row : rows) {
    for (const char c : row) {
      SizeCell cell;
      cell.verdict = c == 'k' ? Verdict::keep : c == 'n' ? Verdict::reject : Verdict::cut;
      cell.cut = measure::millimetres(cell.verdict == Verdict::cut ? c - '0' : 0);
      matrix.cells.push_back(cell);
    }
  }
  return matrix;
}

// The words of the header once more, by all sets of parts there are.
std::vector<std::size_t> by_brute_force(const SizeMatrix& matrix) {
  std::vector<std::size_t> best;
  std::tuple<std::size_t, std::size_t, std::size_t, double, std::vector<std::size_t>> least;
  bool any = false;
  for (std::uint32_t set = 0; set < (1U << matrix.parts); ++set) {
    std::vector<std::size_t> parts;
    for (std::size_t part = 0; part < matrix.parts; ++part) {
      if (((set >> part) & 1U) != 0) {
        parts.push_back(part);
      }
    }
    std::size_t unserved = 0;
    std::size_t cut = 0;
    double off = 0.0;
    for (std::size_t row = 0; row < matrix.rows(); ++row) {
      double shortest = -1.0;
      for (const std::size_t part : parts) {
        const SizeCell& cell = matrix.at(row, part);
        if (plan::is_yes(cell.verdict)) {
          const double here = cell.verdict == Verdict::keep ? 0.0 : cell.cut.in_mm();
          shortest = shortest < 0.0 ? here : std::min(shortest, here);
        }
      }
      unserved += shortest < 0.0 ? 1 : 0;
      cut += shortest > 0.0 ? 1 : 0;
      off += std::max(shortest, 0.0);
    }
    const auto cost = std::tuple(unserved, parts.size(), cut, off, parts);
    if (!any || cost < least) {
      least = cost;
      best = parts;
      any = true;
    }
  }
  return best;
}

}  // namespace

TEST_CASE("a cell says what stands in the way and how far the saddle goes") {
  const auto cell = [](const std::string& text) { return plan::cell_of(planned::job_of(text)); };
  const std::string post =
      "kind = 'seatpost'\n[saddle]\nmeasured = 'extension'\nheight = 180\n[frame]\nseat_tube = "
      "500\n"
      "[post]\ndiameter = 27.2\nmaterial = 'aluminium'\ncutting = 'allowed'\n";
  // 250 − 180 = 70 in the frame, and the mark wants 100: no saw mends that.
  const SizeCell no = cell(post + "length = 250\nmark = 100\n");
  CHECK(no.verdict == Verdict::reject);
  CHECK(no.limit == plan::Rule::mark);
  // 400 − 180 = 220, and 120.4 with the doubt of two readings in the mark's: in doubt at the mark.
  const SizeCell doubt = cell(post + "length = 280.4\nmark = 100\n");
  CHECK(doubt.verdict == Verdict::hold);
  CHECK(doubt.limit == plan::Rule::mark);
  // Nobody knows the mark: no limit is what holds it.
  const SizeCell unknown = cell(post + "length = 400\nmark = 'unknown'\n");
  CHECK(unknown.verdict == Verdict::hold);
  CHECK_FALSE(unknown.limit.has_value());

  const std::string mast =
      "kind = 'mast'\n[saddle]\nmeasured = 'extension'\nheight = 150\nlowest = 148\nhighest = 154\n"
      "[topper]\nrise = 32.5\nspacers_most = 20\ngoes = 'over'\ngrip = 62\nmin_grip = 40\n"
      "[mast]\nkeep = 60\nmaterial = 'carbon'\ncutting = 'allowed'\n";
  const SizeCell cut = cell(mast + "length = 180\n");
  CHECK(cut.verdict == Verdict::cut);
  CHECK(cut.cut == planned::Near{64.0});
  // Of a cut the heights after it, else those of the mast as it is; by hand in mast_test.cpp.
  const auto of_mast = [&](const std::string& length) {
    return *planned::plan_of(mast + length).before.mast;
  };
  CHECK(cut.saddle == of_mast("length = 180\n").saddle_range_cut);
  CHECK_FALSE(cut.saddle == of_mast("length = 180\n").saddle_range_uncut);
  const SizeCell keep = cell(mast + "length = 114\n");
  CHECK(keep.verdict == Verdict::keep);
  CHECK(keep.saddle == of_mast("length = 114\n").saddle_range_uncut);

  // A bar has no saddle.
  const SizeCell bar = cell(
      "kind = 'handlebar'\n[handlebar]\nwidth = 780\nwanted = 740\nstraight = 190\nmaterial = "
      "'aluminium'\n"
      "cutting = 'allowed'\n[[controls]]\nwidth = 130\n[[controls]]\nwidth = 35\n");
  CHECK(bar.verdict == Verdict::cut);
  CHECK(bar.cut == planned::Near{20.0});
  CHECK_FALSE(bar.saddle.has_value());
}

TEST_CASE("the least set is that of all sets") {
  std::mt19937 random(7);  // any will do; the same each time
  const std::string letters = "knnn123456789";
  for (int run = 0; run < 400; ++run) {
    const std::size_t parts = 1 + random() % 8;
    std::vector<std::string> rows(1 + random() % 9);
    for (std::string& row : rows) {
      for (std::size_t part = 0; part < parts; ++part) {
        row += letters[random() % letters.size()];
      }
    }
    CAPTURE(run);
    const SizeMatrix matrix = matrix_of(rows);
    const LeastSet found = plan::least_set(matrix);
    CHECK(found.parts == by_brute_force(matrix));
    CHECK(found.proven);
  }
}

TEST_CASE("each row gets what serves it best") {
  const LeastSet found = plan::least_set(matrix_of({"k5n", "5kn", "nnn", "n32"}));
  CHECK(found.parts == std::vector<std::size_t>{1});
  CHECK(found.serves == std::vector<std::optional<std::size_t>>{1, 1, {}, 1});
  CHECK(plan::least_set(matrix_of({"nn"})).parts.empty());
  // Of two lengths that serve all, the one that leaves more whole.
  CHECK(plan::least_set(matrix_of({"kk", "1k"})).parts == std::vector<std::size_t>{1});
  // And where both are sawn as often, the one that is sawn less.
  CHECK(plan::least_set(matrix_of({"98", "k1"})).parts == std::vector<std::size_t>{0});
}

TEST_CASE("more rows than a word has bits") {
  std::vector<std::string> rows;
  std::vector<std::optional<std::size_t>> want;
  for (std::size_t row = 0; row < 130; ++row) {
    rows.emplace_back("nnn");
    rows.back()[row % 3] = 'k';
    want.emplace_back(row % 3);
  }
  const LeastSet found = plan::least_set(matrix_of(rows));
  CHECK(found.parts == std::vector<std::size_t>{0, 1, 2});
  CHECK(found.serves == want);
}

TEST_CASE("a search that is given up says so and serves all the same") {
  std::vector<std::string> rows(12, std::string(12, 'n'));
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i][i] = 'k';
    rows[i][(i + 5) % rows.size()] = 'k';
  }
  const LeastSet found = plan::least_set(matrix_of(rows), plan::Sawing::allowed, 100);
  CHECK_FALSE(found.proven);
  for (const auto& part : found.serves) {
    CHECK(part.has_value());
  }
  CHECK(plan::least_set(matrix_of(rows)).proven);
  // Given up before the first of the single parts was tried, two are not proven to be the fewest.
  const LeastSet two = plan::least_set(matrix_of({"kn", "nk"}), plan::Sawing::allowed, 3);
  CHECK(two.parts.size() == 2);
  CHECK_FALSE(two.proven);
  CHECK_FALSE(plan::least_set(matrix_of({"kn", "nk"}), plan::Sawing::allowed, 0).proven);
}
