#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/trouble.hpp"

/// The register of cuts, to which records are added and in which nothing is changed but people's
/// data, and that to nothing: one file, or on a server, where its name begins with postgresql://.
/// The clock is the caller's. Everything throws Trouble when the file, the disk or the server
/// fails, or when the register is not what it should be.
namespace kerfmark::records {

/// What a record says of its cut. Texts that were not given are empty.
struct RecordSummary {
  std::optional<std::int64_t> replaces;  ///< the record that this one corrects
  std::string made_utc;                  ///< "2026-11-20T14:05:09Z"
  std::string program_version;
  std::string kind;     ///< "seatpost", "steerer"
  std::string verdict;  ///< "cut", "keep", "hold", "reject"
  std::string job_number, bike, by, checked_by;
  std::optional<double> planned_cut_mm;      ///< of a verdict "cut"
  std::optional<double> actual_cut_mm;       ///< measured after the cut
  std::optional<std::string> after_verdict;  ///< "fit", "hold", "unfit"
  std::string paper;                         ///< of its sheet: "a4", "letter"
  std::string language;                      ///< likewise, a tag of BCP 47
};

/// From what the cut was planned, and what came out.
struct Documents {
  std::string job;                  ///< the job file without comments and people's data
  std::string result_json;          ///< one line, schema 1
  std::optional<std::string> shop;  ///< the shop file as it was, if there was one
};

/// Can be blanked, whatever else stays.
struct PersonalData {
  std::string owner, notes;
};

struct Entry {
  RecordSummary summary;
  Documents documents;
  PersonalData personal_data;
  bool anyway = false;  ///< replaces a record of another kind or number, too
  /// By which a server knows it again, so that it is stored once; `fresh_salt` of chain.hpp makes
  /// one. Empty: of its own.
  std::string key = {};
  bool sent_before = false;  ///< and may be stored already
};

/// What is printed on a sheet, so that it can be held against the register.
struct RecordIdentity {
  std::int64_t number = 0;
  std::string hash;  ///< 64 hexadecimal digits
};

struct Record {
  RecordIdentity identity;
  RecordSummary summary;
  std::optional<PersonalData> personal_data;  ///< empty: forgotten
  std::optional<std::int64_t> replaced_by;
  /// Of a record that says that owner and notes were forgotten: of these. Such a record has no cut,
  /// verdict or sheet.
  std::vector<std::int64_t> forgets;
};

struct Added {
  RecordIdentity identity;
  std::optional<std::int64_t> same_as;  ///< the last record before of the very same job
  bool another_owner = false;           ///< than the record that it replaces
};

/// Which records to list; an empty text asks for nothing.
struct Filter {
  /// Words of bike, owner, number or notes, all of them; where no record has them, how they begin.
  std::string find = {};
  std::string kind = {};
  std::string verdict = {};
  std::string by = {};                   ///< who did it or checked it; capitals do not matter
  std::string from_utc = {};             ///< a moment or a day, "2026-11-20", included
  std::string before_utc = {};           ///< likewise, left out
  std::optional<std::size_t> most = {};  ///< the newest of them
};

struct Verification {
  std::vector<std::string> faults;  ///< empty: nothing was changed, lost or put in
  /// Records whose owner and notes were blanked by a version that kept no record of it.
  std::vector<std::int64_t> blanked_before;
  std::int64_t count = 0;               ///< records
  std::int64_t last = 0;                ///< number of the last one
  std::string head;                     ///< and its hash
  std::optional<RecordIdentity> asked;  ///< the record that has the hash that was asked for
  bool index_checked = false;           ///< of the full text; needs a file that may be written
};

/// Other records with the owner of this one.
struct SameOwner {
  std::int64_t record = 0;
  std::vector<std::int64_t> others;
};

struct Forgotten {
  std::vector<Record> records;      ///< the record and all that it replaces or is replaced by
  std::vector<SameOwner> the_same;  ///< for each owner in them
  /// Of the record that says so; empty: nothing was left to be blanked.
  std::optional<RecordIdentity> identity;
};

/// What came in from another register.
struct Imported {
  bool as_they_were = false;   ///< with their numbers and hashes, as there was no record here
  std::int64_t count = 0;      ///< records that are new here
  std::int64_t already = 0;    ///< that were here before, by their own hash or where they came from
  RecordIdentity first, last;  ///< of the new ones; of those that are as they were, the last
  std::vector<std::int64_t> forgotten;  ///< numbers of those whose owner and notes are blank
};

/// From which records of other registers a record came, the latest first, by the text of its job:
/// that is part of its hash, and so is what it says.
[[nodiscard]] std::vector<RecordIdentity> origins_in(std::string_view job_text);

/// When something is done, and by which program.
struct Stamp {
  std::string made_utc, program_version;
};

/// What a register is opened for. To be read, it need not be a file that this user may write to.
enum class Use { reading, writing };

/// A register on a server that does not answer. Nothing was stored, unless `perhaps` says under
/// which number to look for it.
class Unreachable : public Trouble {
 public:
  using Trouble::Trouble;

