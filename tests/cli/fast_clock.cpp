// Preloaded, it makes each look at the steady clock take two seconds, so that nothing is too short
// for a progress line.

#include <ctime>

#include <sys/syscall.h>
#include <unistd.h>

extern "C" int clock_gettime(clockid_t clock, struct timespec* now) noexcept {
  static time_t ahead = 0;
  const auto done = static_cast<int>(syscall(SYS_clock_gettime, clock, now));
  if (clock == CLOCK_MONOTONIC) {
    ahead += 2;
    now->tv_sec += ahead;
  }
  return done;
}
