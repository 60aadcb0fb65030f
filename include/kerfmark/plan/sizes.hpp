#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "kerfmark/plan/plan.hpp"

/// Which part serves which size: of many plans what decides between parts.
namespace kerfmark::plan {

struct SizeCell {
  Verdict verdict = Verdict::hold;
  Length cut;                  ///< of a cut
  std::optional<Span> saddle;  ///< heights that can be reached: of a cut after it, else uncut
  std::optional<Rule> limit;   ///< of a hold or reject, the first that is in the way
  std::size_t number = 0;      ///< of a blockage
  bool operator==(const SizeCell&) const = default;
};

[[nodiscard]] SizeCell cell_of(const Job& job, const Plan& plan);
/// The same of the plan of a job, without working out what would mend it: no cell says that, and it
/// takes most of the time.
[[nodiscard]] SizeCell cell_of(const Job& job);

/// One cell for each size (a row) and part.
struct SizeMatrix {
  std::size_t parts = 0;
  std::vector<SizeCell> cells;  ///< row by row
  [[nodiscard]] std::size_t rows() const { return parts == 0 ? 0 : cells.size() / parts; }
  [[nodiscard]] const SizeCell& at(std::size_t row, std::size_t part) const {
    return cells[row * parts + part];
  }
};

struct LeastSet {
  std::vector<std::size_t> parts;  ///< in their order
  /// For each row the part that serves it best: uncut before cut, then with the shortest cut, then
  /// in their order. Nothing where no part of the run serves it.
  std::vector<std::optional<std::size_t>> serves;
  bool proven = true;  ///< fewer parts cannot do; else the search was given up
};

/// Whether a cell that has to be cut serves anybody.
enum class Sawing { allowed, none };

/// The fewest parts that serve every row which any part serves; of several such sets the one with
/// the fewest rows to be cut, then with the least cut off, then the first in order. Its work is
/// counted, in looks at 64 rows of a part, so that no run takes forever (at the default, half a
/// second): past `most_work` it is the best that was found.
[[nodiscard]] LeastSet least_set(const SizeMatrix& matrix, Sawing sawing = Sawing::allowed,
                                 std::size_t most_work = 200'000'000);

}  // namespace kerfmark::plan
