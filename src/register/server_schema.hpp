#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

/// How a register looks on a server.
namespace kerfmark::records {

/// SQL that takes a register on a server from version i to version i + 1; its version is the count
/// of the steps it has gone, which the table `step` has.
[[nodiscard]] std::span<const std::string_view> steps_of_server();

/// What there is once all steps are gone, as `listing_of_schema` lists it: one thing a line.
[[nodiscard]] std::string_view schema_as_made();
[[nodiscard]] std::string_view listing_of_schema();

}  // namespace kerfmark::records
