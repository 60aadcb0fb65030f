#pragma once

#include <vector>

#include "flow.hpp"
#include "kerfmark/measure/reading.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// Every value whose doubt moves the cut or a limit and that can still be read, in the order of
/// measuring. A ring is there once, wherever it may stand.
[[nodiscard]] std::vector<measure::ReadingIndex> to_read_again(const Subject& subject);

/// The table of them: what, with which instrument, what was read, a box for the second reading,
/// what the two may differ by, and who read it.
[[nodiscard]] Section measure_twice(const Subject& subject);

}  // namespace kerfmark::sheet
