// Preloaded, it makes each look at the steady clock take two seconds, so that nothing is too short
// for a progress line.

#include <ctime>

#include <dlfcn.h>

extern "C" int clock_gettime(clockid_t clock, struct timespec* now) noexcept {
  using Clock = int (*)(clockid_t, struct timespec*);
  static const auto real = reinterpret_cast<Clock>(dlsym(RTLD_NEXT, "clock_gettime"));
  static time_t ahead = 0;
  const int done = real(clock, now);
  if (clock == CLOCK_MONOTONIC) {
    ahead += 2;
    now->tv_sec += ahead;
  }
  return done;
}
