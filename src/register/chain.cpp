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

std::string salted(std::string_view salt, std::string_view text) {
  return text::sha256(std::string(salt) + std::string(text));
}

// std::random_device would do, but asks the processor anew for each of its 16 numbers, which takes
// longer than the rest of a record.
std::string fresh_salt() {
  std::array<unsigned char, 32> bytes{};
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
