#include "kerfmark/job/reader.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <span>
#include <string>
#include <utility>

#include <toml++/toml.h>

#include "document.hpp"
#include "finding_list.hpp"
#include "kerfmark/job/help.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/shop.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "shop_values.hpp"
#include "source_line.hpp"
#include "values.hpp"

namespace kerfmark::job {
namespace {

using measure::Dimension;
using measure::Place;
using plan::Key;
using plan::Kind;
using plan::Kinds;
using text::Phrase;

constexpr std::string_view ring_table = "spacers";
// What belongs to a workshop and not to a bicycle, but for the cut that somebody wants.
constexpr auto of_shop = std::to_array<std::string_view>(
    {"measuring.coverage", "measuring.twice", "measuring.instruments", "saw.kerf", "saw.within",
     "saw.step", "stock.lengths", "spacers.on_hand"});

Phrase at_the_top() { return {"finding.thing.at_the_top"}; }

// What is said of a table that a job may have several of.
struct ListSentences {
  std::string_view path;
  text::Sentence so_many;  ///< {count}
  text::Sentence advice;
};
constexpr auto list_sentences = std::to_array<ListSentences>({
    {"frame.blockage", "finding.thing.blockages", "finding.do.nearest_blockages"},
    {"controls", "finding.thing.controls", "finding.do.controls_together"},
});

const ListSentences& sentences_of(const plan::ListTable& table) {
  const std::span<const ListSentences> rows(list_sentences);
  const auto found = std::ranges::find(rows, table.path, &ListSentences::path);
  require(found != rows.end(), "a list of tables without sentences");
  return *found;
}

std::string joined(std::string_view table, std::string_view name) {
  return table.empty() ? std::string(name) : std::string(table) + "." + std::string(name);
}

std::string header_of(std::string_view table) {
  return plan::list_table(table) != nullptr ? "[[" + std::string(table) + "]]"
                                            : "[" + std::string(table) + "]";
}

bool is_in_table(std::string_view path, std::string_view table) {
  return path.size() > table.size() && path.starts_with(table) && path[table.size()] == '.';
}

class FileReader {
 public:
  FileReader(std::string_view text, FindingList findings, std::span<const Key> keys)
      : text_(text), findings_(std::move(findings)), keys_(keys) {}

  /// The values of `shop`, the text of a shop file, stand for what the job leaves out.
  Outcome read(std::string_view shop);

  /// Reads what a shop file has of such values, for its findings alone.
  FindingList read_shop_values(toml::table document);

  /// What they are, with our own where the file has none.
  std::vector<plan::HouseValue> house_values(toml::table document);

 private:
  struct Row {
    const toml::table* table;
    std::string shown;  ///< "frame.blockage-2"
  };
  struct Suggestion {
    Phrase hint;
    std::string meant;  ///< path of the key or table that was meant, if one is near
  };

  void read_job_of_kind();

  void read_kind();
  std::optional<Kind> kind_by_tables() const;

  [[nodiscard]] bool is_known(const Key& key) const;
  const Key* key_named(std::string_view path) const;
  bool has_table(std::string_view table) const;
  bool has_table_of_kind(std::string_view table) const;

  void check_names_in(const toml::table& table, const std::string& path, const std::string& shown);
  void check_name(const toml::key& name, const toml::node& node, const std::string& path,
                  const std::string& shown);
  void check_names_below(const toml::node& node, const std::string& path, const std::string& shown);
  void check_names_in_list(const plan::ListTable& table, const toml::node& node,
                           const std::string& shown);
  [[nodiscard]] Kind kind_of(std::string_view path) const;
  void refuse_other_kind(Place place, const std::string& path, const std::string& shown);
  void refuse_unknown(const toml::key& name, const toml::node& node, const std::string& table,
                      const std::string& shown);
  static Suggestion under_its_header(const toml::key& name, const toml::node& node);
  Suggestion key_meant(std::string_view name, const std::string& table) const;
  Suggestion table_meant(std::string_view path) const;

  std::vector<Row> rows_of(std::string_view table) const;
  const toml::node* at(std::string_view path) const;
  Place place_given(std::string_view path) const;
  Place header_place(std::string_view table) const;

  template <class Read>
  void for_each_given(const Key& key, Read read);
  void read_choices();
  void read_all_instruments();
  void read_values();
  const toml::node* given_by_shop(const Key& key) const;
  void name_what_the_shop_changed();
  bool is_left_open(const Key& key, const toml::node& node, const std::string& shown);
  void read_value(const Key& key, const toml::node& node, std::size_t row,
                  const std::string& shown);
  template <Dimension D>
  std::optional<plan::Measured<measure::Quantity<D>>> measured(const toml::node& node,
                                                               const Wanted& wanted);
  template <Dimension D>
  void read_quantity(plan::Maybe<measure::Quantity<D>>& slot, const Key& key,
                     const toml::node& node, std::size_t row, const std::string& shown);
  void read_text_into(std::string& slot, const Key& key, const toml::node& node,
                      const std::string& shown);
  void read_pair(std::optional<std::array<plan::Length, 2>>& slot, const toml::node& node,
                 const Wanted& wanted);
  void read_lengths(std::vector<plan::Length>& slot, const Key& key, const toml::node& node,
                    const Wanted& wanted);
  void read_rings(std::optional<std::vector<plan::Measured<plan::Length>>>& slot,
                  const toml::node& node, const Wanted& wanted);
  bool has_too_many_rings(const toml::node& node, const Wanted& wanted);
  Wanted wanted_at(const Key& key, Dimension dimension, const std::string& shown) const;

