#include "node.hpp"

#include "kerfmark/measure/quantity_text.hpp"

namespace kerfmark::schema {
namespace {

std::string joined(const std::vector<Node>& nodes) {
  std::string all;
  for (const Node& node : nodes) {
    all += (all.empty() ? "" : ",") + node.json;
  }
  return all;
}

}  // namespace

// Texts are ours: no control characters but line feeds.
Node text(std::string_view utf8) {
  std::string json = "\"";
  for (const char c : utf8) {
    if (c == '\n') {
      json += "\\n";
    } else {
      json += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
    }
  }
  return {json + "\""};
}

Node number(double value) { return {measure::shortest(value)}; }

Node flag(bool value) { return {value ? "true" : "false"}; }

Node list(const std::vector<Node>& nodes) { return {"[" + joined(nodes) + "]"}; }

Node texts(const std::vector<std::string>& all) {
  std::vector<Node> nodes;
  nodes.reserve(all.size());
  for (const std::string& one : all) {
    nodes.push_back(text(one));
  }
  return list(nodes);
}

Node object(const Members& members) {
  std::vector<Node> nodes;
  nodes.reserve(members.size());
  for (const auto& [name, node] : members) {
    nodes.push_back({text(name).json + ":" + node.json});
  }
  return {"{" + joined(nodes) + "}"};
}

Node described(const Node& node, std::string_view what) {
  const std::string rest = node.json.substr(1);
  return {"{\"description\":" + text(what).json + (rest == "}" ? "" : ",") + rest};
}

Node any_of(const std::vector<Node>& nodes) {
  return nodes.size() == 1 ? nodes.front() : object({{"anyOf", list(nodes)}});
}

Members head(std::string_view title) {
  return {{"$schema", text("https://json-schema.org/draft/2020-12/schema")},
          {"title", text(title)}};
}

}  // namespace kerfmark::schema
