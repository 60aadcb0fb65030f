#include "schema.hpp"

#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/text/sha256.hpp"
#include "sample.hpp"
#include "snapshot.hpp"

using namespace kerfmark;
using namespace kerfmark::records;
using sample::entry;
using sample::Folder;

namespace {

/// The file as somebody with the database's own shell has it, who does not keep foreign keys.
class Shell {
 public:
  explicit Shell(const std::string& path)
      : database_(path, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE) {}
  void run(const std::string& sql) { database_.run(sql); }
  [[nodiscard]] std::int64_t whole(const std::string& sql) { return database_.whole(sql); }

 private:
  Database database_;
};

void fill(const std::string& path, int count) {
  Register book = Register::open_or_create(path);
  for (int i = 1; i <= count; ++i) {
    Entry one = entry(std::to_string(i));
    one.documents.shop = "name = \"The shed\"\n";
    (void)book.add(one);
  }
}

std::size_t faults(const std::string& path, const std::string& head = "") {
  const Verification found = Register::open(path).verify(head);
  return found.faults.size() + (!head.empty() && !found.asked ? 1 : 0);
}

constexpr auto guards = std::to_array<const char*>(
    {"record_is_the_next", "record_replaces_once", "record_stays", "record_is_kept", "papers_once",
     "papers_stay", "papers_are_kept", "shop_once", "shop_stays", "shop_is_kept", "people_once",
     "people_only_to_blank", "people_are_kept"});

// Works around the guards as somebody with intent would, and puts them back afterwards.
void behind_the_guards(const std::string& path, const std::string& sql) {
  Database database(path, SQLITE_OPEN_READWRITE);
  database.run(
      "CREATE TEMP TABLE guards AS SELECT name, sql FROM sqlite_schema WHERE type = "
      "'trigger'");
  std::vector<std::string> kept;
  {
    Query rows = database.query("SELECT sql FROM guards");
    while (rows.step()) {
      kept.push_back(rows.text(0));
    }
  }
  for (const char* guard : guards) {
    database.run("DROP TRIGGER " + std::string(guard));
  }
  database.run("PRAGMA ignore_check_constraints = ON");
  database.run(sql);
  for (const std::string& guard : kept) {
    database.run(guard);
  }
}

}  // namespace

TEST_CASE("the database refuses what a register never does") {
  const Folder folder;
  const std::string path = folder.file();
  fill(path, 3);
  const auto mistakes = std::to_array<const char*>({
      "UPDATE record SET bike = 'red'",
      "UPDATE record SET number = 7 WHERE number = 3",
      "UPDATE OR REPLACE record SET number = 1 WHERE number = 3",
      "DELETE FROM record",
      "DELETE FROM record WHERE number = 3",
      "INSERT OR REPLACE INTO record SELECT * FROM record WHERE number = 3",
      "REPLACE INTO record SELECT * FROM record WHERE number = 1",
      "INSERT OR IGNORE INTO record SELECT * FROM record WHERE number = 1",
      "INSERT INTO record SELECT 9, encoding, replaces, made_utc, program_version, kind, "
      "job_number,"
      " bike, by_whom, checked_by, verdict, planned_cut_mm, actual_cut_mm, after_verdict, paper,"
      " language, shop_sha256, job_sha256, result_sha256, owner_sha256, notes_sha256,"
      " previous_sha256, sha256 FROM record WHERE number = 3",
      "UPDATE papers SET job = ''",
      "DELETE FROM papers",
      "INSERT OR REPLACE INTO papers SELECT 2, job, result_json FROM papers WHERE number = 3",
      "UPDATE shop SET shop_toml = ''",
      "DELETE FROM shop",
      "INSERT OR REPLACE INTO shop SELECT sha256, '' FROM shop",
      "UPDATE people SET owner = 'somebody else'",
      "UPDATE people SET owner = NULL",
      "UPDATE people SET owner = NULL, owner_salt = NULL",
      "UPDATE people SET number = 9, owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = "
      "NULL"
      " WHERE number = 3",
      "DELETE FROM people",
      "INSERT OR REPLACE INTO people SELECT 2, owner, owner_salt, notes, notes_salt FROM people"
      " WHERE number = 3",
  });
  std::size_t refused = 0;
  for (const std::string recursive : {"ON", "OFF"}) {
    Shell shell(path);
    shell.run("PRAGMA recursive_triggers = " + recursive);
    for (const std::string sql : mistakes) {
      CAPTURE(recursive);
      CAPTURE(sql);
      CHECK_THROWS_AS(shell.run(sql), Trouble);
      ++refused;
    }
  }
  MESSAGE(refused << " statements refused");
  CHECK(faults(path) == 0);
  CHECK(Register::open(path).verify("").count == 3);
  Shell(path).run(
      "UPDATE people SET owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = NULL"
      " WHERE number = 2");
  CHECK_FALSE(Register::open(path).at(2)->personal_data);
}