  void check_missing();
  void add_missing(const Key& key, Place place, const std::string& shown);
  void check_missing_one(const Key& key);
  [[nodiscard]] std::vector<const Key*> one_of_table(std::string_view table) const;
  std::optional<double> length_at(std::string_view path);  ///< of rings the sum
  void check_orders();
  void check_order(const char* table, const std::array<const char*, 3>& names,
                   const std::array<std::optional<double>, 3>& values_mm);
  void check_saddle();
  void check_refused();
  void check_masses();
  void check_wanted_cut();
  void check_triangles();
  void complete();  ///< what hangs on several values

  std::string_view text_;
  FindingList findings_;
  std::span<const Key> keys_;
  toml::table root_;
  toml::table shop_;       ///< stands for what root_ leaves out
  bool any_kind_ = false;  ///< a shop file, which has values for each
  std::optional<Kind> kind_;
  plan::Job job_;
  Instruments instruments_;
  std::set<std::string, std::less<>> meant_;  ///< keys and tables that are there, misspelt
  bool tables_told_ = false;                  ///< all of them, once is enough
  bool choices_are_sure_ = true;              ///< false when a choice could not be read
};

Outcome FileReader::read(std::string_view shop) {
  auto document = read_document(text_, example_of_a_job, findings_);
  auto values = read_document(shop, example_of_a_shop, findings_);
  if (document && values) {
    root_ = std::move(*document);
    shop_ = std::move(*values);
    read_kind();
    read_job_of_kind();
  }
  Outcome outcome{std::nullopt, findings_.sorted(), findings_.left_out()};
  if (!findings_.any_error()) {
    outcome.job = std::move(job_);
  }
  return outcome;
}

FindingList FileReader::read_shop_values(toml::table document) {
  any_kind_ = true;
  root_ = std::move(document);
  for (const auto& [name, node] : in_order_of_file(root_)) {
    if (has_table(name->str())) {
      check_name(*name, *node, "", "");
    }
  }
  read_values();
  return std::move(findings_);
}

// The value of a key; false: of a sort that no shop gives.
bool put_value(const Key& key, plan::Job& job, plan::HouseValue& one) {
  if (const auto* length = std::get_if<plan::LengthSlot>(&key.slot)) {
    one.values = {(*length)(job, 0)->nominal.in_mm()};
  } else if (const auto* number = std::get_if<plan::NumberSlot>(&key.slot)) {
    one.dimension = Dimension::ratio;
    one.values = {(*number)(job, 0)};
  } else if (const auto* flag = std::get_if<plan::FlagSlot>(&key.slot)) {
    one.values = {(*flag)(job, 0) ? 1.0 : 0.0};
    one.is_flag = true;
  } else if (const auto* list = std::get_if<plan::ListSlot>(&key.slot)) {
    one.is_list = true;
    for (const plan::Length each : (*list)(job, 0)) {
      one.values.push_back(each.in_mm());
    }
  }
  return one.is_list || !one.values.empty();
}

std::vector<plan::HouseValue> FileReader::house_values(toml::table document) {
  root_ = std::move(document);
  any_kind_ = true;
  read_values();
  plan::fill_defaults(job_, plan::Length{});
  std::vector<plan::HouseValue> all;
  for (const Key& key : keys_) {
    plan::HouseValue one{.key = std::string(key.path), .of_shop = at(key.path) != nullptr};
    if (put_value(key, job_, one)) {
      all.push_back(std::move(one));
    }
  }
  const auto* given = root_.at_path("measuring.instruments").as_table();
  for (const Instruments::Row& row : instruments_.rows()) {
    const bool by_shop = given != nullptr && std::ranges::any_of(*given, [&](const auto& entry) {
                           return is_same_word(entry.first.str(), row.name);
                         });
    all.push_back({.key = "measuring.instruments." + row.name,
                   .dimension = row.dimension,
                   .values = {row.half_width_base},
                   .of_shop = by_shop});
  }
  return all;
}

void FileReader::read_job_of_kind() {
  check_names_in(root_, "", "");
  read_choices();
  read_values();
  if (!kind_) {
    return;
  }
  check_missing();
  check_orders();
  check_saddle();
  check_refused();
  check_masses();
  check_wanted_cut();
  plan::fill_defaults(
      job_, plan::Length::from_base(instruments_.named(plan::steel_rule)->half_width_base));
  name_what_the_shop_changed();
  check_triangles();
  complete();
}

// ---- kind ----

void FileReader::read_kind() {
  const auto* key = key_named("kind");
  const auto words = std::get<plan::ChoiceSlot>(key->slot).words;
  const auto* node = root_.get("kind");
  if (node == nullptr) {
    std::vector<std::string> lines;
    lines.reserve(words.size());
    for (const std::string_view word : words) {
      lines.push_back("kind = " + quoted(word));
    }
    findings_.add(FindingCode::missing_key, {1, 1}, "kind",
                  {{}, {}, {"finding.do.write_at_top", {{"what", text::one_of(lines)}}}});
  } else if (const auto word = read_word(*node, "kind", words, findings_)) {
    kind_ = static_cast<Kind>(*word);
    job_.kind = *kind_;
    return;
  }
  kind_ = kind_by_tables();
  job_.kind = kind_.value_or(Kind{});
}

std::optional<Kind> FileReader::kind_by_tables() const {
  std::array<int, plan::number_of_kinds> given{};
  for (const Key& key : keys_) {
    for (std::size_t kind = 0; kind < given.size(); ++kind) {
      const bool tells = key.kinds != Kinds::every() && key.belongs_to(static_cast<Kind>(kind));
      given[kind] += tells && at(key.path) != nullptr ? 1 : 0;
    }
  }
  const auto most = std::ranges::max_element(given);
  if (std::ranges::count(given, *most) > 1) {
    return std::nullopt;
  }
  return static_cast<Kind>(most - given.begin());
}

// ---- keys that nobody knows ----

bool FileReader::is_known(const Key& key) const { return !kind_ || key.belongs_to(*kind_); }

const Key* FileReader::key_named(std::string_view path) const {
  const Key* found = nullptr;
  for (const Key& key : keys_) {
    if (key.path == path && (found == nullptr || is_known(key))) {
      found = &key;
    }
  }
  return found;
}

bool FileReader::has_table(std::string_view table) const {
  return std::ranges::any_of(keys_, [&](const Key& key) { return is_in_table(key.path, table); });
}

bool FileReader::has_table_of_kind(std::string_view table) const {
  return std::ranges::any_of(
      keys_, [&](const Key& key) { return is_known(key) && is_in_table(key.path, table); });
}

void FileReader::check_names_in(const toml::table& table, const std::string& path,
                                const std::string& shown) {
  for (const auto& [name, node] : in_order_of_file(table)) {
    check_name(*name, *node, path, shown);
  }
}

void FileReader::check_name(const toml::key& name, const toml::node& node, const std::string& table,
                            const std::string& shown_table) {
  const std::string path = joined(table, name.str());
  const std::string shown = joined(shown_table, name.str());
  // A quoted name with a dot in it, "post.length", is not the length of the post.
  const bool plain = name.str().find('.') == std::string_view::npos;
  if (const Key* key = plain ? key_named(path) : nullptr) {
    if (!is_known(*key)) {
      refuse_other_kind(place_of(name), path, shown);
    }
  } else if (plain && has_table(path)) {
    if (has_table_of_kind(path)) {
      check_names_below(node, path, shown);
    } else {
      refuse_other_kind(place_of(name), path, shown);
    }
  } else {
    refuse_unknown(name, node, table, shown);
  }
}

void FileReader::check_names_below(const toml::node& node, const std::string& path,
                                   const std::string& shown) {
  if (const auto* list = plan::list_table(path)) {
    check_names_in_list(*list, node, shown);
  } else if (const auto* table = node.as_table()) {
    check_names_in(*table, path, shown);
  } else {
    findings_.add(FindingCode::wrong_type, place_of(node), shown,
                  {job::shown(node),
                   {"finding.thing.table"},
                   {"finding.do.own_line", {{"header", header_of(path)}}}});
    meant_.insert(path);
  }
}

void FileReader::check_names_in_list(const plan::ListTable& list_table, const toml::node& node,
                                     const std::string& shown) {
  const std::string path(list_table.path);
  if (const auto* single = node.as_table()) {
    findings_.add(FindingCode::single_table, place_of(node), shown,
                  {{}, {}, to_write(header_of(path))});
    check_names_in(*single, path, shown);
    return;
  }
  const auto* list = node.as_array();
  if (list == nullptr) {
    findings_.add(FindingCode::wrong_type, place_of(node), shown,
                  {job::shown(node),
                   {"finding.thing.table"},
                   {"finding.do.with_keys", {{"header", header_of(path)}}}});
    return;
  }
  std::size_t number = 0;
  for (const toml::node& element : *list) {
    const std::string row = shown + "-" + std::to_string(++number);
    if (const auto* table = element.as_table()) {
      check_names_in(*table, path, row);
    } else {
      findings_.add(FindingCode::wrong_type, place_of(element), row,
                    {job::shown(element),
                     {"finding.thing.table"},
                     {"finding.do.with_keys", {{"header", header_of(path)}}}});
    }
  }
  if (list->size() > list_table.most) {
    const ListSentences& say = sentences_of(list_table);
    findings_.add(FindingCode::too_many, place_of((*list)[list_table.most]), shown,
                  {{say.so_many, {{"count", std::to_string(list->size())}}},
                   std::to_string(list_table.most),
                   say.advice});
  }
}

// The first kind that has such a key or table.
Kind FileReader::kind_of(std::string_view path) const {
  const auto found = std::ranges::find_if(
      keys_, [&](const Key& key) { return key.path == path || is_in_table(key.path, path); });
  for (std::size_t kind = 0; found != keys_.end() && kind < plan::number_of_kinds; ++kind) {
    if (found->belongs_to(static_cast<Kind>(kind))) {
      return static_cast<Kind>(kind);
    }
  }
  return *kind_;
}

void FileReader::refuse_other_kind(Place place, const std::string& path, const std::string& shown) {
  const Kind other = kind_of(path);
  findings_.add(
      FindingCode::of_other_kind, place, shown,
      {word(*kind_), word(other), {"finding.do.other_kind", {{"what", quoted(word(other))}}}});
}

void FileReader::refuse_unknown(const toml::key& name, const toml::node& node,
                                const std::string& table, const std::string& shown) {
  const bool is_table = node.is_table() || node.is_array_of_tables();
  const std::string path = joined(table, name.str());
  if (!findings_.would_keep(place_of(name))) {
    findings_.add(FindingCode::unknown_key, place_of(name), shown,
                  {});  // counted, whatever was meant
    return;
  }
  Suggestion suggestion = key_meant(name.str(), table);
  const bool of_root = is_table && !table.empty() && has_table(name.str());
  if (of_root || (is_table && suggestion.meant.empty())) {
    suggestion = of_root ? under_its_header(name, node) : table_meant(path);
    if (suggestion.meant.empty() && std::exchange(tables_told_, true)) {
      suggestion.hint = {"finding.do.listed_elsewhere"};
    }
    const Phrase whose = kind_ ? Phrase("finding.thing.job_of_kind", {{"kind", word(*kind_)}})
                               : Phrase("finding.thing.a_job");
    findings_.add(FindingCode::unknown_table, place_of(name), shown,
                  {path, whose, suggestion.hint});
  } else {
    findings_.add(
        FindingCode::unknown_key, place_of(name), shown,
        {quoted(name.str()),
         table.empty() ? at_the_top()
                       : Phrase("finding.thing.in_header", {{"header", header_of(table)}}),
         suggestion.hint});
  }
  meant_.insert(suggestion.meant);
}

// saw.kerf = 1 below [post].
FileReader::Suggestion FileReader::under_its_header(const toml::key& name, const toml::node& node) {
  const auto* inner = node.as_table();
  const std::string key = inner == nullptr || inner->empty()
                              ? std::string(name.str())
                              : std::string(inner->begin()->first.str());
  return {{"finding.do.write_under", {{"what", key}, {"header", header_of(name.str())}}},
          std::string(name.str())};
}

FileReader::Suggestion FileReader::key_meant(std::string_view name,
                                             const std::string& table) const {
  std::vector<std::string_view> here;
  std::vector<std::string> elsewhere;
  for (const Key& key : keys_) {
    if (!is_known(key)) {
      continue;
    }
    const bool quoted_path = key.path == name && name.find('.') != std::string_view::npos;
    if (plan::table_of(key.path) == table && !quoted_path) {
      here.push_back(plan::name_of(key.path));
    } else if (plan::name_of(key.path) == name || quoted_path) {
      elsewhere.push_back(std::string(key.path));
    }
  }
  const auto near = nearest(name, here);
  // A key that stands under the wrong header is likelier than two slips of the keyboard.
  if (!elsewhere.empty() && (!near || slips_between(name, *near) > 1)) {
    std::vector<Phrase> places;
    places.reserve(elsewhere.size());
    for (const std::string& path : elsewhere) {
      const auto other = plan::table_of(path);
      places.push_back(other.empty()
                           ? at_the_top()
                           : Phrase("finding.thing.under_header", {{"header", header_of(other)}}));
    }
    return {{"finding.do.write_there",
             {{"what", plan::name_of(elsewhere.front())}, {"place", text::one_of(places)}}},
            elsewhere.size() == 1 ? elsewhere.front() : std::string{}};
  }
  if (near) {
    return {to_write(std::string(*near)), joined(table, *near)};
  }
  if (here.size() < 2) {
    return {table_meant("").hint, ""};
  }
  return {{"finding.do.one_of_these",
           {{"what", text::one_of(std::vector<std::string>(here.begin(), here.end()))}}},
          ""};
}

FileReader::Suggestion FileReader::table_meant(std::string_view path) const {
  std::vector<std::string_view> tables;
  for (const Key& key : keys_) {
    const auto table = plan::table_of(key.path);
    if (is_known(key) && !table.empty() && std::ranges::find(tables, table) == tables.end()) {
      tables.push_back(table);
    }
  }
  if (const auto near = nearest(path, tables)) {
    return {to_write(header_of(*near)), std::string(*near)};
  }
  std::vector<std::string> headers;
  headers.reserve(tables.size());
  for (const std::string_view table : tables) {
    headers.push_back(header_of(table));
  }
  return {{"finding.do.one_of_these", {{"what", text::one_of(headers)}}}, ""};
}

// ---- finding nodes ----

std::vector<FileReader::Row> FileReader::rows_of(std::string_view table) const {
  if (table.empty()) {
    return {{&root_, ""}};
  }
  const toml::node* node = at(table);
  if (node == nullptr) {
    return {};
  }
  if (const auto* single = node->as_table()) {
    return {{single, std::string(table)}};
  }
  std::vector<Row> rows;
  const plan::ListTable* several = plan::list_table(table);
  if (const auto* list = node->as_array(); list != nullptr && several != nullptr) {
    for (std::size_t i = 0; i < std::min(list->size(), several->most); ++i) {
      rows.push_back({(*list)[i].as_table(), std::string(table) + "-" + std::to_string(i + 1)});
    }
  }
  return rows;
}

const toml::node* FileReader::at(std::string_view path) const {
  const auto table = plan::table_of(path);
  if (table.empty()) {
    return root_.get(path);
  }
  const toml::node* above = at(table);
  if (above != nullptr && above->is_array_of_tables()) {
    above = above->as_array()->get(0);
  }
  return above != nullptr && above->is_table() ? above->as_table()->get(plan::name_of(path))
                                               : nullptr;
}

Place FileReader::place_given(std::string_view path) const {
  const toml::node* node = at(path);
  return node == nullptr ? Place{1, 1} : place_of(*node);
}

// [[frame.blockage]] alone makes a table [frame] that has no header.
Place FileReader::header_place(std::string_view table) const {
  const toml::node* node = table.empty() ? nullptr : at(table);
  if (node == nullptr) {
    return {1, 1};
  }
  const Place place = place_of(*node);
  std::string_view line = source_line(text_, place.line);
  line = line.substr(std::min(line.size(), static_cast<std::size_t>(place.column - 1)));
  if (!line.starts_with('[')) {
    return place;
  }
  std::string name(line.substr(1, line.find(']') - 1));
  std::erase_if(name, [](char c) { return c == ' ' || c == '\t' || c == '"' || c == '\''; });
  return name == table ? place : Place{1, 1};
}

// ---- values ----

template <class Read>
void FileReader::for_each_given(const Key& key, Read read) {
  if (!is_known(key) || (!kind_ && !any_kind_ && key.kinds != Kinds::every())) {
    return;
  }
  std::size_t number = 0;
  for (const Row& row : rows_of(plan::table_of(key.path))) {
    const toml::node* node =
        row.table == nullptr ? nullptr : row.table->get(plan::name_of(key.path));
    if (node != nullptr) {
      read(*node, number, joined(row.shown, plan::name_of(key.path)));
    }
    ++number;
  }
}

void FileReader::read_choices() {
  for (const Key& key : keys_) {
    const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot);
    if (choice == nullptr || key.path == "kind") {
      continue;
    }
    for_each_given(key, [&](const toml::node& node, std::size_t, const std::string& shown) {
      const auto word = is_left_open(key, node, shown)
                            ? std::nullopt
                            : read_word(node, shown, choice->words, findings_);
      if (word) {
        choice->set(job_, *word);
      } else {
        choices_are_sure_ = false;
      }
    });
    choices_are_sure_ = choices_are_sure_ && !meant_.contains(key.path);
  }
}

const toml::node* FileReader::given_by_shop(const Key& key) const {
  if (shop_.empty() || !kind_ || !is_known(key) || !is_of_shop(key.path)) {
    return nullptr;
  }
  const auto* table = shop_[plan::table_of(key.path)].as_table();
  return table == nullptr ? nullptr : table->get(plan::name_of(key.path));
}

// The shop's first: a job may say something else of each.
void FileReader::read_all_instruments() {
  for (const Key& key : keys_) {
    if (!std::holds_alternative<plan::InstrumentsSlot>(key.slot)) {
      continue;
    }
    if (const toml::node* node = given_by_shop(key)) {
      read_instruments(*node, std::string(key.path), instruments_, findings_);
      instruments_.are_of_shop();
    }
    for_each_given(key, [&](const toml::node& node, std::size_t, const std::string& shown) {
      read_instruments(node, shown, instruments_, findings_);
    });
  }
}

void FileReader::read_values() {
  for (const plan::ListTable& list : plan::list_tables()) {
    list.resize(job_, rows_of(list.path).size());
  }
  read_all_instruments();
  for (const Key& key : keys_) {
    for_each_given(key, [&](const toml::node& node, std::size_t row, const std::string& shown) {
      read_value(key, node, row, shown);
    });
    const toml::node* node = given_by_shop(key);
    if (node != nullptr && at(key.path) == nullptr) {
      read_value(key, *node, 0, std::string(key.path));
    }
  }
}

// A value that is the default changes nothing, nor does an instrument that measured nothing here.
void FileReader::name_what_the_shop_changed() {
  plan::Job by_default;
  by_default.kind = job_.kind;
  plan::fill_defaults(by_default, plan::Length{});
  const auto name_if = [this](bool changed, std::string_view path) {
    if (changed && at(path) == nullptr) {
      job_.from_shop.emplace_back(path);
    }
  };
  const auto differs = [](const plan::Maybe<plan::Length>& a, const plan::Maybe<plan::Length>& b) {
    return a->nominal != b->nominal;
  };
  const plan::Measuring& measuring = job_.measuring;
  name_if(measuring.coverage != by_default.measuring.coverage, "measuring.coverage");
  name_if(measuring.twice != by_default.measuring.twice, "measuring.twice");
  for (const Instruments::Row& row : instruments_.rows()) {
    if (row.of_shop && std::ranges::any_of(job_.readings, [&](const measure::Reading& reading) {
          return is_same_word(reading.instrument, row.name);
        })) {
      job_.from_shop.push_back("measuring.instruments." + row.name);
    }
  }
  name_if(differs(job_.saw.kerf, by_default.saw.kerf), "saw.kerf");
  name_if(differs(job_.saw.within, by_default.saw.within), "saw.within");
  name_if(differs(job_.saw.step, by_default.saw.step), "saw.step");
  name_if(!job_.stock_lengths.empty(), "stock.lengths");
  name_if(!job_.spacers.on_hand.empty(), "spacers.on_hand");
}

Wanted FileReader::wanted_at(const Key& key, Dimension dimension, const std::string& shown) const {
  // What fits hangs on a choice; where that could not be read, anything may fit.
  const bool any = key.spec.range_and_instrument != nullptr && !choices_are_sure_;
  return {shown, dimension, any ? std::nullopt : key.range_for(job_), key.instrument_for(job_),
          key.spec.unknown != nullptr};
}

// What a template leaves for its reader to fill in is never taken for a value, nor for one left
// out.
bool FileReader::is_left_open(const Key& key, const toml::node& node, const std::string& shown) {
  const auto* text = node.as_string();
  if (text == nullptr || trimmed(text->get()) != left_open) {
    return false;
  }
  Phrase hint("finding.do.in_place_of", {{"what", quoted(left_open)}});
  if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    hint = one_to_write(all_quoted(choice->words));
  } else if (key.spec.needed == plan::Needed::no) {
    hint = {"finding.do.or_take_out", {{"do", hint}}};
  }
  findings_.add(FindingCode::not_filled_in, place_of(node), shown, {{}, {}, hint});
  return true;
}

