#pragma once

namespace kerfmark::cli {

/// As grep and diff have it.
enum class ExitStatus {
  yes = 0,      ///< the answer is keep or cut
  no = 1,       ///< any other answer
  trouble = 2,  ///< usage, bad input, a file that cannot be read or written
};

/// The whole program but for its entry point. Throws Trouble.
[[nodiscard]] ExitStatus run(int argc, const char* const* argv);

}  // namespace kerfmark::cli
