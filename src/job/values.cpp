#include "values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include "kerfmark/job/misread.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "source_line.hpp"

namespace kerfmark::job {
namespace {

using measure::Dimension;
using measure::Misread;
using text::Phrase;

struct DimensionWords {
  Phrase plural;
  std::string_view unit;
  text::Sentence write;
};

DimensionWords words_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return {{"finding.thing.lengths"}, " mm", "finding.do.length"};
    case Dimension::angle:
      return {{"finding.thing.angles"}, " deg", "finding.do.angle"};
    case Dimension::mass:
      return {{"finding.thing.masses"}, " kg", "finding.do.mass"};
    case Dimension::ratio:
      break;
  }
  return {{"finding.thing.ratios"}, "", "finding.do.ratio"};
}

template <Dimension D>
std::variant<double, Misread> in_base_of(std::string_view text) {
  const auto read = measure::read_quantity<D>(text);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    return *misread;
  }
  return std::get<measure::Quantity<D>>(read).in_base();
}

std::variant<double, Misread> in_base(std::string_view text, Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return in_base_of<Dimension::length>(text);
    case Dimension::angle:
      return in_base_of<Dimension::angle>(text);
    case Dimension::mass:
      return in_base_of<Dimension::mass>(text);
    case Dimension::ratio:
      break;
  }
  return Misread{.flaw = measure::Flaw::unknown_unit, .wanted = dimension};
}

std::optional<double> plain_number(const toml::node& node) {
  if (const auto* whole = node.as_integer()) {
    return static_cast<double>(whole->get());
  }
  if (const auto* real = node.as_floating_point()) {
    return real->get();
  }
  return std::nullopt;
}

bool is_within(double value, const plan::Range& range) {
  return value >= range.least - measure::grain && value <= range.most + measure::grain;
}

// For a number without a unit that would be plausible in another unit.
Phrase in_another_unit(double number, const Wanted& wanted) {
  struct Other {
    Dimension dimension;
    double in_base;
    std::string_view unit;
    text::Sentence first;
    text::Sentence further;
  };
  constexpr auto others = std::to_array<Other>({
      {Dimension::length, measure::mm_per_inch, " in", "finding.do.if_inches",
       "finding.do.or_if_inches"},
      {Dimension::length, 10.0, " cm", "finding.do.if_centimetres", "finding.do.or_if_centimetres"},
      {Dimension::mass, measure::kg_per_pound, " lb", "finding.do.if_pounds",
       "finding.do.or_if_pounds"},
  });
  std::vector<Phrase> hints;
  for (const Other& other : others) {
    if (other.dimension == wanted.dimension && is_within(number * other.in_base, *wanted.range)) {
      const std::string what = "\"" + measure::shortest(number) + std::string(other.unit) + "\"";
      hints.push_back({hints.empty() ? other.first : other.further, {{"what", what}}});
    }
  }
  return hints.empty() ? Phrase("finding.do.check_unit") : Phrase::joined(std::move(hints), "; ");
}

std::optional<double> check_range(double base, const toml::node& node, const Wanted& wanted,
                                  FindingList& findings) {
  if (!wanted.range || is_within(base, *wanted.range)) {
    return base + 0.0;  // −0 becomes 0
  }
  Phrase said = figure(base, wanted.dimension);
  Phrase hint("finding.do.check_unit");
  if (const auto number = plain_number(node)) {
    said = measure::shortest(*number) + std::string(words_of(wanted.dimension).unit);
    hint = in_another_unit(*number, wanted);
  } else if (const auto* text = node.as_string()) {
    said = {"finding.thing.read_as", {{"text", quoted(text->get())}, {"figure", said}}};
  }
  findings.add(FindingCode::out_of_range, place_of(node), wanted.key,
               {said, words_for(*wanted.range, wanted.dimension), hint});
  return std::nullopt;
}