void FileReader::read_value(const Key& key, const toml::node& node, std::size_t row,
                            const std::string& shown) {
  if (std::holds_alternative<plan::ChoiceSlot>(key.slot) || is_left_open(key, node, shown)) {
    return;
  }
  const auto wanted = [&](Dimension dimension) { return wanted_at(key, dimension, shown); };
  std::visit(
      plan::BySlot{
          [&](plan::LengthSlot length) { read_quantity(length(job_, row), key, node, row, shown); },
          [&](plan::AngleSlot angle) { read_quantity(angle(job_, row), key, node, row, shown); },
          [&](plan::MassSlot mass) { read_quantity(mass(job_, row), key, node, row, shown); },
          [&](plan::NumberSlot number) {
            double& slot = number(job_, row);
            slot = read_single(node, wanted(Dimension::ratio), findings_).value_or(slot);
          },
          [&](plan::FlagSlot flag) {
            bool& slot = flag(job_, row);
            slot = read_flag(node, shown, findings_).value_or(slot);
          },
          [&](plan::TextSlot text) { read_text_into(text(job_, row), key, node, shown); },
          [&](plan::PairSlot pair) { read_pair(pair(job_, row), node, wanted(Dimension::length)); },
          [&](plan::RingsSlot rings) {
            read_rings(rings(job_, row), node, wanted(Dimension::length));
          },
          [&](plan::ListSlot list) {
            read_lengths(list(job_, row), key, node, wanted(Dimension::length));
          },
          [](const plan::ChoiceSlot&) {}, [](plan::InstrumentsSlot) {}},  // read before
      key.slot);
}

