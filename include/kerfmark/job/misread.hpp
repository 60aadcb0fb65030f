#pragma once

#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/text/phrase.hpp"

namespace kerfmark::job {

/// "a length", "an angle".
[[nodiscard]] text::Phrase name_of(measure::Dimension dimension);

/// "has no unit": goes on from the text that was misread.
[[nodiscard]] text::Phrase what_is_wrong(const measure::Misread& misread);

/// `write "15.5 in" or "3 1/2 in", whichever was measured`: in quotes, as a job file and a command
/// line need them alike.
[[nodiscard]] text::Phrase to_write(const measure::Misread& misread);

}  // namespace kerfmark::job
