#include "schema.hpp"

#include <array>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <map>
#include <system_error>

#include "kerfmark/files/draft.hpp"
#include "kerfmark/trouble.hpp"
#include "snapshot.hpp"

namespace kerfmark::records {
namespace {

namespace fs = std::filesystem;

// Records are added; nothing is ever changed, taken out or put in between, but people's data, which
// may be blanked. The guards are against mistakes: against intent stands the chain of hashes. They
// stand in the schema because no setting of a connection must be needed for them, and INSERT OR
// REPLACE calls no delete trigger by default.
constexpr std::string_view first = R"sql(
CREATE TABLE record (
  number INTEGER PRIMARY KEY CHECK (number >= 1),
  encoding INTEGER NOT NULL CHECK (encoding = 1),
  replaces INTEGER REFERENCES record (number),
  made_utc TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%SZ', made_utc) IS made_utc),
  program_version TEXT NOT NULL CHECK (program_version <> ''),
  kind TEXT NOT NULL CHECK (kind IN ('seatpost', 'steerer')),
  job_number TEXT NOT NULL,
  bike TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  checked_by TEXT NOT NULL,
  verdict TEXT NOT NULL CHECK (verdict IN ('cut', 'keep', 'hold', 'reject')),
  planned_cut_mm REAL CHECK (planned_cut_mm >= 0),
  actual_cut_mm REAL,
  after_verdict TEXT CHECK (after_verdict IN ('fit', 'hold', 'unfit')),
  paper TEXT NOT NULL CHECK (paper IN ('a4', 'letter')),
  language TEXT NOT NULL CHECK (language <> ''),
  shop_sha256 TEXT REFERENCES shop (sha256),
  job_sha256 TEXT NOT NULL CHECK (length(job_sha256) = 64),
  result_sha256 TEXT NOT NULL CHECK (length(result_sha256) = 64),
  owner_sha256 TEXT NOT NULL CHECK (length(owner_sha256) = 64),
  notes_sha256 TEXT NOT NULL CHECK (length(notes_sha256) = 64),
  previous_sha256 TEXT NOT NULL CHECK (length(previous_sha256) = 64),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64)
) STRICT;
CREATE INDEX record_made ON record (made_utc);
CREATE INDEX record_replaces ON record (replaces) WHERE replaces IS NOT NULL;

CREATE TABLE papers (
  number INTEGER PRIMARY KEY REFERENCES record (number),
  job TEXT NOT NULL,
  result_json TEXT NOT NULL CHECK (result_json LIKE '{%}')
) STRICT;

CREATE TABLE shop (
  sha256 TEXT PRIMARY KEY CHECK (length(sha256) = 64),
  shop_toml TEXT NOT NULL
) STRICT;

CREATE TABLE people (
  number INTEGER PRIMARY KEY REFERENCES record (number),
  owner TEXT,
  owner_salt TEXT,
  notes TEXT,
  notes_salt TEXT,
  CHECK ((owner IS NULL) = (owner_salt IS NULL)),
  CHECK ((owner IS NULL) = (notes IS NULL)),
  CHECK ((notes IS NULL) = (notes_salt IS NULL))
) STRICT;

CREATE VIEW cut AS
  SELECT record.number, sha256, replaces,
    (SELECT later.number FROM record AS later WHERE later.replaces = record.number) AS replaced_by,
    made_utc, program_version, kind, verdict, job_number, bike, by_whom, checked_by,
    planned_cut_mm, actual_cut_mm, after_verdict, paper, language, owner, notes
  FROM record LEFT JOIN people USING (number);

CREATE VIEW searchable AS
  SELECT number, job_number, bike, owner, notes FROM record LEFT JOIN people USING (number);
CREATE VIRTUAL TABLE search USING fts5 (
  job_number, bike, owner, notes,
  content = 'searchable', content_rowid = 'number', columnsize = 0, prefix = '2 3 4',
  tokenize = 'unicode61 remove_diacritics 2'
);

CREATE TRIGGER record_is_the_next BEFORE INSERT ON record
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM record)
  OR NEW.previous_sha256 IS NOT coalesce(
       (SELECT sha256 FROM record ORDER BY number DESC LIMIT 1),
       '0000000000000000000000000000000000000000000000000000000000000000')
