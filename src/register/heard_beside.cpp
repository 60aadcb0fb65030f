#include "heard_beside.hpp"

#include <array>

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include "server_name.hpp"

namespace kerfmark::records {
namespace {

std::mutex& mutex() {
  static std::mutex one;
  return one;
}

}  // namespace

HeardBeside::HeardBeside()
    : one_at_a_time_(mutex()),
      before_(::fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, 0)),
      memory_(before_ < 0 ? -1 : ::memfd_create("said", MFD_CLOEXEC)) {
  if (memory_ >= 0) {
    ::dup2(memory_, STDERR_FILENO);
  }
}

HeardBeside::~HeardBeside() {
  if (memory_ >= 0) {
    ::dup2(before_, STDERR_FILENO);
    ::close(memory_);
  }
  if (before_ >= 0) {
    ::close(before_);
  }
}

std::string HeardBeside::said() const {
  std::array<char, 2000> text{};  // as much as anybody reads
  const auto size = memory_ < 0 ? 0 : ::pread(memory_, text.data(), text.size(), 0);
  return on_one_line({text.data(), size < 0 ? 0 : static_cast<std::size_t>(size)});
}

}  // namespace kerfmark::records
