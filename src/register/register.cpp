#include "kerfmark/register/register.hpp"

#include <algorithm>
#include <filesystem>
#include <system_error>
#include <utility>

#include "database.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/text/sha256.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"
#include "search.hpp"

namespace kerfmark::records {
namespace {

template <class T>
Value value_or_nothing(const std::optional<T>& value) {
  return value ? Value(*value) : Value();
}

std::string named(std::int64_t number) { return "record " + std::to_string(number); }

[[noreturn]] void refuse_missing(const char* doing, std::int64_t number, const Database& database) {
  throw Trouble(doing, named(number), "there is no such record in " + database.path());
}

bool has(Database& database, std::int64_t number) {
  return database.query("SELECT 1 FROM record WHERE number = ?").with(number).step();
}

// ---- adding ----

Mark last_mark(Database& database) {
  Query last = database.query("SELECT number, sha256 FROM record ORDER BY number DESC LIMIT 1");
  return last.step() ? Mark{last.whole(0), last.text(1)} : Mark{0, std::string(no_hash)};
}

void check_replaced(Database& database, std::int64_t replaced) {
  if (!has(database, replaced)) {
    refuse_missing("replace", replaced, database);
  }
  Query later = database.query("SELECT number FROM record WHERE replaces = ?");
  if (later.with(replaced).step()) {
    const std::string by = std::to_string(later.whole(0));
    throw Trouble("replace", named(replaced),
                  "record " + by + " has replaced it; replace that one");
  }
}

struct Salts {
  std::string owner = fresh_salt();
  std::string notes = fresh_salt();
};

// In the order of hashed_columns(1).
std::vector<Value> hashed_values(const Entry& entry, const Salts& salts, const Mark& last) {
  const Facts& facts = entry.facts;
  const auto& shop = entry.papers.shop;
  return {last.number + 1,
          encoding_now,
          value_or_nothing(facts.replaces),
          facts.made_utc,
          facts.program_version,
          facts.kind,
          facts.job_number,
          facts.bike,
          facts.by,
          facts.checked_by,
          facts.verdict,
          value_or_nothing(facts.planned_cut_mm),
          value_or_nothing(facts.actual_cut_mm),
          value_or_nothing(facts.after_verdict),
          facts.paper,
          facts.language,
          shop ? Value(text::sha256(*shop)) : Value(),
          text::sha256(entry.papers.job),
          text::sha256(entry.papers.result_json),
          salted(salts.owner, entry.people.owner),
          salted(salts.notes, entry.people.notes),
          last.hash};
}

void insert_shop(Database& database, const std::string& shop) {
  const std::string hash = text::sha256(shop);
  if (!database.query("SELECT 1 FROM shop WHERE sha256 = ?").with(hash).step()) {
    database.query("INSERT INTO shop (sha256, shop_toml) VALUES (?, ?)")
        .with(hash)
        .with(shop)
        .run();
  }
}

void insert_record(Database& database, const std::vector<Value>& values, const std::string& hash) {
  Query insert = database.query(
      "INSERT INTO record (number, encoding, replaces, made_utc, program_version, kind, job_number,"
      " bike, by_whom, checked_by, verdict, planned_cut_mm, actual_cut_mm, after_verdict, paper,"
      " language, shop_sha256, job_sha256, result_sha256, owner_sha256, notes_sha256,"
      " previous_sha256, sha256)"
      " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  for (const Value& value : values) {
    insert.with_value(value);
  }
  insert.with(hash).run();
}

void insert_rest(Database& database, std::int64_t number, const Entry& entry, const Salts& salts) {
  database.query("INSERT INTO papers (number, job, result_json) VALUES (?, ?, ?)")
      .with(number)
      .with(entry.papers.job)
      .with(entry.papers.result_json)
      .run();
  const People& people = entry.people;
  database
      .query(
          "INSERT INTO people (number, owner, owner_salt, notes, notes_salt)"
          " VALUES (?, ?, ?, ?, ?)")
      .with(number)
      .with(people.owner)
      .with(salts.owner)
      .with(people.notes)
      .with(salts.notes)
      .run();
  database
      .query("INSERT INTO search (rowid, job_number, bike, owner, notes) VALUES (?, ?, ?, ?, ?)")
      .with(number)
      .with(entry.facts.job_number)
      .with(entry.facts.bike)
      .with(people.owner)
      .with(people.notes)
      .run();
}

// ---- forgetting ----

// The record, what it replaces and what replaces it, in their order: one cut, one owner.
std::vector<std::int64_t> revisions_of(Database& database, std::int64_t number) {
  Query rows = database.query(
      "WITH RECURSIVE"
      " older (n) AS (SELECT ?1 UNION"
      "   SELECT replaces FROM record JOIN older ON number = n WHERE replaces IS NOT NULL),"
      " newer (n) AS (SELECT ?1 UNION SELECT number FROM record JOIN newer ON replaces = n)"
      " SELECT n FROM older UNION SELECT n FROM newer ORDER BY 1");
  std::vector<std::int64_t> numbers;
  rows.with(number);
  while (rows.step()) {
    numbers.push_back(rows.whole(0));
  }
  return numbers;
}

void blank(Database& database, std::int64_t number, std::vector<std::string>& owners) {
  Query row = database.query(
      "SELECT job_number, bike, owner, notes FROM searchable WHERE number = ? AND owner NOT NULL");
  if (!row.with(number).step()) {
    return;  // forgotten already
  }
  const std::string job_number = row.text(0);
  const std::string bike = row.text(1);
  if (const std::string owner = row.text(2); !owner.empty()) {
    owners.push_back(owner);
  }
  database
      .query(
          "INSERT INTO search (search, rowid, job_number, bike, owner, notes)"
          " VALUES ('delete', ?, ?, ?, ?, ?)")
      .with(number)
      .with(job_number)
      .with(bike)
      .with(row.text(2))
      .with(row.text(3))
      .run();
  database.query("INSERT INTO search (rowid, job_number, bike) VALUES (?, ?, ?)")
      .with(number)
      .with(job_number)
      .with(bike)
      .run();
  database
      .query(
          "UPDATE people SET owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = NULL"
          " WHERE number = ?")
      .with(number)
      .run();
}

std::vector<std::int64_t> with_owner(Database& database, const std::vector<std::string>& owners) {
  std::vector<std::int64_t> numbers;
  for (const std::string& owner : owners) {
    Query rows = database.query("SELECT number FROM people WHERE owner = ? COLLATE NOCASE");
    rows.with(owner);
    while (rows.step()) {
      numbers.push_back(rows.whole(0));
    }
  }
  std::ranges::sort(numbers);
  numbers.erase(std::ranges::unique(numbers).begin(), numbers.end());
  return numbers;
}

// Deleted words live on in the segments of the full text until those are merged into one, deleted
// rows in pages that nobody uses until the file is written anew, and both in the log beside it.
void wipe_traces(Database& database) {
  database.run("INSERT INTO search (search) VALUES ('optimize')");
  database.run("VACUUM");
  Query done = database.query("PRAGMA wal_checkpoint(TRUNCATE)");
  if (!done.step() || done.whole(0) != 0) {
    throw Trouble("wipe", database.path() + "-wal",
                  "another program still reads the register; close it, then forget once more");
  }
}

}  // namespace

Register::Register(std::unique_ptr<Database> database) : database_(std::move(database)) {}
Register::Register(Register&&) noexcept = default;
Register& Register::operator=(Register&&) noexcept = default;
Register::~Register() = default;

Register Register::open(const std::string& path) { return Register(records::open(path, steps())); }

Register Register::open_or_create(const std::string& path) {
  std::error_code error;
  if (std::filesystem::status(path, error).type() == std::filesystem::file_type::not_found) {
    create(path, steps());
  }
  return open(path);
}

Mark Register::add(const Entry& entry, const std::function<void(const Mark&)>& before) {
  Database& database = *database_;
  // Does nothing but for a backup that was put back.
  database.run("PRAGMA journal_mode = WAL");
  Transaction whole(database, Transaction::Kind::writing);
  if (entry.facts.replaces) {
    check_replaced(database, *entry.facts.replaces);
  }
  const Salts salts;
  const Mark last = last_mark(database);
  const std::vector<Value> values = hashed_values(entry, salts, last);
  const Mark mark{last.number + 1, text::sha256(canonical(values))};
  if (entry.papers.shop) {
    insert_shop(database, *entry.papers.shop);
  }
  insert_record(database, values, mark.hash);
  insert_rest(database, mark.number, entry, salts);
  if (before) {
    before(mark);
  }
  whole.commit();
  return mark;
}

std::vector<Record> Register::list(const Filter& filter) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  return found_by(*database_, filter);
}

