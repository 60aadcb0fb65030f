#include "kerfmark/register/register.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <system_error>
#include <utility>

#include "append.hpp"
#include "engine.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/text/sha256.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"
#include "search.hpp"
#include "server.hpp"

namespace kerfmark::records {
namespace {

template <class T>
Value value_or_nothing(const std::optional<T>& value) {
  return value ? Value(*value) : Value();
}

std::string named(std::int64_t number) { return "record " + std::to_string(number); }

[[noreturn]] void refuse_missing(const char* doing, std::int64_t number, const Engine& database) {
  throw Trouble(doing, named(number), "there is no such record in " + database.path());
}

bool is_forgetting(const Record& record) { return record.summary.kind == kind_of_forgetting; }

}  // namespace

// ---- adding ----

RecordIdentity last_identity(Engine& database) {
  Query last = database.query("SELECT number, sha256 FROM record ORDER BY number DESC LIMIT 1");
  return last.step() ? RecordIdentity{last.whole(0), last.text(1)}
                     : RecordIdentity{0, std::string(no_hash)};
}

namespace {

void refuse_replacing(std::int64_t number, const std::string& why) {
  throw Trouble("replace", named(number), why);
}

std::string quoted_or_none(const std::string& text) {
  return text.empty() ? "without a number" : "\"" + text + "\"";
}

// Gives whether the owner is another one.
bool check_replaced(Engine& database, const Entry& entry) {
  const std::int64_t replaced = *entry.summary.replaces;
  Query row = database.query(of_cut("SELECT * FROM cut WHERE number = ?"));
  if (!row.with(replaced).step()) {
    refuse_missing("replace", replaced, database);
  }
  const Record old = record_in(row);
  if (old.replaced_by) {
    refuse_replacing(replaced, "record " + std::to_string(*old.replaced_by) +
                                   " has replaced it; replace that one");
  }
  if (is_forgetting(old)) {
    refuse_replacing(replaced, "it says what was forgotten, and stays as it is");
  }
  if (!entry.anyway && old.summary.kind != entry.summary.kind) {
    refuse_replacing(replaced, "it is of a " + old.summary.kind + ", and this job of a " +
                                   entry.summary.kind + "; if it is meant, add --anyway");
  }
  if (!entry.anyway && old.summary.job_number != entry.summary.job_number) {
    refuse_replacing(replaced, "it is of the job " + quoted_or_none(old.summary.job_number) +
                                   ", and this job is " + quoted_or_none(entry.summary.job_number) +
                                   "; if it is meant, add --anyway");
  }
  return old.personal_data && old.personal_data->owner != entry.personal_data.owner;
}

// What an add has to know of the records that are there.
struct Before {
  RecordIdentity last{0, std::string(no_hash)};
  std::int64_t encoding = encoding_now;  // of the last one
  std::optional<std::int64_t> same_as;
};

// In one question, as others wait. The greatest number is not asked for by an order: the planner of
// a server may take that for a reason to walk through all records.
Before before_adding(Engine& database, const Entry& entry, const Prepared& prepared) {
  Query row = database.query(
      "SELECT number, sha256, encoding, (SELECT max(number) FROM record JOIN people USING (number)"
      " WHERE job_sha256 = ? AND owner = ? AND notes = ?)"
      " FROM record ORDER BY number DESC LIMIT 1");
  row.with(prepared.job_sha256).with(entry.personal_data.owner).with(entry.personal_data.notes);
  if (!row.step()) {
    return {};
  }
  return {{row.whole(0), row.text(1)}, row.whole(2), row.maybe_whole(3)};
}

}  // namespace

// Number and hash of the one before it has no record yet.
Prepared::Prepared(const Entry& entry)
    : owner_salt(fresh_salt()),
      notes_salt(fresh_salt()),
      job_sha256(text::sha256(entry.documents.job)) {
  const RecordSummary& summary = entry.summary;
  const auto& shop = entry.documents.shop;
  values = {std::int64_t{0},
            encoding_now,
            value_or_nothing(summary.replaces),
            summary.made_utc,
            summary.program_version,
            summary.kind,
            summary.job_number,
            summary.bike,
            summary.by,
            summary.checked_by,
            summary.verdict,
            value_or_nothing(summary.planned_cut_mm),
            value_or_nothing(summary.actual_cut_mm),
            value_or_nothing(summary.after_verdict),
            summary.paper,
            summary.language,
            shop ? Value(text::sha256(*shop)) : Value(),
            job_sha256,
            text::sha256(entry.documents.result_json),
            salted(encoding_now, owner_salt, entry.personal_data.owner),
            salted(encoding_now, notes_salt, entry.personal_data.notes),
            std::string(no_hash)};
}

void insert_shop(Engine& database, const std::string& shop) {
  database
      .query(
          "INSERT INTO shop (sha256, shop_toml) SELECT CAST(?1 AS text), CAST(?2 AS text)"
          " WHERE NOT EXISTS (SELECT 1 FROM shop WHERE sha256 = ?1)")
      .with(text::sha256(shop))
      .with(shop)
      .run();
}

void insert_record(Engine& database, const std::vector<Value>& values, const std::string& hash) {
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

void insert_rest(Engine& database, std::int64_t number, const RecordSummary& summary,
                 const Documents& documents, const std::array<Value, 4>& personal_data) {
  database.query("INSERT INTO papers (number, job, result_json) VALUES (?, ?, ?)")
      .with(number)
      .with(documents.job)
      .with(documents.result_json)
      .run();
  Query insert = database.query(
      "INSERT INTO people (number, owner, owner_salt, notes, notes_salt)"
      " VALUES (?, ?, ?, ?, ?)");
  insert.with(number);
  for (const Value& value : personal_data) {
    insert.with_value(value);
  }
  insert.run();
  const auto text = [](const Value& value) {
    const auto* given = std::get_if<std::string>(&value);
    return given == nullptr ? std::string{} : *given;
  };
  database.make_findable(number, summary, {text(personal_data[0]), text(personal_data[2])});
}

namespace {

// Owner and notes with their salts, in the order of the columns; of a record that was forgotten
// elsewhere, nothing.
std::array<Value, 4> personal_data_of(const Entry& entry, const Prepared& prepared,
                                      bool forgotten) {
  if (forgotten) {
    return {};
  }
  return {entry.personal_data.owner, prepared.owner_salt, entry.personal_data.notes,
          prepared.notes_salt};
}

// What a trigger or a broken disk may have made of it is never acknowledged.
void check_stored(Engine& database, const std::vector<Value>& values, const std::string& hash,
                  const Documents& documents, const std::array<Value, 4>& personal_data) {
  std::string sql =
      "SELECT 1 FROM record JOIN papers USING (number) JOIN people USING (number)"
      " LEFT JOIN shop ON shop.sha256 = shop_sha256 WHERE record.number = ?";
  std::vector<Value> wanted = {values.front()};
  const auto must_be = [&](std::string_view column, const Value& value) {
    sql += " AND " + std::string(column) + " IS NOT DISTINCT FROM ?";
    wanted.push_back(value);
  };
  const auto columns = hashed_columns(encoding_now);
  for (std::size_t i = 1; i < columns.size(); ++i) {
    must_be("record." + std::string(columns[i]), values[i]);
  }
  must_be("record.sha256", hash);
  must_be("job", documents.job);
  must_be("result_json", documents.result_json);
  must_be("shop_toml", value_or_nothing(documents.shop));
  constexpr std::array<std::string_view, 4> of_people = {"owner", "owner_salt", "notes",
                                                         "notes_salt"};
  for (std::size_t i = 0; i < personal_data.size(); ++i) {
    must_be(of_people[i], personal_data[i]);
  }
  database.insist(sql, wanted);
}

}  // namespace

RecordIdentity append(Engine& database, const Entry& entry, Prepared prepared,
                      const RecordIdentity& last, bool forgotten) {
  std::vector<Value>& values = prepared.values;
  values.front() = last.number + 1;
  values.back() = last.hash;
  const RecordIdentity identity{last.number + 1, text::sha256(canonical(values))};
  if (entry.documents.shop) {
    insert_shop(database, *entry.documents.shop);
  }
  const auto personal_data = personal_data_of(entry, prepared, forgotten);
  insert_record(database, values, identity.hash);
  insert_rest(database, identity.number, entry.summary, entry.documents, personal_data);
  database.keep_key(entry.key.empty() ? fresh_salt() : entry.key, identity.number);
  check_stored(database, values, identity.hash, entry.documents, personal_data);
  return identity;
}

// ---- forgetting ----

namespace {

std::string listed(const std::vector<std::int64_t>& numbers) {
  std::string list;
  for (const std::int64_t number : numbers) {
    list += (list.empty() ? "" : ", ") + std::to_string(number);
  }
  return "[" + list + "]";
}

}  // namespace

RecordIdentity append_forgetting(Engine& database, const std::vector<std::int64_t>& numbers,
                                 const Stamp& stamp) {
  Entry entry;
  entry.summary.kind = std::string(kind_of_forgetting);
  entry.summary.made_utc = stamp.made_utc;
  entry.summary.program_version = stamp.program_version;
  entry.documents.job = "forgets = " + listed(numbers) + "\n";
  entry.documents.result_json = "{\"schema\":1,\"forgets\":" + listed(numbers) + "}";
  return append(database, entry, Prepared(entry), last_identity(database));
}

void record_earlier_blanks(Engine& database, const Stamp& stamp) {
  // Encodings only rise.
  if (database.whole("SELECT encoding FROM record ORDER BY number DESC LIMIT 1") > 1) {
    return;
  }
  Query rows = database.query("SELECT number FROM people WHERE owner IS NULL ORDER BY number");
  std::vector<std::int64_t> blank;
  while (rows.step()) {
    blank.push_back(rows.whole(0));
  }
  if (!blank.empty()) {
    append_forgetting(database, blank, stamp);
  }
}

namespace {

// The record, what it replaces and what replaces it, in their order: one cut.
std::vector<Record> revisions_of(Engine& database, std::int64_t number) {
  Query rows = database.query(
      of_cut("SELECT * FROM cut WHERE number IN (SELECT n FROM older UNION SELECT n FROM newer)"
             " ORDER BY number",
             "older (n) AS (SELECT CAST(?1 AS bigint) UNION"
             " SELECT replaces FROM record JOIN older ON number = n WHERE replaces IS NOT NULL),"
             " newer (n) AS (SELECT CAST(?1 AS bigint) UNION"
             " SELECT number FROM record JOIN newer ON replaces = n)"));
  rows.with(number);
  std::vector<Record> records = records_in(rows);
  if (records.empty()) {
    refuse_missing("forget", number, database);
  }
  if (is_forgetting(records.front())) {
    throw Trouble("forget", named(number), "it says itself what was forgotten, and names nobody");
  }
  return records;
}

void blank(Engine& database, const Record& record) {
  const std::int64_t number = record.identity.number;
  database
      .query(
          "UPDATE people SET owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = NULL"
          " WHERE number = ?")
      .with(number)
      .run();
  database.make_unfindable(record);
}

// For each owner in these records, the others with that owner. Two owners are never one list.
std::vector<SameOwner> with_the_owners_of(Engine& database, const std::vector<Record>& records) {
  std::vector<SameOwner> all;
  for (const Record& record : records) {
    if (!record.personal_data || record.personal_data->owner.empty()) {
      continue;
    }
    SameOwner same{record.identity.number, {}};
    Query rows = database.query(
        {"SELECT number FROM people WHERE owner = ? COLLATE NOCASE ORDER BY number",
         "SELECT number FROM people WHERE lower(owner COLLATE \"C\") = lower(? COLLATE \"C\")"
         " ORDER BY number"});
    rows.with(record.personal_data->owner);
    while (rows.step()) {
      const std::int64_t number = rows.whole(0);
      if (std::ranges::find(records, number, [](const Record& one) {
            return one.identity.number;
          }) == records.end()) {
        same.others.push_back(number);
      }
    }
    if (!same.others.empty() &&
        std::ranges::find(all, same.others, &SameOwner::others) == all.end()) {
      all.push_back(std::move(same));
    }
  }
  return all;
}

Forgotten forgetting_of(Engine& database, std::int64_t number) {
  Forgotten forgotten;
  forgotten.records = revisions_of(database, number);
  forgotten.the_same = with_the_owners_of(database, forgotten.records);
  return forgotten;
}

}  // namespace

Register::Register(std::unique_ptr<Engine> database) : database_(std::move(database)) {}
Register::Register(Register&&) noexcept = default;
Register& Register::operator=(Register&&) noexcept = default;
Register::~Register() = default;

Register Register::open(const std::string& path, Use use) {
  if (is_on_server(path)) {
    return Register(open_on_server(path));
  }
  return Register(records::open(path, steps(), use));
}

Register Register::open_or_create(const std::string& path) {
  if (is_on_server(path)) {
    return open(path);
  }
  std::error_code error;
  // A link that leads nowhere is something: its disk may not be connected.
  if (std::filesystem::symlink_status(path, error).type() ==
      std::filesystem::file_type::not_found) {
    create(path, steps());
  }
  return open(path);
}

// A connection that is lost before the end is asked for has stored nothing, and after that perhaps.
// Whether, shows under the lock of the writers: who holds it sees what the lost one has stored, and
// the lost one can store nothing more. So it is never stored twice.
Added Register::add(const Entry& entry, const std::function<void(const RecordIdentity&)>& before) {
  Entry keyed = entry;
  if (keyed.key.empty()) {
    keyed.key = fresh_salt();
  }
  RecordIdentity sent;
  constexpr int most_tries = 3;
  for (int tries = 1;; ++tries) {
    try {
      return add_once(keyed, before, sent);
    } catch (Unreachable& lost) {
      if (tries < most_tries) {
        try {
          keyed.sent_before = true;
          database_->connect_again();
          continue;
        } catch (const Unreachable&) {
          // It is said below.
        }
      }
      if (sent.number != 0) {
        lost.perhaps = sent;
      }
      throw;
    }
  }
}

Added Register::add_once(const Entry& entry,
                         const std::function<void(const RecordIdentity&)>& before,
                         RecordIdentity& sent) {
  Engine& database = *database_;
  const Prepared prepared(entry);
  database.get_ready_to_write();
  Transaction whole(database, Transaction::Kind::writing);
  database.refuse_if_changed();
  Added added;
  if (const auto stored = entry.sent_before ? database.stored_under(entry.key) : std::nullopt) {
    added.identity = *stored;
    if (before) {
      before(added.identity);
    }
    return added;
  }
  if (entry.summary.replaces) {
    added.another_owner = check_replaced(database, entry);
  }
  Before there = before_adding(database, entry, prepared);
  added.same_as = there.same_as;
  if (there.encoding != encoding_now) {
    record_earlier_blanks(database, {entry.summary.made_utc, entry.summary.program_version});
    there.last = last_identity(database);
  }
  added.identity = append(database, entry, prepared, there.last);
  if (before) {
    database.catch_up();  // no sheet of what is refused
    before(added.identity);
  }
  sent = added.identity;
  whole.commit();
  return added;
}

std::vector<Record> Register::list(const Filter& filter) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  return database_->found_by(filter);
}

std::optional<Record> Register::at(std::int64_t number) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->query(of_cut("SELECT * FROM cut WHERE number = ?"));
  return row.with(number).step() ? std::optional(record_in(row)) : std::nullopt;
}

