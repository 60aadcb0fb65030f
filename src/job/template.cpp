#include "kerfmark/job/template.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "kerfmark/job/help.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kind_templates.hpp"
#include "template_tables.hpp"

namespace kerfmark::job {
namespace {

using plan::Key;
using plan::Kind;

// Editors that know schemas of TOML look for it at the very top.
constexpr std::string_view for_editors =
    "#:schema ./job.schema.json\n"
    "# (for editors that mark slips as you type; made by: kerfmark schema job > "
    "job.schema.json)\n#\n";

constexpr std::string_view how_to_fill_in =
    R"(#
# How to fill it in
#   - Put your own figure or word in place of each "?". Nothing is planned while one is left.
#   - Lines that begin with # are left out. Take the # away where you have something to write.
#   - Numbers are millimetres, degrees and kilograms, with a point: 212.5. Other units in quotes:
#         "8 3/8 in"   "21.2 cm"   "176 lb"
#   - Better than one reading are two, each taken from scratch:      [212, 212.5]
#   - "+-1 mm" is what a reading by that instrument may be wrong by. If yours is better or worse:
#         { read = 212, within = 0.3 }     or     { read = 212, with = "caliper" }
#   - Keep each line below the [header] it stands under. Text and words stand in "quotes".
#   - Then run: kerfmark plan and the name of this file. Nothing is cut by that; it tells what is
#     missing, what does not fit together, and whether to cut at all.
)";

constexpr std::string_view how_it_was_filled_in =
    R"(#
# Filled in by questions and answers. To change something, put another figure or word in its place.
# Lines that begin with # are left out; take the # away where you have something to write. Then run:
# kerfmark plan and the name of this file.
)";

// What is said of a table alike by all kinds that say nothing else of it.
constexpr auto sections_of_all = std::to_array<Section>({
    {"rider",
     R"(# The rider, where a maker states a limit.
)"},
    {"measuring",
     R"(# How measurements count.
)"},
    {"job",
     R"(# What goes at the top of report and sheet.
)"},
    {"saw",
     R"(# The saw and the saw guide.
)"},
});

// Comment lines no wider than the page of an ordinary editor window.
std::string comment(std::string_view text) {
  constexpr std::size_t widest = 98;
  std::string lines;
  std::string line = "#";
  while (!text.empty()) {
    const auto end = std::min(text.find(' '), text.size());
    const std::string_view word = text.substr(0, end);
    if (line.size() + 1 + word.size() > widest) {
      lines += line + "\n";
      line = "#  ";
    }
    line += " " + std::string(word);
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return lines + line + "\n";
}

std::string unit_of(const Key& key) {
  if (std::holds_alternative<plan::AngleSlot>(key.slot)) {
    return "deg";
  }
  if (std::holds_alternative<plan::MassSlot>(key.slot)) {
    return "kg";
  }
  return std::holds_alternative<plan::NumberSlot>(key.slot) ? "" : "mm";
}

}  // namespace

std::string default_of(const Key& key) {
  if (!key.spec.fallback) {
    return {};
  }
  const double fallback = *key.spec.fallback;
  if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    return "\"" + std::string(choice->words[static_cast<std::size_t>(fallback)]) + "\"";
  }
  if (std::holds_alternative<plan::FlagSlot>(key.slot)) {
    return fallback == 0.0 ? "false" : "true";
  }
  return measure::shortest(fallback);
}

std::string constraints_of(const Key& key, const plan::Job& plain, bool tells_default) {
  std::string constraints;
  if (const auto range = key.range_for(plain)) {
    const std::string unit = unit_of(key);
    constraints += (unit.empty() ? "From " : "In " + unit + ", from ") +
                   measure::shortest(range->least) + " to " + measure::shortest(range->most);
  } else if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    for (std::size_t i = 0; i < choice->words.size(); ++i) {
      constraints += std::string(i == 0                          ? "One of "
                                 : i + 1 == choice->words.size() ? " or "
                                                                 : ", ") +
                     "\"" + std::string(choice->words[i]) + "\"";
    }
  }
  if (const std::string fallback = default_of(key); tells_default && !fallback.empty()) {
    constraints += (constraints.empty() ? "" : "; ") + fallback + " unless given";
  }
  if (key.spec.needed == plan::Needed::by_choice) {
    constraints += "; needed " + needed_because(key).in(text::Words());
  }
  return constraints.empty() ? constraints : " " + constraints + ".";
}

