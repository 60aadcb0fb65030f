#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "database.hpp"
#include "search.hpp"

/// The full text of a register that is in no file: words are what SQLite's FTS5 takes for words,
/// and FTS5 itself has the last word on what is found, so that a question has the same answer
/// wherever the register is.
namespace kerfmark::records {

class FullText {
 public:
  FullText();
  FullText(const FullText&) = delete;
  FullText& operator=(const FullText&) = delete;
  ~FullText();

  /// The different words of a record in the order of their bytes, with a blank between.
  [[nodiscard]] std::string words_of(const RecordSummary& summary,
                                     const PersonalData& personal_data);

  /// What people typed as a tsquery of PostgreSQL, which finds at least what is asked for. Empty
  /// where there is no word in it.
  [[nodiscard]] std::string tsquery_for(std::string_view typed, TextMatch how);

  /// The records among these that are asked for, in their order.
  [[nodiscard]] std::vector<Record> found_among(std::vector<Record> records, std::string_view typed,
                                                TextMatch how);

 private:
  [[nodiscard]] std::vector<std::string> tokens_of(std::string_view text);

  std::unique_ptr<Database> database_;  ///< in memory
  fts5_tokenizer functions_{};
  Fts5Tokenizer* tokenizer_ = nullptr;
};

}  // namespace kerfmark::records