  std::optional<RecordIdentity> perhaps;
};

[[nodiscard]] bool is_on_server(std::string_view name);

/// What was made on a server.
struct SetUp {
  bool fresh = false;        ///< it was not there before
  std::int64_t version = 0;  ///< of its tables
};

class Engine;

/// How much is done, of how much; in records, or in pages of the file.
using Progress = std::function<void(std::int64_t, std::int64_t)>;

class Register {
 public:
  /// A register that is there. Foreign, empty, cut short or newer files are refused untouched.
  [[nodiscard]] static Register open(const std::string& path, Use use = Use::writing);
  /// The same, but where there is no file, a new register in a folder that is there.
  [[nodiscard]] static Register open_or_create(const std::string& path);

  /// Makes the tables and roles of a register on a server, or brings those that are there up to
  /// this version, in one transaction.
  static SetUp set_up(const std::string& name);

  Register(Register&&) noexcept;
  Register& operator=(Register&&) noexcept;
  ~Register();

  /// Stores a record for good; on disk when it returns. `before` is called with its identity just
  /// before that, while other writers wait; when it throws, nothing is stored; where a connection
  /// was lost meanwhile, it is called again. A record replaces one of its kind and job number only,
  /// unless it is to be so anyway.
  Added add(const Entry& entry, const std::function<void(const RecordIdentity&)>& before = {});

  [[nodiscard]] std::vector<Record> list(const Filter& filter);  ///< newest first
  [[nodiscard]] std::optional<Record> at(std::int64_t number);
  [[nodiscard]] Documents documents_of(std::int64_t number);
  /// Every record as of one moment, oldest first.
  void each(const std::function<void(const Record&, const Documents&)>& with);

  /// Takes the records of another register in, all or none: into an empty one with their numbers
  /// and hashes, else numbered anew, each with where it came from; records that are here already
  /// are passed over. The other must be unharmed. Told is how many are done, of how many.
  Imported take_in(Register& other, const Stamp& stamp, const Progress& progress);

  /// Reads all of it. The loss of the last records shows only by a hash that somebody has kept:
  /// `head`, its first 8 digits or more; empty: none.
  [[nodiscard]] Verification verify(const std::string& head, const Progress& progress = {});

  /// Writes a copy as of one moment into a file that is not there; others may write meanwhile.
  /// Gives the last record in it, number 0 where there is none.
  RecordIdentity copy_to(const std::string& path, const Progress& progress = {});

  /// What `forget` would do.
  [[nodiscard]] Forgotten would_forget(std::int64_t number);
  /// Blanks owner and notes, so that they are nowhere in the files of the register any more, and
  /// adds a record that says of which records.
  Forgotten forget(std::int64_t number, const Stamp& stamp);

  /// What its user should know about where it is.
  [[nodiscard]] std::vector<std::string> cautions() const;
  /// Sentences; empty where there is nothing to say: where what was forgotten may still be, and how
  /// else it is backed up.
  [[nodiscard]] std::string kept_elsewhere() const;
  [[nodiscard]] std::string other_backup() const;

 private:
  Added add_once(const Entry& entry, const std::function<void(const RecordIdentity&)>& before,
                 RecordIdentity& sent);
  explicit Register(std::unique_ptr<Engine> database);

  std::unique_ptr<Engine> database_;
};

}  // namespace kerfmark::records
