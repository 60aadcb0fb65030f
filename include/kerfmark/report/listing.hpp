#pragma once

#include <span>
#include <string>

#include "kerfmark/report/view.hpp"

namespace kerfmark::report {

/// What stands in a list of things: a mark in the margin and what is said of it.
struct Listed {
  std::string mark;
  std::string text;
};

/// Each on lines of its own, the texts below each other behind the widest mark. What others wrote
/// is made harmless.
[[nodiscard]] std::string listing(std::span<const Listed> things, const View& view);

}  // namespace kerfmark::report
