#include <array>
#include <optional>
#include <string>
#include <vector>

#include "../register/sample.hpp"
#include "fuzz.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/register/register.hpp"

/// A register with bytes of its file changed is refused, or found to be damaged, or says what it
/// said before; a record of any texts is read as it was written.
using namespace kerfmark;

namespace {

using records::Documents;
using records::Record;
using records::Register;

std::string or_none(const std::optional<double>& figure) {
  return figure ? std::to_string(*figure) : "none";
}

// All that is told of one record.
std::string told(const Record& record, const Documents& documents) {
  const records::RecordSummary& summary = record.summary;
  std::string all;
  for (const std::string& text : {summary.made_utc,
                                  summary.program_version,
                                  summary.kind,
                                  summary.verdict,
                                  summary.job_number,
                                  summary.bike,
                                  summary.by,
                                  summary.checked_by,
                                  or_none(summary.planned_cut_mm),
                                  or_none(summary.actual_cut_mm),
                                  summary.after_verdict.value_or("none"),
                                  summary.paper,
                                  summary.language,
                                  record.personal_data ? record.personal_data->owner : "forgotten",
                                  record.personal_data ? record.personal_data->notes : "forgotten",
                                  documents.job,
                                  documents.result_json,
                                  documents.shop.value_or("none"),
                                  std::to_string(summary.replaces.value_or(0)),
                                  record.identity.hash}) {
    all += std::to_string(text.size()) + ":" + text;
  }
  return all;
}

std::vector<std::string> told_by(Register& book) {
  std::vector<std::string> all;
  book.each([&all](const Record& record, const Documents& documents) {
    all.push_back(told(record, documents));
  });
  return all;
}

// Three records, of which one corrects another and one has no owner any more.
struct Sound {
  sample::Folder folder;
  std::string bytes;
  std::vector<std::string> says;

  Sound() {
    const std::string path = folder.file();
    {
      Register book = Register::open_or_create(path);
      book.add(sample::entry("1"));
      records::Entry later = sample::entry("1");
      later.summary.replaces = 1;
      later.documents.shop = "name = \"Marrow\"\n";
      book.add(later);
      book.add(sample::entry("2", "Ilka Roan"));
      book.forget(3, {"2026-11-21T08:00:00Z", "0.1.0"});
      says = told_by(book);
    }
    bytes = sample::Folder::bytes_of(path);
  }
};

const Sound& sound() {
  static const Sound one;
  return one;
}

// Three bytes say where, one what stands there then.
std::string damaged(const std::uint8_t* data, std::size_t size) {
  std::string bytes = sound().bytes;
  for (; size >= 4; data += 4, size -= 4) {
    const std::size_t at = (data[0] * 256UL + data[1]) * 256UL + data[2];
    bytes[at % bytes.size()] = static_cast<char>(data[3]);
  }
  return bytes;
}

void check_damaged(const std::uint8_t* data, std::size_t size) {
  const std::string path = sound().folder.file("damaged.db");
  sample::Folder::write(path, damaged(data, size));
  try {
    Register book = Register::open(path);
    if (book.verify("").faults.empty()) {
      require(told_by(book) == sound().says, "changed, and nothing was found");
      require(book.list({}).size() == sound().says.size(), "a record is not in the list");
    }
  } catch (const Trouble&) {
    // refused, in a sentence
  }
  for (const char* beside : {"damaged.db-journal", "damaged.db-wal", "damaged.db-shm"}) {
    std::filesystem::remove(sound().folder.file(beside));
  }
}

// The texts of a record: pieces of the input between zeros, as UTF-8 of one byte each.
records::Entry entry_of(const std::uint8_t* data, std::size_t size) {
  std::array<std::string, 7> texts;
  std::size_t text = 0;
  for (const std::uint8_t* byte = data; byte != data + size; ++byte) {
    text += *byte == 0 && text + 1 < texts.size() ? 1 : 0;
    if (*byte != 0) {
      texts.at(text) += static_cast<char>(*byte & 0x7FU);
    }
  }
  records::Entry entry = sample::entry(texts[0], texts[1]);
  entry.personal_data.notes = texts[2];
  entry.summary.bike = texts[3];
  entry.summary.by = texts[4];
  entry.documents.job = texts[5];
  entry.documents.shop = texts[6];
  return entry;
}

void check_written(const std::uint8_t* data, std::size_t size) {
  const records::Entry entry = entry_of(data, size);
  const std::string path = sound().folder.file("written.db");
  sample::Folder::write(path, sound().bytes);
  Register book = Register::open(path);
  const auto number = book.add(entry).identity.number;
  const auto record = book.at(number);
  require(record && record->personal_data, "a record that was added is not there");
  require(record->personal_data->owner == entry.personal_data.owner &&
              record->personal_data->notes == entry.personal_data.notes &&
              record->summary.job_number == entry.summary.job_number &&
              record->summary.bike == entry.summary.bike && record->summary.by == entry.summary.by,
          "a record says something else than was added");
  const Documents documents = book.documents_of(number);
  require(documents.job == entry.documents.job && documents.shop == entry.documents.shop,
          "papers say something else than was added");
  require(book.verify("").faults.empty(), "a register that was only added to is damaged");
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) {
    return 0;
  }
  (data[0] % 2 == 0 ? check_damaged : check_written)(data + 1, size - 1);
  return 0;
}
