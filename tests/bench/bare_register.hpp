#pragma once

#include <array>
#include <cstdint>
#include <string>

#include <sqlite3.h>

#include "kerfmark/register/register.hpp"

namespace bench {

/// A cut such as a shop records many of; texts of the size that real ones have.
[[nodiscard]] kerfmark::records::Entry entry(std::int64_t number);

/// The same rows in the same file by plain calls of the database: what a register cannot be faster
/// than. It makes no hashes and checks nothing.
class BareRegister {
 public:
  explicit BareRegister(const std::string& path);
  BareRegister(const BareRegister&) = delete;
  BareRegister& operator=(const BareRegister&) = delete;
  ~BareRegister();

  void begin() { run("BEGIN IMMEDIATE"); }
  void commit() { run("COMMIT"); }
  void insert(const kerfmark::records::Entry& entry);
  void run(const char* sql);

 private:
  enum Statement { record, documents, personal_data, search, count };

  sqlite3* handle_ = nullptr;
  std::array<sqlite3_stmt*, count> statements_{};
  std::int64_t number_ = 0;
  std::string hash_ = std::string(64, '0');
};

}  // namespace bench