TEST_CASE("any change behind the guards is found") {
  const Folder folder;
  const std::string path = folder.file("whole.db");
  fill(path, 6);
  Register::open(path).forget(2, {"2026-11-27T09:00:00Z", "0.2.0"});
  (void)Register::open(path).add(entry("8"));
  const std::string head = Register::open(path).verify("").head;
  REQUIRE(faults(path, head) == 0);
  const std::string whole = Folder::bytes_of(path);
  const auto found_after = [&](const std::string& sql, bool with_head) {
    const std::string copy = folder.file("changed.db");
    Folder::write(copy, whole);
    behind_the_guards(copy, sql);
    return faults(copy, with_head ? head : "") > 0;
  };

  // The check itself must not be what is found.
  CHECK_FALSE(found_after("SELECT 1", true));

  const auto changes = std::to_array<std::string>({
      "UPDATE record SET encoding = 1 WHERE number = 4",
      "UPDATE record SET encoding = 3 WHERE number = 4",
      "UPDATE record SET replaces = 1 WHERE number = 4",
      "UPDATE record SET made_utc = '2026-11-20T14:05:08Z' WHERE number = 4",
      "UPDATE record SET program_version = '0.1.1' WHERE number = 4",
      "UPDATE record SET kind = 'steerer' WHERE number = 4",
      "UPDATE record SET job_number = '5' WHERE number = 4",
      "UPDATE record SET bike = 'grey road frame ' WHERE number = 4",
      "UPDATE record SET by_whom = checked_by, checked_by = by_whom WHERE number = 4",
      "UPDATE record SET verdict = 'keep' WHERE number = 4",
      "UPDATE record SET planned_cut_mm = 43.500000000000007 WHERE number = 4",
      "UPDATE record SET planned_cut_mm = NULL WHERE number = 4",
      "UPDATE record SET actual_cut_mm = 0 WHERE number = 4",
      "UPDATE record SET after_verdict = 'fit' WHERE number = 4",
      "UPDATE record SET paper = 'letter' WHERE number = 4",
      "UPDATE record SET language = 'en' WHERE number = 4",
      "UPDATE record SET shop_sha256 = NULL WHERE number = 4",
      "UPDATE record SET job_sha256 = result_sha256 WHERE number = 4",
      "UPDATE record SET owner_sha256 = notes_sha256 WHERE number = 4",
      "UPDATE record SET notes_sha256 = owner_sha256 WHERE number = 4",
      "UPDATE record SET previous_sha256 = sha256 WHERE number = 4",
      "UPDATE record SET sha256 = upper(sha256) WHERE number = 4",
      "UPDATE papers SET job = job || ' ' WHERE number = 4",
      "UPDATE papers SET result_json = '{}' WHERE number = 4",
      "UPDATE shop SET shop_toml = ''",
      "INSERT INTO shop VALUES (hex(zeroblob(32)), 'name = \"another\"')",
      "UPDATE people SET owner = 'Oda Ven' WHERE number = 4",
      "UPDATE people SET notes = '' WHERE number = 4",
      "UPDATE people SET owner_salt = notes_salt WHERE number = 4",
      "UPDATE people SET owner = 'somebody', owner_salt = '', notes = '', notes_salt = '' WHERE"
      " number = 2",
      "DELETE FROM papers WHERE number = 4",
      "DELETE FROM people WHERE number = 4",
      "INSERT INTO people VALUES (9, '', '', '', '')",
      "INSERT INTO papers VALUES (9, '', '{}')",
      "INSERT INTO search (search, rowid, job_number, bike, owner, notes) VALUES"
      " ('delete', 4, '4', 'grey road frame', 'Oda Venn', 'wants it lower')",
      "INSERT INTO search (rowid, bike) VALUES (9, 'blue')",
      "CREATE TABLE mine (x)",
      "CREATE TRIGGER mine AFTER INSERT ON record BEGIN SELECT 1; END",
      "DROP INDEX record_made",
      // The salt takes over what is to go, or gives up a character.
      "UPDATE people SET notes_salt = notes_salt || 'wants ', notes = 'it lower' WHERE number = 4",
      "UPDATE people SET notes_salt = substr(notes_salt, 1, 63), notes = substr(notes_salt, 64) || "
      "notes"
      " WHERE number = 4",
      // Blanked by hand, and the full text kept in order.
      "UPDATE people SET owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = NULL"
      " WHERE number = 4;"
      "INSERT INTO search (search) VALUES ('rebuild')",
      // Names like those of the database and of the full text's own tables.
      "CREATE TABLE search_mine (x)",
      "CREATE VIEW search_view AS SELECT 1",
      "CREATE TRIGGER search_trigger BEFORE INSERT ON record BEGIN SELECT 1; END",
      "CREATE INDEX search_index ON record (bike)",
      "ANALYZE",
      "PRAGMA writable_schema = ON;"
      "INSERT INTO sqlite_schema VALUES ('trigger', 'sqlite_mine', 'record', 0, 'CREATE TRIGGER "
      "sqlite_mine BEFORE INSERT ON record BEGIN SELECT 1; END')",
      "PRAGMA writable_schema = ON;"
      "UPDATE sqlite_schema SET sql = replace(sql, 'planned_cut_mm >= 0', 'planned_cut_mm > 0')",
  });
  for (const std::string& sql : changes) {
    CAPTURE(sql);
    CHECK(found_after(sql, false));
  }
  const auto without_guard = [&](const std::string& guard) {
    const std::string copy = folder.file("changed.db");
    Folder::write(copy, whole);
    Shell(copy).run("DROP TRIGGER " + guard);
    return faults(copy) > 0;
  };
  for (const std::string guard : guards) {
    CAPTURE(guard);
    CHECK(without_guard(guard));
  }

  const auto with_all = [](const std::string& what, const std::string& where) {
    std::string sql;
    for (const char* const table : {"record", "papers", "people"}) {
      sql += what + std::string(table) + where + ";";
    }
    return sql + "INSERT INTO search (search) VALUES ('rebuild');";
  };
  std::size_t rows = 0;
  for (int number = 1; number <= 8; ++number) {
    CAPTURE(number);
    const std::string here = std::to_string(number);
    // Only a hash that somebody has kept tells of a last record that is gone.
    CHECK(found_after(with_all("DELETE FROM ", " WHERE number = " + here), true));
    CHECK(found_after(with_all("DELETE FROM ", " WHERE number = " + here), false) == (number < 8));
    CHECK(found_after(with_all("DELETE FROM ", " WHERE number >= " + here), true));
    // Taken out, and the rest moved up to close the gap.
    CHECK(found_after(with_all("DELETE FROM ", " WHERE number = " + here) +
                          with_all("UPDATE ", " SET number = number - 1 WHERE number > " + here),
                      true));
    // Put in: those behind moved down to make room.
    const std::string apart = " SET number = number + 100 WHERE number >= " + here;
    CHECK(
        found_after(with_all("UPDATE ", apart) +
                        with_all("UPDATE ", " SET number = number - 99 WHERE number > 100") +
                        "INSERT INTO record SELECT " + here +
                        ", encoding, replaces, made_utc, program_version, kind, job_number, bike,"
                        " by_whom, checked_by, verdict, planned_cut_mm, actual_cut_mm,"
                        " after_verdict, paper, language, shop_sha256, job_sha256, result_sha256,"
                        " owner_sha256, notes_sha256, previous_sha256, sha256 FROM record LIMIT 1;"
                        "INSERT INTO papers SELECT " +
                        here +
                        ", job, result_json FROM papers LIMIT 1;"
                        "INSERT INTO people VALUES (" +
                        here + ", NULL, NULL, NULL, NULL)",
                    true));
    for (int other = number + 1; other <= 8; ++other) {
      CAPTURE(other);
      const std::string there = std::to_string(other);
      const auto move = [&](const std::string& from, const std::string& to) {
        return with_all("UPDATE ", " SET number = " + to + " WHERE number = " + from);
      };
      CHECK(found_after(move(here, "900") + move(there, here) + move("900", there), true));
      ++rows;
    }
    rows += 5;
  }
  MESSAGE(changes.size() << " changes of values, " << guards.size() << " guards taken away, "
                         << rows << " rows removed, moved or put in: all found");
}

