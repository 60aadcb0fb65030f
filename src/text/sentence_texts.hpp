#pragma once

#include <cstddef>
#include <span>
#include <string_view>

#include "kerfmark/text/sentence_keys.hpp"

/// The texts of the languages, as they are built in.
namespace kerfmark::text {

/// Tags of BCP 47; the first is the program's own language.
[[nodiscard]] std::span<const std::string_view> language_tags();

/// The sentence with that place in sentence_keys, in the language with that place in
/// language_tags().
[[nodiscard]] std::string_view text_of(std::size_t language, std::size_t sentence);

}  // namespace kerfmark::text
