#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "database.hpp"
#include "kerfmark/register/register.hpp"

namespace kerfmark::records {

/// Words as people type them, as a question in FTS5's language: each is a word of the record, or
/// begins one, and none means more than its letters. Empty where there is no word.
enum class Words { whole, beginnings };
[[nodiscard]] std::string question_for(std::string_view words, Words how);

[[nodiscard]] std::vector<Record> found_by(Database& database, const Filter& filter);

/// A row of the view `cut`.
[[nodiscard]] Record record_in(const Query& row);
inline constexpr int columns_of_cut = 19;

}  // namespace kerfmark::records
