#pragma once

#include <filesystem>
#include <fstream>
#include <ios>
#include <string>
#include <system_error>

#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"

namespace sample {

/// A folder of its own that goes away with everything in it; in memory where there is such a place,
/// because a disk takes its time to be sure.
class Folder {
 public:
  Folder()
      : path_((std::filesystem::is_directory("/dev/shm") ? std::filesystem::path("/dev/shm")
                                                         : std::filesystem::temp_directory_path()) /
              ("register-test-" + kerfmark::records::fresh_salt().substr(0, 16))) {
    std::filesystem::create_directory(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  [[nodiscard]] std::string file(const std::string& name = "register.db") const {
    return (path_ / name).string();
  }
  /// Everything in it, one after the other.
  [[nodiscard]] std::string bytes() const {
    std::string all;
    for (const auto& entry : std::filesystem::directory_iterator(path_)) {
      all += bytes_of(entry.path().string());
    }
    return all;
  }
  [[nodiscard]] static std::string bytes_of(const std::string& path) {
    std::error_code error;
    const auto size = std::filesystem::file_size(path, error);
    std::string bytes(error ? 0 : size, '\0');
    std::ifstream(path, std::ios::binary)
        .read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    return bytes;
  }
  static void write(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
  }

 private:
  std::filesystem::path path_;
};

/// A record of an invented cut.
inline kerfmark::records::Entry entry(const std::string& number,
                                      const std::string& owner = "Oda Venn") {
  kerfmark::records::Entry entry;
  entry.summary.made_utc = "2026-11-20T14:05:09Z";
  entry.summary.program_version = "0.1.0";
  entry.summary.kind = "seatpost";
  entry.summary.verdict = "cut";
  entry.summary.job_number = number;
  entry.summary.bike = "grey road frame";
  entry.summary.by = "Marrow";
  entry.summary.checked_by = "Pell";
  entry.summary.planned_cut_mm = 43.5;
  entry.summary.paper = "a4";
  entry.summary.language = "de";
  entry.documents.job = "kind = \"seatpost\"\n[job]\nnumber = \"" + number + "\"\n";
  entry.documents.result_json = R"({"schema":1,"verdict":"cut"})";
  entry.personal_data.owner = owner;
  entry.personal_data.notes = "wants it lower";
  return entry;
}

}  // namespace sample
