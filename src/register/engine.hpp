#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/trouble.hpp"

/// What the register asks of whatever keeps it.
namespace kerfmark::records {

/// Trouble that stands in the register itself.
class Damaged : public Trouble {
 public:
  using Trouble::Trouble;
};

inline constexpr std::string_view does_not_read_back =
    "what was stored does not read back as it was written; kerfmark record verify may say why";

/// A statement. Its parameters are ? in their order, or ?1 where one is used more than once.
struct Sql {
  Sql(const char* both) : Sql(both, both) {}
  Sql(const std::string& both) : Sql(both, both) {}
  Sql(std::string file, std::string server)
      : in_file(std::move(file)), on_server(std::move(server)) {}

  std::string in_file, on_server;
};

/// A statement in use, as its engine has it.
class Statement {
 public:
  Statement() = default;
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  virtual ~Statement() = default;

  virtual void bind(const Value& value) = 0;  ///< to the next parameter
  virtual bool step() = 0;                    ///< false: no further row
  virtual void run() = 0;                     ///< for what gives no rows

  [[nodiscard]] virtual bool is_null(int column) const = 0;
  [[nodiscard]] virtual std::int64_t whole(int column) const = 0;
  [[nodiscard]] virtual double real(int column) const = 0;
  [[nodiscard]] virtual std::string text(int column) const = 0;
  [[nodiscard]] virtual Value value(int column) const = 0;  ///< of whatever type it is stored
};

/// A statement in use; when it goes out of scope the engine keeps it for the next time.
class Query {
 public:
  explicit Query(std::unique_ptr<Statement> statement) : statement_(std::move(statement)) {}

  /// Parameters in their order.
  Query& with(std::string_view text) { return with_value(std::string(text)); }
  Query& with(std::int64_t whole) { return with_value(whole); }
  Query& with_value(const Value& value) {
    statement_->bind(value);
    return *this;
  }

  bool step() { return statement_->step(); }
  void run() { statement_->run(); }

  [[nodiscard]] bool is_null(int column) const { return statement_->is_null(column); }
  [[nodiscard]] std::int64_t whole(int column) const { return statement_->whole(column); }
  [[nodiscard]] double real(int column) const { return statement_->real(column); }
  [[nodiscard]] std::string text(int column) const { return statement_->text(column); }
  [[nodiscard]] Value value(int column) const { return statement_->value(column); }
  [[nodiscard]] std::optional<std::int64_t> maybe_whole(int column) const {
    return is_null(column) ? std::nullopt : std::optional(whole(column));
  }
  [[nodiscard]] std::optional<double> maybe_real(int column) const {
    return is_null(column) ? std::nullopt : std::optional(real(column));
  }
  [[nodiscard]] std::optional<std::string> maybe_text(int column) const {
    return is_null(column) ? std::nullopt : std::optional(text(column));
  }

 private:
  std::unique_ptr<Statement> statement_;
};

class Engine {
 public:
  explicit Engine(std::string name) : path_(std::move(name)) {}
  Engine(const Engine&) = delete;
  Engine& operator=(const Engine&) = delete;
  virtual ~Engine() = default;

  /// What people call the register by.
  [[nodiscard]] const std::string& path() const { return path_; }

  /// Prepared once for each text.
  [[nodiscard]] virtual Query query(const Sql& sql) = 0;
  /// Rows one by one as they come, however many; nothing else is asked meanwhile.
  [[nodiscard]] virtual Query stream(const Sql& sql) = 0;
  /// The first column of the first row.
  [[nodiscard]] std::int64_t whole(const Sql& sql) {
    Query asked = query(sql);
    return asked.step() ? asked.whole(0) : 0;
  }

  /// A reader sees one moment; a writer waits for other writers.
  enum class Kind { reading, writing };
  virtual void begin(Kind kind) = 0;
  virtual void commit() = 0;
  virtual void roll_back() noexcept = 0;

  virtual void get_ready_to_write() = 0;
  virtual void get_ready_to_forget() = 0;
  /// Throws Trouble unless the schema is as kerfmark makes it: a trigger of others could make an
  /// insert succeed and store nothing.
  virtual void refuse_if_changed() = 0;

  /// Ends the transaction with Trouble unless the question has a row; on a server perhaps not
  /// before the next answer of it is waited for.
  virtual void insist(const std::string& question, const std::vector<Value>& values) = 0;
  /// Waits for whatever was not waited for.
  virtual void catch_up() = 0;

  // ---- adding over a connection that may be lost ----
  /// Throws Unreachable where it is still lost.
  virtual void connect_again() = 0;
  /// The record that was stored with this key, whose writer may not have heard of it.
  [[nodiscard]] virtual std::optional<RecordIdentity> stored_under(const std::string& key) = 0;
  virtual void keep_key(const std::string& key, std::int64_t number) = 0;

  // ---- the full text ----
  virtual void make_findable(std::int64_t number, const RecordSummary& summary,
                             const PersonalData& personal_data) = 0;
  /// Owner and notes, so that only the rest is found.
  virtual void make_unfindable(const Record& record) = 0;
  [[nodiscard]] virtual std::vector<Record> found_by(const Filter& filter) = 0;

  // ---- what is there ----
  /// What in the schema is not as kerfmark makes it.
  [[nodiscard]] virtual std::vector<std::string> faults_of_schema() = 0;
  /// Adds what is wrong with the rows by the rules of the database alone.
  virtual void check_rows(std::vector<std::string>& faults) = 0;
  /// What the full text has that the records have not, or the reverse; nothing where it cannot be
  /// checked.
  [[nodiscard]] virtual std::optional<std::vector<std::string>> faults_of_full_text() = 0;

  /// As of the moment of a reading transaction.
  virtual void copy_to(const std::string& path, const Progress& progress) = 0;
  /// What was blanked is to be nowhere any more.
  virtual void wipe_traces() = 0;

  // ---- what people should know ----
  [[nodiscard]] virtual std::vector<std::string> cautions() const = 0;
  /// Where what was forgotten may still be; empty: nowhere.
  [[nodiscard]] virtual std::string kept_elsewhere() const = 0;
  /// How else it is backed up; empty: there is no other way.
  [[nodiscard]] virtual std::string other_backup() const = 0;

 private:
  std::string path_;
};

/// What happens between the two of these counts as a whole or not at all.
class Transaction {
 public:
  using Kind = Engine::Kind;

  Transaction(Engine& engine, Kind kind) : engine_(engine) { engine.begin(kind); }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction() {  // without commit: rolled back
    if (open_) {
      engine_.roll_back();
    }
  }

  void commit() {
    engine_.commit();
    open_ = false;
  }

 private:
  Engine& engine_;
  bool open_ = true;
};

}  // namespace kerfmark::records
