#pragma once

#include <span>
#include <string>
#include <string_view>

#include "kerfmark/manual/manual.hpp"

namespace kerfmark::manual {

/// A list that a page asks for by the line "; table WORDS", in the language of scdoc: "keys",
/// "limits", "result GROUP", "instruments", "shop-keys", "commands", "pages", "options", "options
/// COMMAND" or "actions COMMAND". A page that asks for another one stops the program.
[[nodiscard]] std::string table(std::string_view words, std::span<const Command> commands);

}  // namespace kerfmark::manual
