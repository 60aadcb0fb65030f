#pragma once

#include <string>
#include <string_view>

namespace kerfmark::text {

/// The SHA-256 of some bytes (FIPS 180-4) as 64 digits, small letters.
[[nodiscard]] std::string sha256(std::string_view bytes);

}  // namespace kerfmark::text
