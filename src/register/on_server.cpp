#include <algorithm>
#include <set>
#include <string>
#include <string_view>
#include <utility>

#include "kerfmark/files/draft.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"
#include "server.hpp"
#include "server_name.hpp"
#include "server_schema.hpp"

/// What a register on a server does in its own way.
namespace kerfmark::records {
namespace {

void refuse_version(const std::string& name, std::int64_t version, std::int64_t known) {
  if (version > known) {
    throw Trouble("open", name,
                  "a newer kerfmark has set it up (version " + std::to_string(version) +
                      "; this one knows " + std::to_string(known) + "): use that one");
  }
  if (version < known) {
    throw Trouble("open", name,
                  "an older kerfmark has set it up (version " + std::to_string(version) +
                      "); kerfmark record setup, by who runs the server, brings it to version " +
                      std::to_string(known));
  }
}

std::set<std::string> lines_of(std::string_view text) {
  std::set<std::string> lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    if (end > 0) {
      lines.emplace(text.substr(0, end));
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lines;
}

}  // namespace

std::unique_ptr<Server> open_on_server(const std::string& name, const ServerSchema& schema) {
  auto server = std::make_unique<Server>(name, schema);
  server->become(role_to_add);
  refuse_version(name, server->whole("SELECT max(number) FROM step"), schema.version());
  return server;
}

void Server::refuse_if_changed() {
  if (schema_is_right_) {
    return;
  }
  const std::vector<std::string> faults = faults_of_schema();
  if (!faults.empty()) {
    throw Trouble("write to", path(),
                  faults.front() +
                      ": somebody has changed it, and nothing is added to it; kerfmark "
                      "record verify says more");
  }
  schema_is_right_ = true;
}

std::optional<RecordIdentity> Server::stored_under(const std::string& key) {
  Query row = query("SELECT number, sha256 FROM sent JOIN record USING (number) WHERE key = ?");
  return row.with(key).step() ? std::optional(RecordIdentity{row.whole(0), row.text(1)})
                              : std::nullopt;
}

void Server::keep_key(const std::string& key, std::int64_t number) {
  query("INSERT INTO sent (key, number) VALUES (?, ?)").with(key).with(number).run();
}

// ---- the full text ----

FullText& Server::full_text() {
  if (full_text_ == nullptr) {
    full_text_ = std::make_unique<FullText>();
  }
  return *full_text_;
}

void Server::make_findable(std::int64_t number, const RecordSummary& summary,
                           const PersonalData& personal_data) {
  query("INSERT INTO words (number, words) VALUES (?, ?)")
      .with(number)
      .with(full_text().words_of(summary, personal_data))
      .run();
}

void Server::make_unfindable(const Record& record) {
  query("UPDATE words SET words = ? WHERE number = ?")
      .with(full_text().words_of(record.summary, {}))
      .with(record.identity.number)
      .run();
}

// Words of the server find at least what is asked for; where not all of that is right, it is asked
// for more, until there is enough or no more.
std::vector<Record> Server::found_by(const Filter& filter, TextMatch how, const std::string& sql,
                                     const std::vector<std::string>& values) {
  std::optional<std::size_t> most = filter.most;
  for (;;) {
    Query rows = query(sql);
    for (const std::string& value : values) {
      rows.with(value);
    }
    rows.with_value(most ? Value(static_cast<std::int64_t>(*most)) : Value());
    std::vector<Record> records = records_in(rows);
    const bool all = !most || records.size() < *most;
    if (!filter.find.empty()) {
      records = full_text().found_among(std::move(records), filter.find, how);
    }
    if (all || records.size() >= *filter.most) {
      records.resize(std::min(records.size(), filter.most.value_or(records.size())));
      return records;
    }
    most = 4 * *most;
  }
}

// A word that many records have is in the newest of them; any other is asked of the index of words,
// by an order that the server does not take for that of the numbers: it would walk through all of
// them. It knows how often a word is only of the most common ones. Only what is found is looked up
// in the other tables, unless those say what is asked for.
std::vector<Record> Server::found(const Filter& filter, TextMatch how) {
  const std::string question = full_text().tsquery_for(filter.find, how);
  if (question.empty()) {
    return {};
  }
  const Conditions conditions = conditions_of(
      filter, "array_to_tsvector(string_to_array(words, ' ')) @@ CAST(? AS tsquery)", question);
  const bool words_alone = conditions.values.size() == 1;
  const auto select = [&](const std::string& which, const std::string& order) {
    const std::string rest = conditions.on_server + which + " ORDER BY " + order + " DESC LIMIT ?";
    return of_cut(words_alone ? "SELECT cut.* FROM (SELECT number FROM words" + rest +
                                    ") AS hit JOIN cut USING (number) ORDER BY number DESC"
                              : "SELECT cut.* FROM words JOIN cut USING (number)" + rest)
        .on_server;
  };
  if (filter.most) {
    // To read so many takes some milliseconds.
    std::vector<Record> newest = found_by(
        filter, how, select(" AND number > (SELECT max(number) - 5000 FROM record)", "number"),
        conditions.values);
    if (newest.size() >= *filter.most) {
      return newest;
    }
  }
  return found_by(filter, how, select("", "number + 0"), conditions.values);
}

std::vector<Record> Server::found_by(const Filter& filter) {
  if (typed_words(filter.find).empty()) {
    const Conditions conditions = conditions_of(filter, "", "");
    return found_by({.most = filter.most}, TextMatch::whole,
                    of_cut("SELECT * FROM cut" + conditions.on_server).on_server +
                        " ORDER BY number DESC LIMIT ?",
                    conditions.values);
  }
  send("SET LOCAL enable_seqscan = off", {});  // the words of all records take seconds to read
  std::vector<Record> records = found(filter, TextMatch::whole);
  if (records.empty()) {
    records = found(filter, TextMatch::beginnings);
  }
  return records;
}

// ---- what is there ----

std::vector<std::string> Server::faults_of_schema() {
  const std::set<std::string> wanted = lines_of(schema_.as_made);
  std::vector<std::string> faults;
  std::set<std::string> found;
  Query rows = query(std::string(listing_of_schema()));
  while (rows.step()) {
    found.insert(rows.text(0));
  }
  for (const std::string& line : wanted) {
    if (!found.contains(line)) {
      faults.push_back("the register on the server lacks this: " + line);
    }
  }
  for (const std::string& line : found) {
    if (!wanted.contains(line)) {
      faults.push_back("the register on the server has this, which kerfmark did not make: " + line);
    }
  }
  return faults;
}

void Server::check_rows(std::vector<std::string>& faults) {
  for (const char* const table : {"papers", "people", "words", "sent"}) {
    const std::string sql =
        "SELECT count(*) FROM " + std::string(table) +
        " WHERE NOT EXISTS (SELECT 1 FROM record WHERE record.number = " + table + ".number)";
    if (whole(sql) != 0) {
      faults.push_back("the table " + std::string(table) + " has a row that belongs to no record");
    }
  }
}

std::optional<std::vector<std::string>> Server::faults_of_full_text() {
  const Transaction moment(*this, Kind::reading);
  Query row = stream(
      "SELECT job_number, bike, owner, notes, words.words FROM record"
      " LEFT JOIN people USING (number) LEFT JOIN words USING (number)");
  std::vector<std::string> faults;
  while (faults.empty() && row.step()) {
    RecordSummary summary;
    summary.job_number = row.text(0);
    summary.bike = row.text(1);
    if (row.is_null(4) ||
        row.text(4) != full_text().words_of(summary, {row.text(2), row.text(3)})) {
      faults.emplace_back("the full text for --find is not that of the records");
    }
  }
  return faults;
}

void Server::copy_to(const std::string& path, const Progress& progress) {
  write_copy(*this, path, progress);
}

// ---- what people should know ----

std::vector<std::string> Server::cautions() const {
  struct Free {
    void operator()(PQconninfoOption* options) const { libpq().free_options(options); }
  };
  const std::unique_ptr<PQconninfoOption, Free> options(libpq().options_in_use(connection_));
  std::string host;
  std::string address;
  std::string sslmode;
  for (const PQconninfoOption* one = options.get(); one != nullptr && one->keyword != nullptr;
       ++one) {
    for (const auto& [key, value] : {std::pair(std::string_view("host"), &host),
                                     {std::string_view("hostaddr"), &address},
                                     {std::string_view("sslmode"), &sslmode}}) {
      if (key == one->keyword && one->val != nullptr) {
        *value = one->val;
      }
    }
  }
  std::vector<std::string> cautions;
  for (std::string caution :
       {caution_about(host, address, sslmode),
        said_while_connecting_.empty() ? "" : "PostgreSQL says: " + said_while_connecting_}) {
    if (!caution.empty()) {
      cautions.push_back(std::move(caution));
    }
  }
  return cautions;
}

std::string Server::kept_elsewhere() const {
  return "The server may still have them in dead rows until it vacuums, in its log files, on "
         "replicas, in base backups and in dumps.\n";
}

std::string Server::other_backup() const {
  return "The server's own way, for its own disk and for replicas:\n"
         "  pg_dump --format=custom --schema=kerfmark --file=register.dump \"" +
         path() + "\"\n";
}

// ---- setting up ----

namespace {

void make_roles(Server& server) {
  for (const std::string_view role : {role_of_owner, role_to_add, role_to_forget}) {
    Query there = server.query("SELECT 1 FROM pg_roles WHERE rolname = ?");
    if (!there.with(role).step()) {
      server.run("CREATE ROLE " + std::string(role));
    }
  }
  // Who may forget may do all that the others may; who sets up makes the tables as their owner.
  for (const auto& [role, member] : {std::pair(role_to_add, role_to_forget),
                                     {role_of_owner, std::string_view("current_user")}}) {
    const std::string names =
        (member == "current_user" ? "current_user, '" : "'" + std::string(member) + "', '") +
        std::string(role) + "', ";
    // Since version 16 who made a role is a member of it, and may not yet work as it.
    if (server.whole("SELECT CASE WHEN current_setting('server_version_num')::integer < 160000"
                     " THEN pg_has_role(" +
                     names + "'MEMBER') ELSE pg_has_role(" + names + "'SET') END") == 0) {
      server.run("GRANT " + std::string(role) + " TO " + std::string(member));
    }
  }
}

}  // namespace

SetUp set_up_on_server(const std::string& name, const ServerSchema& schema) {
  Server server(name, schema);
  SetUp done;
  const std::int64_t known = schema.version();
  Transaction whole(server, Transaction::Kind::writing);
  done.fresh = server.whole("SELECT to_regclass('kerfmark.step') IS NULL") != 0;
  const std::int64_t version =
      done.fresh ? 0 : server.whole("SELECT max(number) FROM kerfmark.step");
  if (version > known) {
    refuse_version(name, version, known);
  }
  make_roles(server);
  for (std::int64_t i = version; i < known; ++i) {
    server.run(std::string(schema.steps[static_cast<std::size_t>(i)]));
    server.query("INSERT INTO kerfmark.step (number) VALUES (?)").with(i + 1).run();
  }
  whole.commit();
  done.version = known;
  return done;
}

}  // namespace kerfmark::records
