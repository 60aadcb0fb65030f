#include "kerfmark/cli/files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <filesystem>
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

namespace fs = std::filesystem;

bool is_folder(const std::string& path) {
  std::error_code error;
  return path != standard && fs::is_directory(path, error);
}

std::vector<std::string> job_files_in(const std::string& folder) {
  std::error_code error;
  std::vector<std::string> files;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const fs::path& path = at->path();
    if (path.extension() == ".toml" && !path.filename().string().starts_with('.')) {
      files.push_back(path.string());
    }
  }
  if (error) {
    throw Trouble("read the folder", folder, error.message());
  }
  std::ranges::sort(files);
  return files;
}

std::string read_all(int descriptor, const std::string& name, std::size_t most) {
  std::string bytes;
  std::array<char, 8192> block{};  // most files fit, and it is cleared for each
  while (bytes.size() <= most) {
    const ssize_t got = ::read(descriptor, block.data(), block.size());
    if (got < 0 && errno == EINTR) {
      continue;
    }
    if (got < 0) {
      throw Trouble("read", name, reason_of(errno));
    }
    if (got == 0) {
      break;
    }
    bytes.append(block.data(), static_cast<std::size_t>(got));
  }
  return bytes;
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
  return read_all(file.number(), path, most);
}

std::string read_input(const std::string& path, std::size_t most) {
  return path == standard ? read_all(STDIN_FILENO, name_of_input(path), most)
                          : read_whole(path, most);
}

std::string name_of_input(const std::string& path) {
  return path == standard ? "standard input" : path;
}

std::string name_of_output(const std::string& path) {
  return path == standard ? "standard output" : path;
}

std::vector<std::string> with_folders_opened(const std::vector<std::string>& given) {
  std::vector<std::string> files;
  for (const std::string& one : given) {
    const std::vector<std::string> inside =
        is_folder(one) ? job_files_in(one) : std::vector<std::string>{};
    if (inside.empty()) {
      files.push_back(one);
    }
    files.insert(files.end(), inside.begin(), inside.end());
  }
  return files;
}

void refuse_folder(const std::string& path) {
  if (is_folder(path)) {
    throw Trouble("read", path, "there is no job file, *.toml, in this folder");
  }
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
    if (!other.empty() && other != standard && identity_of(other) == its) {
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
  if (path == standard) {
    if (::isatty(STDOUT_FILENO) != 0) {
      throw Trouble("write to", name_of_output(path),
                    "it is a terminal, and a sheet is a PDF; name a file");
    }
    return;
  }
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
  print_as_it_is(text::harmless_lines(text, text::Colours::of_reports));
}

void print_as_it_is(std::string_view bytes) {
  if (!files::write_all(STDOUT_FILENO, bytes)) {
    throw Trouble("write to", name_of_output(standard), reason_of(errno));
  }
}

// Nobody is left to be told when this fails.
void say(const std::string& text) {
  (void)files::write_all(STDERR_FILENO, text::harmless_lines(text, text::Colours::none));
}

void print_beside(const std::string& output, const std::string& text) {
  if (output == standard) {
    say(text);
  } else {
    print(text);
  }
}

void say_cautions(const std::string& about, const std::vector<std::string>& cautions) {
  for (const std::string& caution : cautions) {
    say(text::harmless(about) + ": caution: " + caution + "\n");
  }
}

}  // namespace kerfmark::cli