std::optional<double> read_quantity_text(const toml::node& node, const std::string& text,
                                         const Wanted& wanted, FindingList& findings) {
  const auto read = in_base(text, wanted.dimension);
  if (const auto* base = std::get_if<double>(&read)) {
    return check_range(*base, node, wanted, findings);
  }
  const auto& misread = std::get<Misread>(read);
  Phrase hint =
      misread.choices.empty() ? Phrase(words_of(wanted.dimension).write) : to_write(misread);
  if (misread.choices.empty() && wanted.may_be_unknown) {
    hint = {"finding.do.or_unknown", {{"do", hint}}};
  }
  findings.add(FindingCode::bad_quantity, place_of(node), wanted.key,
               {quoted(text), what_is_wrong(misread), hint});
  return std::nullopt;
}

// [212,5] is a list of two readings; whoever wrote it may have meant 212.5.
bool add_decimal_comma(const toml::array& list, const Wanted& wanted, FindingList& findings) {
  if (list.size() != 2 || !list[0].is_integer() || !list[1].is_integer() || !wanted.range) {
    return false;
  }
  const auto first = plain_number(list[0]);
  const auto second = plain_number(list[1]);
  if (!is_within(*first, *wanted.range) || is_within(*second, *wanted.range) || *second < 0.0) {
    return false;
  }
  findings.add(FindingCode::out_of_range, place_of(list[1]), wanted.key,
               {figure(*second, wanted.dimension),
                words_for(*wanted.range, wanted.dimension),
                {"finding.do.if_comma",
                 {{"what", measure::shortest(*first) + "." + measure::shortest(*second)}}}});
  return true;
}

std::optional<std::vector<double>> read_readings(const toml::array& list, const Wanted& wanted,
                                                 FindingList& findings) {
  if (list.empty()) {
    findings.add(FindingCode::empty_readings, place_of(list), wanted.key,
                 {{}, {}, {"finding.do.one_or_more"}});
    return std::nullopt;
  }
  if (add_decimal_comma(list, wanted, findings)) {
    return std::nullopt;
  }
  std::vector<double> values;
  for (const toml::node& element : list) {
    if (const auto value = read_single(element, wanted, findings)) {
      values.push_back(*value);
    }
  }
  return values.size() == list.size() ? std::optional(values) : std::nullopt;
}

std::optional<std::vector<double>> read_values(const toml::node& node, const Wanted& wanted,
                                               FindingList& findings) {
  if (const auto* list = node.as_array()) {
    return read_readings(*list, wanted, findings);
  }
  const auto value = read_single(node, wanted, findings);
  return value ? std::optional(std::vector<double>{*value}) : std::nullopt;
}

// One reading or several as they were written, if all of them were in inches.
std::string inches_in(const toml::node& node) {
  if (const auto* text = node.as_string()) {
    return measure::is_in_inches(text->get()) ? std::string(trimmed(text->get())) : "";
  }
  std::string all;
  const auto* list = node.as_array();
  for (std::size_t i = 0; list != nullptr && i < list->size(); ++i) {
    const std::string one = inches_in((*list)[i]);
    if (one.empty()) {
      return {};
    }
    all += (all.empty() ? "" : ", ") + one;
  }
  return all;
}

std::optional<double> read_half_width(const toml::node& node, std::string key, Dimension dimension,
                                      FindingList& findings) {
  const auto range =
      dimension == Dimension::angle ? plan::half_widths_of_angles : plan::half_widths_of_lengths;
  return read_single(node, {std::move(key), dimension, range, ""}, findings);
}

Phrase instruments_to_choose(const std::vector<std::string_view>& names, const Phrase& otherwise) {
  if (names.empty()) {
    return otherwise;
  }
  const Phrase choice("finding.do.write", {{"what", text::one_of(all_quoted(names))}});
  return {"finding.do.or_else", {{"do", choice}, {"other", otherwise}}};
}

