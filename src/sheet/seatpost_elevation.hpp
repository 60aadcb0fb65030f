#pragma once

#include "block.hpp"
#include "page.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

[[nodiscard]] Block seatpost_elevation(const Subject& subject, Room room);

}  // namespace kerfmark::sheet