namespace {

std::string described(const Key& key, const plan::Job& plain, TemplateKeys keys) {
  // Words to choose from are needed by everybody, ranges by nobody who measures.
  const bool constraints =
      keys == TemplateKeys::all || std::holds_alternative<plan::ChoiceSlot>(key.slot);
  return comment(std::string(plan::name_of(key.path)) + ": " + help_for(key.path) +
                 (constraints ? constraints_of(key, plain) : ""));
}

}  // namespace

bool hangs_on_table(const Key& key) {
  return key.spec.needed == plan::Needed::in_its_table ||
         key.spec.needed == plan::Needed::one_of_table;
}

namespace {

// Whether another key of the table will do as well.
bool has_alternative(const Key& key, Kind kind) {
  return key.spec.needed == plan::Needed::one_of_table &&
         std::ranges::any_of(plan::keys(), [&](const Key& other) {
           return other.path != key.path && other.belongs_to(kind) &&
                  other.spec.needed == plan::Needed::one_of_table &&
                  plan::table_of(other.path) == plan::table_of(key.path);
         });
}

// A job of which nothing is known yet but that a post is measured the shortest way.
plan::Job plain_job(Kind kind) {
  plan::Job plain;
  plain.kind = kind;
  plain.saddle.measured = plan::HeightMeasured::extension;
  return plain;
}

}  // namespace

bool is_asked_in(const Key& key, const plan::Job& plain) {
  return key.is_needed(plain) || key.spec.asked == plan::Asked::of_everyone;
}

namespace {

// What most jobs need besides what is asked of each.
bool is_usual_in(const Key& key, const plan::Job& plain) {
  return is_asked_in(key, plain) || key.spec.asked >= plan::Asked::usually;
}

std::string open_value() { return "\"" + std::string(left_open) + "\""; }

// The value as it may be left: a default, or nothing that could be mistaken for a measurement.
std::string value_of(const Key& key, const plan::Job& plain) {
  if (key.path == "saddle.measured") {
    return "\"extension\"";
  }
  if (std::holds_alternative<plan::InstrumentsSlot>(key.slot)) {
    return "{ tape = " + open_value() + " }";
  }
  const std::string fallback = is_asked_in(key, plain) ? "" : default_of(key);
  return fallback.empty() ? open_value() : fallback;
}

std::string key_line(const Key& key, const plan::Job& plain, bool taken_in) {
  const std::string value = value_of(key, plain);
  std::string line = (taken_in ? "" : "#") + std::string(plan::name_of(key.path)) + " = " + value;
  constexpr std::size_t note_column = 24;
  std::string note;
  if (value.find(open_value()) != std::string::npos) {
    note =
        "such as " +
        std::string(key.spec.extension_example.empty() ? key.example : key.spec.extension_example);
  }
  if (hangs_on_table(key) && !taken_in) {
    note += has_alternative(key, plain.kind) ? "; one at least when the header above is used"
                                             : "; needed when its header above is used";
  }
  if (!note.empty()) {
    line.resize(std::max(line.size() + 2, note_column), ' ');
    line += "# " + note;
  }
  return line + "\n";
}

}  // namespace

std::vector<Table> tables_for(const plan::Job& plain, TemplateKeys wanted) {
  std::vector<Table> tables;
  for (const Key& key : plan::keys()) {
    const auto path = plan::table_of(key.path);
    if (!key.belongs_to(plain.kind) || path.empty() ||
        (wanted == TemplateKeys::usual && !is_usual_in(key, plain))) {
      continue;
    }
    auto found = std::ranges::find(tables, path, &Table::path);
    if (found == tables.end()) {
      tables.push_back({path, {}});
      found = tables.end() - 1;
    }
    // How a height is measured is said before the height.
    found->keys.insert(key.path == "saddle.measured" ? found->keys.begin() : found->keys.end(),
                       &key);
  }
  std::ranges::stable_sort(tables, {}, [](const Table& table) {
    return std::ranges::find(plan::key_tables(), table.path, &plan::KeyTable::path);
  });
  return tables;
}

