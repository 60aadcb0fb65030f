#include "kerfmark/cli/files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <system_error>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

constexpr const char* taken = "there is something of that name already; name a new file";

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

 private:
  int number_;
};

bool starts_as_pdf(const files::Place& place) {
  const Descriptor file(::openat(place.folder(), place.name().c_str(),
                                 O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOFOLLOW));
  if (file.number() < 0) {
    throw Trouble("write", place.path(), "what is there cannot be read: " + reason_of(errno));
  }
  std::array<char, 5> start{};
  const ssize_t got = ::read(file.number(), start.data(), start.size());
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
  try {
    const files::Place place(path);
    if (::fstat(place.folder(), &about) == 0) {
      return {about.st_dev, about.st_ino, place.name()};
    }
  } catch (const Trouble&) {
    // Where nothing can be, nothing is shared.
  }
  return {0, 0, path};
}

}  // namespace

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
  files::Draft draft(path);
  draft.append(bytes);
  draft.replace_target();
}

void create_whole(const std::string& path, const std::string& bytes) {
  refuse_taken(path);
  files::Draft draft(path);
  draft.append(bytes);
  become_target(draft, path);
}

void become_target(files::Draft& draft, const std::string& path) {
  if (!draft.become_target()) {
    throw Trouble("write", path, taken);
  }
}

void refuse_taken(const std::string& path) {
  struct stat about {};
  if (::lstat(path.c_str(), &about) == 0) {
    throw Trouble("write", path, taken);
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
  if (::stat(path.c_str(), &about) == 0 && !S_ISREG(about.st_mode)) {
    throw Trouble("write", path, "it is not an ordinary file; name a file for the sheet");
  }
  const files::Place place(path);
  if (::fstatat(place.folder(), place.name().c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0) {
    if (errno == ENOENT) {
      return;
    }
    throw Trouble("write", path, reason_of(errno));
  }
  if (!S_ISREG(about.st_mode)) {
    throw Trouble("write", path, "it is not an ordinary file; name a file for the sheet");
  }
  if (!starts_as_pdf(place)) {
    throw Trouble("write", path, "it is there already and is not a PDF; name another file");
  }
}

void print(const std::string& text) {
  if (!files::write_all(STDOUT_FILENO, text::harmless_lines(text, text::Colours::of_reports))) {
    throw Trouble("write to", "standard output", reason_of(errno));
  }
}

// Nobody is left to be told when this fails.
void say(const std::string& text) {
  (void)files::write_all(STDERR_FILENO, text::harmless_lines(text, text::Colours::none));
}

}  // namespace kerfmark::cli
