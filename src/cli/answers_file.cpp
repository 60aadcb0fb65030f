#include "answers_file.hpp"

#include <cerrno>
#include <cstddef>
#include <string_view>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

constexpr std::string_view back = "<";
constexpr std::string_view between = " = ";
constexpr std::string_view again = " again";

std::string line_of(const job::Answer& answer) {
  return answer.path + std::string(answer.again ? again : "") + std::string(between) + answer.text;
}

// A new name is on the disk when its folder is.
void sync_folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  const std::string folder = slash == std::string::npos ? "." : path.substr(0, slash + 1);
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor >= 0) {
    ::fsync(descriptor);
    ::close(descriptor);
  }
}

}  // namespace

AnswersFile::AnswersFile(std::string path, std::string kind)
    : path_(std::move(path)), head_("kerfmark answers 1: " + std::move(kind)) {
  try {
    open();
    read(read_whole(path_, job::most_bytes));
  } catch (...) {
    ::close(descriptor_);
    throw;
  }
}

AnswersFile::~AnswersFile() { ::close(descriptor_); }

void AnswersFile::fail(const std::string& doing, int error) const {
  throw Trouble(doing, path_, std::generic_category().message(error));
}

void AnswersFile::open() {
  constexpr mode_t for_all = 0666;  // less what the user's own mask takes away
  descriptor_ =
      ::open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC | O_NOFOLLOW, for_all);
  if (descriptor_ < 0) {
    fail("keep answers in", errno);
  }
  struct stat about {};
  if (::fstat(descriptor_, &about) != 0 || !S_ISREG(about.st_mode)) {
    throw Trouble("keep answers in", path_, "it is not an ordinary file");
  }
  if (::flock(descriptor_, LOCK_EX | LOCK_NB) != 0) {
    throw Trouble("keep answers in", path_, "another kerfmark is asking for this job");
  }
}

void AnswersFile::read(const std::string& text) {
  const std::size_t whole = text.rfind('\n') == std::string::npos ? 0 : text.rfind('\n') + 1;
  const bool is_ours = head_.starts_with(text) || text.starts_with(head_ + "\n");
  if (!is_ours) {
    throw Trouble("go on with", path_, "it does not begin with \"" + head_ + "\"");
  }
  if (whole < text.size() && ::ftruncate(descriptor_, static_cast<off_t>(whole)) != 0) {
    fail("go on with", errno);
  }
  if (whole == 0) {
    append(head_);
    sync_folder_of(path_);
    return;
  }
  for (std::size_t start = head_.size() + 1; start < whole;) {
    const std::size_t end = text.find('\n', start);
    take(text.substr(start, end - start));
    start = end + 1;
  }
}

void AnswersFile::take(const std::string& line) {
  if (line == back) {
    if (!answers_.empty()) {
      answers_.pop_back();
    }
    return;
  }
  const std::size_t place = line.find(between);
  if (place == std::string::npos) {
    throw Trouble("go on with", path_, "it was changed: a line is no answer");
  }
  std::string path = line.substr(0, place);
  const bool second = path.ends_with(again);
  if (second) {
    path.resize(path.size() - again.size());
  }
  answers_.push_back({path, second, line.substr(place + between.size())});
}

void AnswersFile::append(const std::string& line) {
  if (!files::write_all(descriptor_, line + "\n") || ::fdatasync(descriptor_) != 0) {
    fail("keep answers in", errno);
  }
}

void AnswersFile::add(const job::Answer& answer) {
  append(line_of(answer));
  answers_.push_back(answer);
}

void AnswersFile::take_back() {
  append(std::string(back));
  answers_.pop_back();
}

void AnswersFile::remove() { (void)::unlink(path_.c_str()); }

}  // namespace kerfmark::cli