BEGIN SELECT RAISE (ABORT, 'a record follows the last one; none is put in or replaced'); END;
CREATE TRIGGER record_replaces_once BEFORE INSERT ON record
WHEN NEW.replaces IS NOT NULL AND (
  NEW.replaces >= NEW.number OR EXISTS (SELECT 1 FROM record WHERE replaces = NEW.replaces))
BEGIN SELECT RAISE (ABORT, 'a record is replaced once, by a later one'); END;
CREATE TRIGGER record_stays BEFORE UPDATE ON record
BEGIN SELECT RAISE (ABORT, 'a record is never changed; add a new one that replaces it'); END;
CREATE TRIGGER record_is_kept BEFORE DELETE ON record
BEGIN SELECT RAISE (ABORT, 'a record is never deleted'); END;

CREATE TRIGGER papers_once BEFORE INSERT ON papers
WHEN EXISTS (SELECT 1 FROM papers WHERE number = NEW.number)
BEGIN SELECT RAISE (ABORT, 'papers of a record are never replaced'); END;
CREATE TRIGGER papers_stay BEFORE UPDATE ON papers
BEGIN SELECT RAISE (ABORT, 'papers of a record are never changed'); END;
CREATE TRIGGER papers_are_kept BEFORE DELETE ON papers
BEGIN SELECT RAISE (ABORT, 'papers of a record are never deleted'); END;

CREATE TRIGGER shop_once BEFORE INSERT ON shop
WHEN EXISTS (SELECT 1 FROM shop WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE (ABORT, 'a shop file is never replaced'); END;
CREATE TRIGGER shop_stays BEFORE UPDATE ON shop
BEGIN SELECT RAISE (ABORT, 'a shop file is never changed'); END;
CREATE TRIGGER shop_is_kept BEFORE DELETE ON shop
BEGIN SELECT RAISE (ABORT, 'a shop file is never deleted'); END;

CREATE TRIGGER people_once BEFORE INSERT ON people
WHEN EXISTS (SELECT 1 FROM people WHERE number = NEW.number)
BEGIN SELECT RAISE (ABORT, 'owner and notes of a record are never replaced'); END;
CREATE TRIGGER people_only_to_blank BEFORE UPDATE ON people
WHEN NEW.number IS NOT OLD.number OR NEW.owner IS NOT NULL OR NEW.owner_salt IS NOT NULL
  OR NEW.notes IS NOT NULL OR NEW.notes_salt IS NOT NULL
BEGIN SELECT RAISE (ABORT, 'owner and notes of a record can only be blanked'); END;
CREATE TRIGGER people_are_kept BEFORE DELETE ON people
BEGIN SELECT RAISE (ABORT, 'owner and notes of a record can only be blanked'); END;
)sql";

