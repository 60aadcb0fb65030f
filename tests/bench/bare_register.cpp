#include "bare_register.hpp"

#include <cstdlib>
#include <iostream>
#include <string_view>

#include "jobs.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/text/words.hpp"

using namespace kerfmark;

namespace bench {
namespace {

void need(int done, sqlite3* handle) {
  if (done != SQLITE_OK && done != SQLITE_DONE && done != SQLITE_ROW) {
    std::cerr << "bare register: " << sqlite3_errmsg(handle) << "\n";
    std::exit(2);
  }
}

std::string name(std::int64_t number) {
  constexpr auto first = std::to_array<std::string_view>(
      {"Oda", "Per", "Ilse", "Marrow", "Quist", "Pell", "Tarn", "Venn", "Aldous", "Bram", "Cato"});
  return std::string(first[static_cast<std::size_t>(number) % first.size()]) + " Number" +
         std::to_string(number / 7);  // one owner has a few cuts
}

class Binder {
 public:
  Binder(sqlite3* handle, sqlite3_stmt* statement) : handle_(handle), statement_(statement) {}
  Binder& whole(std::int64_t value) {
    need(sqlite3_bind_int64(statement_, ++place_, value), handle_);
    return *this;
  }
  Binder& real(double value) {
    need(sqlite3_bind_double(statement_, ++place_, value), handle_);
    return *this;
  }
  Binder& text(std::string_view value) {
    need(
        sqlite3_bind_text64(statement_, ++place_, value.data(), value.size(), nullptr, SQLITE_UTF8),
        handle_);
    return *this;
  }
  void run() {
    need(sqlite3_step(statement_), handle_);
    need(sqlite3_reset(statement_), handle_);
  }

 private:
  sqlite3* handle_;
  sqlite3_stmt* statement_;
  int place_ = 0;
};

}  // namespace

records::Entry entry(std::int64_t number) {
  static const job::StoredForm form = job::stored_form(full_post);
  static const std::string result = [] {
    const plan::Job job = job_of(full_post);
    return report::json_line({job, plan::plan_cut(job), text::words_in("en")});
  }();
  records::Entry entry;
  entry.summary.made_utc = "2026-11-20T14:05:09Z";
  entry.summary.program_version = "0.1.0";
  entry.summary.kind = "seatpost";
  entry.summary.verdict = number % 3 == 0 ? "keep" : "cut";
  entry.summary.job_number = std::to_string(number);
  entry.summary.bike = "grey road frame, size " + std::to_string(46 + number % 16);
  entry.summary.by = "Marrow";
  entry.summary.checked_by = "Pell";
  entry.summary.planned_cut_mm = static_cast<double>(number % 80);
  entry.summary.paper = "a4";
  entry.summary.language = "en";
  entry.documents.job = form.job;
  entry.documents.result_json = result;
  entry.personal_data.owner = name(number);
  entry.personal_data.notes = "came with the long post; wants it 5 mm up and down";
  return entry;
}

BareRegister::BareRegister(const std::string& path) {
  (void)records::Register::open_or_create(path);
  need(sqlite3_open_v2(path.c_str(), &handle_, SQLITE_OPEN_READWRITE, nullptr), handle_);
  run("PRAGMA synchronous = FULL; PRAGMA secure_delete = ON");
  constexpr auto sql = std::to_array<const char*>(
      {"INSERT INTO record (number, encoding, made_utc, program_version, kind, job_number, bike,"
       " by_whom, checked_by, verdict, planned_cut_mm, paper, language, job_sha256, result_sha256,"
       " owner_sha256, notes_sha256, previous_sha256, sha256)"
       " VALUES (?, 1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
       "INSERT INTO papers VALUES (?, ?, ?)", "INSERT INTO people VALUES (?, ?, ?, ?, ?)",
       "INSERT INTO search (rowid, job_number, bike, owner, notes) VALUES (?, ?, ?, ?, ?)"});
  for (std::size_t i = 0; i < sql.size(); ++i) {
    need(sqlite3_prepare_v2(handle_, sql[i], -1, &statements_[i], nullptr), handle_);
  }
}

BareRegister::~BareRegister() {
  for (sqlite3_stmt* statement : statements_) {
    sqlite3_finalize(statement);
  }
  sqlite3_close(handle_);
}

void BareRegister::run(const char* sql) {
  need(sqlite3_exec(handle_, sql, nullptr, nullptr, nullptr), handle_);
}

void BareRegister::insert(const records::Entry& entry) {
  const records::RecordSummary& summary = entry.summary;
  const std::string before = hash_;
  const std::string digits = std::to_string(++number_);
  hash_.replace(hash_.size() - digits.size(), digits.size(), digits);
  Binder(handle_, statements_[record])
      .whole(number_)
      .text(summary.made_utc)
      .text(summary.program_version)
      .text(summary.kind)
      .text(summary.job_number)
      .text(summary.bike)
      .text(summary.by)
      .text(summary.checked_by)
      .text(summary.verdict)
      .real(summary.planned_cut_mm.value_or(0.0))
      .text(summary.paper)
      .text(summary.language)
      .text(hash_)
      .text(hash_)
      .text(hash_)
      .text(hash_)
      .text(before)
      .text(hash_)
      .run();
  Binder(handle_, statements_[documents])
      .whole(number_)
      .text(entry.documents.job)
      .text(entry.documents.result_json)
      .run();
  Binder(handle_, statements_[personal_data])
      .whole(number_)
      .text(entry.personal_data.owner)
      .text(hash_)
      .text(entry.personal_data.notes)
      .text(hash_)
      .run();
  Binder(handle_, statements_[search])
      .whole(number_)
      .text(summary.job_number)
      .text(summary.bike)
      .text(entry.personal_data.owner)
      .text(entry.personal_data.notes)
      .run();
}

}  // namespace bench