namespace {

// From six columns: job, result and shop file, and the hashes of the three in the record.
Documents documents_in(const Query& row, int first, std::int64_t number) {
  Documents documents{row.text(first), row.text(first + 1), row.maybe_text(first + 2)};
  const auto shop_hash = row.maybe_text(first + 5);
  const bool same =
      text::sha256(documents.job) == row.text(first + 3) &&
      text::sha256(documents.result_json) == row.text(first + 4) &&
      (documents.shop ? shop_hash == text::sha256(*documents.shop) : !shop_hash.has_value());
  if (!same) {
    throw Trouble("read", named(number),
                  "its job, result or shop file is not as it was stored; kerfmark record verify "
                  "says more");
  }
  return documents;
}

}  // namespace

Documents Register::documents_of(std::int64_t number) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->query(
      "SELECT job, result_json, shop_toml, job_sha256, result_sha256, shop_sha256"
      " FROM record JOIN papers USING (number)"
      " LEFT JOIN shop ON shop.sha256 = shop_sha256 WHERE number = ?");
  if (!row.with(number).step()) {
    refuse_missing("read", number, *database_);
  }
  return documents_in(row, 0, number);
}

void Register::each(const std::function<void(const Record&, const Documents&)>& with) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  Query row = database_->stream(
      of_cut("SELECT cut.*, job, result_json, shop_toml, job_sha256, result_sha256, shop_sha256"
             " FROM cut JOIN papers USING (number) JOIN record USING (number)"
             " LEFT JOIN shop ON shop.sha256 = shop_sha256 ORDER BY number"));
  while (row.step()) {
    const Record record = record_in(row);
    with(record, documents_in(row, columns_of_cut, record.identity.number));
  }
}

