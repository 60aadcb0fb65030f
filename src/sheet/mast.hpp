#pragma once

#include "block.hpp"
#include "page.hpp"
#include "sketch.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The mast with its topper, from its datum to the right up to the saddle.
[[nodiscard]] Block mast_elevation(const Subject& subject, Room room);

/// Where each of its measures is taken.
[[nodiscard]] Sketch mast_sketch(const Letters& letters);

}  // namespace kerfmark::sheet
