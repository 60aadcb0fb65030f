#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <variant>

/// JSON of other things than plans, written as the JSON of plans is.
namespace kerfmark::report {

/// JSON that goes in as it is.
struct JsonText {
  std::string text;
};
using JsonValue = std::variant<std::monostate, std::int64_t, double, std::string, JsonText>;

struct JsonField {
  std::string_view name;
  JsonValue value;
};

/// An object on one line, without the line's end; no value is null. Figures are rounded to nine
/// decimals, so that every machine and compiler writes the same.
[[nodiscard]] std::string json_object(std::span<const JsonField> fields);

[[nodiscard]] bool is_json(std::string_view text);

/// The same JSON over many lines, for people.
[[nodiscard]] std::string json_for_people(std::string_view json);

/// Whether all that the older JSON says stands in the newer one too, which may have further keys.
[[nodiscard]] bool says_no_less(std::string_view newer, std::string_view older);

}  // namespace kerfmark::report
