#pragma once

#include <span>
#include <string>
#include <vector>

#include "kerfmark/manual/manual.hpp"
#include "record.hpp"

/// What may stand next on a command line, for the shells.
namespace kerfmark::cli {

struct Candidate {
  std::string word;
  std::string what;  ///< empty: the word says it
};

struct Candidates {
  std::vector<Candidate> words;
  bool files = false;  ///< and names of files
};

/// `typed` are the words behind the program's name, the last one as far as it is typed. A register
/// is looked into where the number of a record is wanted.
[[nodiscard]] Candidates what_may_follow(std::span<const std::string> typed,
                                         std::span<const manual::Command> commands);

/// One a line, behind a tab what it is; a line ":files" for names of files.
[[nodiscard]] std::string lines_of(const Candidates& candidates);

}  // namespace kerfmark::cli
