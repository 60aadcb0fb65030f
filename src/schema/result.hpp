#pragma once

#include "node.hpp"

namespace kerfmark::schema {

[[nodiscard]] Node result_schema();
[[nodiscard]] Node record_schema();
[[nodiscard]] Node sizes_schema();
[[nodiscard]] Node rules_schema();

}  // namespace kerfmark::schema
