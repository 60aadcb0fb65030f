#include "server.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <thread>
#include <utility>

#include "heard_beside.hpp"
#include "kerfmark/trouble.hpp"
#include "server_name.hpp"

namespace kerfmark::records {
namespace {

// How long to wait for other writers, and how long a silent one may keep the others waiting; then
// the server ends it. The second is longer: who waits is told so before the first one is lost.
constexpr const char* settings =
    "SET search_path = kerfmark, pg_temp;"
    "SET synchronous_commit = on;"
    "SET lock_timeout = '30s';"
    "SET idle_in_transaction_session_timeout = '60s';"
    "SET DateStyle = 'ISO';"
    "SET extra_float_digits = 1;"
    "SET jit = off;";  // takes longer than what it would make faster

// Locked by a transaction that adds: "kerf" in ASCII.
constexpr const char* take_lock = "SELECT pg_advisory_xact_lock(1801810534)";

// More are not sent without hearing what became of them: a server that nobody listens to stops
// listening itself.
constexpr std::size_t most_unheard = 64;

// Classes and codes of errors: postgresql.org/docs/15/errcodes-appendix.html
constexpr std::string_view lock_not_available = "55P03";
constexpr std::string_view insufficient_privilege = "42501";
constexpr std::string_view disk_full = "53100";
constexpr std::string_view no_such_role = "22023";
constexpr std::string_view no_such_table = "42P01";
constexpr std::string_view no_such_schema = "3F000";
constexpr std::string_view only_reads = "25006";
constexpr std::string_view database_is_starting = "57P03";
constexpr std::string_view division_by_zero = "22012";

std::string field_of(const PGresult* result, int field) {
  const char* const text = result == nullptr ? nullptr : libpq().error_field(result, field);
  return text == nullptr ? std::string{} : std::string(text);
}

std::string state_of(const PGresult* result) { return field_of(result, PG_DIAG_SQLSTATE); }

bool is_good(const PGresult* result) {
  const ExecStatusType status = libpq().result_status(result);
  return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK || status == PGRES_SINGLE_TUPLE ||
         status == PGRES_PIPELINE_SYNC;
}

// PostgreSQL numbers its parameters.
std::string with_numbers(std::string_view sql) {
  std::string numbered;
  int next = 0;
  for (std::size_t i = 0; i < sql.size(); ++i) {
    if (sql[i] != '?') {
      numbered += sql[i];
      continue;
    }
    numbered += '$';
    if (i + 1 == sql.size() || sql[i + 1] < '0' || sql[i + 1] > '9') {
      numbered += std::to_string(++next);
    }
  }
  return numbered;
}

std::string shortest(double value) {
  std::array<char, 32> digits{};
  const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), value);
  return {digits.data(), end};
}

// ---- a statement ----

class ServerStatement final : public Statement {
 public:
  enum class Rows { at_once, as_they_come };

  ServerStatement(Server& server, std::string sql, Rows how)
      : server_(server), sql_(std::move(sql)), how_(how) {}
  ServerStatement(const ServerStatement&) = delete;
  ServerStatement& operator=(const ServerStatement&) = delete;
  ~ServerStatement() override {
    if (how_ == Rows::as_they_come && asked_ && !at_end_) {
      server_.hang_up();  // what else would come may take hours
    }
  }