const Instruments::Row* read_instrument(const toml::node& node, const std::string& key,
                                        Dimension dimension, const Instruments& instruments,
                                        FindingList& findings) {
  const auto* text = node.as_string();
  if (text == nullptr) {
    findings.add(FindingCode::wrong_type, place_of(node), key,
                 {shown(node), {"finding.thing.instrument"}, {"finding.do.in_quotes"}});
    return nullptr;
  }
  const Instruments::Row* row = instruments.named(text->get());
  const auto names = instruments.names_for(dimension);
  if (row == nullptr) {
    const auto near = nearest(text->get(), names);
    const auto choice = near ? std::vector<std::string_view>{*near} : names;
    findings.add(FindingCode::unknown_instrument, place_of(node), key,
                 {quoted(text->get()), words_of(dimension).plural,
                  instruments_to_choose(choice, {"finding.do.add_instrument"})});
    return nullptr;
  }
  if (row->dimension != dimension) {
    findings.add(FindingCode::wrong_instrument, place_of(node), key,
                 {{"finding.thing.measures",
                   {{"name", quoted(text->get())}, {"things", words_of(row->dimension).plural}}},
                  name_of(dimension),
                  instruments_to_choose(names, {"finding.do.give_half_width"})});
    return nullptr;
  }
  return row;
}

void refuse_parts(const toml::table& table, const std::string& key, FindingList& findings) {
  constexpr auto parts = std::to_array<std::string_view>({"read", "within", "with"});
  for (const auto& [name, node] : table) {
    if (std::ranges::find(parts, name.str()) != parts.end()) {
      continue;
    }
    const auto near = nearest(name.str(), parts);
    findings.add(FindingCode::unknown_key, place_of(name), key + "." + std::string(name.str()),
                 {quoted(name.str()),
                  {"finding.thing.in_reading"},
                  near ? to_write(std::string(*near)) : Phrase("finding.do.part_of_reading")});
  }
}

std::optional<measure::Reading> read_reading_table(const toml::table& table, const Wanted& wanted,
                                                   const Instruments& instruments,
                                                   FindingList& findings) {
  refuse_parts(table, wanted.key, findings);
  measure::Reading reading{
      wanted.key, wanted.dimension, {}, 0.0, std::string(wanted.instrument), place_of(table), {}};
  bool sound = true;
  const auto* with = table.get("with");
  const auto* row = with == nullptr ? instruments.named(wanted.instrument)
                                    : read_instrument(*with, wanted.key + ".with", wanted.dimension,
                                                      instruments, findings);
  if (row != nullptr) {
    reading.instrument = row->name;
    reading.half_width_base = row->half_width_base;
  }
  sound = sound && (with == nullptr || row != nullptr);
  if (const auto* within = table.get("within")) {
    const auto half_width =
        read_half_width(*within, wanted.key + ".within", wanted.dimension, findings);
    reading.instrument.clear();
    reading.half_width_base = half_width.value_or(0.0);
    sound = sound && half_width;
  }
  const auto* read = table.get("read");
  if (read == nullptr) {
    findings.add(FindingCode::missing_key, place_of(table), wanted.key + ".read",
                 {{},
                  {},
                  {"finding.do.what_was_measured",
                   {{"what", std::string("{ read = 212, within = 0.3 }")}}}});
    return std::nullopt;
  }
  const auto values = read_values(*read, wanted, findings);
  if (!values || !sound) {
    return std::nullopt;
  }
  reading.values_base = *values;
  reading.inches = inches_in(*read);
  return reading;
}

