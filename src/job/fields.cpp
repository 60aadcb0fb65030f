#include "kerfmark/job/fields.hpp"

#include <algorithm>
#include <sstream>

#include "document.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::job {
namespace {

using plan::Key;

std::string plain_text(const toml::node& node) {
  if (const auto* text = node.as_string()) {
    return text->get();
  }
  if (const auto* flag = node.as_boolean()) {
    return flag->get() ? "true" : "false";
  }
  if (node.is_number()) {
    return measure::shortest(*node.value<double>());
  }
  std::ostringstream shown;
  if (const auto* date = node.as_date()) {
    shown << date->get();
  }
  return shown.str();
}

// The bytes of a value in its file. Columns count characters.
std::string slice(std::string_view text, const toml::source_region& region) {
  const auto offset_of = [&](const toml::source_position& place) {
    std::size_t at = 0;
    for (toml::source_index line = 1; line < place.line && at < text.size(); ++line) {
      at = std::min(text.find('\n', at), text.size() - 1) + 1;
    }
    for (toml::source_index column = 1; column < place.column && at < text.size(); ++column) {
      do {
        ++at;
      } while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U);
    }
    return at;
  };
  const std::size_t from = offset_of(region.begin);
  const std::size_t to = std::max(from, offset_of(region.end));
  return std::string(text.substr(from, to - from));
}

class Collector {
 public:
  explicit Collector(std::string_view text) : text_(text) {}

  Fields collect(const toml::table& root) {
    found_.kind = root["kind"].value_or(std::string());
    walk(root, "", "");
    return std::move(found_);
  }

 private:
  void walk(const toml::table& table, const std::string& before, const std::string& shown_before) {
    for (const auto& [name, node] : table) {
      const std::string path = before + std::string(name.str());
      const std::string shown = shown_before + std::string(name.str());
      const auto key = std::ranges::find(plan::keys(), path, &Key::path);
      if (path == "kind") {
        continue;
      }
      if (key != plan::keys().end()) {
        add(*key, shown, node);
      } else if (const auto* inner = node.as_table()) {
        walk(*inner, path + ".", shown + ".");
      } else if (const auto* list = node.as_array();
                 list != nullptr && list->is_array_of_tables()) {
        for (std::size_t i = 0; i < list->size(); ++i) {
          walk(*list->get_as<toml::table>(i), path + ".",
               shown + "-" + std::to_string(i + 1) + ".");
        }
      } else {
        found_.unknown.push_back(shown);
      }
    }
  }

  void add(const Key& key, const std::string& path, const toml::node& node) {
    Field field;
    field.path = path;
    field.raw = slice(text_, node.source());
    field.line = static_cast<int>(node.source().begin.line);
    const toml::node* read = &node;
    if (const auto* table = node.as_table()) {
      read = table->get("read");
      field.with = (*table)["with"].value_or(std::string());
      if (const auto* within = table->get("within")) {
        field.within = plain_text(*within);
      }
    }
    if (const auto* list = read == nullptr ? nullptr : read->as_array()) {
      field.is_list = true;
      for (const toml::node& item : *list) {
        add_item(field, item);
      }
    } else if (read != nullptr) {
      add_item(field, *read);
    }
    // The several readings of a sum of spacers; an array alone lists the spacers.
    const bool of_sum = std::holds_alternative<plan::RingsSlot>(key.slot) && read != &node;
    field.is_plain = field.is_plain && read != nullptr && !(of_sum && field.is_list);
    found_.fields.push_back(std::move(field));
  }

  static void add_item(Field& field, const toml::node& item) {
    field.is_plain = field.is_plain && item.is_value();
    field.items.push_back(plain_text(item));
  }

  std::string_view text_;
  Fields found_;
};

}  // namespace

Fields fields_of(std::string_view text) {
  FindingList findings("");
  const auto root = read_document(text, example_of_a_job, findings);
  if (!root) {
    return {.kind = {}, .fields = {}, .unknown = {}, .findings = findings.sorted()};
  }
  return Collector(text).collect(*root);
}

}  // namespace kerfmark::job
