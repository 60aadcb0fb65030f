#include <charconv>
#include <cstdint>
#include <iostream>
#include <string_view>

#include "bare_register.hpp"

/// fill_register FILE COUNT: a register of so many records to time questions on. Its hashes are
/// none.
int main(int argc, char** argv) {
  std::int64_t count = 0;
  const std::string_view number = argc == 3 ? argv[2] : "";
  const auto read = std::from_chars(number.data(), number.data() + number.size(), count);
  if (read.ec != std::errc{} || count < 1) {
    std::cerr << "fill_register FILE COUNT\n";
    return 2;
  }
  constexpr std::int64_t in_one_go = 10'000;
  bench::BareRegister bare(argv[1]);
  bare.run("PRAGMA synchronous = OFF");
  for (std::int64_t i = 1; i <= count; ++i) {
    if (i % in_one_go == 1) {
      bare.begin();
    }
    bare.insert(bench::entry(i));
    if (i % in_one_go == 0 || i == count) {
      bare.commit();
    }
  }
  return 0;
}
