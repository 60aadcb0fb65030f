#include "full_text.hpp"

#include <algorithm>
#include <array>
#include <set>

namespace kerfmark::records {
namespace {

// An index of PostgreSQL holds no longer ones (2046 bytes); what begins alike to here is told apart
// by FTS5.
constexpr std::size_t longest_word = 200;

// sqlite.org/fts5.html 7
fts5_api* api_of(Database& database) {
  fts5_api* api = nullptr;
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v2(database.handle(), "SELECT fts5(?1)", -1, &statement, nullptr);
  sqlite3_bind_pointer(statement, 1, static_cast<void*>(&api), "fts5_api_ptr", nullptr);
  sqlite3_step(statement);
  sqlite3_finalize(statement);
  return api;
}

int keep_token(void* context, int /*flags*/, const char* token, int size, int /*start*/,
               int /*end*/) {
  static_cast<std::vector<std::string>*>(context)->emplace_back(token,
                                                                static_cast<std::size_t>(size));
  return SQLITE_OK;
}

std::string shortened(const std::string& token) { return token.substr(0, longest_word); }

std::string quoted(const std::string& token) {
  std::string text = "'";
  for (const char c : shortened(token)) {
    text += c == '\'' || c == '\\' ? std::string(2, c) : std::string(1, c);
  }
  return text + "'";
}

}  // namespace

FullText::FullText() : database_(Database::in_memory("words in memory")) {
  database_->run(
      "CREATE VIRTUAL TABLE search USING fts5 (job_number, bike, owner, notes,"
      " tokenize = 'unicode61 remove_diacritics 2')");
  fts5_api* const api = api_of(*database_);
  std::array<const char*, 2> options = {"remove_diacritics", "2"};
  void* context = nullptr;
  if (api == nullptr || api->xFindTokenizer(api, "unicode61", &context, &functions_) != SQLITE_OK ||
      functions_.xCreate(context, options.data(), static_cast<int>(options.size()), &tokenizer_) !=
          SQLITE_OK) {
    throw Trouble("use", "SQLite", "it has no full text (FTS5)");
  }
}

FullText::~FullText() {
  if (tokenizer_ != nullptr) {
    functions_.xDelete(tokenizer_);
  }
}

std::vector<std::string> FullText::tokens_of(std::string_view text) {
  std::vector<std::string> tokens;
  const std::string bytes(text);
  functions_.xTokenize(tokenizer_, &tokens, FTS5_TOKENIZE_DOCUMENT, bytes.data(),
                       static_cast<int>(bytes.size()), keep_token);
  return tokens;
}

std::string FullText::words_of(const RecordSummary& summary, const PersonalData& personal_data) {
  std::set<std::string> words;
  for (const std::string* text :
       {&summary.job_number, &summary.bike, &personal_data.owner, &personal_data.notes}) {
    for (const std::string& token : tokens_of(*text)) {
      words.insert(shortened(token));
    }
  }
  std::string joined;
  for (const std::string& word : words) {
    joined += (joined.empty() ? "" : " ") + word;
  }
  return joined;
}

std::string FullText::tsquery_for(std::string_view typed, TextMatch how) {
  std::string query;
  for (const std::string_view phrase : typed_words(typed)) {
    const std::vector<std::string> tokens = tokens_of(phrase);
    for (std::size_t i = 0; i < tokens.size(); ++i) {
      const bool begins = how == TextMatch::beginnings && i + 1 == tokens.size();
      query += (query.empty() ? "" : " & ") + quoted(tokens[i]) + (begins ? ":*" : "");
    }
  }
  return query;
}

std::vector<Record> FullText::found_among(std::vector<Record> records, std::string_view typed,
                                          TextMatch how) {
  const Transaction undone(*database_, Transaction::Kind::writing);
  for (const Record& record : records) {
    database_->make_findable(record.identity.number, record.summary,
                             record.personal_data.value_or(PersonalData{}));
  }
  Query rows = database_->query("SELECT rowid FROM search WHERE search MATCH ?");
  rows.with(question_for(typed, how));
  std::set<std::int64_t> found;
  while (rows.step()) {
    found.insert(rows.whole(0));
  }
  std::erase_if(records,
                [&](const Record& record) { return !found.contains(record.identity.number); });
  return records;
}

}  // namespace kerfmark::records
