#pragma once

#include "node.hpp"

namespace kerfmark::schema {

[[nodiscard]] Node job_schema();
[[nodiscard]] Node shop_schema();

}  // namespace kerfmark::schema