void FileReader::read_lengths(std::vector<plan::Length>& slot, const Key& key,
                              const toml::node& node, const Wanted& wanted) {
  if (plan::table_of(key.path) == ring_table && has_too_many_rings(node, wanted)) {
    return;
  }
  for (const double base :
       job::read_list(node, wanted, findings_).value_or(std::vector<double>{})) {
    slot.push_back(plan::Length::from_base(base));
  }
}

template <Dimension D>
std::optional<plan::Measured<measure::Quantity<D>>> FileReader::measured(const toml::node& node,
                                                                         const Wanted& wanted) {
  auto reading = read_reading(node, wanted, instruments_, findings_);
  if (!reading) {
    return std::nullopt;
  }
  job_.readings.push_back(std::move(*reading));
  return plan::Measured<measure::Quantity<D>>{
      measure::Quantity<D>::from_base(job_.readings.back().mean_base()), job_.readings.size() - 1};
}

template <Dimension D>
void FileReader::read_quantity(plan::Maybe<measure::Quantity<D>>& slot, const Key& key,
                               const toml::node& node, std::size_t row, const std::string& shown) {
  const auto* text = node.as_string();
  if (key.spec.unknown != nullptr && text != nullptr && is_same_word(text->get(), "unknown")) {
    key.spec.unknown(job_, row) = true;
    return;
  }
  slot = measured<D>(node, wanted_at(key, D, shown));
}

