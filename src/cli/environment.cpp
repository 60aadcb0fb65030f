#include "environment.hpp"

#include <cstdlib>

namespace kerfmark::cli {

std::string_view environment(const char* name) {
  const char* value = std::getenv(name);  // NOLINT(concurrency-mt-unsafe): one thread
  return value == nullptr ? std::string_view{} : std::string_view{value};
}

}  // namespace kerfmark::cli
