#pragma once

#include "block.hpp"
#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/text/words.hpp"
#include "page.hpp"

namespace kerfmark::sheet {

/// A post as it stands in its frame, lying on its side, to a stated scale: collar, lower end, and
/// the line of what must be in. At most as wide and high as the room.
[[nodiscard]] Block insertion_elevation(const plan::InsertionCheck& check, const text::Words& words,
                                        Room room);

}  // namespace kerfmark::sheet
