#include <algorithm>
#include <cerrno>
#include <climits>
#include <deque>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/files/draft.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::files {
namespace {

// A path step by step, each folder held open: nobody can put another in its place meanwhile.
class Walk {
 public:
  explicit Walk(const std::string& path) : path_(path) {
    if (path.empty() || path.find('\0') != std::string::npos) {
      fail(path.empty() ? ENOENT : EINVAL);
    }
    if (path.ends_with('/') || path.ends_with("/.") || path == ".") {
      fail(EISDIR);
    }
    begin_with(path);
    while (!left_.empty()) {
      const std::string step = left_.front();
      left_.pop_front();
      take(step);
    }
    if (name_.empty()) {
      fail(EISDIR);
    }
  }
  Walk(const Walk&) = delete;
  Walk& operator=(const Walk&) = delete;
  ~Walk() {
    if (folder_ >= 0) {
      ::close(folder_);
    }
  }

  [[nodiscard]] int give_folder() { return std::exchange(folder_, -1); }
  [[nodiscard]] const std::string& name() const { return name_; }

 private:
  [[noreturn]] void fail(int error) const {
    throw Trouble("write", path_, std::generic_category().message(error));
  }

  void move_to(int folder) {
    if (folder < 0) {
      fail(errno);
    }
    if (folder_ >= 0) {
      ::close(folder_);
    }
    folder_ = folder;
  }

  // The steps of a path or of what a link says, before those that are left.
  void begin_with(const std::string& path) {
    if (path.starts_with("/") || folder_ < 0) {
      move_to(::open(path.starts_with("/") ? "/" : ".", O_PATH | O_DIRECTORY | O_CLOEXEC));
    }
    std::deque<std::string> steps;
    std::size_t start = 0;
    while (start <= path.size()) {
      const std::size_t end = std::min(path.find('/', start), path.size());
      if (const std::string step = path.substr(start, end - start); !step.empty() && step != ".") {
        steps.push_back(step);
      }
      start = end + 1;
    }
    left_.insert(left_.begin(), steps.begin(), steps.end());
  }

  void take(const std::string& step) {
    struct stat about {};
    if (::fstatat(folder_, step.c_str(), &about, AT_SYMLINK_NOFOLLOW) != 0) {
      if (errno != ENOENT || !left_.empty() || step == "..") {
        fail(errno);
      }
      name_ = step;
    } else if (S_ISLNK(about.st_mode)) {
      follow(step, about);
    } else if (!left_.empty() || step == "..") {
      move_to(::openat(folder_, step.c_str(), O_PATH | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
    } else {
      name_ = step;
    }
  }

  void follow(const std::string& step, const struct stat& link) {
    constexpr int most_links = 40;  // as Linux allows, path_resolution(7)
    if (++links_ > most_links) {
      fail(ELOOP);
    }
    if (link.st_uid != ::geteuid() && link.st_uid != 0) {
      throw Trouble("write", path_,
                    "\"" + step +
                        "\" in it is a link of another user, which may lead anywhere; "
                        "name the file that is meant");
    }
    std::string leads_to(PATH_MAX, '\0');
    const ssize_t size = ::readlinkat(folder_, step.c_str(), leads_to.data(), leads_to.size());
    if (size < 0) {
      fail(errno);
    }
    leads_to.resize(static_cast<std::size_t>(size));
    begin_with(leads_to);
  }

  const std::string& path_;
  std::deque<std::string> left_;
  std::string name_;
  int folder_ = -1;
  int links_ = 0;
};

}  // namespace

Place::Place(const std::string& path) : path_(path) {
  Walk walk(path);
  name_ = walk.name();
  folder_ = walk.give_folder();
}

Place::Place(Place&& other) noexcept
    : path_(std::move(other.path_)),
      name_(std::move(other.name_)),
      folder_(std::exchange(other.folder_, -1)) {}

Place::~Place() {
  if (folder_ >= 0) {
    ::close(folder_);
  }
}

}  // namespace kerfmark::files