void read_one_instrument(const toml::key& name, const toml::node& node, const std::string& key,
                         Instruments& instruments, FindingList& findings) {
  constexpr std::size_t longest_name = 200;
  const measure::Place place = place_of(name);
  if (trimmed(name.str()).empty()) {
    findings.add(FindingCode::nameless_instrument, place, key,
                 {{}, {}, {"finding.do.name_before"}});
    return;
  }
  if (!checked_text(std::string(name.str()), place, key, longest_name, findings)) {
    return;
  }
  auto dimension = Dimension::length;
  if (const auto* known = instruments.named(name.str())) {
    dimension = known->dimension;
  } else if (const auto* text = node.as_string()) {
    if (measure::dimension_of(text->get()) == Dimension::angle) {
      dimension = Dimension::angle;
    }
  }
  const std::string part = key + "." + std::string(name.str());
  if (const auto half_width = read_half_width(node, part, dimension, findings)) {
    instruments.set({std::string(name.str()), dimension, *half_width});
  }
}

// Two names that differ by capitals alone are one instrument, and which half-width counts must not
// hang on how a table is sorted.
bool is_named_twice(const toml::key& name, const toml::table& table, const std::string& key,
                    FindingList& findings) {
  const measure::Place place = place_of(name);
  for (const auto& [other, half_width] : table) {
    const measure::Place before = place_of(other);
    if (is_same_word(other.str(), name.str()) &&
        std::pair(before.line, before.column) < std::pair(place.line, place.column)) {
      findings.add(FindingCode::wrong_instrument, place, key,
                   {{"finding.thing.once_more",
                     {{"name", quoted(name.str())}, {"other", quoted(other.str())}}},
                    {"finding.thing.one_half_width"},
                    {"finding.do.keep_one"}});
      return true;
    }
  }
  return false;
}

}  // namespace

measure::Place place_of(const toml::node& node) {
  return {static_cast<int>(node.source().begin.line), static_cast<int>(node.source().begin.column)};
}

measure::Place place_of(const toml::key& key) {
  return {static_cast<int>(key.source().begin.line), static_cast<int>(key.source().begin.column)};
}

std::vector<std::pair<const toml::key*, const toml::node*>> in_order_of_file(
    const toml::table& table) {
  std::vector<std::pair<const toml::key*, const toml::node*>> entries;
  entries.reserve(table.size());
  for (const auto& [name, node] : table) {
    entries.emplace_back(&name, &node);
  }
  std::ranges::stable_sort(entries, {}, [](const auto& entry) {
    const measure::Place place = place_of(*entry.first);
    return std::pair(place.line, place.column);
  });
  return entries;
}

std::string quoted(std::string_view text) {
  constexpr int longest = 40;
  if (characters(text) <= longest) {
    return "\"" + std::string(text) + "\"";
  }
  std::size_t end = 0;
  for (int passed = 0; passed <= longest; ++end) {
    passed += characters(text.substr(end, 1));
  }
  return "\"" + std::string(text.substr(0, end - 1)) + "…\"";
}

std::vector<std::string> all_quoted(std::span<const std::string_view> texts) {
  std::vector<std::string> all;
  all.reserve(texts.size());
  for (const std::string_view text : texts) {
    all.push_back(quoted(text));
  }
  return all;
}

std::string figure(double base, Dimension dimension) {
  // Seven digits: what an inch figure leaves behind in binary is not for people.
  constexpr int digits = 7;
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), base,
                                 std::chars_format::general, digits)
                       .ptr;
  return std::string(buffer.data(), end) + std::string(words_of(dimension).unit);
}

Phrase words_for(const plan::Range& range, Dimension dimension) {
  return {"finding.thing.range",
          {{"from", figure(range.least, Dimension::ratio)}, {"to", figure(range.most, dimension)}}};
}

std::string literal(const toml::node& node) {
  if (const auto number = plain_number(node)) {
    return measure::shortest(*number);
  }
  if (const auto* text = node.as_string()) {
    return quoted(text->get());
  }
  if (const auto* flag = node.as_boolean()) {
    return flag->get() ? "true" : "false";
  }
  const auto* date = node.as_date();
  return date == nullptr ? std::string() : date_text(date->get());
}

