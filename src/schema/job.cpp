#include "job.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <string>

#include "kerfmark/job/help.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/shop.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/words.hpp"
#include "values.hpp"

namespace kerfmark::schema {
namespace {

using plan::Key;

constexpr std::string_view kind_path = "kind";

plan::Job plain_job(std::size_t kind) {
  plan::Job job;
  job.kind = static_cast<plan::Kind>(kind);
  return job;
}

std::vector<const Key*> keys_of(std::size_t kind) {
  std::vector<const Key*> found;
  for (const Key& key : plan::keys()) {
    if (key.belongs_to(static_cast<plan::Kind>(kind)) && key.path != kind_path) {
      found.push_back(&key);
    }
  }
  return found;
}

// ---- tables ----

// A table with what must stand in it; tables in it are properties like the others.
Node table_of_keys(std::string_view path, const std::vector<const Key*>& keys,
                   const plan::Job& plain);

Members properties_of(std::string_view path, const std::vector<const Key*>& keys,
                      const plan::Job& plain) {
  Members members;
  std::vector<std::string_view> inner;
  for (const Key* key : keys) {
    const std::string_view table = plan::table_of(key->path);
    if (table == path) {
      // A range that hangs on other keys stands in a condition.
      const auto range =
          key->spec.range_and_instrument == nullptr ? key->range_for(plain) : std::nullopt;
      members.emplace_back(plan::name_of(key->path),
                           described(value_of(*key, range), job::help_for(key->path)));
    } else if (plan::table_of(table) == path && std::ranges::find(inner, table) == inner.end()) {
      inner.push_back(table);
    }
  }
  for (const std::string_view table : inner) {
    // [[frame.blockage]] may be there without [frame].
    const Node node = table_of_keys(table, keys, plain);
    const plan::ListTable* list = plan::list_table(table);
    members.emplace_back(plan::name_of(table),
                         list != nullptr
                             ? object({{"type", text("array")},
                                       {"items", node},
                                       {"maxItems", number(static_cast<double>(list->most))}})
                             : node);
  }
  return members;
}

Node table_of_keys(std::string_view path, const std::vector<const Key*>& keys,
                   const plan::Job& plain) {
  std::vector<std::string> required;
  std::vector<Node> one_of;
  for (const Key* key : keys) {
    if (plan::table_of(key->path) != path) {
      continue;
    }
    const std::string name(plan::name_of(key->path));
    if (key->spec.needed == plan::Needed::always ||
        key->spec.needed == plan::Needed::in_its_table) {
      required.push_back(name);
    } else if (key->spec.needed == plan::Needed::one_of_table) {
      one_of.push_back(object({{"required", texts({name})}}));
    }
  }
  Members members{{"type", text("object")},
                  {"properties", object(properties_of(path, keys, plain))},
                  {"additionalProperties", flag(false)}};
  if (!required.empty()) {
    members.emplace_back("required", texts(required));
  }
  if (!one_of.empty()) {
    members.emplace_back("anyOf", list(one_of));
  }
  return object(members);
}

// ---- what hangs on other keys ----

// That the key at a path is as `node` says, and is there.
Node at_path(std::string_view path, const Node& node) {
  const std::string_view table = plan::table_of(path);
  const std::string name(plan::name_of(path));
  const Node here = object({{"properties", object({{name, node}})}, {"required", texts({name})}});
  return table.empty() ? here : at_path(table, here);
}

Node is_there(std::string_view path) { return at_path(path, flag(true)); }

Node is_word(std::string_view path, std::string_view word) {
  return at_path(path, object({{"pattern", text(pattern_of(word))}}));
}

template <class Slot, class Value>
bool give(const Key& key, plan::Job& job, Value value) {
  if (const auto* slot = std::get_if<Slot>(&key.slot)) {
    (*slot)(job, 0) = value;
    return true;
  }
  return false;
}

bool give_any(const Key& key, plan::Job& job) {
  const plan::Measured<plan::Length> length{measure::millimetres(100), std::nullopt};
  return give<plan::LengthSlot>(key, job, length);
}

// What one key alone, given or chosen, changes in whether another is needed.
std::vector<Node> what_changes(const Key& needed, const std::vector<const Key*>& keys,
                               const plan::Job& plain) {
  const bool usually = needed.spec.needed_when(plain);
  std::vector<Node> changes;
  for (const Key* key : keys) {
    if (plan::list_table(plan::table_of(key->path)) != nullptr) {
      continue;
    }
    if (const auto* words = std::get_if<plan::ChoiceSlot>(&key->slot)) {
      for (std::size_t word = 0; word < words->words.size(); ++word) {
        plan::Job job = plain;
        words->set(job, word);
        if (needed.spec.needed_when(job) != usually) {
          changes.push_back(is_word(key->path, words->words[word]));
        }
      }
      continue;
    }
    plan::Job job = plain;
    if (give_any(*key, job) && needed.spec.needed_when(job) != usually) {
      changes.push_back(is_there(key->path));
    }
  }
  return changes;
}

std::optional<Node> condition_for(const Key& key, const std::vector<const Key*>& keys,
                                  const plan::Job& plain) {
  const std::vector<Node> changes = what_changes(key, keys, plain);
  const bool usually = key.spec.needed_when(plain);
  if (changes.empty()) {
    return usually ? std::optional(is_there(key.path)) : std::nullopt;
  }
  const Node changed = any_of(changes);
  return object(
      {{"if", usually ? object({{"not", changed}}) : changed}, {"then", is_there(key.path)}});
}

// The range of a saddle height by how it is measured.
void add_fits(const Key& key, const plan::Job& plain, std::vector<Node>& conditions) {
  const Node extension = is_word("saddle.measured", "extension");
  const Node from_axle = is_word("saddle.from", "pedal axle");
  const auto add = [&](const Node& when, plan::HeightMeasured measured, plan::HeightFrom from) {
    plan::Job job = plain;
    job.saddle.measured = measured;
    job.saddle.from = from;
    const std::string_view table = plan::table_of(key.path);
    const Members inner{{std::string(plan::name_of(key.path)), value_of(key, key.range_for(job))}};
    conditions.push_back(object(
        {{"if", when},
         {"then", object({{"properties", object({{std::string(table),
                                                  object({{"properties", object(inner)}})}})}})}}));
  };
  const Node not_extension = object({{"not", extension}});
  add(extension, plan::HeightMeasured::extension, plan::HeightFrom::bb);
  add(object({{"allOf", list({not_extension, from_axle})}}), plan::HeightMeasured::along_tube,
      plan::HeightFrom::pedal_axle);
  add(object({{"allOf", list({not_extension, object({{"not", from_axle}})})}}),
      plan::HeightMeasured::along_tube, plan::HeightFrom::bb);
}

Node job_of(std::size_t kind) {
  const plan::Job plain = plain_job(kind);
  const std::vector<const Key*> keys = keys_of(kind);
  Members properties = properties_of("", keys, plain);
  properties.emplace_back(std::string(kind_path), flag(true));
  std::vector<std::string> required;
  std::vector<Node> conditions;
  for (const Key* key : keys) {
    const std::string table(plan::table_of(key->path));
    if (key->spec.needed == plan::Needed::always &&
        std::ranges::find(required, table) == required.end()) {
      required.push_back(table);
    }
    if (key->spec.needed == plan::Needed::by_choice) {
      if (auto condition = condition_for(*key, keys, plain)) {
        conditions.push_back(*std::move(condition));
      }
    }
    if (key->spec.range_and_instrument != nullptr) {
      add_fits(*key, plain, conditions);
    }
  }
  Members members{{"properties", object(properties)},
                  {"required", texts(required)},
                  {"additionalProperties", flag(false)}};
  if (!conditions.empty()) {
    members.emplace_back("allOf", list(conditions));
  }
  return object(members);
}

}  // namespace

Node job_schema() {
  std::vector<Node> each;
  for (std::size_t kind = 0; kind < plan::kind_words().size(); ++kind) {
    each.push_back(
        object({{"if", is_word(kind_path, plan::kind_words()[kind])}, {"then", job_of(kind)}}));
  }
  Members members = head("A job file of kerfmark");
  members.emplace_back("type", text("object"));
  members.emplace_back("properties",
                       object({{std::string(kind_path), choice(plan::kind_words())}}));
  members.emplace_back("required", texts({std::string(kind_path)}));
  members.emplace_back("allOf", list(each));
  members.emplace_back("$defs", texts_with_units());
  return object(members);
}

// ---- the shop file ----

namespace {

Node shop_text(std::size_t longest) {
  return object({{"type", text("string")},
                 {"pattern", text("\\S")},
                 {"maxLength", number(static_cast<double>(longest))}});
}

// step.mark = "…" is a table in a table.
Node sentences(const std::vector<std::string>& keys, std::size_t longest) {
  Members properties;
  for (std::size_t i = 0; i < keys.size();) {
    const std::string name = keys[i].substr(0, keys[i].find('.'));
    std::vector<std::string> inner;
    // Sorted, so that those of one table stand together.
    for (; i < keys.size() && keys[i].substr(0, keys[i].find('.')) == name; ++i) {
      if (keys[i].size() > name.size()) {
        inner.push_back(keys[i].substr(name.size() + 1));
      }
    }
    properties.emplace_back(name, inner.empty() ? shop_text(longest) : sentences(inner, longest));
  }
  return object({{"type", text("object")},
                 {"properties", object(properties)},
                 {"additionalProperties", flag(false)}});
}

Node of_shop_key(const job::ShopKey& key) {
  if (std::holds_alternative<std::string job::Shop::*>(key.slot)) {
    return shop_text(key.longest);
  }
  if (std::holds_alternative<std::vector<std::string> job::Shop::*>(key.slot)) {
    return object({{"type", text("array")},
                   {"items", shop_text(key.longest)},
                   {"maxItems", number(static_cast<double>(key.most))}});
  }
  if (std::holds_alternative<job::PaperSlot>(key.slot)) {
    return choice(job::paper_words());
  }
  return std::holds_alternative<job::LanguageSlot>(key.slot)
             ? choice(text::languages())
             : sentences(job::replaceable_keys(), key.longest);
}

}  // namespace

Node shop_schema() {
  Members properties;
  for (const job::ShopKey& key : job::shop_keys()) {
    properties.emplace_back(std::string(key.path), described(of_shop_key(key), key.what));
  }
  std::vector<const Key*> keys;
  for (const Key& key : plan::keys()) {
    if (job::is_of_shop(key.path)) {
      keys.push_back(&key);
    }
  }
  for (const auto& [name, node] : properties_of("", keys, plan::Job{})) {
    properties.emplace_back(name, node);
  }
  Members members = head("A shop file of kerfmark");
  members.emplace_back("type", text("object"));
  members.emplace_back("properties", object(properties));
  members.emplace_back("additionalProperties", flag(false));
  members.emplace_back("$defs", texts_with_units());
  return object(members);
}

}  // namespace kerfmark::schema