// Encoding 2, records of forgetting, and kinds of parts that came later than a register. Checks
// that only become wider change nothing that is stored, so the text of the table may be changed in
// place (sqlite.org/lang_altertable.html 7). The index finds a job that is stored already.
constexpr std::string_view second = R"sql(
PRAGMA writable_schema = ON;
UPDATE sqlite_schema SET sql = replace(replace(replace(replace(replace(sql,
    'CHECK (encoding = 1)', 'CHECK (encoding IN (1, 2))'),
    'CHECK (kind IN (''seatpost'', ''steerer''))', 'CHECK (kind <> '''')'),
    'CHECK (verdict IN (''cut'', ''keep'', ''hold'', ''reject''))',
    'CHECK (kind = ''forget'' OR verdict IN (''cut'', ''keep'', ''hold'', ''reject''))'),
    'CHECK (paper IN (''a4'', ''letter''))', 'CHECK (kind = ''forget'' OR paper IN (''a4'', ''letter''))'),
    'CHECK (language <> '''')', 'CHECK (kind = ''forget'' OR language <> '''')')
  WHERE type = 'table' AND name = 'record';
PRAGMA writable_schema = RESET;
CREATE INDEX record_job ON record (job_sha256);
DROP VIEW cut;
CREATE VIEW cut AS
  SELECT record.number, sha256, replaces,
    (SELECT later.number FROM record AS later WHERE later.replaces = record.number) AS replaced_by,
    made_utc, program_version, kind, verdict, job_number, bike, by_whom, checked_by,
    planned_cut_mm, actual_cut_mm, after_verdict, paper, language, owner, notes,
    CASE kind WHEN 'forget' THEN
      (SELECT job FROM papers WHERE papers.number = record.number) END AS forgets
  FROM record LEFT JOIN people USING (number);
)sql";

constexpr auto all_steps = std::to_array<std::string_view>({first, second});

constexpr auto columns_of_1 = std::to_array<std::string_view>(
    {"number",       "encoding",       "replaces",      "made_utc",      "program_version",
     "kind",         "job_number",     "bike",          "by_whom",       "checked_by",
     "verdict",      "planned_cut_mm", "actual_cut_mm", "after_verdict", "paper",
     "language",     "shop_sha256",    "job_sha256",    "result_sha256", "owner_sha256",
     "notes_sha256", "previous_sha256"});

// Places in the header of a file of SQLite (sqlite.org/fileformat2.html 1.3); numbers there have
// their most significant byte first.
constexpr std::size_t header_size = 100;
constexpr std::string_view magic("SQLite format 3\0", 16);
constexpr std::size_t user_version_at = 60;
constexpr std::size_t application_id_at = 68;

std::int64_t number_at(std::string_view header, std::size_t place) {
  std::uint32_t value = 0;
  for (std::size_t i = place; i < place + 4; ++i) {
    value = (value << 8U) | static_cast<unsigned char>(header[i]);
  }
  return static_cast<std::int32_t>(value);
}

std::string start_of(const std::string& path) {
  errno = 0;
  std::ifstream file(path, std::ios::binary);
  std::string bytes(header_size, '\0');
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (!file && !file.eof()) {
    throw Trouble("open", path, std::generic_category().message(errno == 0 ? EIO : errno));
  }
  bytes.resize(static_cast<std::size_t>(file.gcount()));
  return bytes;
}

void refuse_version(const std::string& path, std::int64_t version, std::size_t known) {
  if (version < 1) {
    throw Trouble("open", path,
                  "it says that it is version " + std::to_string(version) +
                      " of the register, which there never was: it is damaged; put back a backup");
  }
  if (version > static_cast<std::int64_t>(known)) {
    throw Trouble("open", path,
                  "a newer kerfmark has made it (version " + std::to_string(version) +
                      " of the register; this one knows " + std::to_string(known) +
                      "): use that one");
  }
}

// Not needed to be right, but to be safe from what a foreign file might ask for, and to be durable.
constexpr const char* settings =
    "PRAGMA trusted_schema = OFF;"
    "PRAGMA cell_size_check = ON;"
    "PRAGMA foreign_keys = ON;"
    "PRAGMA recursive_triggers = ON;"
    "PRAGMA secure_delete = ON;"
    "PRAGMA synchronous = FULL;";

void go_steps(Database& database, std::span<const std::string_view> known) {
  const std::int64_t version = database.whole("PRAGMA user_version");
  for (std::size_t i = static_cast<std::size_t>(version); i < known.size(); ++i) {
    database.run(std::string(known[i]));
    database.run("PRAGMA user_version = " + std::to_string(i + 1));
  }
}

// Readers and writers of a register go on at the same time by a log (sqlite.org/wal.html). The file
// says so from the start: to change it later, nobody else may have it open.
constexpr std::size_t format_at = 18;
constexpr std::string_view with_log("\2\2", 2);

using Schema = std::multimap<std::string, std::string>;

// All of it: what bears a name of the database's own or of the full text's tables may have been
// made by anybody.
Schema schema_of(Database& database) {
  Schema found;
  Query rows = database.query(
      "SELECT type || ' ' || name, tbl_name || ': ' || coalesce(sql, '') FROM sqlite_schema");
  while (rows.step()) {
    found.emplace(rows.text(0), rows.text(1));
  }
  return found;
}

Schema schema_of_steps() {
  const auto fresh = Database::in_memory("a register in memory");
  for (const std::string_view step : steps()) {
    fresh->run(std::string(step));
  }
  return schema_of(*fresh);
}

}  // namespace

std::span<const std::string_view> steps() { return all_steps; }

std::span<const std::string_view> hashed_columns(std::int64_t encoding) {
  if (encoding == 1 || encoding == encoding_now) {
    return columns_of_1;
  }
  return {};
}

void refuse_unless_register(const std::string& path, std::span<const std::string_view> known) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found && fs::is_symlink(path, error)) {
    throw Trouble("open", path,
                  "it is a link to " + fs::read_symlink(path, error).string() +
                      ", and there is nothing: if that is on another disk, connect it first");
  }
  if (status.type() == fs::file_type::not_found) {
    throw Trouble("open", path, "there is no register there; kerfmark record add makes one");
  }
  if (status.type() == fs::file_type::directory) {
    throw Trouble("open", path, "it is a folder; name a file in it");
  }
  if (status.type() == fs::file_type::none) {
    throw Trouble("open", path, error.message());
  }
  if (status.type() != fs::file_type::regular) {
    throw Trouble("open", path, "it is not an ordinary file");
  }
  const std::string header = start_of(path);
  if (header.empty()) {
    throw Trouble("open", path, "it is empty and not a register; it stays as it is");
  }
  if (!std::string_view(header).starts_with(magic.substr(0, header.size()))) {
    throw Trouble("open", path, "it is not a register; it stays as it is");
  }
  if (header.size() < header_size) {
    throw Trouble("open", path,
                  "the file is cut short: " + std::to_string(header.size()) +
                      " bytes are left; put back a backup");
  }
  if (number_at(header, application_id_at) != application_id) {
    throw Trouble("open", path, "it is the database of another program; it stays as it is");
  }
  refuse_version(path, number_at(header, user_version_at), known.size());
}

std::unique_ptr<Database> new_in(const std::string& path, std::span<const std::string_view> known) {
  auto database = std::make_unique<Database>(path, SQLITE_OPEN_READWRITE);
  database->run(settings);
  database->run("PRAGMA journal_mode = OFF");  // half a draft is of no use to anybody
  database->run("PRAGMA application_id = " + std::to_string(application_id));
  Transaction whole(*database, Transaction::Kind::writing);
  go_steps(*database, known);
  whole.commit();
  return database;
}

void create(const std::string& path, std::span<const std::string_view> known) {
  const fs::path folder = fs::path(path).parent_path();
  std::error_code error;
  const fs::file_status place = fs::status(folder.empty() ? "." : folder, error);
  if (!fs::is_directory(place)) {
    throw Trouble("make", path,
                  "the folder " + folder.string() + " " +
                      (place.type() == fs::file_type::none ? "cannot be used: " + error.message()
                       : fs::exists(place)                 ? "is not a folder"
                                                           : "does not exist; make it first"));
  }
  try {
    files::Draft draft(path, files::Draft::Name::own);
    (void)new_in(draft.own_path(), known);
    draft.put(format_at, with_log);
    // Two programs may make the same register at the same time: the first one's counts.
    (void)draft.become_target();
  } catch (const Trouble& trouble) {
    throw Trouble("make", path, trouble.reason);
  }
}

std::unique_ptr<Database> open(const std::string& path, std::span<const std::string_view> known,
                               Use use) {
  refuse_unless_register(path, known);
  auto database = use == Use::reading && !may_be_written(path)
                      ? copy_in_memory(path)
                      : std::make_unique<Database>(path, SQLITE_OPEN_READWRITE);
  if (!database->may_be_written()) {
    throw Trouble("write to", path, "permission denied: the file or its folder may not be written");
  }
  database->run(settings);
  const std::int64_t version = database->whole("PRAGMA user_version");
  refuse_version(path, version, known.size());
  if (version < static_cast<std::int64_t>(known.size())) {
    Transaction whole(*database, Transaction::Kind::writing);
    go_steps(*database, known);  // what another program has done meanwhile is not done again
    whole.commit();
  }
  return database;
}

std::vector<std::string> Database::faults_of_schema() {
  static const Schema wanted = schema_of_steps();
  std::vector<std::string> faults;
  const Schema found = schema_of(*this);
  for (const auto& [name, sql] : wanted) {
    const auto here = found.find(name);
    if (here == found.end()) {
      faults.push_back("the " + name + " of the register is missing");
    } else if (here->second != sql) {
      faults.push_back("the " + name + " of the register is not as kerfmark made it");
    }
  }
  for (const auto& [name, sql] : found) {
    if (!wanted.contains(name) || found.count(name) > 1) {
      faults.push_back("the register has a " + name + " that kerfmark did not make");
    }
  }
  return faults;
}

}  // namespace kerfmark::records