void FileReader::read_text_into(std::string& slot, const Key& key, const toml::node& node,
                                const std::string& shown) {
  const auto* date = node.as_date();
  if (date != nullptr && plan::name_of(key.path) == "date") {
    slot = date_text(date->get());
  } else if (const auto text = read_text(node, shown, key.spec.longest, findings_)) {
    slot = *text;
  }
}

void FileReader::read_pair(std::optional<std::array<plan::Length, 2>>& slot, const toml::node& node,
                           const Wanted& wanted) {
  const auto* list = node.as_array();
  if (list == nullptr || list->size() != 2) {
    const Phrase count = list == nullptr     ? job::shown(node)
                         : list->size() == 1 ? Phrase("finding.thing.one_value")
                                             : Phrase("finding.thing.values",
                                                      {{"count", std::to_string(list->size())}});
    findings_.add(FindingCode::not_a_pair, place_of(node), wanted.key,
                  {count, {}, {"finding.do.pair"}});
    return;
  }
  const auto values = job::read_list(node, wanted, findings_);
  if (!values) {
    return;
  }
  const double first = values->at(0);
  const double second = values->at(1);
  if (first > second) {
    findings_.add(FindingCode::pair_reversed, place_of(node), wanted.key,
                  {figure(first, wanted.dimension),
                   figure(second, wanted.dimension),
                   {"finding.do.smaller_first"}});
    return;
  }
  slot = std::array{plan::Length::from_base(first), plan::Length::from_base(second)};
}

