#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// JSON as it is put together for a schema.
namespace kerfmark::schema {

/// A text that is JSON.
struct Node {
  std::string json;
};

using Members = std::vector<std::pair<std::string, Node>>;

[[nodiscard]] Node text(std::string_view utf8);
[[nodiscard]] Node number(double value);
[[nodiscard]] Node flag(bool value);
[[nodiscard]] Node list(const std::vector<Node>& nodes);
[[nodiscard]] Node texts(const std::vector<std::string>& all);
[[nodiscard]] Node object(const Members& members);

/// An object with a description in front of what it has.
[[nodiscard]] Node described(const Node& node, std::string_view what);

/// { "anyOf": … }; one alone is itself.
[[nodiscard]] Node any_of(const std::vector<Node>& nodes);

/// The head that each schema begins with.
[[nodiscard]] Members head(std::string_view title);

}  // namespace kerfmark::schema
