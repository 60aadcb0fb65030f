#pragma once

#include "block.hpp"
#include "page.hpp"
#include "sketch.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The handlebar from end to end, seen from the saddle: what comes off, what must stay, and the
/// controls on each side.
[[nodiscard]] Block handlebar_elevation(const Subject& subject, Room room);

/// Where each of its measures is taken.
[[nodiscard]] Sketch handlebar_sketch(const Letters& letters);

}  // namespace kerfmark::sheet