TEST_CASE("a flipped bit anywhere is found or changes nothing that is stored") {
  const Folder folder;
  const std::string path = folder.file("whole.db");
  {
    Register book = Register::open_or_create(path);
    for (int i = 1; i <= 8; ++i) {
      Entry one = entry(std::to_string(2030 + i), "Owner" + std::to_string(i));
      one.documents.shop = "name = \"The shed\"\n";
      one.documents.result_json = R"({"x":")" + std::string(5000, 'y') + R"("})";
      (void)book.add(one);
    }
    (void)book.forget(3, {"2026-11-27T09:00:00Z", "0.2.0"});
  }
  const auto said_by = [](Register& book) {
    std::string said;
    book.each([&](const Record& record, const Documents& documents) {
      const auto& summary = record.summary;
      for (const std::string& text :
           {record.identity.hash, summary.made_utc, summary.program_version, summary.kind,
            summary.verdict, summary.job_number, summary.bike, summary.by, summary.checked_by,
            summary.paper, summary.language, documents.job, documents.result_json,
            documents.shop.value_or("none"), std::to_string(record.identity.number),
            std::to_string(summary.planned_cut_mm.value_or(-1)),
            std::to_string(summary.actual_cut_mm.value_or(-1)),
            summary.after_verdict.value_or("none"),
            record.personal_data ? record.personal_data->owner + record.personal_data->notes
                                 : "forgotten"}) {
        said += text + "\n";
      }
    });
    for (const char* const word : {"owner1", "owner2", "grey", "2031", "2038", "lower"}) {
      said += std::to_string(book.list({.find = word}).size());
    }
    return said;
  };
  const std::string whole = Folder::bytes_of(path);
  Register kept = Register::open(path);
  const std::string said = said_by(kept);
  const std::string copy = folder.file("flipped.db");
  std::size_t flips = 0;
  std::size_t found = 0;
  for (std::size_t at = 0; at < whole.size(); at += 97) {  // a prime: all places of a page
    std::string flipped = whole;
    flipped[at] = static_cast<char>(static_cast<unsigned char>(flipped[at]) ^ (1U << (at % 8)));
    Folder::write(copy, flipped);
    ++flips;
    try {
      Register book = Register::open(copy);
      if (!book.verify("").faults.empty()) {
        ++found;
      } else {
        CAPTURE(at);
        CHECK(said_by(book) == said);
      }
    } catch (const Trouble&) {
      ++found;
    }
    for (const char* const end : {"-wal", "-shm", "-journal"}) {
      std::filesystem::remove(copy + end);
    }
  }
  MESSAGE(flips << " bits flipped, " << found << " found, " << flips - found
                << " in unused places");
  CHECK(found > flips / 3);
}

