#include "kerfmark/text/sha256.hpp"

#include <array>
#include <cstdint>
#include <vector>

#include <sha256.h>

namespace kerfmark::text {

std::string sha256(std::string_view bytes) {
  const std::vector<std::uint8_t> data(bytes.begin(), bytes.end());
  std::array<std::uint8_t, SHA256_DIGEST_LENGTH> digest{};
  SHA2_CTX context;
  SHA256Init(&context);
  SHA256Update(&context, data.data(), data.size());
  SHA256Final(digest.data(), &context);
  constexpr std::string_view digits = "0123456789abcdef";
  std::string hex;
  for (const std::uint8_t byte : digest) {
    hex += digits[byte >> 4U];
    hex += digits[byte & 0xFU];
  }
  return hex;
}

}  // namespace kerfmark::text