  void bind(const Value& value) override {
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      parameters_.emplace_back(std::to_string(*whole));
    } else if (const auto* real = std::get_if<double>(&value)) {
      parameters_.emplace_back(shortest(*real));
    } else if (const auto* text = std::get_if<std::string>(&value)) {
      if (text->find('\0') != std::string::npos) {
        throw Trouble("write to", server_.path(),
                      "a text has a zero character in it, which the server cannot store");
      }
      parameters_.emplace_back(*text);
    } else {
      parameters_.emplace_back();
    }
  }

  bool step() override {
    if (how_ == Rows::as_they_come) {
      return step_as_they_come();
    }
    if (!asked_) {
      rows_ = server_.ask(sql_, parameters_);
      asked_ = true;
    } else {
      ++row_;
    }
    return row_ < libpq().rows(rows_.get());
  }

  void run() override { server_.send(sql_, parameters_); }

  [[nodiscard]] bool is_null(int column) const override {
    return libpq().is_null(rows_.get(), row_, column) != 0;
  }

  [[nodiscard]] std::int64_t whole(int column) const override {
    const std::string digits = text(column);
    if (digits == "t") {  // true
      return 1;
    }
    std::int64_t value = 0;
    std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return value;
  }

  [[nodiscard]] double real(int column) const override {
    const std::string digits = text(column);
    double value = 0;
    std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return value;
  }

  [[nodiscard]] std::string text(int column) const override {
    return {libpq().value(rows_.get(), row_, column),
            static_cast<std::size_t>(libpq().length(rows_.get(), row_, column))};
  }

  [[nodiscard]] Value value(int column) const override {
    // catalog/pg_type.dat of PostgreSQL: int8, int4 and float8 never change their numbers.
    constexpr Oid int8 = 20;
    constexpr Oid int4 = 23;
    constexpr Oid float8 = 701;
    if (is_null(column)) {
      return {};
    }
    switch (libpq().type(rows_.get(), column)) {
      case int8:
      case int4:
        return whole(column);
      case float8:
        return real(column);
      default:
        return text(column);
    }
  }

 private:
  bool step_as_they_come() {
    if (!asked_) {
      server_.start_stream(sql_, parameters_);
      asked_ = true;
    }
    rows_ = server_.next_row();
    at_end_ = rows_ == nullptr;
    return !at_end_;
  }

  Server& server_;
  std::string sql_;
  Rows how_;
  Server::Parameters parameters_;
  Result rows_;
  int row_ = 0;
  bool asked_ = false;
  bool at_end_ = false;
};

}  // namespace

// ---- the connection ----

Server::Server(const std::string& name, const ServerSchema& schema)
    : Engine(name), schema_(schema) {
  refuse_name_of_server(name);
  connect();
}

Server::~Server() { hang_up(); }

void Server::hang_up() {
  if (connection_ != nullptr) {
    libpq().finish(connection_);
  }
  connection_ = nullptr;
  prepared_.clear();
  sent_ = 0;
}

// Once more where somebody answers at the second look: the server may just have come up.
void Server::connect() {
  hang_up();
  const ConnectionWords words(path());
  const HeardBeside beside;
  for (int tries = 0;; ++tries) {
    connection_ = libpq().connect(words.keys(), words.values(), 1);
    if (connection_ == nullptr) {
      throw Trouble("reach", path(), "out of memory");
    }
    if (libpq().status(connection_) == CONNECTION_OK) {
      break;
    }
    const std::string said = beside.said();
    const std::string reason =
        on_one_line(libpq().error(connection_)) + (said.empty() ? "" : "; " + said);
    const PGPing statement = libpq().ping(words.keys(), words.values(), 1);
    hang_up();
    if (statement == PQPING_NO_RESPONSE || statement == PQPING_REJECT) {
      throw Unreachable("reach", path(), reason);
    }
    if (statement == PQPING_NO_ATTEMPT || tries > 0) {
      throw Trouble("open", path(), reason);
    }
  }
  said_while_connecting_ = beside.said();
  libpq().on_notice(
      connection_, [](void*, const char*) {}, nullptr);
  if (!role_.empty()) {
    enter_session();
  }
}

void Server::connect_again() {
  using namespace std::chrono_literals;
  constexpr int tries = 15;  // three seconds: a server that was killed is up again by then
  for (int i = 1;; ++i) {
    try {
      connect();
      return;
    } catch (const Unreachable&) {
      if (i == tries) {
        throw;
      }
    }
    std::this_thread::sleep_for(200ms);
  }
}

void Server::become(std::string_view role) {
  role_ = role;
  enter_session();
}

