#pragma once

#include <string>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/phrase.hpp"

namespace kerfmark::job {

/// How to measure a key of a job file or where to find it, in full and on one line of plain ASCII.
[[nodiscard]] std::string help_for(std::string_view path);

/// When a key is needed by choice, "with from = "pedal axle"", as "needed" goes on; of any other
/// key empty.
[[nodiscard]] text::Phrase needed_because(const plan::Key& key);

}  // namespace kerfmark::job
