#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

/// JSON Schema 2020-12 of what kerfmark reads and writes, made from the tables that the program
/// itself goes by. What a schema cannot say, whether three lengths make a triangle for instance,
/// only the program tells.
namespace kerfmark::schema {

enum class Document { job, shop, result, record, sizes, rules };

/// How each is called, in the order of the enumeration.
[[nodiscard]] std::span<const std::string_view> documents();

/// Over many lines, for people and programs.
[[nodiscard]] std::string schema_of(Document document);

/// A key of a result, for the manual: "limits[].doubt[].share".
struct ResultKey {
  std::string path;
  std::string what;
};
/// Those of a group: "plan", "insertion", "findings", "record", "sizes"
/// or "rules"; in the order of the tables.
[[nodiscard]] std::vector<ResultKey> result_keys(std::string_view group);

}  // namespace kerfmark::schema
