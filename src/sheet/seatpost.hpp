#pragma once

#include "block.hpp"
#include "page.hpp"
#include "sketch.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

[[nodiscard]] Block seatpost_elevation(const Subject& subject, Room room);

/// Where each of its measures is taken.
[[nodiscard]] Sketch seatpost_sketch(const Letters& letters);

}  // namespace kerfmark::sheet
