#pragma once

#include <optional>
#include <string>

#include "kerfmark/report/statement.hpp"

/// Parts of a statement that are said before and after the cut alike.
namespace kerfmark::report {

/// All of a statement that is another one once the part is cut.
void tell_after_cut(const Telling& telling, Statement& s);

[[nodiscard]] LimitLine limit_line(const plan::JudgedLimit& limit, const Telling& telling);

[[nodiscard]] StepAnswer answer_of(plan::RemedyKind kind);

/// What a remedy asks for, as a step to take.
[[nodiscard]] Step step_of(std::string why, const plan::Remedy& remedy, const Telling& telling);

/// "123.4 mm (saddle lowest 130.1, highest 110.2)".
/// What the topper of a mast takes of spacers, and how far it misses the saddle's lowest height.
[[nodiscard]] std::string spacers_in_words(const plan::AtHeights& spacers,
                                           const text::Words& words);

[[nodiscard]] std::string insertion_in_words(const plan::AtHeights& insertion,
                                             const text::Words& words);

/// Saddle heights with the way they are measured; "none" where there are none.
[[nodiscard]] std::string saddle_heights_in_words(const std::optional<plan::Span>& heights,
                                                  const Telling& telling);

}  // namespace kerfmark::report
