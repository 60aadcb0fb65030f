#include "kerfmark/cli/files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;

std::string reason_of(int error) { return std::generic_category().message(error); }

// A file descriptor that is closed on every way out.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (number_ >= 0) {
      ::close(number_);
    }
  }
  [[nodiscard]] int number() const { return number_; }
  [[nodiscard]] bool close() {
    const int number = number_;
    number_ = -1;
    return ::close(number) == 0;
  }

 private:
  int number_;
};

bool write_all(int descriptor, const std::string& bytes) {
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t written = ::write(descriptor, bytes.data() + done, bytes.size() - done);
    if (written < 0 && errno == EINTR) {
      continue;
    }
    if (written <= 0) {
      return false;
    }
    done += static_cast<std::size_t>(written);
  }
  return true;
}

// A temporary file in the folder of its target; removed unless it was put in place.
class Draft {
 public:
  Draft(fs::path target, const std::string& bytes) : target_(std::move(target)) {
    std::string name = target_.string() + ".XXXXXX";
    Descriptor file(::mkostemp(name.data(), O_CLOEXEC));
    if (file.number() < 0) {
      fail(errno);
    }
    name_ = name;
    const bool whole = write_all(file.number(), bytes) && ::fchmod(file.number(), mode()) == 0 &&
                       ::fsync(file.number()) == 0 && file.close();
    if (!whole) {
      const int error = errno;
      ::unlink(name_.c_str());
      fail(error);
    }
  }
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;
  ~Draft() {
    if (!name_.empty()) {
      ::unlink(name_.c_str());
    }
  }

  void replace_target() {
    if (::rename(name_.c_str(), target_.c_str()) != 0) {
      fail(errno);
    }
    name_.clear();
  }

  // A link refuses a name that is taken, in one step; the draft's own name goes afterwards.
  void become_target() {
    if (::link(name_.c_str(), target_.c_str()) != 0) {
      fail(errno);
    }
  }

 private:
  [[noreturn]] void fail(int error) const {
    throw Trouble("write", target_.string(), reason_of(error));
  }

  // As a file made the ordinary way would have it, or as the file that is replaced has it.
  [[nodiscard]] mode_t mode() const {
    struct stat old {};
    if (::stat(target_.c_str(), &old) == 0) {
      return old.st_mode & 07777U;
    }
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0666U & ~mask;
  }

  fs::path target_;
  std::string name_;
};

// Where a name leads, so that a link is written through and not replaced, also one that leads to
// nothing yet. Links in a circle end here as the system ends them.
fs::path resolved(const std::string& path) {
  constexpr int most_links = 40;  // as Linux allows, path_resolution(7)
  fs::path target(path);
  std::error_code error;
  for (int links = 0; fs::is_symlink(fs::symlink_status(target, error)); ++links) {
    if (links == most_links) {
      throw Trouble("write", path, reason_of(ELOOP));
    }
    target = target.parent_path() / fs::read_symlink(target, error);
  }
  return target;
}

bool starts_as_pdf_or_empty(const fs::path& path) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  std::array<char, 5> start{};
  const ssize_t got = file.number() < 0 ? -1 : ::read(file.number(), start.data(), start.size());
  constexpr std::string_view pdf = "%PDF-";
  return got == 0 || (got == 5 && std::equal(pdf.begin(), pdf.end(), start.begin()));
}

}  // namespace

std::string read_whole(const std::string& path, std::size_t most) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  struct stat about {};
  if (file.number() < 0 || ::fstat(file.number(), &about) != 0) {
    throw Trouble("read", path, reason_of(errno));
  }
  if (S_ISDIR(about.st_mode)) {
    throw Trouble("read", path, "it is a folder; name a job file");
  }
  std::string bytes;
  std::array<char, 65536> block{};
  while (bytes.size() <= most) {
    const ssize_t got = ::read(file.number(), block.data(), block.size());
    if (got < 0 && errno == EINTR) {
      continue;
    }
    if (got < 0) {
      throw Trouble("read", path, reason_of(errno));
    }
    if (got == 0) {
      break;
    }
    bytes.append(block.data(), static_cast<std::size_t>(got));
  }
  return bytes;
}

void write_whole(const std::string& path, const std::string& bytes) {
  Draft(resolved(path), bytes).replace_target();
}

void create_whole(const std::string& path, const std::string& bytes) {
  struct stat about {};
  if (::lstat(path.c_str(), &about) == 0) {
    throw Trouble("write", path, "there is something of that name already; name a new file");
  }
  Draft(path, bytes).become_target();
}

void refuse_unless_pdf_may_go_to(const std::string& path, const std::string& input) {
  std::error_code error;
  if (!fs::exists(path, error)) {
    return;
  }
  if (fs::equivalent(path, input, error)) {
    throw Trouble("write", path, "that is the job file itself; name another file for the sheet");
  }
  if (!fs::is_regular_file(path, error)) {
    throw Trouble("write", path, "it is not an ordinary file; name a file for the sheet");
  }
  if (!starts_as_pdf_or_empty(path)) {
    throw Trouble("write", path, "it is there already and is not a PDF; name another file");
  }
}

void print(const std::string& text) {
  if (!write_all(STDOUT_FILENO, text)) {
    throw Trouble("write to", "standard output", reason_of(errno));
  }
}

}  // namespace kerfmark::cli