void Server::enter_session() {
  const Result done(libpq().exec(connection_, ("SET ROLE " + role_ + ";" + settings).c_str()));
  if (is_good(done.get())) {
    return;
  }
  const std::string state = state_of(done.get());
  if (state == no_such_role) {
    throw Trouble("open", path(),
                  "there is no register on this server; kerfmark record setup makes one");
  }
  if (state == insufficient_privilege) {
    throw Trouble("open", path(),
                  "the login " + std::string(libpq().user(connection_)) +
                      " may not do this; whoever runs the server lets it by GRANT " + role_ +
                      " TO \"" + libpq().user(connection_) + "\"");
  }
  fail("open", done.get());
}

// Outside of what others wait for.
void Server::get_ready_to_write() {
  refuse_if_changed();
  (void)full_text();
}

void Server::get_ready_to_forget() {
  become(role_to_forget);
  get_ready_to_write();
}

// What has no state is not of the server, but of the library, which cannot go on.
void Server::fail(const std::string& doing, const PGresult* result) {
  const std::string state = state_of(result);
  const bool lost = state.empty() || libpq().status(connection_) == CONNECTION_BAD ||
                    state == "57P01" || state == "57P02" || state == database_is_starting ||
                    state.starts_with("08");
  const std::string said = field_of(result, PG_DIAG_MESSAGE_PRIMARY);
  if (lost) {
    const std::string reason =
        connection_ == nullptr ? "" : on_one_line(libpq().error(connection_));
    hang_up();
    throw Unreachable("reach", path(),
                      "the connection was lost" +
                          (said.empty() ? (reason.empty() ? reason : ": " + reason) : ": " + said));
  }
  if (state == only_reads) {
    throw Unreachable("reach", path(), "this is a replica, to which nothing can be added");
  }
  if (state == lock_not_available) {
    throw Trouble(doing, path(), "another program has kept it busy for 30 s; try again");
  }
  if (state == no_such_table || state == no_such_schema) {
    throw Trouble(doing, path(),
                  "there is no register in this database; kerfmark record setup makes one");
  }
  if (state == division_by_zero) {  // `insist` alone divides
    throw Trouble("write to", path(), std::string(does_not_read_back));
  }
  if (state == disk_full) {
    throw Trouble(doing, path(), "no space left on the disk of the server");
  }
  if (state.starts_with("XX")) {
    throw Damaged(doing, path(), said + "; the server's database is damaged");
  }
  throw Trouble(doing, path(), said.empty() ? on_one_line(libpq().error(connection_)) : said);
}

void Server::run(const std::string& statements) {
  (void)hear_all();
  const Result done(libpq().exec(connection_, statements.c_str()));
  if (!is_good(done.get())) {
    fail("use", done.get());
  }
}

// ---- statements ----

Query Server::query(const Sql& sql) {
  return Query(
      std::make_unique<ServerStatement>(*this, sql.on_server, ServerStatement::Rows::at_once));
}

Query Server::stream(const Sql& sql) {
  return Query(
      std::make_unique<ServerStatement>(*this, sql.on_server, ServerStatement::Rows::as_they_come));
}

void Server::send_prepared(std::string_view sql, const Parameters& parameters) {
  auto kept = prepared_.find(sql);
  if (kept == prepared_.end()) {
    const std::string name = "s" + std::to_string(++names_);
    if (libpq().send_prepare(connection_, name.c_str(), with_numbers(sql).c_str(), 0, nullptr) ==
        0) {
      fail("use", nullptr);
    }
    ++sent_;
    kept = prepared_.emplace(sql, name).first;
  }
  std::vector<const char*> values;
  for (const auto& parameter : parameters) {
    values.push_back(parameter ? parameter->c_str() : nullptr);
  }
  if (libpq().send_prepared(connection_, kept->second.c_str(), static_cast<int>(values.size()),
                            values.data(), nullptr, nullptr, 0) == 0) {
    fail("use", nullptr);
  }
  ++sent_;
}

