#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "node.hpp"

namespace kerfmark::schema {

/// A word to choose from: as it is written, for editors that offer it, and in any capitals.
[[nodiscard]] Node choice(std::span<const std::string_view> words);
/// The pattern of a word in any capitals.
[[nodiscard]] std::string pattern_of(std::string_view word);

/// The definitions that values refer to: texts with a unit of each dimension.
[[nodiscard]] Node texts_with_units();

/// What may stand for a key, within this range where there is one.
[[nodiscard]] Node value_of(const plan::Key& key, const std::optional<plan::Range>& range);

}  // namespace kerfmark::schema
