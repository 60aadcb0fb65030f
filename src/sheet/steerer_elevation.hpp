#pragma once

#include "block.hpp"
#include "page.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

[[nodiscard]] Block steerer_elevation(const Subject& subject, Room room);

}  // namespace kerfmark::sheet
