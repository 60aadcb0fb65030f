#include "database.hpp"

#include <filesystem>
#include <system_error>
#include <utility>

#include "kerfmark/trouble.hpp"

namespace kerfmark::records {
namespace {

// How long to wait for other programs that write; longer than the slowest disk takes for a record.
constexpr int patience_ms = 30'000;

constexpr int primary = 0xFF;  // the low byte of an extended result code (sqlite.org/rescode.html)

}  // namespace

// ---- a statement ----

namespace {

class FileStatement final : public Statement {
 public:
  FileStatement(Database& database, sqlite3_stmt* statement)
      : database_(database), statement_(statement) {}
  FileStatement(const FileStatement&) = delete;
  FileStatement& operator=(const FileStatement&) = delete;
  ~FileStatement() override {
    sqlite3_reset(statement_);
    sqlite3_clear_bindings(statement_);
  }

  void bind(const Value& value) override {
    if (bind_next(value) != SQLITE_OK) {
      database_.fail("use");
    }
  }

  bool step() override {
    const int done = sqlite3_step(statement_);
    if (done != SQLITE_ROW && done != SQLITE_DONE) {
      database_.fail(sqlite3_stmt_readonly(statement_) != 0 ? "read" : "write to");
    }
    return done == SQLITE_ROW;
  }

  void run() override {
    while (step()) {
    }
  }

  [[nodiscard]] bool is_null(int column) const override {
    return sqlite3_column_type(statement_, column) == SQLITE_NULL;
  }

  [[nodiscard]] std::int64_t whole(int column) const override {
    return sqlite3_column_int64(statement_, column);
  }

  [[nodiscard]] double real(int column) const override {
    return sqlite3_column_double(statement_, column);
  }

  [[nodiscard]] std::string text(int column) const override {
    const void* bytes = sqlite3_column_blob(statement_, column);
    const int size = sqlite3_column_bytes(statement_, column);
    return bytes == nullptr
               ? std::string{}
               : std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(size));
  }

  [[nodiscard]] Value value(int column) const override {
    switch (sqlite3_column_type(statement_, column)) {
      case SQLITE_INTEGER:
        return whole(column);
      case SQLITE_FLOAT:
        return real(column);
      case SQLITE_NULL:
        return {};
      default:
        return text(column);
    }
  }

 private:
  int bind_next(const Value& value) {
    ++bound_;
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      return sqlite3_bind_int64(statement_, bound_, *whole);
    }
    if (const auto* text = std::get_if<std::string>(&value)) {
      return sqlite3_bind_text64(statement_, bound_, text->data(), text->size(), SQLITE_TRANSIENT,
                                 SQLITE_UTF8);
    }
    const auto* real = std::get_if<double>(&value);
    return real == nullptr ? sqlite3_bind_null(statement_, bound_)
                           : sqlite3_bind_double(statement_, bound_, *real);
  }

  Database& database_;
  sqlite3_stmt* statement_;
  int bound_ = 0;
};

}  // namespace

// ---- Database ----

void Database::Close::operator()(sqlite3* handle) const { sqlite3_close_v2(handle); }

void Database::Finalize::operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }

namespace {

// SQLite takes a name that begins with "file:" for a URI, and ":memory:" for no file at all; one
// that begins with the root is always a path. A zero byte would end the name early.
std::string name_of(const std::string& path) {
  std::error_code error;
  const std::filesystem::path absolute = std::filesystem::absolute(path, error);
  if (error || path.empty() || path.find('\0') != std::string::npos) {
    throw Trouble("open", path, error ? error.message() : "that is not the path of a file");
  }
  return absolute.string();
}

}  // namespace

Database::Database(std::string path, int flags) : Database(path, name_of(path), flags) {}