void Server::send(std::string_view sql, const Parameters& parameters) {
  if (connection_ == nullptr) {
    fail("use", nullptr);
  }
  if (sent_ == 0 && libpq().enter_pipeline(connection_) == 0) {
    fail("use", nullptr);
  }
  send_prepared(sql, parameters);
  if (sent_ >= most_unheard) {
    (void)hear_all();
  }
}

Result Server::ask(std::string_view sql, const Parameters& parameters) {
  send(sql, parameters);
  return hear_all();
}

// The result of one of what was sent: all of them are asked for until there is none.
Result Server::hear_one() {
  Result last;
  while (PGresult* const next = libpq().next_result(connection_)) {
    last.reset(next);
    if (libpq().result_status(next) == PGRES_PIPELINE_SYNC) {
      break;  // which alone has nothing after it
    }
  }
  return last;
}

Result Server::hear_all() {
  if (sent_ == 0) {
    return {};
  }
  if (libpq().sync(connection_) == 0) {
    sent_ = 0;
    fail("use", nullptr);
  }
  Result last;
  Result wrong;
  for (; sent_ > 0; --sent_) {
    last = hear_one();
    if (wrong == nullptr && (last == nullptr || !is_good(last.get()))) {
      if (last == nullptr) {  // nothing else will come
        sent_ = 0;
        fail("use", nullptr);
      }
      wrong = std::move(last);
    }
  }
  (void)hear_one();  // the end of all that was sent
  (void)libpq().exit_pipeline(connection_);
  if (wrong != nullptr) {
    prepared_.clear();  // what was to be prepared after it is not there
    fail("use", wrong.get());
  }
  return last;
}

void Server::start_stream(std::string_view sql, const Parameters& parameters) {
  (void)hear_all();
  if (connection_ == nullptr) {
    fail("read", nullptr);
  }
  if (!prepared_.contains(sql)) {
    const std::string name = "s" + std::to_string(++names_);
    if (libpq().send_prepare(connection_, name.c_str(), with_numbers(sql).c_str(), 0, nullptr) ==
        0) {
      fail("read", nullptr);
    }
    const Result done = hear_one();
    if (done == nullptr || !is_good(done.get())) {
      fail("read", done.get());
    }
    prepared_.emplace(sql, name);
  }
  send_prepared(sql, parameters);
  sent_ = 0;  // heard row by row
  (void)libpq().row_by_row(connection_);
}

Result Server::next_row() {
  Result next(libpq().next_result(connection_));
  if (next != nullptr && libpq().result_status(next.get()) == PGRES_SINGLE_TUPLE) {
    return next;
  }
  const Result end = hear_one();
  if (next == nullptr || !is_good(next.get())) {
    fail("read", next.get());
  }
  return {};
}

// What is sent after it, to the end of the transaction, is not done where it fails: so nobody has
// to wait for its answer while others wait for the lock.
void Server::insist(const std::string& question, const std::vector<Value>& values) {
  Query row = query("SELECT 1 / count(*) FROM (" + question + ") AS found");
  for (const Value& value : values) {
    row.with_value(value);
  }
  row.run();
}

// ---- transactions ----

void Server::begin(Kind kind) {
  if (kind == Kind::reading) {
    send("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY", {});
    return;
  }
  // Each statement after the lock sees what the writer before has stored.
  send("BEGIN ISOLATION LEVEL READ COMMITTED", {});
  send(take_lock, {});
}

// A transaction that went wrong before ends by COMMIT, too, and stores nothing.
void Server::commit() {
  const Result done = ask("COMMIT", {});
  if (std::string_view(libpq().command_status(done.get())) != "COMMIT") {
    throw Trouble("write to", path(), "the server did not store it");
  }
}

void Server::roll_back() noexcept {
  try {
    if (connection_ == nullptr) {
      return;
    }
    if (sent_ > 0) {
      (void)hear_all();
    }
    const Result done(libpq().exec(connection_, "ROLLBACK"));
    if (!is_good(done.get())) {
      hang_up();  // its answer may come yet, and be taken for that to the next question
    }
  } catch (...) {
    hang_up();  // which rolls back as well
  }
}

}  // namespace kerfmark::records
