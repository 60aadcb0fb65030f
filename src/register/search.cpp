#include "search.hpp"

#include <algorithm>
#include <charconv>

#include "database.hpp"

namespace kerfmark::records {
namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

}  // namespace

std::vector<std::string_view> typed_words(std::string_view text) {
  std::vector<std::string_view> words;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t start = at;
    while (at < text.size() && !is_blank(text[at])) {
      ++at;
    }
    if (at > start) {
      words.push_back(text.substr(start, at - start));
    }
    ++at;
  }
  return words;
}

std::string question_for(std::string_view typed, TextMatch how) {
  std::string question;
  for (const std::string_view word : typed_words(typed)) {
    question += question.empty() ? "\"" : " \"";
    for (const char c : word) {
      question += c == '"' ? "\"\"" : std::string(1, c);
    }
    question += how == TextMatch::whole ? "\"" : "\" *";
  }
  return question;
}

Sql of_cut(const std::string& select, const std::string& with) {
  static const std::string cut =
      "cut AS (SELECT record.number, sha256, replaces,"
      " (SELECT later.number FROM record AS later WHERE later.replaces = record.number)"
      " AS replaced_by, made_utc, program_version, kind, verdict, job_number, bike, by_whom,"
      " checked_by, planned_cut_mm, actual_cut_mm, after_verdict, paper, language, owner, notes,"
      " CASE kind WHEN 'forget' THEN"
      " (SELECT job FROM papers WHERE papers.number = record.number) END AS forgets"
      " FROM record LEFT JOIN people USING (number))";
  const std::string recursive = "WITH RECURSIVE ";
  return {(with.empty() ? "" : recursive + with + " ") + select,
          recursive + cut + (with.empty() ? " " : ", " + with + " ") + select};
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

int read_summary(const Query& row, int column, RecordSummary& summary) {
  summary.made_utc = row.text(column++);
  summary.program_version = row.text(column++);
  summary.kind = row.text(column++);
  summary.verdict = row.text(column++);
  summary.job_number = row.text(column++);
  summary.bike = row.text(column++);
  summary.by = row.text(column++);
  summary.checked_by = row.text(column++);
  summary.planned_cut_mm = row.maybe_real(column++);
  summary.actual_cut_mm = row.maybe_real(column++);
  summary.after_verdict = row.maybe_text(column++);
  summary.paper = row.text(column++);
  summary.language = row.text(column++);
  return column;
}

Record record_in(const Query& row) {
  int column = 0;
  Record record;
  record.identity.number = row.whole(column++);
  record.identity.hash = row.text(column++);
  RecordSummary& summary = record.summary;
  summary.replaces = row.maybe_whole(column++);
  record.replaced_by = row.maybe_whole(column++);
  column = read_summary(row, column, summary);
  if (!row.is_null(column)) {
    record.personal_data = PersonalData{row.text(column), row.text(column + 1)};
  }
  record.forgets = forgets_in(row.text(column + 2));
  return record;
}

std::vector<Record> records_in(Query& rows) {
  std::vector<Record> records;
  while (rows.step()) {
    records.push_back(record_in(rows));
  }
  return records;
}

void Conditions::add(const Sql& condition, const std::string& value) {
  if (value.empty()) {
    return;
  }
  const std::string_view joined = values.empty() ? " WHERE " : " AND ";
  in_file += std::string(joined) + condition.in_file;
  on_server += std::string(joined) + condition.on_server;
  values.insert(values.end(), static_cast<std::size_t>(std::ranges::count(condition.in_file, '?')),
                value);
}

// The full text is asked for before all else.
Conditions conditions_of(const Filter& filter, const Sql& of_text, const std::string& question) {
  Conditions conditions;
  conditions.add(of_text, question);
  conditions.add("kind = ?", filter.kind);
  conditions.add("verdict = ?", filter.verdict);
  conditions.add({"(by_whom = ? COLLATE NOCASE OR checked_by = ? COLLATE NOCASE)",
                  "(lower(by_whom COLLATE \"C\") = lower(? COLLATE \"C\") OR"
                  " lower(checked_by COLLATE \"C\") = lower(? COLLATE \"C\"))"},
                 filter.by);
  conditions.add("made_utc >= ?", filter.from_utc);
  conditions.add("made_utc < ?", filter.before_utc);
  return conditions;
}

namespace {

// By the full text: the rows come in the order of their numbers by themselves, newest first.
std::vector<Record> found(Database& database, const Filter& filter, TextMatch how) {
  const std::string question = question_for(filter.find, how);
  const Conditions conditions = conditions_of(filter, "search MATCH ?", question);
  const bool by_text = !question.empty();
  const std::string sql =
      (by_text ? "SELECT cut.* FROM search CROSS JOIN cut ON cut.number = search.rowid" +
                     conditions.in_file + " ORDER BY search.rowid"
               : "SELECT * FROM cut" + conditions.in_file + " ORDER BY number") +
      " DESC LIMIT ?";
  Query rows = database.query(sql);
  for (const std::string& value : conditions.values) {
    rows.with(value);
  }
  rows.with(filter.most ? static_cast<std::int64_t>(*filter.most) : std::int64_t{-1});
  return records_in(rows);
}

}  // namespace

// Whole words come in order by themselves, however many records have them; beginnings have to be
// gathered first.
std::vector<Record> Database::found_by(const Filter& filter) {
  std::vector<Record> records = found(*this, filter, TextMatch::whole);
  if (records.empty() && !filter.find.empty()) {
    records = found(*this, filter, TextMatch::beginnings);
  }
  return records;
}

}  // namespace kerfmark::records
