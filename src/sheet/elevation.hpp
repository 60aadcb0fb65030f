#pragma once

#include "block.hpp"
#include "page.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The part as it lies on the bench, to a stated scale: a post in its frame, a steerer in its
/// stack, before the cut and after. A part that is not cut, or not yet, is drawn whole, without a
/// line to cut at. At most as wide and high as the room.
[[nodiscard]] Block elevation(const Subject& subject, Room room);

}  // namespace kerfmark::sheet
