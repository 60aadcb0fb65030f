#pragma once

#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>
#include <string_view>

#include "kerfmark/report/view.hpp"

namespace kerfmark::cli {

/// What standard output is: its width (COLUMNS where it is no terminal), whether the locale writes
/// UTF-8, and colour only on a terminal or with CLICOLOR_FORCE, without NO_COLOR and unless it is
/// not wanted.
[[nodiscard]] report::View view_of_output(bool no_colour);

/// How much of something is done, on one line of standard error that goes away at the end: on a
/// terminal only, and only after the first second. Threads may tell it at once.
class ProgressLine {
 public:
  explicit ProgressLine(std::string_view what);  ///< "trials", "planned"
  ~ProgressLine();
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;

  void tell(std::size_t done, std::size_t of);
  /// Takes the line away, so that something else can be printed; the next tell brings it back.
  void clear();

 private:
  std::string what_;
  bool terminal_;
  std::chrono::steady_clock::time_point began_;
  std::mutex telling_;
  std::size_t shown_ = 0;  ///< per cent; 0: nothing is on the line
};

}  // namespace kerfmark::cli
