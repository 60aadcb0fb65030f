#include <atomic>
#include <charconv>
#include <chrono>
#include <iostream>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "bare_register.hpp"
#include "kerfmark/register/register.hpp"

/// server_bench SERVER CLIENTS SECONDS: records a second that so many clients add at once, each
/// over a connection of its own.
int main(int argc, char** argv) {
  using namespace kerfmark;
  using Clock = std::chrono::steady_clock;
  const auto number_in = [&](int place) {
    int number = 0;
    const std::string_view word = argc == 4 ? argv[place] : "";
    std::from_chars(word.data(), word.data() + word.size(), number);
    return number;
  };
  const int clients = number_in(2);
  const std::chrono::seconds seconds(number_in(3));
  if (clients < 1 || seconds.count() < 1) {
    std::cerr << "server_bench SERVER CLIENTS SECONDS\n";
    return 2;
  }
  std::atomic<std::int64_t> count = 0;
  std::atomic<std::int64_t> number =
      Clock::now().time_since_epoch().count();  // of a job, each its own
  const auto end = Clock::now() + seconds;
  std::vector<std::jthread> threads;
  for (int i = 0; i < clients; ++i) {
    threads.emplace_back([&] {
      auto book = records::Register::open(argv[1]);
      while (Clock::now() < end) {
        (void)book.add(bench::entry(++number));
        ++count;
      }
    });
  }
  threads.clear();
  std::cout << static_cast<double>(count) / static_cast<double>(seconds.count()) << " records/s\n";
  return 0;
}