bool FileReader::has_too_many_rings(const toml::node& node, const Wanted& wanted) {
  const auto* list = node.as_array();
  if (list == nullptr || list->size() <= plan::most_rings) {
    return false;
  }
  findings_.add(FindingCode::too_many, place_of((*list)[plan::most_rings]), wanted.key,
                {{"finding.thing.spacers", {{"count", std::to_string(list->size())}}},
                 std::to_string(plan::most_rings),
                 {"finding.do.fewer_spacers"}});
  return true;
}

void FileReader::read_rings(std::optional<std::vector<plan::Measured<plan::Length>>>& slot,
                            const toml::node& node, const Wanted& wanted) {
  const auto* list = node.as_array();
  if (list == nullptr) {
    if (const auto sum = measured<Dimension::length>(node, wanted)) {
      slot = std::vector{*sum};
    }
    return;
  }
  if (has_too_many_rings(node, wanted)) {
    return;
  }
  std::vector<plan::Measured<plan::Length>> rings;
  plan::Length sum;
  std::size_t number = 0;
  for (const toml::node& element : *list) {
    const Wanted ring{wanted.key + "-" + std::to_string(++number), wanted.dimension, plan::one_ring,
                      wanted.instrument};
    if (element.is_array()) {
      findings_.add(
          FindingCode::wrong_type, place_of(element), ring.key,
          {{"finding.thing.list"},
           {"finding.thing.one_spacer"},
           {"finding.do.readings_of_spacer", {{"what", std::string("{ read = [10, 10.1] }")}}}});
    } else if (const auto height = measured<Dimension::length>(element, ring)) {
      rings.push_back(*height);
      sum = sum + height->nominal;
    }
  }
  if (rings.size() != list->size()) {
    return;
  }
  const double total = sum.in_mm();
  if (wanted.range && total > wanted.range->most + measure::grain) {
    findings_.add(FindingCode::out_of_range, place_of(node), wanted.key,
                  {{"finding.thing.sum", {{"figure", figure(total, wanted.dimension)}}},
                   words_for(*wanted.range, wanted.dimension),
                   {"finding.do.check_spacers"}});
    return;
  }
  slot = std::move(rings);
}

