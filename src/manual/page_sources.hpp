#pragma once

#include <span>

#include "kerfmark/manual/manual.hpp"

namespace kerfmark::manual {

/// As they lie in templates/manual, in the order of the build file; made while building.
[[nodiscard]] std::span<const Page> page_sources();

}  // namespace kerfmark::manual
