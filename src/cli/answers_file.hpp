#pragma once

#include <string>

#include "kerfmark/job/questions.hpp"

namespace kerfmark::cli {

/// The answers given so far, beside the job file that they will make. Each is on the disk before
/// the next question, so that a killed program goes on where it stopped: the file only grows, and a
/// last line without its end was never acknowledged.
class AnswersFile {
 public:
  /// Goes on with a file that is there. Throws Trouble where it is none of ours, is of another kind
  /// of part, or is in use.
  AnswersFile(std::string path, std::string kind);
  AnswersFile(const AnswersFile&) = delete;
  AnswersFile& operator=(const AnswersFile&) = delete;
  ~AnswersFile();

  [[nodiscard]] const job::Answers& answers() const { return answers_; }
  [[nodiscard]] const std::string& path() const { return path_; }

  void add(const job::Answer& answer);
  void take_back();  ///< the last one
  void remove();     ///< the job file has them all

 private:
  void open();
  void read(const std::string& text);
  void take(const std::string& line);
  void append(const std::string& line);
  [[noreturn]] void fail(const std::string& doing, int error) const;

  std::string path_;
  std::string head_;
  int descriptor_ = -1;
  job::Answers answers_;
};

}  // namespace kerfmark::cli
