#include "kerfmark/register/chain.hpp"

#include <array>
#include <bit>
#include <cerrno>
#include <system_error>

#include <unistd.h>

#include "kerfmark/text/sha256.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::records {
namespace {

constexpr std::size_t salt_bytes = 32;  // as many as the hash has: no short cut to guess it

void add_hexadecimal(unsigned char byte, std::string& out) {
  constexpr std::string_view sixteen = "0123456789abcdef";
  out += sixteen[byte >> 4U];
  out += sixteen[byte & 0xFU];
}

void add_counted(char kind, std::string_view bytes, std::string& out) {
  out += kind;
  out += std::to_string(bytes.size());
  out += ':';
  out += bytes;
}

std::string big_endian(double value) {
  const auto bits = std::bit_cast<std::uint64_t>(value);
  std::string bytes;
  for (unsigned shift = 64; shift > 0; shift -= 8) {
    bytes += static_cast<char>((bits >> (shift - 8)) & 0xFFU);
  }
  return bytes;
}

}  // namespace

std::string canonical(std::span<const Value> values) {
  std::string out;
  for (const Value& value : values) {
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      add_counted('i', std::to_string(*whole), out);
    } else if (const auto* real = std::get_if<double>(&value)) {
      add_counted('r', big_endian(*real), out);
    } else if (const auto* text = std::get_if<std::string>(&value)) {
      add_counted('t', *text, out);
    } else {
      out += 'n';
    }
  }
  return out;
}

std::string salted(std::int64_t encoding, std::string_view salt, std::string_view text) {
  if (encoding == 1) {
    return text::sha256(std::string(salt) + std::string(text));
  }
  const std::array<Value, 2> both = {std::string(salt), std::string(text)};
  return text::sha256(canonical(both));
}

bool is_salt(std::string_view text) {
  return text.size() == 2 * salt_bytes &&
         text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

// std::random_device would do, but asks the processor anew for each of its 16 numbers, which takes
// longer than the rest of a record.
std::string fresh_salt() {
  std::array<unsigned char, salt_bytes> bytes{};
  if (::getentropy(bytes.data(), bytes.size()) != 0) {
    throw Trouble("draw", "a number by chance", std::generic_category().message(errno));
  }
  std::string salt;
  for (const unsigned char byte : bytes) {
    add_hexadecimal(byte, salt);
  }
  return salt;
}

}  // namespace kerfmark::records