// ---- the job as a whole ----

// The keys of a table of which one at least must be there.
std::vector<const Key*> FileReader::one_of_table(std::string_view table) const {
  std::vector<const Key*> found;
  for (const Key& key : keys_) {
    if (is_known(key) && plan::table_of(key.path) == table &&
        key.spec.needed == plan::Needed::one_of_table) {
      found.push_back(&key);
    }
  }
  return found;
}

void FileReader::add_missing(const Key& key, Place place, const std::string& shown) {
  const auto table = plan::table_of(key.path);
  if (meant_.contains(key.path) || meant_.contains(table)) {
    return;  // it is there, misspelt, and a finding has said so
  }
  const std::string name(plan::name_of(key.path));
  std::vector<std::string> lines;
  if (key.spec.needed == plan::Needed::one_of_table) {
    for (const Key* one : one_of_table(table)) {
      lines.push_back(std::string(plan::name_of(one->path)) + " = …");
    }
  } else if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    for (const std::string_view word : choice->words) {
      lines.push_back((lines.empty() ? name + " = " : std::string{}) + quoted(word));
    }
  } else {
    lines.push_back(name + " = …");
    if (key.spec.unknown != nullptr) {
      lines.push_back(name + R"( = "unknown")");
    }
  }
  findings_.add(
      FindingCode::missing_key, place, shown,
      {{},
       needed_because(key),
       {"finding.do.write_under", {{"what", text::one_of(lines)}, {"header", header_of(table)}}}});
}

void FileReader::check_missing() {
  for (const Key& key : keys_) {
    const auto table = plan::table_of(key.path);
    if (!is_known(key) || table.empty()) {
      continue;
    }
    const bool by_choice = key.spec.needed == plan::Needed::by_choice;
    const auto is_given = [&] { return at(key.path) != nullptr || given_by_shop(key) != nullptr; };
    if ((!by_choice || choices_are_sure_) && key.is_needed(job_) && !is_given()) {
      add_missing(key, header_place(table), std::string(key.path));
    } else if (key.spec.needed == plan::Needed::one_of_table) {
      check_missing_one(key);
    } else if (key.spec.needed == plan::Needed::in_its_table) {
      for (const Row& row : rows_of(table)) {
        if (row.table != nullptr && !row.table->contains(plan::name_of(key.path))) {
          add_missing(key, place_of(*row.table), joined(row.shown, plan::name_of(key.path)));
        }
      }
    }
  }
}

// Said once, at the first of the keys of which one must be there.
void FileReader::check_missing_one(const Key& key) {
  const auto table = plan::table_of(key.path);
  const auto choice = one_of_table(table);
  const bool there = std::ranges::any_of(choice, [this](const Key* one) {
    return at(one->path) != nullptr || meant_.contains(one->path);
  });
  const toml::node* node = at(table);
  if (choice.front() == &key && !there && node != nullptr && node->is_table()) {
    add_missing(key, header_place(table), std::string(key.path));
  }
}

void FileReader::check_order(const char* table, const std::array<const char*, 3>& names,
                             const std::array<std::optional<double>, 3>& values_mm) {
  const auto lowest = values_mm[0];
  const auto between = values_mm[1];
  const auto highest = values_mm[2];
  const auto add = [&](const char* name, double value, text::Sentence is) {
    const std::string key = joined(table, name);
    findings_.add(
        FindingCode::out_of_order, place_given(key), key,
        {figure(value, Dimension::length),
         {is, {{"key", joined(table, names[1])}, {"figure", figure(*between, Dimension::length)}}},
         {"finding.do.in_order",
          {{"least", std::string(names[0])},
           {"middle", std::string(names[1])},
           {"most", std::string(names[2])}}}});
  };
  if (lowest && between && *lowest > *between + measure::grain) {
    add(names[0], *lowest, "finding.thing.more_than");
  }
  if (highest && between && *highest < *between - measure::grain) {
    add(names[2], *highest, "finding.thing.less_than");
  }
}

std::optional<double> FileReader::length_at(std::string_view path) {
  const Key& key = plan::key_at(path);
  if (const auto* length = std::get_if<plan::LengthSlot>(&key.slot)) {
    const auto& given = (*length)(job_, 0);
    return given ? std::optional(given->nominal.in_mm()) : std::nullopt;
  }
  const auto& rings = std::get<plan::RingsSlot>(key.slot)(job_, 0);
  if (!rings) {
    return std::nullopt;
  }
  double total_mm = 0.0;
  for (const auto& ring : *rings) {
    total_mm += ring.nominal.in_mm();
  }
  return total_mm;
}

void FileReader::check_orders() {
  struct Order {
    const char* table;
    std::array<const char*, 3> names;  // least first
  };
  constexpr auto orders = std::to_array<Order>({{"saddle", {"lowest", "height", "highest"}},
                                                {"handlebar", {"narrowest", "wanted", "widest"}},
                                                {"bar", {"lowest", "height", "highest"}},
                                                {"spacers", {"lowest", "below", "highest"}}});
  for (const Order& order : orders) {
    std::array<std::optional<double>, 3> values_mm;
    for (std::size_t i = 0; i < values_mm.size(); ++i) {
      values_mm[i] = length_at(joined(order.table, order.names[i]));
    }
    check_order(order.table, order.names, values_mm);
  }
}

