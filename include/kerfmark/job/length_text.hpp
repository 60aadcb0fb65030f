#pragma once

#include <string_view>
#include <variant>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/phrase.hpp"

namespace kerfmark::job {

/// A length as somebody types it outside a job file: a number in millimetres, or a text with its
/// unit. Else what is wrong with it, as a sentence goes on from "--length 3": one that cannot be
/// read, or is not plausible.
[[nodiscard]] std::variant<plan::Length, text::Phrase> length_in(std::string_view text,
                                                                 plan::Range plausible);

}  // namespace kerfmark::job
