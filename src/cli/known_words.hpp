#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

/// What is said of a word that is none of those to choose from.
namespace kerfmark::cli {

/// "a, b, c".
[[nodiscard]] std::string listed(std::span<const std::string_view> words);
[[nodiscard]] std::string listed(const std::vector<std::string>& words);

/// "; did you mean a?" of the one that comes near enough; empty: none does. `quote` stands on
/// either side of it.
[[nodiscard]] std::string suggestion(std::string_view word, std::span<const std::string_view> known,
                                     std::string_view quote = "");
[[nodiscard]] std::string suggestion(std::string_view word, const std::vector<std::string>& known);

/// `there is no kind "frok"; did you mean fork? (known: fork, post)` and a line's end.
[[nodiscard]] std::string unknown_word(std::string_view what, std::string_view word,
                                       std::span<const std::string_view> known);

}  // namespace kerfmark::cli
