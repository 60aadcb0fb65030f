#pragma once

#include <string_view>

namespace kerfmark::job {

/// Line `line` (from 1) of a text, without its end; the first without a byte order mark. Empty
/// when there is no such line.
[[nodiscard]] std::string_view source_line(std::string_view text, int line);

[[nodiscard]] std::string_view trimmed(std::string_view text);

/// Characters of UTF-8 text.
[[nodiscard]] int characters(std::string_view text);

}  // namespace kerfmark::job
