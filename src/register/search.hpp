#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine.hpp"
#include "kerfmark/register/register.hpp"

namespace kerfmark::records {

/// Words as people type them, with blanks between.
[[nodiscard]] std::vector<std::string_view> typed_words(std::string_view text);

/// The same as a question in FTS5's language: each is a word of the record, or begins one, and none
/// means more than its letters. Empty where there is no word.
enum class TextMatch { whole, beginnings };
[[nodiscard]] std::string question_for(std::string_view typed, TextMatch how);

/// What a filter asks for, as SQL of each engine with the values for its parameters.
struct Conditions {
  void add(const Sql& condition, const std::string& value);  ///< an empty value asks for nothing

  std::string in_file, on_server;
  std::vector<std::string> values;
};
/// `of_text` is how the question for the full text is put.
[[nodiscard]] Conditions conditions_of(const Filter& filter, const Sql& of_text,
                                       const std::string& question);

/// What the stored text of a record of forgetting lists: "forgets = [1, 3]".
[[nodiscard]] std::vector<std::int64_t> forgets_in(std::string_view text);

/// A question to the view `cut`, after what WITH RECURSIVE is to begin with, if anything. On a
/// server the view is part of each question: what stands in a view there cannot be held against its
/// text.
[[nodiscard]] Sql of_cut(const std::string& select, const std::string& with = {});

/// What a row says of a record from its time on, in the order of RecordSummary; gives the column
/// after it.
int read_summary(const Query& row, int column, RecordSummary& summary);

/// A row of the view `cut`.
[[nodiscard]] Record record_in(const Query& row);
[[nodiscard]] std::vector<Record> records_in(Query& rows);
inline constexpr int columns_of_cut = 20;

}  // namespace kerfmark::records
