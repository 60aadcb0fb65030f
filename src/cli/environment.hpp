#pragma once

#include <string_view>

namespace kerfmark::cli {

/// A variable of the environment; empty where it is not set.
[[nodiscard]] std::string_view environment(const char* name);

}  // namespace kerfmark::cli