TEST_CASE("a file cut off anywhere is refused and stays as it is") {
  const Folder folder;
  const std::string path = folder.file("whole.db");
  fill(path, 12);
  const std::string whole = Folder::bytes_of(path);
  const std::string copy = folder.file("cut.db");
  std::size_t cuts = 0;
  for (std::size_t size = 0; size < whole.size(); size += 512) {
    CAPTURE(size);
    Folder::write(copy, whole.substr(0, size));
    CHECK_THROWS_AS((void)Register::open_or_create(copy).add(entry("x")), Trouble);
    CHECK_THROWS_AS((void)Register::open(copy).list({}), Trouble);
    CHECK(Folder::bytes_of(copy) == whole.substr(0, size));
    ++cuts;
  }
  MESSAGE(cuts << " lengths of a file of " << whole.size() << " bytes");
  CHECK(cuts > 100);
}

TEST_CASE("databases of others and of the future are refused untouched") {
  const Folder folder;
  const std::string foreign = folder.file("foreign.db");
  Shell(foreign).run("CREATE TABLE record (number INTEGER PRIMARY KEY)");
  const std::string newer = folder.file("newer.db");
  fill(newer, 1);
  Shell(newer).run("PRAGMA journal_mode = DELETE; PRAGMA user_version = 3");
  for (const auto& [path, says] : {std::pair(foreign, "it is the database of another program"),
                                   std::pair(newer, "a newer kerfmark has made it")}) {
    CAPTURE(path);
    const std::string before = Folder::bytes_of(path);
    CHECK_THROWS_WITH_AS((void)Register::open(path), doctest::Contains(says), Trouble);
    CHECK_THROWS_WITH_AS((void)Register::open_or_create(path), doctest::Contains(says), Trouble);
    CHECK(Folder::bytes_of(path) == before);
  }
  // Its version may stand in the log only.
  Shell(newer).run("PRAGMA user_version = 2; PRAGMA journal_mode = WAL");
  Shell open(newer);
  open.run("PRAGMA user_version = 3");
  CHECK_THROWS_WITH_AS((void)Register::open(newer), doctest::Contains("a newer kerfmark"), Trouble);
}

