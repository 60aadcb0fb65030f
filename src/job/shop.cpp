#include "kerfmark/job/shop.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <toml++/toml.h>

#include "document.hpp"
#include "finding_list.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/text/words.hpp"
#include "shop_values.hpp"
#include "source_line.hpp"
#include "values.hpp"

namespace kerfmark::job {
namespace {

using measure::Place;

constexpr auto paper_table = std::to_array<std::string_view>({"a4", "letter"});

// Lengths: what a line, a step and a path take on paper and on a disk (common practice).
constexpr auto key_table = std::to_array<ShopKey>({
    {"name", "Of the workshop, at the head of each page.", &Shop::name, 200},
    {"line", "Below the name: an address, opening hours.", &Shop::line, 200},
    {"paper", R"("a4" or "letter".)", PaperSlot{}},
    {"language", R"(Of the sheet and of texts: "en" or "de".)", LanguageSlot{}},
    {"register",
     "Where the register of cuts is, from the folder of the shop file on; or postgresql://…",
     &Shop::register_file, 1000},
    {"steps", "Own steps, a list of texts; they come after the sheet's own, before the last.",
     &Shop::steps, 500, 20},
    {"notes", "Own notes, a list of texts; they come after the safety notes.", &Shop::notes, 500,
     20},
    {"texts", "A table: other words for sentences of the sheet's own steps and notes.",
     SentencesSlot{}, 500},
});

constexpr std::string_view texts = "texts";
constexpr std::string_view note_group = "note.";
// Signal words mean what ANSI Z535.4 and ISO 3864-2 define, so they are not the shop's.
constexpr std::string_view signal_words = "note.word_";

bool may_be_replaced(std::string_view key) {
  return (key.starts_with("step.") || key.starts_with(note_group)) &&
         !key.starts_with(signal_words);
}

std::vector<ShopText> replaceable_sentences() {
  const text::Words words;
  std::vector<ShopText> sentences;
  for (const std::string_view key : text::sentence_keys) {
    if (may_be_replaced(key)) {
      sentences.emplace_back(key, words.at(key));
    }
  }
  return sentences;
}

// "{left} and {off}".
text::Phrase in_braces(std::vector<std::string> names) {
  for (std::string& name : names) {
    name = "{" + name + "}";
  }
  return text::all_of(names);
}

text::Phrase what_can_be_written(const std::vector<std::string>& choices) {
  return {"finding.do.one_of_these", {{"what", text::one_of(choices)}}};
}

std::vector<std::string> left_out(const std::vector<std::string>& from,
                                  const std::vector<std::string>& of) {
  std::vector<std::string> missing = from;
  std::erase_if(missing,
                [&](const std::string& name) { return std::ranges::find(of, name) != of.end(); });
  return missing;
}

class ShopReader {
 public:
  ShopReader(std::string_view text, std::string_view file, std::vector<ShopText> replaceable)
      : text_(text), findings_(std::string(file)), sentences_(std::move(replaceable)) {}

  ShopOutcome read();

 private:
  void read_key(const toml::key& name, const toml::node& node);
  void read_value(const ShopKey& key, const toml::node& node);
  void read_list(const ShopKey& key, std::vector<std::string> Shop::*slot, const toml::node& node);
  [[nodiscard]] std::optional<std::string> printed_text(const toml::node& node,
                                                        const std::string& shown,
                                                        std::size_t longest);

  void read_texts(const ShopKey& key, const toml::node& node, const std::string& group);
  void read_sentence(const ShopKey& key, const toml::node& node, const ShopText& sentence);
  [[nodiscard]] const ShopText* sentence_of(std::string_view key) const;
  [[nodiscard]] bool is_group(const std::string& path) const;
  [[nodiscard]] bool has_its_places(const toml::node& node, const std::string& shown,
                                    const std::string& text, const std::string& ours);
  void refuse_sentence(const toml::key& name, const std::string& group);
  [[nodiscard]] text::Phrase sentence_meant(std::string_view name, const std::string& group) const;

