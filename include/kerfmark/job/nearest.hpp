#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>

namespace kerfmark::job {

/// Slips of the keyboard between two words: letters left out, put in, changed or swapped with their
/// neighbour; capitals count as small letters.
[[nodiscard]] std::size_t slips_between(std::string_view a, std::string_view b);

/// The candidate with the fewest slips, the first on a tie; none when no candidate is near enough
/// to be meant: one slip, and one more for each 4 letters of the word.
[[nodiscard]] std::optional<std::string_view> nearest(std::string_view word,
                                                      std::span<const std::string_view> candidates);

}  // namespace kerfmark::job