std::optional<Record> Register::at(std::int64_t number) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->query("SELECT * FROM cut WHERE number = ?");
  return row.with(number).step() ? std::optional(record_in(row)) : std::nullopt;
}

Papers Register::papers_of(std::int64_t number) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->query(
      "SELECT job, result_json, shop_toml FROM record JOIN papers USING (number)"
      " LEFT JOIN shop ON shop.sha256 = shop_sha256 WHERE number = ?");
  if (!row.with(number).step()) {
    refuse_missing("read", number, *database_);
  }
  return {row.text(0), row.text(1), row.maybe_text(2)};
}

void Register::each(const std::function<void(const Record&, const Papers&)>& with) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->query(
      "SELECT cut.*, job, result_json, shop_toml"
      " FROM cut JOIN papers USING (number) JOIN record USING (number)"
      " LEFT JOIN shop ON shop.sha256 = shop_sha256 ORDER BY number");
  while (row.step()) {
    with(record_in(row), {row.text(columns_of_cut), row.text(columns_of_cut + 1),
                          row.maybe_text(columns_of_cut + 2)});
  }
}

Mark Register::copy_to(const std::string& path) {
  const std::string draft = draft_beside(path);
  std::error_code error;
  const auto remove_draft = [&] {
    std::error_code ignored;
    for (const char* end : {"", "-journal", "-wal", "-shm"}) {
      std::filesystem::remove(draft + end, ignored);
    }
  };
  Mark last;
  try {
    const Transaction moment(*database_, Transaction::Kind::reading);
    last = last_mark(*database_);
    Database copy(draft, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
    sqlite3_backup* backup =
        sqlite3_backup_init(copy.handle(), "main", database_->handle(), "main");
    if (backup == nullptr) {
      copy.fail("copy");
    }
    sqlite3_backup_step(backup, -1);  // all of it, as of one moment
    if (sqlite3_backup_finish(backup) != SQLITE_OK) {
      copy.fail("copy");
    }
    // One file, whole by itself, that can be read where nothing may be written.
    copy.run("PRAGMA journal_mode = DELETE");
  } catch (const Trouble& trouble) {
    remove_draft();
    throw Trouble("write", path, trouble.reason);
  }
  std::filesystem::create_hard_link(draft, path, error);
  remove_draft();
  if (error) {
    throw Trouble("write", path,
                  error == std::errc::file_exists
                      ? "there is something of that name already; name a new file"
                      : error.message());
  }
  return last;
}

Forgotten Register::forget(std::int64_t number) {
  Database& database = *database_;
  database.run("PRAGMA journal_mode = WAL");
  Forgotten forgotten;
  {
    Transaction whole(database, Transaction::Kind::writing);
    if (!has(database, number)) {
      refuse_missing("forget", number, database);
    }
    std::vector<std::string> owners;
    forgotten.blanked = revisions_of(database, number);
    for (const std::int64_t one : forgotten.blanked) {
      blank(database, one, owners);
    }
    forgotten.the_same = with_owner(database, owners);
    whole.commit();
  }
  try {
    wipe_traces(database);
  } catch (const Trouble& trouble) {
    throw Trouble("wipe every trace of owner and notes of", named(number),
                  trouble.reason + "; they are blanked, but may still be found in the files of " +
                      database.path() + ": forget the record once more");
  }
  return forgotten;
}

}  // namespace kerfmark::records
