#pragma once

#include <string_view>

#include "kerfmark/measure/reading.hpp"
#include "notes.hpp"

namespace kerfmark::job {

/// The finding for a text that is not TOML, from where the parser stopped and what it said. For
/// the usual slips it says what to write instead.
void add_slip(std::string_view text, measure::Place stopped, std::string_view description,
              Notes& notes);

}  // namespace kerfmark::job
