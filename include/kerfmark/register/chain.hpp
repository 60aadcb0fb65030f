#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>

/// What makes a later change of a record visible: each carries a hash of its own content and of the
/// hash of the record before it.
namespace kerfmark::records {

/// What the first record has in place of the hash of the one before it.
inline constexpr std::string_view no_hash =
    "0000000000000000000000000000000000000000000000000000000000000000";

/// A value of a record: nothing, a whole number, a real number, or text.
using Value = std::variant<std::monostate, std::int64_t, double, std::string>;

/// Values in their order as bytes that no other values give: a letter for the kind (n, i, r, t);
/// but for n, the count of the bytes that follow, in decimal digits, and a colon; then a whole
/// number in decimal digits, a real one as 8 bytes of IEEE 754 binary64, the most significant
/// first, a text as its bytes of UTF-8.
[[nodiscard]] std::string canonical(std::span<const Value> values);

/// What stands in a record for a text of people's data: the text can be blanked, this stays. The
/// salt keeps short names from being guessed. Since encoding 2 both are hashed as `canonical` has
/// them, so that their lengths are bound; before, one simply followed the other, and it is the
/// salt's own form that shows where the text begins.
[[nodiscard]] std::string salted(std::int64_t encoding, std::string_view salt,
                                 std::string_view text);

/// Whether it could have come from `fresh_salt`.
[[nodiscard]] bool is_salt(std::string_view text);

/// 256 bits by chance, as 64 hexadecimal digits.
[[nodiscard]] std::string fresh_salt();

}  // namespace kerfmark::records
