// The main function of every test executable. It takes up the locale of the environment, which the
// program itself never does: numbers must read and print the same under any locale.
#include <clocale>
#include <cstdlib>
#include <iostream>
#include <locale>
#include <stdexcept>
#include <string_view>

#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>

namespace {

/// False when KERFMARK_TEST_DECIMAL names a decimal sign and the locale in force has another one.
bool take_up_locale() {
  const char* const wanted = std::getenv("KERFMARK_TEST_DECIMAL");
  try {
    std::locale::global(std::locale(""));
  } catch (const std::runtime_error&) {
    // The environment names a locale that is not there; that matters only where one is asked for.
    if (wanted == nullptr) {
      return true;
    }
  }
  return wanted == nullptr || std::string_view(std::localeconv()->decimal_point) == wanted;
}

}  // namespace

int main(int argc, char** argv) {
  if (!take_up_locale()) {
    std::cerr << "the wanted locale is not in force, decimal sign is '"
              << std::localeconv()->decimal_point << "'\n";
    return 1;
  }
  return doctest::Context(argc, argv).run();
}
