#pragma once

namespace kerfmark {

/// Prints `what` on standard error and stops the program, in every build type: a broken invariant
/// is a fault of the program, and a plan made with one must never reach a saw.
[[noreturn]] void broken_invariant(const char* what);

constexpr void require(bool holds, const char* what) {
  if (!holds) {
    broken_invariant(what);
  }
}

}  // namespace kerfmark
