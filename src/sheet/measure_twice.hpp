#pragma once

#include "flow.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// Every value that has a doubt, the weightiest first, to be measured again before anybody saws:
/// what, with which instrument, what was read, a box for the second reading, what the two may
/// differ by, and who read it.
[[nodiscard]] Section measure_twice(const Subject& subject, double size_pt);

}  // namespace kerfmark::sheet