TEST_CASE("a register of an older version is brought up to date whole or not at all") {
  const Folder folder;
  const std::string path = folder.file();
  fill(path, 3);
  const std::string head = Register::open(path).verify("").head;
  const std::string before = Folder::bytes_of(path);
  const auto bad = std::to_array<std::string_view>(
      {steps()[0], steps()[1],
       "ALTER TABLE record ADD COLUMN torque_nm REAL; CREATE TABLE record (x);"});
  CHECK_THROWS_AS((void)records::open(path, bad), Trouble);
  CHECK(Shell(path).whole("PRAGMA user_version") == 2);
  CHECK(faults(path, head) == 0);

  const auto good = std::to_array<std::string_view>(
      {steps()[0], steps()[1],
       "ALTER TABLE record ADD COLUMN torque_nm REAL CHECK (torque_nm > 0)"});
  {
    const auto migrated = records::open(path, good);
    CHECK(migrated->whole("PRAGMA user_version") == 3);
    CHECK(migrated->whole("SELECT count(torque_nm) FROM record") == 0);
    CHECK(migrated->whole("SELECT count(*) FROM record") == 3);
  }
  CHECK_THROWS_WITH_AS((void)Register::open(path), doctest::Contains("a newer kerfmark"), Trouble);
  // One that starts today has gone all steps.
  create(folder.file("fresh.db"), good);
  CHECK(records::open(folder.file("fresh.db"), good)->whole("PRAGMA user_version") == 3);
}

