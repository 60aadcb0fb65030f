#include "left_behind.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <memory>
#include <string_view>
#include <system_error>
#include <vector>

#include <dirent.h>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/trouble.hpp"

namespace kerfmark::files {
namespace {

constexpr std::size_t digits = 12;  // 48 bits: no two drafts of a folder meet
constexpr std::string_view ending = ".new";

// A name has 255 bytes at most (NAME_MAX of Linux); the end of a long one goes.
std::string beginning_for(const std::string& target) {
  constexpr std::size_t longest = 255 - 1 - digits - ending.size();
  return target.substr(0, longest) + ".";
}

bool is_draft_of(std::string_view name, std::string_view beginning) {
  if (name.size() != beginning.size() + digits + ending.size() || !name.starts_with(beginning) ||
      !name.ends_with(ending)) {
    return false;
  }
  return name.substr(beginning.size(), digits).find_first_not_of("0123456789abcdef") ==
         std::string_view::npos;
}

void remove_if_left(int folder, const std::string& name) {
  const int file = ::openat(folder, name.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
  if (file < 0) {
    return;
  }
  struct stat about {};
  if (::fstat(file, &about) == 0 && S_ISREG(about.st_mode) && about.st_uid == ::geteuid() &&
      ::flock(file, LOCK_EX | LOCK_NB) == 0) {
    ::unlinkat(folder, name.c_str(), 0);
  }
  ::close(file);
}

// ---- signals ----

// What a handler may touch: no memory that moves, nothing that locks.
struct Guarded {
  std::atomic<int> state = 0;  // 0 free, 1 being written, 2 to be removed
  int folder = -1;
  std::array<char, 256> name{};
};
constexpr std::size_t most_guarded = 8;  // a command writes two files at most
std::array<Guarded, most_guarded> guarded;

extern "C" void remove_guarded(int signal) {
  for (Guarded& one : guarded) {
    if (one.state.load() == 2) {
      ::unlinkat(one.folder, one.name.data(), 0);
    }
  }
  // Ends the program as the signal should, when this returns.
  std::signal(signal, SIG_DFL);
  ::raise(signal);
}

void watch_signals() {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGPIPE}) {
    struct sigaction action {};
    if (::sigaction(signal, nullptr, &action) == 0 && action.sa_handler == SIG_DFL) {
      action.sa_handler = remove_guarded;
      ::sigaction(signal, &action, nullptr);
    }
  }
}

}  // namespace

std::string draft_name(const std::string& target) {
  std::array<unsigned char, digits / 2> bytes{};
  if (::getentropy(bytes.data(), bytes.size()) != 0) {
    throw Trouble("draw", "a number by chance", std::generic_category().message(errno));
  }
  constexpr std::string_view sixteen = "0123456789abcdef";
  std::string name = beginning_for(target);
  for (const unsigned char byte : bytes) {
    name += sixteen[byte >> 4U];
    name += sixteen[byte & 0xFU];
  }
  return name + std::string(ending);
}

void clear_left_behind(int folder, const std::string& target) {
  const int listed = ::openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (listed < 0) {
    return;  // what cannot be listed cannot be tidied up
  }
  const std::unique_ptr<DIR, int (*)(DIR*)> entries(::fdopendir(listed), &::closedir);
  if (!entries) {
    ::close(listed);
    return;
  }
  const std::string beginning = beginning_for(target);
  std::vector<std::string> found;
  while (const dirent* const entry = ::readdir(entries.get())) {  // NOLINT(concurrency-mt-unsafe)
    if (is_draft_of(entry->d_name, beginning)) {
      found.emplace_back(entry->d_name);
    }
  }
  for (const std::string& name : found) {
    remove_if_left(folder, name);
  }
}

bool lock_draft(int descriptor, int folder, const std::string& name) {
  struct stat open {};
  struct stat named {};
  // A file system without such locks has no drafts cleared either.
  const bool locked = ::flock(descriptor, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK;
  return locked && ::fstat(descriptor, &open) == 0 &&
         ::fstatat(folder, name.c_str(), &named, AT_SYMLINK_NOFOLLOW) == 0 &&
         open.st_dev == named.st_dev && open.st_ino == named.st_ino;
}

int guard_name(int folder, const std::string& name) {
  static const bool watched = (watch_signals(), true);
  (void)watched;
  for (std::size_t i = 0; i < guarded.size(); ++i) {
    Guarded& one = guarded[i];
    int free = 0;
    if (name.size() < one.name.size() && one.state.compare_exchange_strong(free, 1)) {
      one.folder = folder;
      *std::copy(name.begin(), name.end(), one.name.begin()) = '\0';
      one.state.store(2);
      return static_cast<int>(i);
    }
  }
  return -1;
}

void stop_guarding(int number) {
  if (number >= 0) {
    guarded.at(static_cast<std::size_t>(number)).state.store(0);
  }
}

}  // namespace kerfmark::files