namespace {

// A table within a table, [post.scale], is written on one line of it: scale = { … }.
bool is_inline(const Table& table) {
  return !plan::table_of(table.path).empty() && plan::list_table(table.path) == nullptr;
}

std::string inline_table(const Table& table, const plan::Job& plain) {
  std::string text;
  std::string line;
  for (const Key* key : table.keys) {
    text += described(*key, plain, TemplateKeys::all);
    line += (line.empty() ? "" : ", ") + std::string(plan::name_of(key->path)) + " = " +
            value_of(*key, plain);
  }
  return text + "#" + std::string(plan::name_of(table.path)) + " = { " + line + " }\n";
}

std::string section_text(Kind kind, std::string_view table) {
  const std::span<const Section> own = template_of(kind).sections;
  const std::span<const Section> of_all(sections_of_all);
  for (const std::span<const Section> sections : {own, of_all}) {
    const auto found = std::ranges::find(sections, table, &Section::table);
    if (found != sections.end()) {
      return std::string(found->text);
    }
  }
  return {};
}

bool may_be_left_out(const Table& table) {
  return std::ranges::any_of(table.keys, [](const Key* key) { return hangs_on_table(*key); });
}

std::string header(const Table& table, bool left_out) {
  const std::string name(table.path);
  return (left_out ? "#" : "") +
         (plan::list_table(table.path) != nullptr ? "[[" + name + "]]\n" : "[" + name + "]\n");
}

std::string beginning(const std::string& word, Kind kind, TemplateKeys keys) {
  const bool all = keys == TemplateKeys::all;
  return std::string(for_editors) + "# kerfmark job: a " + word + " to be shortened\n" +
         std::string(how_to_fill_in) +
         (all ? ""
              : "#   - This has what most jobs need. Every key and a picture: kerfmark new " +
                    word + " --full\n") +
         section_text(kind, "") + (all ? section_text(kind, picture) : "") + "\nkind = \"" + word +
         "\"\n";
}

}  // namespace

std::string constraints_on(const plan::Key& key, const plan::Job& job) {
  return constraints_of(key, job);
}

bool is_asked(const Key& key, Kind kind) { return is_asked_in(key, plain_job(kind)); }

bool is_usual(const Key& key, Kind kind) { return is_usual_in(key, plain_job(kind)); }

std::string job_template(Kind kind, TemplateKeys keys) {
  const plan::Job plain = plain_job(kind);
  const auto tables = tables_for(plain, keys);
  std::string text = beginning(std::string(word(kind)), kind, keys);
  for (const Table& table : tables) {
    if (is_inline(table)) {
      continue;
    }
    text += "\n" + section_text(kind, table.path);
    if (keys == TemplateKeys::all && table.path == "frame") {
      text += section_text(kind, frame_picture);
    }
    // A table with a key that it cannot do without starts left out, unless it is asked.
    text +=
        header(table, may_be_left_out(table) && std::ranges::none_of(table.keys, [&](auto* key) {
                        return is_asked_in(*key, plain);
                      }));
    for (const Key* key : table.keys) {
      text += "\n" + described(*key, plain, keys) + key_line(*key, plain, is_asked_in(*key, plain));
    }
    for (const Table& inner : tables) {
      if (is_inline(inner) && plan::table_of(inner.path) == table.path) {
        text += "\n" + inline_table(inner, plain);
      }
    }
  }
  return text;
}

namespace {

// One table with its values; of several of one name, this is the one of that row.
std::string filled_table(const Table& table, const plan::Job& plain, std::size_t row,
                         const ValueOf& value_of_key) {
  std::vector<std::optional<std::string>> values;
  for (const Key* key : table.keys) {
    values.push_back(value_of_key(*key, row));
  }
  const bool empty =
      std::ranges::none_of(values, [](const auto& value) { return value.has_value(); });
  std::string text = header(table, may_be_left_out(table) && empty);
  for (std::size_t i = 0; i < values.size(); ++i) {
    const Key& key = *table.keys[i];
    text += "\n" + described(key, plain, TemplateKeys::usual) +
            (values[i] ? std::string(plan::name_of(key.path)) + " = " + *values[i] + "\n"
                       : key_line(key, plain, false));
  }
  return text;
}

}  // namespace

std::string filled_template(const plan::Job& plain, const ValueOf& value_of_key) {
  const std::string word(std::get<plan::ChoiceSlot>(plan::key_at("kind").slot)
                             .words[static_cast<std::size_t>(plain.kind)]);
  std::string text = std::string(for_editors) + "# kerfmark job: a " + word + " to be shortened\n" +
                     std::string(how_it_was_filled_in) + section_text(plain.kind, "") +
                     "\nkind = \"" + word + "\"\n";
  for (const Table& table : tables_for(plain, TemplateKeys::usual)) {
    const plan::ListTable* list = plan::list_table(table.path);
    const std::size_t rows = list != nullptr ? std::max<std::size_t>(1, list->size(plain)) : 1;
    text += "\n" + section_text(plain.kind, table.path);
    for (std::size_t row = 0; row < rows; ++row) {
      text += (row == 0 ? "" : "\n") + filled_table(table, plain, row, value_of_key);
    }
  }
  return text;
}

}  // namespace kerfmark::job
