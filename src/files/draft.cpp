#include "kerfmark/files/draft.hpp"

#include <array>
#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>
#include <utility>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/trouble.hpp"
#include "left_behind.hpp"

namespace kerfmark::files {
namespace {

// As a file made the ordinary way would have it, or as the file that is replaced has it.
mode_t mode_for(const Place& target) {
  struct stat old {};
  if (::fstatat(target.folder(), target.name().c_str(), &old, AT_SYMLINK_NOFOLLOW) == 0) {
    return old.st_mode & 07777U;
  }
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return 0666U & ~mask;
}

bool copy_all(int from, int to) {
  std::array<char, 65536> block{};
  off_t done = 0;
  for (;;) {
    const ssize_t got = ::pread(from, block.data(), block.size(), done);
    if (got < 0 && errno == EINTR) {
      continue;
    }
    if (got <= 0) {
      return got == 0;
    }
    if (!write_all(to, {block.data(), static_cast<std::size_t>(got)})) {
      return false;
    }
    done += got;
  }
}

// A file system without modes, such as that of a memory stick, refuses to set them; its files have
// those of the whole stick. One that cannot flush a single file says EINVAL.
bool finish(int descriptor, mode_t mode) {
  if (::fchmod(descriptor, mode) != 0 && errno != EPERM && errno != EOPNOTSUPP) {
    return false;
  }
  return ::fsync(descriptor) == 0 || errno == EINVAL;
}

}  // namespace

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

Draft::Draft(const std::string& path, Name name) : place_(path) {
  clear_left_behind(place_.folder(), place_.name());
  if (name == Name::none) {
    descriptor_ = ::openat(place_.folder(), ".", O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
  }
  if (descriptor_ < 0) {
    open_with_name();
  }
}

Draft::~Draft() {
  if (!own_name_.empty()) {
    ::unlinkat(place_.folder(), own_name_.c_str(), 0);
    forget_name();
  }
  if (descriptor_ >= 0) {
    ::close(descriptor_);
  }
}

void Draft::fail(int error) const {
  throw Trouble("write", place_.path(), std::generic_category().message(error));
}

void Draft::open_with_name() {
  for (;;) {
    const std::string name = draft_name(place_.name());
    // Before there is a file of that name: a signal may come in between.
    guard_ = guard_name(place_.folder(), name);
    const int file = ::openat(place_.folder(), name.c_str(),
                              O_CREAT | O_EXCL | O_RDWR | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (file < 0) {
      const int error = errno;
      forget_name();
      fail(error);
    }
    if (lock_draft(file, place_.folder(), name)) {
      descriptor_ = file;
      own_name_ = name;
      return;
    }
    forget_name();
    ::close(file);  // somebody tidied it up before it was locked
  }
}

void Draft::forget_name() {
  stop_guarding(std::exchange(guard_, -1));
  own_name_.clear();
}

std::string Draft::own_path() const {
  return (std::filesystem::path(place_.path()).parent_path() / own_name_).string();
}

void Draft::append(std::string_view bytes) {
  if (!write_all(descriptor_, bytes)) {
    fail(errno);
  }
}

void Draft::put(std::size_t place, std::string_view bytes) {
  const ssize_t written =
      ::pwrite(descriptor_, bytes.data(), bytes.size(), static_cast<off_t>(place));
  if (written != static_cast<ssize_t>(bytes.size())) {
    fail(written < 0 ? errno : EIO);
  }
}

void Draft::flush() {
  if (!finish(descriptor_, mode_for(place_))) {
    fail(errno);
  }
}

// A file without a name gets one by way of the list of open files, proc(5).
bool Draft::link_as(const std::string& name) const {
  const std::string self = "/proc/self/fd/" + std::to_string(descriptor_);
  return ::linkat(AT_FDCWD, self.c_str(), place_.folder(), name.c_str(), AT_SYMLINK_FOLLOW) == 0;
}

void Draft::give_name() {
  if (!own_name_.empty()) {
    return;
  }
  const std::string name = draft_name(place_.name());
  const int number = guard_name(place_.folder(), name);
  (void)lock_draft(descriptor_, place_.folder(), name);  // locked before anybody can see it
  if (link_as(name)) {
    own_name_ = name;
    guard_ = number;
    return;
  }
  stop_guarding(number);
  // No second names here: another file, with a name from the start.
  const int whole = std::exchange(descriptor_, -1);
  try {
    open_with_name();
    if (!copy_all(whole, descriptor_)) {
      fail(errno);
    }
    flush();
  } catch (...) {
    ::close(whole);
    throw;
  }
  ::close(whole);
}

void Draft::replace_target() {
  flush();
  give_name();
  if (::renameat(place_.folder(), own_name_.c_str(), place_.folder(), place_.name().c_str()) != 0) {
    fail(errno);
  }
  forget_name();
}

// Each of these refuses, in one step, a name that is taken. The last makes an empty file that is
// ours, and only that is then replaced.
bool Draft::move_to_free_target() {
  const int folder = place_.folder();
  const char* const own = own_name_.c_str();
  const char* const target = place_.name().c_str();
  if (::renameat2(folder, own, folder, target, RENAME_NOREPLACE) == 0) {
    forget_name();
    return true;
  }
  if (errno == EEXIST) {
    return false;
  }
  if (::linkat(folder, own, folder, target, 0) == 0) {
    return true;  // the draft's own name goes with the draft
  }
  if (errno == EEXIST) {
    return false;
  }
  const int empty = ::openat(folder, target, O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
  if (empty < 0) {
    if (errno == EEXIST) {
      return false;
    }
    fail(errno);
  }
  ::close(empty);
  if (::renameat(folder, own, folder, target) != 0) {
    const int error = errno;
    ::unlinkat(folder, target, 0);
    fail(error);
  }
  forget_name();
  return true;
}

bool Draft::become_target() {
  flush();
  if (own_name_.empty()) {
    if (link_as(place_.name())) {
      return true;
    }
    if (errno == EEXIST) {
      return false;
    }
    give_name();
  }
  return move_to_free_target();
}

}  // namespace kerfmark::files
