#include "cores.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace kerfmark::cli {

void on_all_cores(std::size_t count, const std::function<void(std::size_t)>& task) {
  std::atomic<std::size_t> next = 0;
  std::mutex failing;
  std::exception_ptr failure;
  const auto work = [&] {
    try {
      for (std::size_t i = next++; i < count; i = next++) {
        task(i);
      }
    } catch (...) {
      next = count;  // nobody begins another one
      const std::lock_guard lock(failing);
      failure = failure ? failure : std::current_exception();
    }
  };
  {
    const std::size_t cores = std::max(1U, std::thread::hardware_concurrency());
    std::vector<std::jthread> others;
    try {
      while (others.size() + 1 < std::min(cores, count)) {
        others.emplace_back(work);
      }
    } catch (const std::system_error&) {
      // The system gives no more threads: those there are, and this one, do it all.
    }
    work();
  }
  if (failure) {
    std::rethrow_exception(failure);
  }
}

}  // namespace kerfmark::cli
