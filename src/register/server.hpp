#pragma once

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine.hpp"
#include "full_text.hpp"
#include "libpq.hpp"
#include "server_schema.hpp"

/// A register on a server: the one place where PostgreSQL is called. Every failure is Trouble.
namespace kerfmark::records {

/// The roles of a register, which logins are members of.
inline constexpr std::string_view role_to_add = "kerfmark_add";
inline constexpr std::string_view role_to_forget = "kerfmark_forget";
inline constexpr std::string_view role_of_owner = "kerfmark_owner";

struct ClearResult {
  void operator()(PGresult* result) const { libpq().clear(result); }
};
using Result = std::unique_ptr<PGresult, ClearResult>;

class Server final : public Engine {
 public:
  /// Connects. Throws Unreachable where nobody answers, other Trouble where the server refuses.
  explicit Server(const std::string& name, const ServerSchema& schema = schema_of_server());
  ~Server() override;

  /// From here on with no more rights than this role has.
  void become(std::string_view role);
  void connect_again() override;
  [[nodiscard]] std::vector<std::string> cautions() const override;

  [[nodiscard]] Query query(const Sql& sql) override;
  [[nodiscard]] Query stream(const Sql& sql) override;
  /// Statements without parameters or results.
  void run(const std::string& statements);

  void begin(Kind kind) override;
  void commit() override;
  void roll_back() noexcept override;
  void get_ready_to_write() override;
  void get_ready_to_forget() override;
  void refuse_if_changed() override;
  void insist(const std::string& question, const std::vector<Value>& values) override;
  void catch_up() override { (void)hear_all(); }

  [[nodiscard]] std::optional<RecordIdentity> stored_under(const std::string& key) override;
  void keep_key(const std::string& key, std::int64_t number) override;

  void make_findable(std::int64_t number, const RecordSummary& summary,
                     const PersonalData& personal_data) override;
  void make_unfindable(const Record& record) override;
  [[nodiscard]] std::vector<Record> found_by(const Filter& filter) override;

  [[nodiscard]] std::vector<std::string> faults_of_schema() override;
  void check_rows(std::vector<std::string>& faults) override;
  [[nodiscard]] std::optional<std::vector<std::string>> faults_of_full_text() override;

  void copy_to(const std::string& path, const Progress& progress) override;
  void wipe_traces() override {}  // its files are out of reach
  [[nodiscard]] std::string kept_elsewhere() const override;
  [[nodiscard]] std::string other_backup() const override;

  // ---- for statements in use ----
  using Parameters = std::vector<std::optional<std::string>>;
  /// Sends without waiting; what goes wrong is heard at the next question or at the end.
  void send(std::string_view sql, const Parameters& parameters);
  [[nodiscard]] Result ask(std::string_view sql, const Parameters& parameters);
  void start_stream(std::string_view sql, const Parameters& parameters);
  [[nodiscard]] Result next_row();  ///< empty: no further one
  void hang_up();
  [[noreturn]] void fail(const std::string& doing, const PGresult* result);

 private:
  void connect();
  void enter_session();
  void send_prepared(std::string_view sql, const Parameters& parameters);
  Result hear_all();  ///< of what was sent; gives the last
  Result hear_one();
  [[nodiscard]] std::vector<Record> found(const Filter& filter, TextMatch how);
  [[nodiscard]] std::vector<Record> found_by(const Filter& filter, TextMatch how,
                                             const std::string& sql,
                                             const std::vector<std::string>& values);
  FullText& full_text();

  ServerSchema schema_;
  PGconn* connection_ = nullptr;
  std::string role_;
  std::string said_while_connecting_;
  std::map<std::string, std::string, std::less<>> prepared_;  ///< name by text
  std::size_t names_ = 0;                                     ///< of statements, each used once
  std::size_t sent_ = 0;                                      ///< and not heard of yet
  bool schema_is_right_ = false;
  std::unique_ptr<FullText> full_text_;
};

/// Opens a register on a server that is there and of a version that this program knows.
[[nodiscard]] std::unique_ptr<Server> open_on_server(
    const std::string& name, const ServerSchema& schema = schema_of_server());

/// `Register::set_up`.
SetUp set_up_on_server(const std::string& name, const ServerSchema& schema = schema_of_server());

}  // namespace kerfmark::records
