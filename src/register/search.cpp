#include "search.hpp"

#include <algorithm>
#include <charconv>

#include "database.hpp"

namespace kerfmark::records {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

}  // namespace

std::string question_for(std::string_view words, Words how) {
  std::string question;
  std::size_t at = 0;
  while (at < words.size()) {
    if (is_blank(words[at])) {
      ++at;
      continue;
    }
    question += question.empty() ? "\"" : " \"";
    for (; at < words.size() && !is_blank(words[at]); ++at) {
      question += words[at] == '"' ? "\"\"" : std::string(1, words[at]);
    }
    question += how == Words::whole ? "\"" : "\" *";
  }
  return question;
}

std::vector<std::int64_t> forgets_in(std::string_view text) {
  std::vector<std::int64_t> numbers;
  std::size_t at = 0;
  while ((at = text.find_first_of("0123456789", at)) != std::string_view::npos) {
    std::int64_t number = 0;
    const char* const stop = text.data() + text.size();
    const auto [end, error] = std::from_chars(text.data() + at, stop, number);
    if (error == std::errc{}) {
      numbers.push_back(number);
    }
    at = static_cast<std::size_t>(end - text.data());
  }
  return numbers;
}

Record record_in(const Query& row) {
  int column = 0;
  Record record;
  record.mark.number = row.whole(column++);
  record.mark.hash = row.text(column++);
  Facts& facts = record.facts;
  facts.replaces = row.maybe_whole(column++);
  record.replaced_by = row.maybe_whole(column++);
  facts.made_utc = row.text(column++);
  facts.program_version = row.text(column++);
  facts.kind = row.text(column++);
  facts.verdict = row.text(column++);
  facts.job_number = row.text(column++);
  facts.bike = row.text(column++);
  facts.by = row.text(column++);
  facts.checked_by = row.text(column++);
  facts.planned_cut_mm = row.maybe_real(column++);
  facts.actual_cut_mm = row.maybe_real(column++);
  facts.after_verdict = row.maybe_text(column++);
  facts.paper = row.text(column++);
  facts.language = row.text(column++);
  if (!row.is_null(column)) {
    record.people = People{row.text(column), row.text(column + 1)};
  }
  record.forgets = forgets_in(row.text(column + 2));
  return record;
}

namespace {

std::vector<Record> found(Database& database, const Filter& filter, Words how) {
  std::string sql;
  std::vector<std::string> values;
  const auto add = [&](std::string_view condition, const std::string& value) {
    if (!value.empty()) {
      sql += sql.empty() ? " WHERE " : " AND ";
      sql += condition;
      values.insert(values.end(), static_cast<std::size_t>(std::ranges::count(condition, '?')),
                    value);
    }
  };
  const std::string question = question_for(filter.find, how);
  add("search MATCH ?", question);
  add("kind = ?", filter.kind);
  add("verdict = ?", filter.verdict);
  add("(by_whom = ? COLLATE NOCASE OR checked_by = ? COLLATE NOCASE)", filter.by);
  add("made_utc >= ?", filter.from_utc);
  add("made_utc < ?", filter.before_utc);
  // The rows of the full text come in the order of their numbers by themselves, newest first.
  const bool by_text = !question.empty();
  sql = (by_text ? "SELECT cut.* FROM search CROSS JOIN cut ON cut.number = search.rowid" + sql +
                       " ORDER BY search.rowid"
                 : "SELECT * FROM cut" + sql + " ORDER BY number") +
        " DESC LIMIT ?";
  Query rows = database.query(sql);
  for (const std::string& value : values) {
    rows.with(value);
  }
  rows.with(filter.most ? static_cast<std::int64_t>(*filter.most) : std::int64_t{-1});
  std::vector<Record> records;
  while (rows.step()) {
    records.push_back(record_in(rows));
  }
  return records;
}

}  // namespace

// Whole words come in order by themselves, however many records have them; beginnings have to be
// gathered first.
std::vector<Record> Database::found_by(const Filter& filter) {
  std::vector<Record> records = found(*this, filter, Words::whole);
  if (records.empty() && !filter.find.empty()) {
    records = found(*this, filter, Words::beginnings);
  }
  return records;
}

}  // namespace kerfmark::records