Phrase shown(const toml::node& node) {
  if (node.is_array()) {
    return {"finding.thing.list"};
  }
  if (node.is_table()) {
    return {"finding.thing.table"};
  }
  if (node.is_time()) {
    return {"finding.thing.time"};
  }
  return node.is_date_time() ? Phrase("finding.thing.day_with_time") : Phrase(literal(node));
}

Phrase to_write(std::string what) { return {"finding.do.write", {{"what", std::move(what)}}}; }

Phrase one_to_write(const std::vector<std::string>& choices) {
  return {"finding.do.write", {{"what", text::one_of(choices)}}};
}

std::string date_text(const toml::date& date) {
  const auto digits = [](unsigned value, std::size_t width) {
    const std::string text = std::to_string(value);
    return std::string(width - std::min(width, text.size()), '0') + text;
  };
  return digits(date.year, 4) + "-" + digits(date.month, 2) + "-" + digits(date.day, 2);
}

Instruments::Instruments() {
  for (const plan::Instrument& row : plan::instruments()) {
    rows_.push_back({std::string(row.name), row.dimension, row.half_width_base});
  }
}

const Instruments::Row* Instruments::named(std::string_view name) const {
  const auto found =
      std::ranges::find_if(rows_, [&](const Row& row) { return is_same_word(row.name, name); });
  return found == rows_.end() ? nullptr : &*found;
}

void Instruments::are_of_shop() {
  for (Row& row : rows_) {
    const plan::Instrument* ours = plan::instrument_named(row.name);
    row.of_shop = ours == nullptr || ours->half_width_base != row.half_width_base;
  }
}

void Instruments::set(Row row) {
  const auto found = std::ranges::find_if(
      rows_, [&](const Row& other) { return is_same_word(other.name, row.name); });
  if (found == rows_.end()) {
    rows_.push_back(std::move(row));
  } else {
    found->dimension = row.dimension;
    found->half_width_base = row.half_width_base;
    found->of_shop = false;
  }
}

std::vector<std::string_view> Instruments::names_for(Dimension dimension) const {
  std::vector<std::string_view> names;
  for (const Row& row : rows_) {
    if (row.dimension == dimension) {
      names.push_back(row.name);
    }
  }
  return names;
}

std::optional<double> read_single(const toml::node& node, const Wanted& wanted,
                                  FindingList& findings) {
  if (const auto number = plain_number(node)) {
    if (!std::isfinite(*number)) {
      findings.add(FindingCode::not_finite, place_of(node), wanted.key,
                   {shown(node), {}, words_of(wanted.dimension).write});
      return std::nullopt;
    }
    return check_range(*number, node, wanted, findings);
  }
  const auto* text = node.as_string();
  if (text != nullptr && wanted.dimension != Dimension::ratio) {
    return read_quantity_text(node, text->get(), wanted, findings);
  }
  findings.add(FindingCode::wrong_type, place_of(node), wanted.key,
               {shown(node), name_of(wanted.dimension), words_of(wanted.dimension).write});
  return std::nullopt;
}

std::optional<measure::Reading> read_reading(const toml::node& node, const Wanted& wanted,
                                             const Instruments& instruments,
                                             FindingList& findings) {
  if (const auto* table = node.as_table()) {
    return read_reading_table(*table, wanted, instruments, findings);
  }
  const auto values = read_values(node, wanted, findings);
  if (!values) {
    return std::nullopt;
  }
  const auto* row = instruments.named(wanted.instrument);
  return measure::Reading{wanted.key,
                          wanted.dimension,
                          *values,
                          row == nullptr ? 0.0 : row->half_width_base,
                          std::string(wanted.instrument),
                          place_of(node),
                          inches_in(node)};
}

