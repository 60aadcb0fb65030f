#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::report {

/// Everything that is said of a part once it is cut, worded and rounded once, in one language.
struct AfterStatement {
  std::string verdict;   ///< one word: "FIT", "HOLD", "UNFIT"
  std::string headline;  ///< a sentence: whether it may be ridden
  std::string because;   ///< a sentence: the nearest limit, or what stands in the way
  std::string title;     ///< of the figures: "After the cut"
  std::vector<Figure> figures;
  std::string limits_title;
  std::vector<LimitLine> limits;
  std::vector<Step> next;  ///< never empty
};

/// The job says what was measured after the cut: `plan.after` is there.
[[nodiscard]] AfterStatement after_statement_of(const plan::Job& job, const plan::Plan& plan,
                                                const text::Words& words);

[[nodiscard]] std::string_view word(plan::AfterVerdict verdict);  ///< "fit", "hold", "unfit"

}  // namespace kerfmark::report
