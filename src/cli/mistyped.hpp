#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace kerfmark::cli {

/// What to type instead of words that no command line can mean: a file or a kind without its
/// command, an option before its command or without its value, a value that the shell has split.
/// Empty: none of these.
[[nodiscard]] std::string mistyped(const std::vector<std::string>& words, const CLI::App& app);

}  // namespace kerfmark::cli