namespace {

/// A register as version 1 left it: its steps, and records of its own encoding.
class OldRegister {
 public:
  explicit OldRegister(const std::string& path) : path_(path) { create(path, steps().first(1)); }
  void add(const std::string& owner, const std::string& notes) {
    const Entry one = entry(std::to_string(++number_), owner);
    const std::string owner_salt = fresh_salt();
    const std::string notes_salt = fresh_salt();
    const std::vector<Value> values = {number_,
                                       std::int64_t{1},
                                       {},
                                       one.summary.made_utc,
                                       one.summary.program_version,
                                       one.summary.kind,
                                       one.summary.job_number,
                                       one.summary.bike,
                                       one.summary.by,
                                       one.summary.checked_by,
                                       one.summary.verdict,
                                       *one.summary.planned_cut_mm,
                                       {},
                                       {},
                                       one.summary.paper,
                                       one.summary.language,
                                       {},
                                       text::sha256(one.documents.job),
                                       text::sha256(one.documents.result_json),
                                       text::sha256(owner_salt + owner),
                                       text::sha256(notes_salt + notes),
                                       hash_};
    hash_ = text::sha256(canonical(values));
    Database database(path_, SQLITE_OPEN_READWRITE);
    Query record =
        database.query("INSERT INTO record VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?)");
    for (const Value& value : values) {
      record.with_value(value);
    }
    record.with(hash_).run();
    database.query("INSERT INTO papers VALUES (?, ?, ?)")
        .with(number_)
        .with(one.documents.job)
        .with(one.documents.result_json)
        .run();
    database.query("INSERT INTO people VALUES (?, ?, ?, ?, ?)")
        .with(number_)
        .with(owner)
        .with(owner_salt)
        .with(notes)
        .with(notes_salt)
        .run();
    database.run("INSERT INTO search (search) VALUES ('rebuild')");
  }
  /// As its `forget` did it.
  void blank(int number) const {
    Shell(path_).run(
        "UPDATE people SET owner = NULL, owner_salt = NULL, notes = NULL, notes_salt = NULL"
        " WHERE number = " +
        std::to_string(number) + "; INSERT INTO search (search) VALUES ('rebuild')");
  }
  [[nodiscard]] const std::string& head() const { return hash_; }

 private:
  std::string path_;
  std::int64_t number_ = 0;
  std::string hash_ = std::string(no_hash);
};

}  // namespace

TEST_CASE("a register of version 1 goes on and its records keep their hashes") {
  const Folder folder;
  const std::string path = folder.file();
  OldRegister old(path);
  old.add("Oda Venn", "wants it lower");
  old.add("Per Aldous", "");
  old.add("", "DO NOT RIDE: crack seen. Post is fine");
  CHECK(Shell(path).whole("PRAGMA user_version") == 1);
  old.blank(2);

  Register book = Register::open(path);
  CHECK(Shell(path).whole("PRAGMA user_version") == 2);
  Verification found = book.verify(old.head());
  CHECK(found.faults.empty());
  CHECK(found.blanked_before == std::vector<std::int64_t>{2});
  REQUIRE(found.asked);
  CHECK(found.asked->number == 3);

  // The first new record says what was blank before; from then on each blanking has its record.
  CHECK(book.add(entry("4")).identity.number == 5);
  CHECK(book.at(4)->forgets == std::vector<std::int64_t>{2});
  found = book.verify(old.head());
  CHECK(found.faults.empty());
  CHECK(found.blanked_before.empty());
  Entry post = entry("6");
  post.summary.kind = "handlebar";  // a kind of part that nobody knew then
  CHECK(book.add(post).identity.number == 6);
  CHECK(book.verify(old.head()).faults.empty());
  const std::string whole = Folder::bytes_of(path);
  old.blank(1);
  CHECK(faults(path) == 1);

  // In the old encoding it is the length of the salt that shows where the text begins.
  const std::string changed = folder.file("changed.db");
  Folder::write(changed, whole);
  std::filesystem::remove(path + "-wal");
  behind_the_guards(changed,
                    "UPDATE people SET notes_salt = notes_salt || 'DO NOT RIDE: crack seen. ',"
                    " notes = 'Post is fine' WHERE number = 3;"
                    "INSERT INTO search (search) VALUES ('rebuild')");
  CHECK(faults(changed) == 1);
}

