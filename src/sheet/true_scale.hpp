#pragma once

#include <vector>

#include "block.hpp"
#include "page.hpp"
#include "subject.hpp"

/// The page that is laid on the part: what is measured on it is as long as it says.
namespace kerfmark::sheet {

/// Whether a paper wrap can be made for the part: it is round and its diameter is known. Any other
/// gets a straight strip.
[[nodiscard]] bool has_wrap(const plan::Job& job);

/// The page of a cut; nothing for any other verdict. The room is 188 mm by 235 mm at least.
[[nodiscard]] std::vector<Block> true_scale_pages(const Subject& subject, Room room);

}  // namespace kerfmark::sheet
