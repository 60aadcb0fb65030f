#pragma once

#include <optional>
#include <string>

namespace kerfmark::cli {

/// Lines that somebody types, to be edited on a terminal; else the lines of standard input as they
/// are, shown behind their prompt so that what was printed can be read.
class LineInput {
 public:
  LineInput();

  /// Without its line end; nothing: the input has ended.
  [[nodiscard]] std::optional<std::string> next(const std::string& prompt);

 private:
  [[nodiscard]] std::optional<std::string> next_of_file();

  bool terminal_;
  std::string read_;  ///< of a file, and not given yet
};

}  // namespace kerfmark::cli
