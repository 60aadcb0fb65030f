#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "kerfmark/plan/sizes.hpp"
#include "kerfmark/report/view.hpp"
#include "kerfmark/text/words.hpp"

/// What a run of sizes came to, for people and for other programs.
namespace kerfmark::report {

struct SizesTelling {
  plan::Kind kind;
  const std::vector<std::string>& sizes;
  const std::vector<std::string>& ranges;  ///< one without a name: there are none
  const std::vector<std::string>& parts;
  const plan::SizeMatrix& matrix;  ///< a row for each size at each range
  const plan::LeastSet& least;
  const plan::LeastSet& whole;  ///< likewise where nothing is sawn

  [[nodiscard]] std::string row_name(std::size_t row) const;  ///< "S" or "S, low"
  [[nodiscard]] std::string cell_name(std::size_t row, std::size_t part) const;
  /// The cell of that name; nothing where there is none.
  [[nodiscard]] std::optional<std::pair<std::size_t, std::size_t>> cell_of(
      const std::string& name) const;
};

/// The word of a cell: "keep", "cut 50", "no (junction)", "hold (mark)".
[[nodiscard]] std::string size_word(const plan::SizeCell& cell, const text::Words& words);
/// From where to where the saddle can be set; empty where that is not known.
[[nodiscard]] std::string saddle_range(const plan::SizeCell& cell, const text::Words& words);

/// The matrix where it fits, the least set, and what it gives each size.
[[nodiscard]] std::string sizes_text(const SizesTelling& telling, const View& view,
                                     const text::Words& words);

/// A row for each cell.
[[nodiscard]] std::string sizes_csv(const SizesTelling& telling);

/// One line.
[[nodiscard]] std::string sizes_json(const SizesTelling& telling);

}  // namespace kerfmark::report
