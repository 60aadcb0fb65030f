#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "append.hpp"
#include "engine.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/text/sha256.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"

namespace kerfmark::records {
namespace {

constexpr std::string_view from_record = "# From record ";
constexpr std::string_view of_another = " of another register, hash ";

// A line that says where a record came from; nothing where it says something else.
std::optional<RecordIdentity> origin_of_line(std::string_view line) {
  if (!line.starts_with(from_record)) {
    return std::nullopt;
  }
  line.remove_prefix(from_record.size());
  RecordIdentity origin;
  const auto [end, error] = std::from_chars(line.data(), line.data() + line.size(), origin.number);
  line.remove_prefix(static_cast<std::size_t>(end - line.data()));
  if (error != std::errc{} || !line.starts_with(of_another)) {
    return std::nullopt;
  }
  origin.hash = line.substr(of_another.size());
  return origin;
}

std::string line_of(const RecordIdentity& origin) {
  return std::string(from_record) + std::to_string(origin.number) + std::string(of_another) +
         origin.hash + "\n";
}

Value maybe(const Query& row, int column) {
  return row.is_null(column) ? Value() : Value(row.text(column));
}

// ---- a row of another register ----

// The columns of the hash, then those of `Rest`.
enum Rest { hash, job, result, owner, owner_salt, notes, notes_salt, shop };

Query all_rows(Engine& database) {
  std::string sql = "SELECT ";
  for (const std::string_view column : hashed_columns(encoding_now)) {
    sql += "record." + std::string(column) + ", ";
  }
  sql +=
      "record.sha256, job, result_json, owner, owner_salt, notes, notes_salt, shop_toml"
      " FROM record JOIN papers USING (number) JOIN people USING (number)"
      " LEFT JOIN shop ON shop.sha256 = shop_sha256 ORDER BY record.number";
  return database.stream(sql);
}

int place(Rest rest) { return static_cast<int>(hashed_columns(encoding_now).size()) + rest; }

int place(std::string_view column) {
  const auto columns = hashed_columns(encoding_now);
  return static_cast<int>(std::ranges::find(columns, column) - columns.begin());
}

RecordSummary summary_in(const Query& row) {
  const auto text = [&](std::string_view column) { return row.text(place(column)); };
  RecordSummary summary;
  summary.replaces = row.maybe_whole(place("replaces"));
  summary.made_utc = text("made_utc");
  summary.program_version = text("program_version");
  summary.kind = text("kind");
  summary.verdict = text("verdict");
  summary.job_number = text("job_number");
  summary.bike = text("bike");
  summary.by = text("by_whom");
  summary.checked_by = text("checked_by");
  summary.planned_cut_mm = row.maybe_real(place("planned_cut_mm"));
  summary.actual_cut_mm = row.maybe_real(place("actual_cut_mm"));
  summary.after_verdict = row.maybe_text(place("after_verdict"));
  summary.paper = text("paper");
  summary.language = text("language");
  return summary;
}

Documents documents_in(const Query& row) {
  return {row.text(place(job)), row.text(place(result)), row.maybe_text(place(shop))};
}

std::string named(std::int64_t number) { return "record " + std::to_string(number); }

// ---- into an empty register ----

// With its number and hash, as it is.
void take_over(Engine& database, const Query& row) {
  const auto columns = hashed_columns(encoding_now);
  std::vector<Value> values;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    values.push_back(row.value(static_cast<int>(i)));
  }
  const std::string its_hash = row.text(place(hash));
  const std::int64_t number = row.whole(place("number"));
  if (text::sha256(canonical(values)) != its_hash) {
    throw Trouble("take in", named(number), "it was changed there meanwhile");
  }
  const Documents documents = documents_in(row);
  if (documents.shop) {
    insert_shop(database, *documents.shop);
  }
  insert_record(database, values, its_hash);
  insert_rest(database, number, summary_in(row), documents,
              {maybe(row, place(owner)), maybe(row, place(owner_salt)), maybe(row, place(notes)),
               maybe(row, place(notes_salt))});
}

// ---- into a register that has records ----

// By the hash that it has or once had, the number that a record has here.
using Known = std::map<std::string, std::int64_t, std::less<>>;

Known known_in(Engine& database) {
  Known known;
  Query rows = database.stream(
      "SELECT record.number, sha256, job FROM record JOIN papers USING (number)"
      " ORDER BY record.number");
  while (rows.step()) {
    known.emplace(rows.text(1), rows.whole(0));
    for (const RecordIdentity& origin : origins_in(rows.text(2))) {
      known.emplace(origin.hash, rows.whole(0));
    }
  }
  return known;
}

// Numbered anew, one after the other.
class Merge {
 public:
  Merge(Engine& database, Imported& imported)
      : database_(database), known_(known_in(database)), imported_(imported) {}

