#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "engine.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"

/// How a record comes into a register, in a transaction that goes on.
namespace kerfmark::records {

/// Of the last record; number 0 and no hash where there is none.
[[nodiscard]] RecordIdentity last_identity(Engine& database);

/// What of a record can be worked out while others still write.
struct Prepared {
  explicit Prepared(const Entry& entry);

  std::string owner_salt, notes_salt, job_sha256;
  std::vector<Value> values;  ///< in the order of hashed_columns(encoding_now)
};

/// The next record after the last one, as of today's encoding. What was stored is looked at before
/// the transaction ends. Of one that was forgotten elsewhere owner and notes are blank from the
/// start, and a record of forgetting must follow.
RecordIdentity append(Engine& database, const Entry& entry, Prepared prepared,
                      const RecordIdentity& last, bool forgotten = false);

/// A record that says of which records owner and notes were blanked.
RecordIdentity append_forgetting(Engine& database, const std::vector<std::int64_t>& numbers,
                                 const Stamp& stamp);

/// Earlier versions blanked without a record of it. The first record of the present encoding says
/// which those are, so that every later blanking has one of its own.
void record_earlier_blanks(Engine& database, const Stamp& stamp);

// ---- the rows of a record that has its hash already ----

void insert_shop(Engine& database, const std::string& shop);
/// Values in the order of hashed_columns.
void insert_record(Engine& database, const std::vector<Value>& values, const std::string& hash);
/// Owner, its salt, notes and their salt: texts, or nothing where they are blank.
void insert_rest(Engine& database, std::int64_t number, const RecordSummary& summary,
                 const Documents& documents, const std::array<Value, 4>& personal_data);

/// All records as they are into a register that has none, in transactions of both.
void copy_records(Engine& from, Engine& to, const Progress& progress);

}  // namespace kerfmark::records
