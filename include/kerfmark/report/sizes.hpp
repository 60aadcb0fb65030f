#pragma once

#include <cstddef>
#include <functional>
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

/// The limit in the way of a cell, as people call it; empty where there is none.
[[nodiscard]] std::string limit_of(const plan::SizeCell& cell, const text::Words& words);
/// The word of a cell: "keep", "cut 50", "no (junction)", "hold (mark)".
[[nodiscard]] std::string size_word(const plan::SizeCell& cell, const text::Words& words);
/// From where to where the saddle can be set, rounded inwards so that no height is promised that is
/// not there; an end that nothing limits is empty, and both are of a cell that is no yes.
struct SaddleEnds {
  std::string lo, hi;
};
[[nodiscard]] SaddleEnds saddle_ends(const plan::SizeCell& cell, const text::Words& words);
/// The same in words, with the unit; empty where there is nothing to say.
[[nodiscard]] std::string saddle_range(const plan::SizeCell& cell, const text::Words& words);

/// A sentence that names the parts of a set; `whole` is that with which nothing is sawn.
[[nodiscard]] std::string set_sentence(const SizesTelling& telling, const plan::LeastSet& set,
                                       bool whole, const text::Words& words);
/// A sentence that names the rows which no part of a set serves; empty: all are served.
[[nodiscard]] std::string unserved_sentence(const SizesTelling& telling, const plan::LeastSet& set,
                                            const text::Words& words);

/// The matrix where it fits, the least set, and what it gives each size.
[[nodiscard]] std::string sizes_text(const SizesTelling& telling, const View& view,
                                     const text::Words& words);

/// Where long answers go, piece by piece.
using Sink = std::function<void(const std::string&)>;

/// A row for each cell.
void sizes_csv(const SizesTelling& telling, const Sink& to);

/// One line, with its end.
void sizes_json(const SizesTelling& telling, const Sink& to);

}  // namespace kerfmark::report
