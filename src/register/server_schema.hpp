#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

/// How a register looks on a server.
namespace kerfmark::records {

struct ServerSchema {
  /// SQL that takes a register on a server from version i to version i + 1; its version is the
  /// count of the steps it has gone, which the table `step` has. Each is of a transaction that it
  /// is alone in, or has the steps before it in.
  std::span<const std::string_view> steps;
  /// What there is once all steps are gone, as `listing_of_schema` lists it: one thing a line.
  std::string_view as_made;

  [[nodiscard]] std::int64_t version() const { return static_cast<std::int64_t>(steps.size()); }
};

/// That of this program.
[[nodiscard]] const ServerSchema& schema_of_server();

[[nodiscard]] std::string_view listing_of_schema();

}  // namespace kerfmark::records
