#pragma once

#include <optional>
#include <string>

#include "kerfmark/report/statement.hpp"

/// Parts of a statement that are said before and after the cut alike.
namespace kerfmark::report {

/// A statement with the job and the cautions in it, and nothing else yet.
[[nodiscard]] Statement said_at_any_time(const plan::Job& job, const plan::Plan& plan,
                                         const text::Words& words);

[[nodiscard]] LimitLine limit_line(const plan::JudgedLimit& limit, const plan::Job& job,
                                   const plan::Judgement& now, const text::Words& words);

[[nodiscard]] Answer answer_of(plan::RemedyKind kind);

/// What a remedy asks for, as a step to take.
[[nodiscard]] Step step_of(std::string why, const plan::Remedy& remedy, const plan::Job& job,
                           const plan::Judgement& now, const text::Words& words);

/// "123.4 mm (saddle lowest 130.1, highest 110.2)".
[[nodiscard]] std::string insertion_in_words(const plan::AtHeights& insertion,
                                             const text::Words& words);

/// Saddle heights with the way they are measured; "none" where there are none.
[[nodiscard]] std::string saddle_heights_in_words(const std::optional<plan::Span>& heights,
                                                  const plan::Job& job, const text::Words& words);

}  // namespace kerfmark::report
