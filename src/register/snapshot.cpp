#include "snapshot.hpp"

#include <cerrno>
#include <chrono>
#include <filesystem>
#include <system_error>
#include <thread>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "kerfmark/trouble.hpp"

namespace kerfmark::records {
namespace {

namespace fs = std::filesystem;

// Where the database itself looks for what stands beside a file that is reached by a link.
std::string real_path(const std::string& path) {
  std::error_code error;
  const fs::path real = fs::canonical(path, error);
  if (error) {
    throw Trouble("open", path, error.message());
  }
  return real.string();
}

bool holds_something(const std::string& path) {
  struct stat about {};
  return ::stat(path.c_str(), &about) == 0 && about.st_size > 0;
}

bool is_there(const std::string& path) {
  struct stat about {};
  return ::stat(path.c_str(), &about) == 0;
}

// The file, with the lock on it that every reader has: who wants to tidy up its log waits, so that
// no log comes or goes as a whole meanwhile.
class Held {
 public:
  explicit Held(const std::string& path)
      : path_(path), descriptor_(::open(path.c_str(), O_RDONLY | O_CLOEXEC)) {
    if (descriptor_ < 0) {
      fail(errno);
    }
    wait_for_lock();
  }
  Held(const Held&) = delete;
  Held& operator=(const Held&) = delete;
  ~Held() { ::close(descriptor_); }

  [[nodiscard]] struct stat about() const {
    struct stat found {};
    if (::fstat(descriptor_, &found) != 0) {
      fail(errno);
    }
    return found;
  }

  void read_all(unsigned char* bytes, std::size_t size) const {
    std::size_t done = 0;
    while (done < size) {
      const ssize_t got = ::pread(descriptor_, bytes + done, size - done, static_cast<off_t>(done));
      if (got < 0 && errno == EINTR) {
        continue;
      }
      if (got <= 0) {
        fail(got < 0 ? errno : EIO);
      }
      done += static_cast<std::size_t>(got);
    }
  }

 private:
  [[noreturn]] void fail(int error) const {
    throw Trouble("read", path_, std::generic_category().message(error));
  }

  // sqlite.org/lockingv3.html and os.h: the shared bytes, 510 of them, begin 2 after PENDING_BYTE.
  // A lock of the open file, not of the process: closing another descriptor does not let go of it.
  void wait_for_lock() const {
    constexpr off_t shared_first = 0x40000000 + 2;
    constexpr off_t shared_size = 510;
    constexpr int tries = 300;  // a tenth of a second each: as long as the database waits
    struct flock wanted {};
    wanted.l_type = F_RDLCK;
    wanted.l_whence = SEEK_SET;
    wanted.l_start = shared_first;
    wanted.l_len = shared_size;
    for (int i = 0; ::fcntl(descriptor_, F_OFD_SETLK, &wanted) != 0; ++i) {
      if ((errno != EAGAIN && errno != EACCES) || i == tries) {
        fail(errno);
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
  }

  std::string path_;
  int descriptor_;
};

bool same_content(const struct stat& one, const struct stat& other) {
  return one.st_size == other.st_size && one.st_mtim.tv_sec == other.st_mtim.tv_sec &&
         one.st_mtim.tv_nsec == other.st_mtim.tv_nsec;
}

// The bytes of the file as a database in memory. While nobody has a log, nobody writes; somebody
// who begins meanwhile may also bring a log into the file, and that shows in its times.
std::unique_ptr<Database> read_file(const Held& file, const std::string& path) {
  constexpr std::size_t write_version_at = 18;  // sqlite.org/fileformat2.html 1.3: 1 is without log
  constexpr std::size_t read_version_at = 19;
  constexpr int tries = 20;
  for (int i = 0; i < tries; ++i) {
    const struct stat before = file.about();
    const auto size = static_cast<std::size_t>(before.st_size);
    auto* const bytes = static_cast<unsigned char*>(sqlite3_malloc64(size + 1));
    if (bytes == nullptr) {
      throw Trouble("read", path,
                    "there is not enough memory for all of it: read it as somebody who may write "
                    "to it, or read a backup");
    }
    try {
      file.read_all(bytes, size);
    } catch (...) {
      sqlite3_free(bytes);
      throw;
    }
    if (!same_content(before, file.about())) {
      sqlite3_free(bytes);
      continue;
    }
    bytes[write_version_at] = 1;
    bytes[read_version_at] = 1;
    auto memory = Database::in_memory(path);
    const auto length = static_cast<sqlite3_int64>(size);
    // The database frees the bytes, also when it refuses them.
    if (sqlite3_deserialize(memory->handle(), "main", bytes, length, length,
                            SQLITE_DESERIALIZE_FREEONCLOSE | SQLITE_DESERIALIZE_RESIZEABLE) !=
        SQLITE_OK) {
      memory->fail("read");
    }
    return memory;
  }
  throw Trouble("read", path, "other programs write to it all the time; try again");
}

std::unique_ptr<Database> read_with_log(const std::string& real, const std::string& path) {
  Database file(real, SQLITE_OPEN_READONLY);
  auto memory = Database::in_memory(path);
  sqlite3_backup* backup = sqlite3_backup_init(memory->handle(), "main", file.handle(), "main");
  if (backup == nullptr) {
    memory->fail("read");
  }
  const int done = sqlite3_backup_step(backup, -1);
  sqlite3_backup_finish(backup);
  if (done != SQLITE_DONE) {
    throw Trouble(
        "read", path,
        file.reason() + ". Let somebody who may write to it list it once, or read a backup");
  }
  return memory;
}

}  // namespace

bool may_be_written(const std::string& path) {
  const fs::path real(real_path(path));
  return ::faccessat(AT_FDCWD, real.c_str(), W_OK, AT_EACCESS) == 0 &&
         ::faccessat(AT_FDCWD, real.parent_path().c_str(), W_OK | X_OK, AT_EACCESS) == 0;
}

std::unique_ptr<Database> copy_in_memory(const std::string& path) {
  const std::string real = real_path(path);
  const Held file(real);
  const bool log = holds_something(real + "-wal");
  if (holds_something(real + "-journal") || (log && !is_there(real + "-shm"))) {
    throw Trouble("read", path,
                  "a program that wrote to it was stopped, and only somebody who may write to it "
                  "can put that in order: let its owner list it once");
  }
  return log ? read_with_log(real, path) : read_file(file, path);
}

}  // namespace kerfmark::records
