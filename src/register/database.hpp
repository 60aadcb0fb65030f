#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <string_view>

#include <sqlite3.h>

#include "engine.hpp"

/// A register in a file: the one place where SQLite is called. Every failure is Trouble.
namespace kerfmark::records {

class Database final : public Engine {
 public:
  /// The path as people call it, which is never taken for anything but a path; `flags` are those of
  /// sqlite3_open_v2.
  Database(std::string path, int flags);
  /// One that is in no file. In messages it goes by `path`.
  [[nodiscard]] static std::unique_ptr<Database> in_memory(const std::string& path);
  Database(const Database&) = delete;
  Database& operator=(const Database&) = delete;
  ~Database() override;

  [[nodiscard]] sqlite3* handle() const { return handle_.get(); }
  [[nodiscard]] bool may_be_written() const;
  [[nodiscard]] bool is_in_memory() const;

  /// Statements without parameters or results.
  void run(const std::string& statements);
  [[nodiscard]] Query query(const Sql& sql) override;
  [[nodiscard]] Query stream(const Sql& sql) override { return query(sql); }

  /// A file that is shorter than it says is refused here.
  void begin(Kind kind) override;
  void commit() override;
  void roll_back() noexcept override;
  void get_ready_to_write() override;
  void get_ready_to_forget() override { get_ready_to_write(); }
  void refuse_if_changed() override;

  // No connection to it is ever lost.
  void insist(const std::string& question, const std::vector<Value>& values) override;
  void catch_up() override {}
  void connect_again() override {}
  [[nodiscard]] std::optional<RecordIdentity> stored_under(const std::string& /*key*/) override {
    return std::nullopt;
  }
  void keep_key(const std::string& /*key*/, std::int64_t /*number*/) override {}

  void make_findable(std::int64_t number, const RecordSummary& summary,
                     const PersonalData& personal_data) override;
  void make_unfindable(const Record& record) override;
  [[nodiscard]] std::vector<Record> found_by(const Filter& filter) override;

  [[nodiscard]] std::vector<std::string> faults_of_schema() override;
  void check_rows(std::vector<std::string>& faults) override;
  [[nodiscard]] std::optional<std::vector<std::string>> faults_of_full_text() override;

  void copy_to(const std::string& path, const Progress& progress) override;
  void wipe_traces() override;
  [[nodiscard]] std::vector<std::string> cautions() const override { return {}; }
  [[nodiscard]] std::string kept_elsewhere() const override { return {}; }
  [[nodiscard]] std::string other_backup() const override { return {}; }

  /// What the last call went wrong with, in words for people.
  [[nodiscard]] std::string reason() const;
  [[noreturn]] void fail(const std::string& doing) const;

 private:
  Database(std::string path, const std::string& name, int flags);
  struct Close {
    void operator()(sqlite3* handle) const;
  };
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const;
  };

  std::unique_ptr<sqlite3, Close> handle_;
  std::map<std::string, std::unique_ptr<sqlite3_stmt, Finalize>, std::less<>> prepared_;
};

}  // namespace kerfmark::records
