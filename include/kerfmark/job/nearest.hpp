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

/// The place of a word among the words to choose from, in any capitals; "aluminum" is the word
/// "aluminium" where that is one of them. No known word differs from another by its capitals
/// alone, so nothing else can be meant.
[[nodiscard]] std::optional<std::size_t> place_of_word(std::string_view word,
                                                       std::span<const std::string_view> words);

/// Whether two names are the same but for capitals of the letters A to Z.
[[nodiscard]] bool is_same_word(std::string_view a, std::string_view b);

}  // namespace kerfmark::job
