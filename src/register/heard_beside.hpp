#pragma once

#include <mutex>
#include <string>

namespace kerfmark::records {

/// While this is there, what anybody writes to standard error goes into memory. PostgreSQL's
/// library prints some of what it has to say while it connects, of the file of passwords and of a
/// server that is not quite well. Where the system refuses, it is printed as ever.
class HeardBeside {
 public:
  HeardBeside();
  HeardBeside(const HeardBeside&) = delete;
  HeardBeside& operator=(const HeardBeside&) = delete;
  ~HeardBeside();

  [[nodiscard]] std::string said() const;  ///< until now, on one line

 private:
  std::lock_guard<std::mutex> one_at_a_time_;
  int before_, memory_;
};

}  // namespace kerfmark::records