std::unique_ptr<Database> Database::in_memory(const std::string& path) {
  return std::unique_ptr<Database>(
      new Database(path, ":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE));
}

Database::Database(std::string path, const std::string& name, int flags) : Engine(std::move(path)) {
  // Only the first call, before any other of the library, does anything; later ones are refused.
  static const int no_names_but_paths = sqlite3_config(SQLITE_CONFIG_URI, 0);
  (void)no_names_but_paths;
  sqlite3* handle = nullptr;
  const int done = sqlite3_open_v2(name.c_str(), &handle, flags, nullptr);
  handle_.reset(handle);  // there even when it could not be opened, unless memory ran out
  if (handle == nullptr) {
    throw Trouble("open", this->path(), "out of memory");
  }
  sqlite3_extended_result_codes(handle, 1);
  if (done != SQLITE_OK) {
    fail("open");
  }
  sqlite3_busy_timeout(handle, patience_ms);
}

Database::~Database() { prepared_.clear(); }

bool Database::may_be_written() const { return sqlite3_db_readonly(handle(), "main") == 0; }

bool Database::is_in_memory() const { return sqlite3_db_filename(handle(), "main")[0] == '\0'; }

void Database::run(const std::string& statements) {
  if (sqlite3_exec(handle(), statements.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) {
    fail("use");
  }
}

Query Database::query(const Sql& statement_of_both) {
  const std::string& sql = statement_of_both.in_file;
  auto kept = prepared_.find(sql);
  if (kept == prepared_.end()) {
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v3(handle(), sql.data(), static_cast<int>(sql.size()),
                           SQLITE_PREPARE_PERSISTENT, &statement, nullptr) != SQLITE_OK) {
      fail("use");
    }
    kept = prepared_.emplace(sql, statement).first;
  }
  return Query(std::make_unique<FileStatement>(*this, kept->second.get()));
}

std::string Database::reason() const {
  const int code = sqlite3_extended_errcode(handle());
  const int system = sqlite3_system_errno(handle());
  std::string said = sqlite3_errmsg(handle());
  switch (code & primary) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_PROTOCOL:
      return "another program has kept it busy for " + std::to_string(patience_ms / 1000) +
             " s; try again";
    case SQLITE_FULL:
      return "no space left on the disk";
    case SQLITE_READONLY:
      return "permission denied: the file or its folder may not be written";
    case SQLITE_CORRUPT:
      return "the file is damaged (" + said + "); put back a backup";
    case SQLITE_NOTADB:
      return "it is not a register";
    case SQLITE_IOERR:
    case SQLITE_CANTOPEN:
      return (system != 0 ? std::generic_category().message(system)
                          : "the disk has failed, or a limit on its use was reached") +
             " (" + said + ")";
    default:
      return said;
  }
}

void Database::fail(const std::string& doing) const {
  if ((sqlite3_errcode(handle()) & primary) == SQLITE_CORRUPT) {
    throw Damaged(doing, path(), reason());
  }
  throw Trouble(doing, path(), reason());
}

// ---- transactions ----

namespace {

std::uintmax_t size_of(const std::string& path) {
  std::error_code error;
  const auto size = std::filesystem::file_size(path, error);
  return error ? 0 : size;
}

// SQLite reads what is missing of the last page as zeros. While we read, no other program may
// shrink the file or empty the log beside it: so if the log is empty, all of it must be in the
// file.
void check_length(Database& database) {
  if (database.is_in_memory()) {
    return;
  }
  const auto wanted = static_cast<std::uintmax_t>(database.whole("PRAGMA page_count") *
                                                  database.whole("PRAGMA page_size"));
  const std::uintmax_t there = size_of(database.path());
  if (there < wanted && size_of(database.path() + "-wal") == 0) {
    throw Trouble("read", database.path(),
                  "the file is cut short: " + std::to_string(there) + " of " +
                      std::to_string(wanted) + " bytes are left; put back a backup");
  }
}

}  // namespace

void Database::begin(Kind kind) {
  run(kind == Kind::writing ? "BEGIN IMMEDIATE" : "BEGIN");
  try {
    check_length(*this);
  } catch (...) {
    roll_back();
    throw;
  }
}

void Database::commit() {
  if (sqlite3_exec(handle(), "COMMIT", nullptr, nullptr, nullptr) != SQLITE_OK) {
    fail("write to");
  }
}

void Database::roll_back() noexcept {
  sqlite3_exec(handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

}  // namespace kerfmark::records
