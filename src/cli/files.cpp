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

bool write_all(int descriptor, std::string_view bytes) {
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

bool starts_as_pdf(const fs::path& path) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
  std::array<char, 5> start{};
  const ssize_t got = file.number() < 0 ? -1 : ::read(file.number(), start.data(), start.size());
  constexpr std::string_view pdf = "%PDF-";
  return got == 5 && std::equal(pdf.begin(), pdf.end(), start.begin());
}

// Two names lead to one file when these are equal. A file that is not there yet is known by its
// folder and the name that it will have.
struct Identity {
  dev_t device = 0;
  ino_t number = 0;
  std::string name;
  bool operator==(const Identity&) const = default;
};

Identity identity_of(const std::string& path) {
  struct stat about {};
  if (::stat(path.c_str(), &about) == 0) {
    return {about.st_dev, about.st_ino, {}};
  }
  const fs::path target = resolved(path);
  const fs::path folder = target.parent_path();
  if (::stat(folder.empty() ? "." : folder.c_str(), &about) != 0) {
    return {0, 0, path};
  }
  return {about.st_dev, about.st_ino, target.filename().string()};
}

// As a file made the ordinary way would have it, or as the file that is replaced has it.
mode_t mode_for(const fs::path& target) {
  struct stat old {};
  if (::stat(target.c_str(), &old) == 0) {
    return old.st_mode & 07777U;
  }
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666U & ~mask;
}

}  // namespace

Draft::Draft(const std::string& path) : target_(resolved(path)) {
  std::string name = target_ + ".XXXXXX";
  descriptor_ = ::mkostemp(name.data(), O_CLOEXEC);
  if (descriptor_ < 0) {
    fail(errno);
  }
  name_ = name;
}

Draft::~Draft() {
  if (descriptor_ >= 0) {
    ::close(descriptor_);
  }
  if (!name_.empty()) {
    ::unlink(name_.c_str());
  }
}

void Draft::fail(int error) const { throw Trouble("write", target_, reason_of(error)); }

void Draft::append(std::string_view bytes) {
  if (!write_all(descriptor_, bytes)) {
    fail(errno);
  }
}

void Draft::flush() {
  if (descriptor_ < 0) {
    return;
  }
  const bool whole = ::fchmod(descriptor_, mode_for(target_)) == 0 && ::fsync(descriptor_) == 0;
  const int error = errno;
  const int descriptor = descriptor_;
  descriptor_ = -1;
  if (::close(descriptor) != 0 || !whole) {
    fail(whole ? errno : error);
  }
}

void Draft::replace_target() {
  flush();
  if (::rename(name_.c_str(), target_.c_str()) != 0) {
    fail(errno);
  }
  name_.clear();
}

// A link refuses a name that is taken, in one step; the draft's own name goes afterwards.
void Draft::become_target() {
  flush();
  if (::link(name_.c_str(), target_.c_str()) != 0) {
    fail(errno);
  }
}

std::string read_whole(const std::string& path, std::size_t most) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  struct stat about {};
  if (file.number() < 0 || ::fstat(file.number(), &about) != 0) {
    throw Trouble("read", path, reason_of(errno));
  }
  if (S_ISDIR(about.st_mode)) {
    throw Trouble("read", path, "it is a folder; name a file");
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
  Draft draft(path);
  draft.append(bytes);
  draft.replace_target();
}

void create_whole(const std::string& path, const std::string& bytes) {
  refuse_taken(path);
  Draft draft(path);
  draft.append(bytes);
  draft.become_target();
}

void refuse_taken(const std::string& path) {
  struct stat about {};
  if (::lstat(path.c_str(), &about) == 0) {
    throw Trouble("write", path, "there is something of that name already; name a new file");
  }
}

void refuse_shared(const std::string& output, const std::vector<std::string>& others) {
  const Identity its = identity_of(output);
  for (const std::string& other : others) {
    if (!other.empty() && identity_of(other) == its) {
      throw Trouble("write", output,
                    "that is " + other + ", which this command needs; name another file");
    }
  }
  for (const int channel : {STDOUT_FILENO, STDERR_FILENO}) {
    struct stat about {};
    if (::fstat(channel, &about) == 0 && S_ISREG(about.st_mode) &&
        Identity{about.st_dev, about.st_ino, {}} == its) {
      throw Trouble("write", output, "what is printed goes there already; name another file");
    }
  }
}

void refuse_unless_pdf_may_go_to(const std::string& path, const std::vector<std::string>& others) {
  refuse_shared(path, others);
  struct stat about {};
  if (::stat(path.c_str(), &about) != 0) {
    if (errno == ENOENT) {
      return;
    }
    throw Trouble("write", path, reason_of(errno));
  }
  if (!S_ISREG(about.st_mode)) {
    throw Trouble("write", path, "it is not an ordinary file; name a file for the sheet");
  }
  if (!starts_as_pdf(path)) {
    throw Trouble("write", path, "it is there already and is not a PDF; name another file");
  }
}

void print(const std::string& text) {
  if (!write_all(STDOUT_FILENO, text)) {
    throw Trouble("write to", "standard output", reason_of(errno));
  }
}

}  // namespace kerfmark::cli
