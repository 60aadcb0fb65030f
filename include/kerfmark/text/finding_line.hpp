#pragma once

#include <optional>
#include <string>

namespace kerfmark::text {

/// One finding of a bad file; without a place where the file could not be read at all.
struct FindingLine {
  std::optional<int> line, column;
  std::optional<std::string> key;
  std::string message;
};

}  // namespace kerfmark::text