void read_instruments(const toml::node& node, const std::string& key, Instruments& instruments,
                      FindingList& findings) {
  const auto* table = node.as_table();
  if (table == nullptr) {
    findings.add(FindingCode::wrong_type, place_of(node), key,
                 {shown(node),
                  {"finding.thing.instruments"},
                  to_write(R"({ tape = 2.0, "my laser" = 0.3 })")});
    return;
  }
  const auto given = in_order_of_file(*table);
  if (given.size() > most_instruments) {
    findings.add(FindingCode::too_many, place_of(*given[most_instruments].first), key,
                 {{"finding.thing.count_of_instruments", {{"count", std::to_string(given.size())}}},
                  std::to_string(most_instruments),
                  {"finding.do.keep_these_instruments"}});
    return;
  }
  for (const auto& [name, half_width] : given) {
    if (!is_named_twice(*name, *table, key, findings)) {
      read_one_instrument(*name, *half_width, key, instruments, findings);
    }
  }
}

std::optional<std::string> read_text(const toml::node& node, const std::string& key,
                                     std::size_t longest, FindingList& findings) {
  const auto* text = node.as_string();
  if (text == nullptr) {
    const bool list = node.is_array() || node.is_table();
    const auto* day = node.as_date_time();
    const std::string right = day == nullptr ? literal(node) : date_text(day->get().date);
    findings.add(FindingCode::wrong_type, place_of(node), key,
                 {shown(node),
                  {"finding.thing.text"},
                  list ? Phrase("finding.do.one_text") : to_write("\"" + right + "\"")});
    return std::nullopt;
  }
  return checked_text(text->get(), place_of(node), key, longest, findings);
}

std::optional<std::string> checked_text(const std::string& text, measure::Place place,
                                        const std::string& key, std::size_t longest,
                                        FindingList& findings) {
  if (text.find('\0') != std::string::npos) {
    findings.add(FindingCode::nul_character, place, key, {{}, {}, {"finding.do.no_nul"}});
    return std::nullopt;
  }
  if (const int count = characters(text); count > static_cast<int>(longest)) {
    findings.add(FindingCode::text_too_long, place, key,
                 {std::to_string(count), std::to_string(longest), {"finding.do.shorten"}});
    return std::nullopt;
  }
  return text;
}

std::optional<std::size_t> read_word(const toml::node& node, const std::string& key,
                                     std::span<const std::string_view> words,
                                     FindingList& findings) {
  const auto* text = node.as_string();
  const std::string said = text == nullptr ? std::string{} : text->get();
  if (const auto place = text == nullptr ? std::nullopt : place_of_word(said, words)) {
    return place;
  }
  std::vector<std::string_view> sorted(words.begin(), words.end());
  if (const auto near = nearest(said, words)) {
    std::ranges::stable_sort(sorted, {}, [&](auto word) { return word == *near ? 0 : 1; });
  }
  findings.add(FindingCode::unknown_word, place_of(node), key,
               {shown(node), {}, one_to_write(all_quoted(sorted))});
  return std::nullopt;
}

std::optional<bool> read_flag(const toml::node& node, const std::string& key,
                              FindingList& findings) {
  if (const auto* flag = node.as_boolean()) {
    return flag->get();
  }
  findings.add(FindingCode::wrong_type, place_of(node), key,
               {shown(node), {"finding.thing.flag"}, {"finding.do.flag"}});
  return std::nullopt;
}

std::optional<std::vector<double>> read_list(const toml::node& node, const Wanted& wanted,
                                             FindingList& findings) {
  const auto* list = node.as_array();
  if (list == nullptr) {
    const bool single = plain_number(node) || node.is_string();
    findings.add(FindingCode::wrong_type, place_of(node), wanted.key,
                 {shown(node),
                  {"finding.thing.list"},
                  single ? to_write("[" + literal(node) + "]")
                         : Phrase("finding.do.some_list", {{"what", std::string("[350, 400]")}})});
    return std::nullopt;
  }
  std::vector<double> values;
  for (const toml::node& element : *list) {
    if (const auto value = read_single(element, wanted, findings)) {
      values.push_back(*value);
    }
  }
  return values.size() == list->size() ? std::optional(values) : std::nullopt;
}

}  // namespace kerfmark::job