  void take(const Query& row) {
    const RecordIdentity origin{row.whole(place("number")), row.text(place(hash))};
    Entry entry{summary_in(row), documents_in(row), {}, true};
    if (entry.summary.kind == kind_of_forgetting) {
      return;  // its numbers are those of the other register; one for all of them comes at the end
    }
    if (const auto here = known_.find(origin.hash); here != known_.end()) {
      numbers_[origin.number] = here->second;
      ++imported_.already;
      return;
    }
    replace(entry, origin.number);
    entry.documents.job.insert(0, line_of(origin));
    const bool forgotten = row.is_null(place(owner));
    if (!forgotten) {
      entry.personal_data = {row.text(place(owner)), row.text(place(notes))};
    }
    const RecordIdentity identity =
        append(database_, entry, Prepared(entry), last_identity(database_), forgotten);
    if (forgotten) {
      imported_.forgotten.push_back(identity.number);
    }
    numbers_[origin.number] = identity.number;
    count(identity);
  }

  void finish(const Stamp& stamp) {
    if (!imported_.forgotten.empty()) {
      imported_.last = append_forgetting(database_, imported_.forgotten, stamp);
    }
  }

 private:
  void replace(Entry& entry, std::int64_t number) {
    if (!entry.summary.replaces) {
      return;
    }
    const std::int64_t here = numbers_.at(*entry.summary.replaces);
    Query later = database_.query("SELECT number FROM record WHERE replaces = ?");
    if (later.with(here).step()) {
      throw Trouble("take in", named(number),
                    "it replaces a record that is record " + std::to_string(here) +
                        " here, and that was replaced here by record " +
                        std::to_string(later.whole(0)) + ": say first which of them counts");
    }
    entry.summary.replaces = here;
  }

  void count(const RecordIdentity& identity) {
    if (imported_.count == 0) {
      imported_.first = identity;
    }
    imported_.last = identity;
    ++imported_.count;
  }

  Engine& database_;
  Known known_;
  std::map<std::int64_t, std::int64_t> numbers_;  ///< there, and here
  Imported& imported_;
};

}  // namespace

std::vector<RecordIdentity> origins_in(std::string_view job_text) {
  std::vector<RecordIdentity> origins;
  while (!job_text.empty()) {
    const std::size_t end = std::min(job_text.find('\n'), job_text.size());
    const auto origin = origin_of_line(job_text.substr(0, end));
    if (!origin) {
      break;
    }
    origins.push_back(*origin);
    job_text.remove_prefix(std::min(end + 1, job_text.size()));
  }
  return origins;
}

void copy_records(Engine& from, Engine& to, const Progress& progress) {
  const std::int64_t last = last_identity(from).number;
  Query rows = all_rows(from);
  for (std::int64_t done = 1; rows.step(); ++done) {
    take_over(to, rows);
    if (progress) {
      progress(done, last);
    }
  }
}

Imported Register::take_in(Register& other, const Stamp& stamp, const Progress& progress) {
  const Verification there = other.verify("");
  if (!there.faults.empty()) {
    throw Trouble("take in", other.database_->path(),
                  there.faults.front() + "; kerfmark record verify says more");
  }
  Engine& database = *database_;
  database.get_ready_to_write();
  const Transaction moment(*other.database_, Transaction::Kind::reading);
  Transaction whole(database, Transaction::Kind::writing);
  database.refuse_if_changed();
  Imported imported;
  imported.as_they_were = last_identity(database).number == 0;
  if (!imported.as_they_were) {
    record_earlier_blanks(database, stamp);
  }
  Merge merge(database, imported);
  Query rows = all_rows(*other.database_);
  for (std::int64_t done = 1; rows.step(); ++done) {
    if (imported.as_they_were) {
      take_over(database, rows);
      ++imported.count;
    } else {
      merge.take(rows);
    }
    progress(done, there.count);
  }
  merge.finish(stamp);
  if (imported.as_they_were) {
    imported.last = last_identity(database);
  }
  whole.commit();
  return imported;
}

}  // namespace kerfmark::records
