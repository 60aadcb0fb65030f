#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine.hpp"
#include "kerfmark/register/register.hpp"

namespace kerfmark::records {

/// Words as people type them, as a question in FTS5's language: each is a word of the record, or
/// begins one, and none means more than its letters. Empty where there is no word.
enum class Words { whole, beginnings };
[[nodiscard]] std::string question_for(std::string_view words, Words how);

/// What the stored text of a record of forgetting lists: "forgets = [1, 3]".
[[nodiscard]] std::vector<std::int64_t> forgets_in(std::string_view text);

/// A row of the view `cut`.
[[nodiscard]] Record record_in(const Query& row);
inline constexpr int columns_of_cut = 20;

}  // namespace kerfmark::records