TEST_CASE("a name that was forgotten and is put back is found") {
  const Folder folder;
  fill(folder.file(), 2);
  const std::string kept = folder.file("kept.db");
  (void)Register::open(folder.file()).copy_to(kept);
  (void)Register::open(folder.file()).forget(1, {"2026-11-27T09:00:00Z", "0.2.0"});
  CHECK(faults(folder.file()) == 0);
  behind_the_guards(folder.file(),
                    "ATTACH '" + kept +
                        "' AS kept;"
                        "DELETE FROM people WHERE number = 1;"
                        "INSERT INTO people SELECT * FROM kept.people WHERE number = "
                        "1;"
                        "INSERT INTO search (search) VALUES ('rebuild')");
  CHECK(faults(folder.file()) == 1);
}

TEST_CASE("what is not stored is not acknowledged whatever a trigger does") {
  const auto triggers = std::to_array<const char*>({
      "CREATE TRIGGER search_swallow BEFORE INSERT ON record BEGIN SELECT RAISE (IGNORE); END",
      "CREATE TRIGGER search_undo AFTER INSERT ON papers BEGIN DELETE FROM people; END",
      "CREATE TRIGGER search_late AFTER INSERT ON search_data BEGIN DELETE FROM papers; END",
      "CREATE TRIGGER mine AFTER INSERT ON people BEGIN SELECT 1; END",
  });
  for (const char* const trigger : triggers) {
    CAPTURE(trigger);
    const Folder folder;
    fill(folder.file(), 1);
    Shell(folder.file()).run(trigger);
    Register book = Register::open(folder.file());
    CHECK_THROWS_AS((void)book.add(entry("2")), Trouble);
    CHECK_THROWS_AS((void)book.forget(1, {"2026-11-27T09:00:00Z", "0.2.0"}), Trouble);
    CHECK(Register::open(folder.file()).at(1)->personal_data);
    CHECK_FALSE(book.verify("").faults.empty());
  }
}

TEST_CASE("a register that says no version is damaged") {
  const Folder folder;
  for (const char* const version : {"0", "-1"}) {
    const std::string path = folder.file(std::string("v") + version);
    fill(path, 1);
    Shell(path).run("PRAGMA journal_mode = DELETE; PRAGMA user_version = " + std::string(version));
    CHECK_THROWS_WITH_AS((void)Register::open(path), doctest::Contains("put back a backup"),
                         Trouble);
  }
}

TEST_CASE("a copy in memory is the register of one moment and leaves nothing behind") {
  const Folder folder;
  const std::string path = folder.file();
  fill(path, 2);
  const auto names = [&] {
    std::size_t count = 0;
    for (const auto& file : std::filesystem::directory_iterator(folder.file(""))) {
      count += file.path().empty() ? 0U : 1U;
    }
    return count;
  };
  const std::string before = Folder::bytes_of(path);
  CHECK(copy_in_memory(path)->whole("SELECT count(*) FROM record") == 2);
  CHECK(names() == 1);
  CHECK(Folder::bytes_of(path) == before);
  {
    // Somebody works with it: the last record stands in the log only.
    Register other = Register::open(path);
    (void)other.add(entry("3"));
    REQUIRE(names() == 3);
    CHECK(copy_in_memory(path)->whole("SELECT count(*) FROM record") == 3);
  }
  CHECK(names() == 1);
  OldRegister old(folder.file("old.db"));
  old.add("Oda Venn", "");
  CHECK(copy_in_memory(folder.file("old.db"))->whole("PRAGMA user_version") == 1);
}

TEST_CASE("two that make the same register at once get one") {
  const Folder folder;
  create(folder.file(), steps());
  (void)Register::open(folder.file()).add(entry("1"));
  create(folder.file(), steps());  // the later one finds it made
  CHECK(Register::open(folder.file()).verify("").count == 1);
}