void FileReader::check_saddle() {
  const plan::Saddle& saddle = job_.saddle;
  const bool from_axle = saddle.from == plan::HeightFrom::pedal_axle;
  const bool by_extension = saddle.measured == plan::HeightMeasured::extension;
  if (from_axle && by_extension) {
    findings_.add(FindingCode::axle_with_extension, place_given("saddle.from"), "saddle.from",
                  {{}, {}, {"finding.do.from_out"}});
  }
  if (saddle.crank && !from_axle && !by_extension && choices_are_sure_) {
    findings_.add(FindingCode::crank_not_used, place_given("saddle.crank"), "saddle.crank",
                  {{}, {}, {"finding.do.from_axle"}});
  }
}

// What nothing is planned with.
void FileReader::check_refused() {
  struct Refused {
    std::string_view path;
    FindingCode code;
    text::Sentence hint;
  };
  constexpr auto refused = std::to_array<Refused>(
      {{"steerer.threaded", FindingCode::threaded_steerer, "finding.do.ask_headset"}});
  for (const Refused& one : refused) {
    if (std::get<plan::FlagSlot>(plan::key_at(one.path).slot)(job_, 0)) {
      findings_.add(one.code, place_given(one.path), std::string(one.path), {{}, {}, {one.hint}});
    }
  }
}

void FileReader::check_masses() {
  const auto& rider = job_.rider_mass;
  const auto& system = job_.system_mass;
  if (rider && system && system->nominal.in_kg() < rider->nominal.in_kg() - measure::grain) {
    findings_.add(FindingCode::out_of_order, place_given("rider.system_mass"), "rider.system_mass",
                  {figure(system->nominal.in_kg(), Dimension::mass),
                   {"finding.thing.less_than",
                    {{"key", std::string("rider.mass")},
                     {"figure", figure(rider->nominal.in_kg(), Dimension::mass)}}},
                   {"finding.do.weigh"}});
  }
}

void FileReader::check_wanted_cut() {
  const auto& wanted = job_.saw.wanted;
  if (wanted && wanted->nominal.in_mm() <= measure::grain) {
    findings_.add(FindingCode::no_cut_wanted, place_given("saw.wanted"), "saw.wanted",
                  {figure(wanted->nominal.in_mm(), Dimension::length), {}, {"finding.do.a_cut"}});
  }
}

void FileReader::complete() {
  if (!choices_are_sure_ || findings_.any_error()) {
    return;
  }
  const auto caliper = plan::Length::from_base(instruments_.named("caliper")->half_width_base);
  if (const auto key = plan::complete(job_, caliper)) {
    findings_.add(
        FindingCode::out_of_order, place_given(*key), std::string(*key),
        {{"finding.thing.this_end"}, {"finding.thing.wrong_side"}, {"finding.do.all_of_one"}});
  }
}

void FileReader::check_triangles() {
  constexpr auto sides = std::to_array<std::string_view>(
      {"saddle.height", "saddle.lowest", "saddle.highest", "saddle.crank", "saddle.rail_to_top",
       "frame.seat_tube", "frame.seat_angle", "frame.axis_offset", "post.setback",
       "topper.setback"});
  // A value that was refused has left its default behind: no triangle can be judged with it.
  const bool refused = std::ranges::any_of(sides, [this](std::string_view key) {
    return findings_.refuse(key) || meant_.contains(key);
  });
  if (!plan::key_at("saddle.height").belongs_to(job_.kind) || !choices_are_sure_ || refused) {
    return;
  }
  for (const plan::ImpossibleTriangle& triangle : plan::impossible_triangles(job_)) {
    findings_.add(FindingCode::impossible_triangle, place_given(triangle.key),
                  std::string(triangle.key),
                  {figure(triangle.hypotenuse.in_mm(), Dimension::length),
                   triangle.leg_key,
                   {"finding.do.longer_than",
                    {{"figure", figure(triangle.leg.in_mm(), Dimension::length)}}}});
  }
}

}  // namespace

bool is_of_shop(std::string_view path) { return std::ranges::find(of_shop, path) != of_shop.end(); }

bool is_table_of_shop(std::string_view table) {
  return std::ranges::any_of(of_shop,
                             [&](std::string_view path) { return plan::table_of(path) == table; });
}

std::vector<std::string_view> tables_of_shop() {
  std::vector<std::string_view> tables;
  for (const std::string_view path : of_shop) {
    if (tables.empty() || tables.back() != plan::table_of(path)) {
      tables.push_back(plan::table_of(path));  // each table's keys stand together
    }
  }
  return tables;
}

namespace {

std::vector<Key> keys_of_shop() {
  std::vector<Key> keys;
  std::ranges::copy_if(plan::keys(), std::back_inserter(keys),
                       [](const Key& key) { return is_of_shop(key.path); });
  return keys;
}

}  // namespace

void check_values_of_shop(toml::table document, FindingList& findings) {
  const std::vector<Key> keys = keys_of_shop();
  findings = FileReader("", std::move(findings), keys).read_shop_values(std::move(document));
}

std::vector<plan::HouseValue> house_values(std::string_view shop) {
  FindingList findings("");
  auto document = read_document(shop, example_of_a_shop, findings);
  const std::vector<Key> keys = keys_of_shop();
  return FileReader("", std::move(findings), keys)
      .house_values(document ? *std::move(document) : toml::table{});
}

Outcome read_job(std::string_view text, std::string_view file_name) {
  return read_job(text, file_name, std::string_view{});
}

Outcome read_job(std::string_view text, std::string_view file_name, std::string_view shop) {
  return FileReader(text, FindingList(std::string(file_name)), plan::keys()).read(shop);
}

Outcome read_job(std::string_view text, std::string_view file_name,
                 std::span<const plan::Key> keys) {
  return FileReader(text, FindingList(std::string(file_name)), keys).read("");
}

}  // namespace kerfmark::job
