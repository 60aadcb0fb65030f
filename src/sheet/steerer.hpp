#pragma once

#include "block.hpp"
#include "page.hpp"
#include "sketch.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

[[nodiscard]] Block steerer_elevation(const Subject& subject, Room room);

/// Where each of its measures is taken.
[[nodiscard]] Sketch steerer_sketch(const Letters& letters);

}  // namespace kerfmark::sheet
