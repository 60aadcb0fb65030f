#pragma once

#include "block.hpp"
#include "page.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The mast with its topper, from its datum to the right up to the saddle.
[[nodiscard]] Block mast_elevation(const Subject& subject, Room room);

}  // namespace kerfmark::sheet
