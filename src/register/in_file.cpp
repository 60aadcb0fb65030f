#include <functional>
#include <string>
#include <string_view>

#include "append.hpp"
#include "database.hpp"
#include "kerfmark/files/draft.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"

/// What a register in a file does in its own way.
namespace kerfmark::records {

// Does nothing but for a backup that was put back.
void Database::get_ready_to_write() { run("PRAGMA journal_mode = WAL"); }

void Database::refuse_if_changed() {
  const std::vector<std::string> faults = faults_of_schema();
  if (!faults.empty()) {
    throw Trouble("write to", path(),
                  faults.front() +
                      ": somebody has changed it, and nothing is added to it; kerfmark "
                      "record verify says more");
  }
}

void Database::insist(const std::string& question, const std::vector<Value>& values) {
  Query row = query(question);
  for (const Value& value : values) {
    row.with_value(value);
  }
  if (!row.step()) {
    throw Trouble("write to", path(), std::string(does_not_read_back));
  }
}

void Database::make_findable(std::int64_t number, const RecordSummary& summary,
                             const PersonalData& personal_data) {
  query("INSERT INTO search (rowid, job_number, bike, owner, notes) VALUES (?, ?, ?, ?, ?)")
      .with(number)
      .with(summary.job_number)
      .with(summary.bike)
      .with(personal_data.owner)
      .with(personal_data.notes)
      .run();
}

void Database::make_unfindable(const Record& record) {
  const std::int64_t number = record.identity.number;
  query(
      "INSERT INTO search (search, rowid, job_number, bike, owner, notes)"
      " VALUES ('delete', ?, ?, ?, ?, ?)")
      .with(number)
      .with(record.summary.job_number)
      .with(record.summary.bike)
      .with(record.personal_data->owner)
      .with(record.personal_data->notes)
      .run();
  query("INSERT INTO search (rowid, job_number, bike) VALUES (?, ?, ?)")
      .with(number)
      .with(record.summary.job_number)
      .with(record.summary.bike)
      .run();
}

// SQLite goes on to a hundred faults of its own; ten say as much.
void Database::check_rows(std::vector<std::string>& faults) {
  Query rows = query("PRAGMA integrity_check(10)");
  while (rows.step()) {
    const std::string said = rows.text(0);
    if (said != "ok") {
      faults.push_back("the database is damaged: " + said);
    }
  }
  Query strays = query("PRAGMA foreign_key_check");
  while (strays.step()) {
    faults.push_back("the table " + strays.text(0) + " has a row that belongs to no record");
  }
}

// FTS5 takes this command as a write, though it writes nothing.
std::optional<std::vector<std::string>> Database::faults_of_full_text() {
  if (!may_be_written()) {
    return std::nullopt;
  }
  const Transaction undone(*this, Kind::writing);
  try {
    run("INSERT INTO search (search, rank) VALUES ('integrity-check', 1)");
  } catch (const Damaged&) {
    return std::vector<std::string>{"the full text for --find is not that of the records"};
  }
  return std::vector<std::string>{};
}

namespace {

// One file, whole by itself, that can be read where nothing may be written: without a log.
void write_file(const std::string& path, const std::function<void(const std::string&)>& fill) {
  constexpr std::size_t format_at = 18;  // sqlite.org/fileformat2.html 1.3
  constexpr std::string_view without_log("\1\1", 2);
  bool is_new = false;
  try {
    files::Draft draft(path, files::Draft::Name::own);
    fill(draft.own_path());
    draft.put(format_at, without_log);
    is_new = draft.become_target();
  } catch (const Trouble& trouble) {
    throw Trouble("write", path, trouble.reason);
  }
  if (!is_new) {
    throw Trouble("write", path, "there is something of that name already; name a new file");
  }
}

}  // namespace

// The transaction of the caller holds the moment while pages are copied a few at a time.
void Database::copy_to(const std::string& path, const Progress& progress) {
  constexpr int pages_at_a_time = 4096;
  write_file(path, [&](const std::string& own) {
    Database copy(own, SQLITE_OPEN_READWRITE);
    copy.run("PRAGMA journal_mode = OFF");
    sqlite3_backup* backup = sqlite3_backup_init(copy.handle(), "main", handle(), "main");
    if (backup == nullptr) {
      copy.fail("copy");
    }
    for (int step = SQLITE_OK; step == SQLITE_OK;) {
      step = sqlite3_backup_step(backup, pages_at_a_time);
      const int pages = sqlite3_backup_pagecount(backup);
      if (progress && pages > 0) {
        progress(pages - sqlite3_backup_remaining(backup), pages);
      }
    }
    if (sqlite3_backup_finish(backup) != SQLITE_OK) {
      copy.fail("copy");
    }
  });
}

void write_copy(Engine& from, const std::string& path, const Progress& progress) {
  write_file(path, [&](const std::string& own) {
    const auto copy = new_in(own, steps());
    Transaction whole(*copy, Transaction::Kind::writing);
    copy_records(from, *copy, progress);
    whole.commit();
  });
}

// Deleted words live on in the segments of the full text until those are merged into one, deleted
// rows in pages that nobody uses until the file is written anew, and both in the log beside it.
void Database::wipe_traces() {
  run("INSERT INTO search (search) VALUES ('optimize')");
  run("VACUUM");
  Query done = query("PRAGMA wal_checkpoint(TRUNCATE)");
  if (!done.step() || done.whole(0) != 0) {
    throw Trouble("wipe", path() + "-wal",
                  "another program still reads the register; close it, then forget once more");
  }
}

}  // namespace kerfmark::records
