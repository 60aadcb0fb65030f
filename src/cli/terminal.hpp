#pragma once

#include "kerfmark/report/view.hpp"

namespace kerfmark::cli {

/// What standard output is: its width (COLUMNS where it is no terminal), whether the locale writes
/// UTF-8, and colour only on a terminal, without NO_COLOR and unless it is not wanted.
[[nodiscard]] report::View view_of_output(bool no_colour);

}  // namespace kerfmark::cli
