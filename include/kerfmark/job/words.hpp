#pragma once

#include <span>
#include <string_view>

#include "kerfmark/text/words.hpp"

namespace kerfmark::job {

/// The languages that are built in, by their tags of BCP 47; the first is the program's own.
[[nodiscard]] std::span<const std::string_view> languages();

/// Every sentence of a language that is built in.
[[nodiscard]] text::Words words_in(std::string_view language);

}  // namespace kerfmark::job
