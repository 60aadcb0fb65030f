#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "append.hpp"
#include "engine.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/text/sha256.hpp"
#include "kerfmark/trouble.hpp"
#include "schema.hpp"
#include "search.hpp"

namespace kerfmark::records {
namespace {

using Faults = std::vector<std::string>;

std::string named(std::int64_t number) { return "record " + std::to_string(number); }

// For how far it is; of a damaged register that is known in the end.
std::int64_t last_number(Engine& database) {
  try {
    return last_identity(database).number;
  } catch (const Damaged&) {
    return 0;
  }
}

// The rows of all records in their order, each held against its own hash and the one before.
class Walk {
 public:
  Walk(Engine& database, const std::string& head, Verification& found, const Progress& progress)
      : columns_(hashed_columns(encoding_now)), head_(head), found_(found) {
    std::string sql = "SELECT ";
    for (const std::string_view column : columns_) {
      sql += "record." + std::string(column) + ", ";
    }
    sql +=
        "record.sha256, job, result_json, people.number, owner, owner_salt, notes, notes_salt,"
        " shop_toml FROM record LEFT JOIN papers USING (number) LEFT JOIN people USING (number)"
        " LEFT JOIN shop ON shop.sha256 = shop_sha256 ORDER BY record.number";
    found_.head = no_hash;
    const std::int64_t last = progress ? last_number(database) : 0;
    Query row = database.stream(sql);
    while (row.step()) {
      check(row);
      if (last > 0) {
        progress(std::min(found_.last, last), last);
      }
    }
    check_forgotten();
  }

 private:
  enum Rest { hash, job, result, personal_data, owner, owner_salt, notes, notes_salt, shop };

  [[nodiscard]] int place(std::string_view column) const {
    return static_cast<int>(std::ranges::find(columns_, column) - columns_.begin());
  }
  [[nodiscard]] int place(Rest rest) const { return static_cast<int>(columns_.size()) + rest; }

  void fault(const std::string& what) { found_.faults.push_back(what); }

  void check(const Query& row) {
    const std::int64_t number = row.whole(place("number"));
    check_place(row, number);
    check_hash(row, number);
    check_documents(row, number);
    check_personal_data(row, number);
    note_forgetting(row, number);
    found_.last = number;
    ++found_.count;
    found_.head = row.text(place(hash));
    if (!head_.empty() && found_.head.starts_with(head_)) {
      found_.asked = RecordIdentity{number, found_.head};
    }
  }

  void check_place(const Query& row, std::int64_t number) {
    if (number == found_.last + 2) {
      fault(named(found_.last + 1) + " is missing");
    } else if (number != found_.last + 1) {
      fault("records " + std::to_string(found_.last + 1) + " to " + std::to_string(number - 1) +
            " are missing");
    }
    if (row.text(place("previous_sha256")) != found_.head) {
      fault(named(number) +
            (found_.last == 0
                 ? " is not the first that was made"
                 : " does not follow record " + std::to_string(found_.last) +
                       ": one of them was changed, or some between them were taken out"));
    }
  }

  void check_hash(const Query& row, std::int64_t number) {
    const std::int64_t encoding = row.whole(place("encoding"));
    if (encoding < last_encoding_) {
      fault(named(number) + " has an older form than the one before");
    }
    last_encoding_ = encoding;
    const auto columns = hashed_columns(encoding);
    std::vector<Value> values;
    for (const std::string_view column : columns) {
      values.push_back(row.value(place(column)));
    }
    if (columns.empty() || text::sha256(canonical(values)) != row.text(place(hash))) {
      fault(named(number) + " was changed");
    }
  }

  void check_text(const Query& row, std::int64_t number, const char* what, Rest kept,
                  std::string_view column) {
    if (row.is_null(place(kept))) {
      fault("the " + std::string(what) + " of " + named(number) + " is missing");
    } else if (text::sha256(row.text(place(kept))) != row.text(place(column))) {
      fault("the " + std::string(what) + " of " + named(number) + " was changed");
    }
  }

  void check_documents(const Query& row, std::int64_t number) {
    check_text(row, number, "job", job, "job_sha256");
    check_text(row, number, "result", result, "result_sha256");
    if (!row.is_null(place("shop_sha256"))) {
      check_text(row, number, "shop file", shop, "shop_sha256");
    }
  }

  // Blanked ones must be in a record of forgetting, which comes later.
  void check_personal_data(const Query& row, std::int64_t number) {
    if (row.is_null(place(personal_data))) {
      fault("the row for owner and notes of " + named(number) + " is missing");
      return;
    }
    if (row.is_null(place(owner))) {
      blank_.insert(number);
    }
    const std::int64_t encoding = row.whole(place("encoding"));
    const auto is_wrong = [&](Rest kept, Rest salt, std::string_view column) {
      return !row.is_null(place(kept)) &&
             (!is_salt(row.text(place(salt))) ||
              salted(encoding, row.text(place(salt)), row.text(place(kept))) !=
                  row.text(place(column)));
    };
    if (is_wrong(owner, owner_salt, "owner_sha256") ||
        is_wrong(notes, notes_salt, "notes_sha256")) {
      fault("owner or notes of " + named(number) + " were changed");
    }
  }

  void note_forgetting(const Query& row, std::int64_t number) {
    if (row.text(place("kind")) != kind_of_forgetting) {
      return;
    }
    for (const std::int64_t one : forgets_in(row.text(place(job)))) {
      if (one < number && !blank_.contains(one)) {
        fault("owner and notes of " + named(one) + " are there, and " + named(number) +
              " says that they were forgotten");
      }
      forgotten_.insert(one);
    }
  }

  void check_forgotten() {
    for (const std::int64_t number : blank_) {
      if (forgotten_.contains(number)) {
        continue;
      }
      if (last_encoding_ == 1) {
        found_.blanked_before.push_back(number);
      } else {
        fault("owner and notes of " + named(number) +
              " were blanked, and no record says that they were forgotten");
      }
    }
  }

  std::set<std::int64_t> blank_, forgotten_;
  std::int64_t last_encoding_ = 1;
  std::span<const std::string_view> columns_;
  const std::string& head_;
  Verification& found_;
};

void check_shops(Engine& database, Faults& faults) {
  Query rows = database.query(
      "SELECT sha256, shop_toml, EXISTS (SELECT 1 FROM record WHERE shop_sha256 = shop.sha256)"
      " FROM shop");
  while (rows.step()) {
    if (text::sha256(rows.text(1)) != rows.text(0) || rows.whole(2) == 0) {
      faults.emplace_back("a shop file was changed, or put in without a record");
    }
  }
}

}  // namespace

Verification Register::verify(const std::string& head, const Progress& progress) {
  Engine& database = *database_;
  Verification found;
  try {
    {
      const Transaction moment(database, Transaction::Kind::reading);
      database.check_rows(found.faults);
      std::ranges::copy(database.faults_of_schema(), std::back_inserter(found.faults));
      const Walk walk(database, head, found, progress);
      check_shops(database, found.faults);
    }
    const auto of_full_text = database.faults_of_full_text();
    found.index_checked = of_full_text.has_value();
    std::ranges::copy(of_full_text.value_or(Faults{}), std::back_inserter(found.faults));
  } catch (const Damaged& trouble) {
    found.faults.push_back("not all of it can be read: " + trouble.reason);
  }
  return found;
}

}  // namespace kerfmark::records
