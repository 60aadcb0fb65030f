#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include <sqlite3.h>

#include "kerfmark/register/chain.hpp"
#include "kerfmark/trouble.hpp"

/// The one place where SQLite is called. Every failure is Trouble.
namespace kerfmark::records {

class Database;

/// Trouble that stands in the file itself.
class Damaged : public Trouble {
 public:
  using Trouble::Trouble;
};

/// A statement in use; when it goes out of scope the database keeps it for the next time.
class Query {
 public:
  Query(Database& database, sqlite3_stmt* statement)
      : database_(&database), statement_(statement) {}
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;
  ~Query();

  /// Parameters in their order.
  Query& with(std::string_view text);
  Query& with(std::int64_t whole);
  Query& with_value(const Value& value);

  bool step();  ///< false: no further row
  void run();   ///< for what gives no rows

  [[nodiscard]] bool is_null(int column) const;
  [[nodiscard]] std::int64_t whole(int column) const;
  [[nodiscard]] double real(int column) const;
  [[nodiscard]] std::string text(int column) const;
  [[nodiscard]] std::optional<std::int64_t> maybe_whole(int column) const;
  [[nodiscard]] std::optional<double> maybe_real(int column) const;
  [[nodiscard]] std::optional<std::string> maybe_text(int column) const;
  [[nodiscard]] Value value(int column) const;  ///< of whatever type it has in the file

 private:
  Database* database_;
  sqlite3_stmt* statement_;
  int bound_ = 0;
};

class Database {
 public:
  /// The path as people call it, which is never taken for anything but a path; `flags` are those of
  /// sqlite3_open_v2.
  Database(std::string path, int flags);
  /// One that is in no file. In messages it goes by `path`.
  [[nodiscard]] static std::unique_ptr<Database> in_memory(const std::string& path);
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  ~Database();

  [[nodiscard]] const std::string& path() const { return path_; }
  [[nodiscard]] sqlite3* handle() const { return handle_.get(); }
  [[nodiscard]] bool may_be_written() const;
  [[nodiscard]] bool is_in_memory() const;

  /// Statements without parameters or results.
  void run(const std::string& statements);
  /// Prepared once for each text.
  [[nodiscard]] Query query(std::string_view sql);
  /// The first column of the first row.
  [[nodiscard]] std::int64_t whole(std::string_view sql);

  /// What the last call went wrong with, in words for people.
  [[nodiscard]] std::string reason() const;
  [[noreturn]] void fail(const std::string& doing) const;

 private:
  friend class Query;
  Database(std::string path, const std::string& name, int flags);
  struct Close {
    void operator()(sqlite3* handle) const;
  };
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const;
  };

  std::string path_;
  std::unique_ptr<sqlite3, Close> handle_;
  std::map<std::string, std::unique_ptr<sqlite3_stmt, Finalize>, std::less<>> prepared_;
};

/// What happens between the two of these counts as a whole or not at all.
class Transaction {
 public:
  enum class Kind { reading, writing };

  /// Waits for other writers. A file that is shorter than it says is refused here.
  Transaction(Database& database, Kind kind);
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction();  ///< without commit: rolled back

  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace kerfmark::records