  std::string_view text_;
  FindingList findings_;
  std::vector<ShopText> sentences_;  ///< that a shop may replace
  Shop shop_;
};

ShopOutcome ShopReader::read() {
  if (auto document = read_document(text_, example_of_a_shop, findings_)) {
    for (const auto& [name, node] : in_order_of_file(*document)) {
      read_key(*name, *node);
    }
    check_values_of_shop(*std::move(document), findings_);
  }
  ShopOutcome outcome{std::nullopt, findings_.sorted(), findings_.left_out()};
  if (outcome.findings.empty()) {
    outcome.shop = std::move(shop_);
  }
  return outcome;
}

void ShopReader::read_key(const toml::key& name, const toml::node& node) {
  const auto key = std::ranges::find(key_table, name.str(), &ShopKey::path);
  if (key != key_table.end()) {
    read_value(*key, node);
    return;
  }
  if (is_table_of_shop(name.str())) {
    return;  // read as a job's
  }
  std::vector<std::string_view> paths;
  for (const ShopKey& known : key_table) {
    paths.push_back(known.path);
  }
  for (const std::string_view table : tables_of_shop()) {
    paths.push_back(table);
  }
  const auto near = nearest(name.str(), paths);
  const text::Phrase hint =
      near ? to_write(std::string(*near)) : what_can_be_written({paths.begin(), paths.end()});
  findings_.add(FindingCode::unknown_key, place_of(name), std::string(name.str()),
                {quoted(name.str()), {"finding.thing.in_shop_file"}, hint});
}

void ShopReader::read_value(const ShopKey& key, const toml::node& node) {
  const std::string shown(key.path);
  if (const auto* text = std::get_if<std::string Shop::*>(&key.slot)) {
    shop_.*(*text) = printed_text(node, shown, key.longest).value_or("");
  } else if (const auto* list = std::get_if<std::vector<std::string> Shop::*>(&key.slot)) {
    read_list(key, *list, node);
  } else if (std::holds_alternative<PaperSlot>(key.slot)) {
    if (const auto word = read_word(node, shown, paper_table, findings_)) {
      shop_.paper = static_cast<PaperSize>(*word);
    }
  } else if (std::holds_alternative<LanguageSlot>(key.slot)) {
    if (const auto word = read_word(node, shown, text::languages(), findings_)) {
      shop_.language = text::languages()[*word];
    }
  } else {
    read_texts(key, node, "");
  }
}

std::optional<std::string> ShopReader::printed_text(const toml::node& node,
                                                    const std::string& shown, std::size_t longest) {
  auto text = read_text(node, shown, longest, findings_);
  if (text && trimmed(*text).empty()) {
    findings_.add(FindingCode::empty_text, place_of(node), shown,
                  {{}, {}, {"finding.do.write_or_out"}});
    return std::nullopt;
  }
  return text;
}

void ShopReader::read_list(const ShopKey& key, std::vector<std::string> Shop::*slot,
                           const toml::node& node) {
  const std::string shown(key.path);
  const auto* list = node.as_array();
  if (list == nullptr) {
    findings_.add(FindingCode::wrong_type, place_of(node), shown,
                  {job::shown(node),
                   {"finding.thing.list_of_texts"},
                   node.is_string()
                       ? to_write("[" + literal(node) + "]")
                       : text::Phrase("finding.do.some_list", {{"what", example_of_a_shop.list}})});
    return;
  }
  if (list->size() > key.most) {
    findings_.add(
        FindingCode::too_many, place_of((*list)[key.most]), shown,
        {{"finding.thing.count_of_key", {{"count", std::to_string(list->size())}, {"key", shown}}},
         std::to_string(key.most),
         {"finding.do.every_sheet"}});
  }
  std::size_t number = 0;
  for (const toml::node& element : *list) {
    if (auto text = printed_text(element, shown + "-" + std::to_string(++number), key.longest)) {
      (shop_.*slot).push_back(std::move(*text));
    }
  }
}

// ---- the sheet's sentences in the shop's words ----

const ShopText* ShopReader::sentence_of(std::string_view key) const {
  const auto found = std::ranges::find(sentences_, key, &ShopText::first);
  return found == sentences_.end() ? nullptr : &*found;
}

bool ShopReader::is_group(const std::string& path) const {
  return std::ranges::any_of(
      sentences_, [&](const auto& sentence) { return sentence.first.starts_with(path + "."); });
}

void ShopReader::read_texts(const ShopKey& key, const toml::node& node, const std::string& group) {
  const auto* table = node.as_table();
  if (table == nullptr) {
    const std::string path = std::string(texts) + (group.empty() ? "" : "." + group);
    findings_.add(FindingCode::wrong_type, place_of(node), path,
                  {job::shown(node),
                   {"finding.thing.table"},
                   {"finding.do.own_line", {{"header", "[" + path + "]"}}}});
    return;
  }
  for (const auto& [name, inner] : in_order_of_file(*table)) {
    const bool plain = name->str().find('.') == std::string_view::npos;
    const std::string path =
        group.empty() ? std::string(name->str()) : group + "." + std::string(name->str());
    if (const auto* sentence = plain ? sentence_of(path) : nullptr) {
      read_sentence(key, *inner, *sentence);
    } else if (plain && is_group(path)) {
      read_texts(key, *inner, path);
    } else {
      refuse_sentence(*name, group);
    }
  }
}

void ShopReader::read_sentence(const ShopKey& key, const toml::node& node,
                               const ShopText& sentence) {
  const std::string shown = std::string(texts) + "." + sentence.first;
  const auto text = printed_text(node, shown, key.longest);
  if (!text || !has_its_places(node, shown, *text, sentence.second)) {
    return;
  }
  const int count = characters(trimmed(*text));
  if (sentence.first.starts_with(note_group) && count < static_cast<int>(shortest_note)) {
    findings_.add(
        FindingCode::text_too_short, place_of(node), shown,
        {std::to_string(count), std::to_string(shortest_note), {"finding.do.say_the_danger"}});
    return;
  }
  shop_.texts.emplace_back(sentence.first, *text);
}

bool ShopReader::has_its_places(const toml::node& node, const std::string& shown,
                                const std::string& text, const std::string& ours) {
  const auto wanted = text::places_in(ours);
  const auto given = text::places_in(text);
  const auto missing = left_out(wanted, given);
  const auto foreign = left_out(given, wanted);
  if (missing.empty() && foreign.empty()) {
    return true;
  }
  const text::Sentence sentence = missing.empty()   ? "finding.thing.not_filled"
                                  : foreign.empty() ? text::Sentence("finding.thing.no_place")
                                                    : "finding.thing.no_place_not_filled";
  findings_.add(
      FindingCode::wrong_places, place_of(node), shown,
      {{sentence, {{"missing", in_braces(missing)}, {"foreign", in_braces(foreign)}}},
       {},
       wanted.empty() ? text::Phrase("finding.do.without", {{"what", text::all_of({"{", "}"})}})
                      : text::Phrase("finding.do.where_figures", {{"what", in_braces(wanted)}})});
  return false;
}

void ShopReader::refuse_sentence(const toml::key& name, const std::string& group) {
  const std::string header = std::string(texts) + (group.empty() ? "" : "." + group);
  findings_.add(
      FindingCode::unknown_key, place_of(name), header + "." + std::string(name.str()),
      {quoted(name.str()),
       {"finding.thing.in_header", {{"header", "[" + header + "]"}}},
       findings_.would_keep(place_of(name)) ? sentence_meant(name.str(), group) : text::Phrase()});
}

text::Phrase ShopReader::sentence_meant(std::string_view name, const std::string& group) const {
  const std::string header_of_all = "[" + std::string(texts) + "]";
  if (sentence_of(name) != nullptr) {
    return {"finding.do.without_quotes_under", {{"what", name}, {"header", header_of_all}}};
  }
  const std::string before = group.empty() ? "" : group + ".";
  std::vector<std::string_view> here;
  for (const auto& [key, sentence] : sentences_) {
    const std::string_view path = key;
    if (!path.starts_with(before)) {
      continue;
    }
    const std::string_view rest = path.substr(before.size());
    const std::string_view first = rest.substr(0, rest.find('.'));
    if (here.empty() || here.back() != first) {
      here.push_back(first);  // sentences stand sorted
    }
  }
  if (const auto near = nearest(name, here)) {
    return to_write(std::string(*near));
  }
  // A key of another group is likelier than one that nobody knows.
  for (const auto& [key, sentence] : sentences_) {
    if (key.ends_with("." + std::string(name))) {
      return {"finding.do.write_under", {{"what", key}, {"header", header_of_all}}};
    }
  }
  return what_can_be_written({here.begin(), here.end()});
}

}  // namespace

std::span<const std::string_view> paper_words() { return paper_table; }

std::vector<std::string> replaceable_keys() {
  std::vector<std::string> keys;
  for (auto& [key, sentence] : replaceable_sentences()) {
    keys.push_back(std::move(key));
  }
  return keys;
}

std::span<const ShopKey> shop_keys() { return key_table; }

ShopOutcome read_shop(std::string_view text, std::string_view file_name) {
  return read_shop(text, file_name, replaceable_sentences());
}

ShopOutcome read_shop(std::string_view text, std::string_view file_name,
                      std::vector<ShopText> replaceable) {
  return ShopReader(text, file_name, std::move(replaceable)).read();
}

}  // namespace kerfmark::job
