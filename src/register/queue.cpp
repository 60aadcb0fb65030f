#include "kerfmark/register/queue.hpp"

#include <utility>

#include "database.hpp"
#include "kerfmark/trouble.hpp"
#include "search.hpp"

namespace kerfmark::records {
namespace {

constexpr std::int64_t application_id = 0x6B657271;  // "kerq" in ASCII
constexpr std::int64_t version = 1;

constexpr const char* settings =
    "PRAGMA trusted_schema = OFF;"
    "PRAGMA secure_delete = ON;"
    "PRAGMA synchronous = FULL;";

constexpr const char* schema = R"sql(
CREATE TABLE waiting (
  number INTEGER PRIMARY KEY AUTOINCREMENT,
  server TEXT NOT NULL,
  key TEXT NOT NULL UNIQUE,
  anyway INTEGER NOT NULL,
  replaces INTEGER,
  made_utc TEXT NOT NULL,
  program_version TEXT NOT NULL,
  kind TEXT NOT NULL,
  verdict TEXT NOT NULL,
  job_number TEXT NOT NULL,
  bike TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  checked_by TEXT NOT NULL,
  planned_cut_mm REAL,
  actual_cut_mm REAL,
  after_verdict TEXT,
  paper TEXT NOT NULL,
  language TEXT NOT NULL,
  job TEXT NOT NULL,
  result_json TEXT NOT NULL,
  shop TEXT,
  owner TEXT NOT NULL,
  notes TEXT NOT NULL,
  refused TEXT NOT NULL DEFAULT ''
) STRICT;
)sql";

template <class T>
Value value_or_nothing(const std::optional<T>& value) {
  return value ? Value(*value) : Value();
}

// Of a new file there is nothing yet that a transaction of a register would look at.
void make(Database& database) {
  database.run("BEGIN IMMEDIATE");
  if (database.whole("SELECT count(*) FROM sqlite_schema") == 0) {
    database.run(schema);
    database.run("PRAGMA application_id = " + std::to_string(application_id));
    database.run("PRAGMA user_version = " + std::to_string(version));
  }
  database.run("COMMIT");
  if (database.whole("PRAGMA application_id") != application_id) {
    throw Trouble("open", database.path(), "it is the database of another program");
  }
  if (database.whole("PRAGMA user_version") != version) {
    throw Trouble("open", database.path(), "another kerfmark has made it: use that one");
  }
}

Waiting waiting_in(const Query& row) {
  int column = 0;
  Waiting one;
  one.number = row.whole(column++);
  one.server = row.text(column++);
  one.entry.key = row.text(column++);
  one.entry.sent_before = true;  // by another program, too, that was stopped before it said so here
  one.entry.anyway = row.whole(column++) != 0;
  RecordSummary& summary = one.entry.summary;
  summary.replaces = row.maybe_whole(column++);
  column = read_summary(row, column, summary);
  one.entry.documents = {row.text(column), row.text(column + 1), row.maybe_text(column + 2)};
  one.entry.personal_data = {row.text(column + 3), row.text(column + 4)};
  one.refused = row.text(column + 5);
  return one;
}

}  // namespace

Queue::Queue(const std::string& path)
    : database_(std::make_unique<Database>(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE)) {
  database_->run(settings);
  make(*database_);
}

Queue::Queue(Queue&&) noexcept = default;
Queue& Queue::operator=(Queue&&) noexcept = default;
Queue::~Queue() = default;

void Queue::put(const std::string& server, const Entry& entry) {
  const RecordSummary& summary = entry.summary;
  Query insert = database_->query(
      "INSERT INTO waiting (server, key, anyway, replaces, made_utc, program_version, kind,"
      " verdict, job_number, bike, by_whom, checked_by, planned_cut_mm, actual_cut_mm,"
      " after_verdict, paper, language, job, result_json, shop, owner, notes)"
      " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  for (const Value& value : {Value(server),
                             Value(entry.key),
                             Value(std::int64_t{entry.anyway ? 1 : 0}),
                             value_or_nothing(summary.replaces),
                             Value(summary.made_utc),
                             Value(summary.program_version),
                             Value(summary.kind),
                             Value(summary.verdict),
                             Value(summary.job_number),
                             Value(summary.bike),
                             Value(summary.by),
                             Value(summary.checked_by),
                             value_or_nothing(summary.planned_cut_mm),
                             value_or_nothing(summary.actual_cut_mm),
                             value_or_nothing(summary.after_verdict),
                             Value(summary.paper),
                             Value(summary.language),
                             Value(entry.documents.job),
                             Value(entry.documents.result_json),
                             value_or_nothing(entry.documents.shop),
                             Value(entry.personal_data.owner),
                             Value(entry.personal_data.notes)}) {
    insert.with_value(value);
  }
  insert.run();
}

std::vector<Waiting> Queue::waiting() {
  Query rows = database_->query(
      "SELECT number, server, key, anyway, replaces, made_utc, program_version, kind, verdict,"
      " job_number, bike, by_whom, checked_by, planned_cut_mm, actual_cut_mm, after_verdict, paper,"
      " language, job, result_json, shop, owner, notes, refused FROM waiting ORDER BY number");
  std::vector<Waiting> all;
  while (rows.step()) {
    all.push_back(waiting_in(rows));
  }
  return all;
}

bool Queue::remove(std::int64_t number) {
  database_->query("DELETE FROM waiting WHERE number = ?").with(number).run();
  return database_->whole("SELECT changes()") != 0;
}

void Queue::note_refusal(std::int64_t number, const std::string& why) {
  database_->query("UPDATE waiting SET refused = ? WHERE number = ?").with(why).with(number).run();
}

}  // namespace kerfmark::records