RecordIdentity Register::copy_to(const std::string& path, const Progress& progress) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  RecordIdentity last = last_identity(*database_);
  database_->copy_to(path, progress);
  return last;
}

Forgotten Register::would_forget(std::int64_t number) {
  const Transaction moment(*database_, Transaction::Kind::reading);
  return forgetting_of(*database_, number);
}

Forgotten Register::forget(std::int64_t number, const Stamp& stamp) {
  Engine& database = *database_;
  database.get_ready_to_forget();
  Forgotten forgotten;
  {
    Transaction whole(database, Transaction::Kind::writing);
    database.refuse_if_changed();
    forgotten = forgetting_of(database, number);
    record_earlier_blanks(database, stamp);
    std::vector<std::int64_t> blanked;
    for (const Record& record : forgotten.records) {
      if (record.personal_data) {
        blank(database, record);
        blanked.push_back(record.identity.number);
      }
    }
    if (!blanked.empty()) {
      forgotten.identity = append_forgetting(database, blanked, stamp);
    }
    whole.commit();
  }
  try {
    database.wipe_traces();
  } catch (const Trouble& trouble) {
    throw Trouble("wipe every trace of owner and notes of", named(number),
                  trouble.reason + "; they are blanked, but may still be found in the files of " +
                      database.path() + ": forget the record once more");
  }
  return forgotten;
}

std::vector<std::string> Register::cautions() const { return database_->cautions(); }

std::string Register::kept_elsewhere() const { return database_->kept_elsewhere(); }

std::string Register::other_backup() const { return database_->other_backup(); }

SetUp Register::set_up(const std::string& name) { return set_up_on_server(name); }

}  // namespace kerfmark::records
