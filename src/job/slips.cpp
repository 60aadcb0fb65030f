#include "slips.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "kerfmark/job/misread.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"
#include "source_line.hpp"
#include "toml_text.hpp"
#include "values.hpp"

namespace kerfmark::job {
namespace {

using measure::Dimension;
using measure::Misread;
using text::Phrase;

/// What is wrong with a piece of a line, and what to write.
struct Slip {
  Phrase said;
  Phrase hint;
  int column = 0;    ///< 0: where the parser stopped
  std::string name;  ///< of the key it is about; empty: none
};

/// A value that cannot be read, and the value that was meant.
struct Mended {
  Phrase said;
  std::string value;
  std::optional<Phrase> to_write = {};  ///< where nobody can tell which of several was meant
};

// A slip whose sentence names the value that it is in.
Phrase said_of(text::Sentence sentence, std::string_view value) {
  return {sentence, {{"value", value}}};
}

Phrase with_key(text::Sentence sentence, const std::string& key) {
  return {sentence, {{"key", key}}};
}

Phrase with_header(text::Sentence sentence, const std::string& header) {
  return {sentence, {{"header", header}}};
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

bool is_bare_key(std::string_view text) {
  return !text.empty() && std::ranges::all_of(text, [](char c) {
    return is_digit(c) || is_letter(c) || c == '_' || c == '-' || c == '.';
  });
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
  return text;
}

bool is_toml(std::string_view line) { return std::holds_alternative<toml::table>(table_of(line)); }

// The line up to its comment.
std::string_view without_comment(std::string_view line) {
  char quote = '\0';
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quote != '\0') {
      quote = c == quote ? '\0' : quote;
    } else if (c == '#') {
      return line.substr(0, i);
    } else if (c == '"' || c == '\'') {
      quote = c;
    }
  }
  // Quotes that never close: a # further on is a comment all the same.
  return quote == '\0' ? line : line.substr(0, line.find('#'));
}

// "31.6mm" as it is usually written: "31.6 mm".
std::string with_blank_before_unit(std::string text) {
  const auto unit = text.find_last_of("0123456789.");
  if (unit != std::string::npos && unit + 1 < text.size() && is_letter(text[unit + 1])) {
    text.insert(unit + 1, " ");
  }
  return text;
}

// The text of a quantity as it would have to stand, if it is one with a unit or a fraction.
std::optional<std::string> quantity_text(std::string_view value) {
  std::string text = replaced(std::string(value), "\"", " in");
  if (text.find('/') != std::string::npos && is_digit(text.back())) {
    text += " in";
  }
  if (!text.empty() && is_digit(text.back())) {
    return std::nullopt;
  }
  const auto as = [&](auto read) -> std::optional<std::string> {
    if (const auto* misread = std::get_if<Misread>(&read)) {
      const bool comma = misread->flaw == measure::Flaw::decimal_comma;
      return comma ? std::optional(with_blank_before_unit(misread->choices.front())) : std::nullopt;
    }
    return with_blank_before_unit(text);
  };
  if (auto length = as(measure::read_quantity<Dimension::length>(text))) {
    return length;
  }
  if (auto angle = as(measure::read_quantity<Dimension::angle>(text))) {
    return angle;
  }
  return as(measure::read_quantity<Dimension::mass>(text));
}

// 212,5 and .5 and 5. and 06.5 as TOML wants them.
std::optional<Mended> mended_number(std::string_view value) {
  std::string_view rest = value;
  std::string number;
  if (rest.starts_with('-') || rest.starts_with('+')) {
    number = rest.front() == '-' ? "-" : "";
    rest.remove_prefix(1);
  }
  const auto mark = rest.find_first_of(".,");
  const std::string_view whole = rest.substr(0, mark);
  const std::string_view part = mark == std::string_view::npos ? "" : rest.substr(mark + 1);
  if (!std::ranges::all_of(whole, is_digit) || !std::ranges::all_of(part, is_digit) ||
      (whole.empty() && part.empty())) {
    return std::nullopt;
  }
  const auto first = std::min(whole.find_first_not_of('0'), whole.size());
  const std::string_view digits = whole.substr(first);
  number += digits.empty() ? "0" : std::string(digits);
  number += mark == std::string_view::npos ? "" : "." + (part.empty() ? "0" : std::string(part));
  text::Sentence slip = "finding.slip.leading_zero";
  if (mark != std::string_view::npos && rest[mark] == ',') {
    slip = "finding.slip.decimal_comma";
  } else if (whole.empty()) {
    slip = "finding.slip.no_digit_before";
  } else if (mark != std::string_view::npos && part.empty()) {
    slip = "finding.slip.no_digit_after";
  }
  return Mended{said_of(slip, value), number};
}

std::optional<Mended> mended_flag(std::string_view value) {
  std::string lower(value);
  for (char& c : lower) {
    c = is_letter(c) ? static_cast<char>(std::tolower(static_cast<unsigned char>(c))) : c;
  }
  constexpr auto yes = std::to_array<std::string_view>({"true", "yes", "on"});
  constexpr auto no = std::to_array<std::string_view>({"false", "no", "off"});
  if (std::ranges::find(yes, std::string_view(lower)) != yes.end()) {
    return Mended{said_of("finding.slip.not_like_that", value), "true"};
  }
  if (std::ranges::find(no, std::string_view(lower)) != no.end()) {
    return Mended{said_of("finding.slip.not_like_that", value), "false"};
  }
  return std::nullopt;
}

std::optional<Mended> mended(std::string_view value);

// "aluminium" // alloy: a comment of another language behind a value.
std::optional<Mended> mended_comment(std::string_view value) {
  for (const std::string_view sign : {"//", "--", ";", "%"}) {
    const auto at = value.find(sign);
    const std::string head(trimmed(value.substr(0, at)));
    const std::string_view comment =
        at == std::string_view::npos ? "" : trimmed(value.substr(at + sign.size()));
    if (comment.empty() || head.empty() || value.starts_with(sign)) {
      continue;
    }
    const bool whole = is_toml("x = " + head);
    const auto better = whole ? std::nullopt : mended(head);
    if (whole || better) {
      return Mended{{"finding.slip.comment"},
                    (whole ? head : better->value) + "  # " + std::string(comment)};
    }
  }
  return std::nullopt;
}

// A fraction that may have lost its space, without quotes.
std::optional<Mended> mended_fraction(std::string_view value) {
  const auto read = measure::read_quantity<Dimension::length>(value);
  const auto* misread = std::get_if<Misread>(&read);
  if (misread == nullptr || misread->measured_so) {
    return std::nullopt;
  }
  if (misread->choices.empty()) {
    return std::nullopt;  // too long for anything to be made of it
  }
  return Mended{{"finding.bad_quantity", {{"said", value}, {"wanted", what_is_wrong(*misread)}}},
                "\"" + misread->choices.front() + "\"",
                to_write(*misread)};
}

std::string in_straight_quotes(std::string_view value) {
  std::string text(value);
  for (const std::string_view curly : {"“", "”", "„", "‟", "«", "»", "‘", "’", "‚"}) {
    text = replaced(std::move(text), curly, "\"");
  }
  return text;
}

std::optional<Mended> mended_quotes(std::string_view value) {
  if (const std::string straight = in_straight_quotes(value); straight != value) {
    return Mended{{"finding.slip.curly_quotes"}, straight};
  }
  const char quote = value.front();
  if (quote != '"' && quote != '\'') {
    return std::nullopt;
  }
  std::string inner(value.substr(1));
  if (inner.find(quote) == std::string::npos) {
    if (inner.ends_with('"') || inner.ends_with('\'')) {
      inner.pop_back();
    }
    return Mended{{"finding.slip.open_quotes"}, "\"" + inner + "\""};
  }
  // "8 3/8"" and "8" in: the inch sign has closed the quotes.
  if (inner.ends_with('"')) {
    inner.pop_back();
  }
  if (const auto text = quantity_text(inner)) {
    return Mended{{"finding.slip.inch_sign"}, "\"" + *text + "\""};
  }
  if (quote == '\'' && inner.find('"') == std::string::npos) {  // it's
    inner.erase(inner.ends_with(quote) ? inner.size() - 1 : inner.size());
  } else {
    std::erase(inner, quote);
  }
  if (const auto text = quantity_text(inner)) {
    return Mended{{"finding.slip.after_quotes"}, "\"" + *text + "\""};
  }
  return Mended{{"finding.slip.after_quotes"}, "\"" + inner + "\""};
}

std::vector<std::string_view> parts_of(std::string_view list, std::string_view separator) {
  std::vector<std::string_view> parts;
  while (true) {
    const auto at = list.find(separator);
    parts.push_back(trimmed(list.substr(0, at)));
    if (at == std::string_view::npos) {
      return parts;
    }
    list.remove_prefix(at + separator.size());
  }
}

// No key takes a list within a list, and each level of one would take longer to mend than the last.
std::optional<std::string> mended_parts(const std::vector<std::string_view>& parts, Phrase& said) {
  std::string list;
  for (const std::string_view part : parts) {
    std::string value(part);
    if (!is_toml("x = " + value)) {
      const auto better = part.empty() || part.starts_with('[') ? std::nullopt : mended(part);
      if (!better) {
        return std::nullopt;
      }
      said = said.empty() ? better->said : said;
      value = better->value;
    }
    list += (list.empty() ? "" : ", ") + value;
  }
  return "[" + list + "]";
}

std::optional<Mended> mended_list(std::string_view value) {
  std::string_view inner = value.substr(1);
  const bool closed = inner.ends_with(']');
  if (closed) {
    inner.remove_suffix(1);
  }
  inner = trimmed(inner);
  if (inner.ends_with(',')) {
    inner.remove_suffix(1);
  }
  Phrase said = closed ? Phrase() : Phrase("finding.slip.open_list");
  // "212,5 mm": the comma may be a decimal one.
  if (const auto text = quantity_text(inner)) {
    return Mended{said.empty() ? said_of("finding.slip.no_quotes", inner) : said,
                  "[\"" + *text + "\"]"};
  }
  const bool by_comma = inner.find(',') != std::string_view::npos;
  const std::string_view separator = inner.find(", ") != std::string_view::npos ? ", "
                                     : by_comma                                 ? ","
                                                                                : " ";
  if (!by_comma && inner.find(' ') != std::string_view::npos) {
    said = said.empty() ? Phrase("finding.slip.no_comma") : said;
  }
  const auto list = mended_parts(parts_of(inner, separator), said);
  return list ? std::optional(Mended{said, *list}) : std::nullopt;
}

// (350, 400) and 350, 400.
std::optional<Mended> mended_brackets(std::string_view value) {
  const bool round = value.starts_with('(') && value.ends_with(')');
  const std::string_view inner = trimmed(round ? value.substr(1, value.size() - 2) : value);
  if (inner.find(", ") == std::string_view::npos) {
    return std::nullopt;
  }
  Phrase said = {"finding.slip.no_brackets"};
  const auto list = mended_parts(parts_of(inner, ","), said);
  return list && is_toml("x = " + *list) ? std::optional(Mended{said, *list}) : std::nullopt;
}

// What was meant by a value that TOML cannot read.
std::optional<Mended> mended(std::string_view value) {
  constexpr std::size_t longest = 200;  // no slip of a pen is longer
  if (value.empty() || value.size() > longest) {
    return std::nullopt;
  }
  for (const std::string_view minus : {"−", "–"}) {
    if (value.starts_with(minus)) {
      const std::string plain = "-" + std::string(trimmed(value.substr(minus.size())));
      const auto better = is_toml("x = " + plain) ? std::nullopt : mended(plain);
      return Mended{{"finding.slip.dash"}, better ? better->value : plain};
    }
  }
  if (value.starts_with('=')) {
    return Mended{{"finding.slip.one_equals"}, std::string(trimmed(value.substr(1)))};
  }
  if (!value.starts_with('[') && (value.ends_with(';') || value.ends_with(','))) {
    const std::string_view rest = trimmed(value.substr(0, value.size() - 1));
    const auto better = is_toml("x = " + std::string(rest)) ? std::nullopt : mended(rest);
    return Mended{{"finding.slip.at_the_end", {{"sign", value.substr(value.size() - 1)}}},
                  better ? better->value : std::string(rest)};
  }
  if (auto comment = mended_comment(value)) {
    return comment;
  }
  if (const std::string plain = measure::with_plain_signs(value);
      plain != value && !value.starts_with('"') && !value.starts_with('\'')) {
    const auto better = is_toml("x = " + plain) ? std::nullopt : mended(plain);
    return Mended{{"finding.slip.lookalikes"}, better ? better->value : plain};
  }
  if (auto quotes = mended_quotes(value)) {
    return quotes;
  }
  if (value.starts_with('[')) {
    return mended_list(value);
  }
  if (auto list = mended_brackets(value)) {
    return list;
  }
  if (auto number = mended_number(value)) {
    return number;
  }
  if (auto fraction = mended_fraction(value)) {
    return fraction;
  }
  if (const auto text = quantity_text(value)) {
    return Mended{said_of("finding.slip.text_without_quotes", value), "\"" + *text + "\""};
  }
  if (auto flag = mended_flag(value)) {
    return flag;
  }
  const bool word = is_letter(value.front()) || static_cast<unsigned char>(value.front()) >= 0x80U;
  if (word && value.find_first_of("\"\\'{}[]=") == std::string_view::npos) {
    return Mended{said_of("finding.slip.text_without_quotes", value),
                  "\"" + std::string(value) + "\""};
  }
  return std::nullopt;
}

constexpr text::Sentence no_value_at_all = "finding.slip.no_value";

std::string_view header_name(std::string_view header) {
  const auto first = header.find_first_not_of("[ \t");
  if (first == std::string_view::npos) {
    return {};
  }
  header.remove_prefix(first);
  return trimmed(header.substr(0, header.find_first_of("] \t")));
}

Slip slip_in_header(std::string_view line, std::string_view description, const Example& example) {
  const std::string_view header = trimmed(line);
  const std::string name(header_name(header));
  const bool several = plan::list_table(name) != nullptr;
  const std::string right = several ? "[[" + name + "]]" : "[" + name + "]";
  if (description.find("cannot redefine") != std::string_view::npos) {
    if (several) {
      return {with_header("finding.slip.single_table", "[" + name + "]"),
              with_header("finding.mend.each_time", right), 0, name};
    }
    if (description.find("existing table") != std::string_view::npos) {
      return {with_header("finding.slip.table_again", "[" + name + "]"),
              with_header("finding.mend.under_one", right), 0, name};
    }
    return {with_header("finding.slip.name_of_key", "[" + name + "]"),
            {"finding.do.keep_one"},
            0,
            name};
  }
  const auto end = header.rfind(']');
  const std::string_view behind =
      end == std::string_view::npos ? "" : trimmed(header.substr(end + 1));
  if (!behind.empty() && is_bare_key(name)) {
    return {with_header("finding.slip.after_header", right),
            {"finding.mend.own_line", {{"what", behind}}},
            0,
            name};
  }
  if (is_bare_key(name)) {
    return {{"finding.slip.open_header"}, to_write(right), 0, name};
  }
  return {
      {"finding.slip.no_header"}, {"finding.mend.in_brackets", {{"what", example.header}}}, 0, ""};
}

// {saw} and the like; empty: nothing of that sort.
std::string header_in_other_brackets(std::string_view code) {
  for (const std::string_view pair : {"{}", "()", "<>"}) {
    if (code.size() > 2 && code.front() == pair[0] && code.back() == pair[1]) {
      const std::string name(trimmed(code.substr(1, code.size() - 2)));
      return !is_bare_key(name)                  ? std::string{}
             : plan::list_table(name) != nullptr ? "[[" + name + "]]"
                                                 : "[" + name + "]";
    }
  }
  return {};
}

Slip slip_without_equals(std::string_view line, const Example& example) {
  const std::string_view code = trimmed(line);
  const auto end = code.find_first_of(" \t:");
  const std::string name(code.substr(0, end));
  const bool comment = code.starts_with("//") || code.starts_with(';') || code.starts_with("--") ||
                       code.starts_with('%');
  if (comment) {
    return {{"finding.slip.comment"}, {"finding.mend.hash"}, 0, ""};
  }
  if (const std::string header = header_in_other_brackets(code); !header.empty()) {
    return {{"finding.slip.no_header"}, to_write(header), 0, ""};
  }
  if (!is_bare_key(name)) {
    return {{"finding.slip.neither"}, {"finding.mend.a_line", {{"what", example.line}}}, 0, ""};
  }
  if (end == std::string_view::npos) {
    return {with_key("finding.slip.no_value_for", name),
            with_key("finding.mend.value_or_out", name), 0, name};
  }
  std::string_view value = trimmed(code.substr(std::min(end, code.size())));
  value = value.starts_with(':') ? trimmed(value.substr(1)) : value;
  const auto better =
      is_toml("x = " + std::string(value)) || value.empty() ? std::nullopt : mended(value);
  const std::string right = better ? better->value : std::string(value);
  return {{"finding.slip.no_equals"},
          {"finding.mend.assign", {{"key", name}, {"what", right.empty() ? "…" : right}}},
          0,
          name};
}

// kerf = 1.5; step = 2: as a comment the second key would be lost.
std::optional<Slip> slip_of_two_keys(const std::string& name, std::string_view value) {
  for (const char sign : {';', ','}) {
    const auto at = value.find(sign);
    const std::string_view second =
        at == std::string_view::npos ? "" : trimmed(value.substr(at + 1));
    const auto equals = second.find('=');
    if (equals != std::string_view::npos && is_bare_key(trimmed(second.substr(0, equals))) &&
        is_toml("x = " + std::string(value.substr(0, at)))) {
      return Slip{
          {"finding.slip.two_keys"}, {"finding.mend.own_line", {{"what", second}}}, 0, name};
    }
  }
  return std::nullopt;
}

const plan::Key* key_at_path(const std::string& name, const std::string& table) {
  const std::string path = table.empty() ? name : table + "." + name;
  const auto keys = plan::keys();
  const auto key = std::ranges::find(keys, path, &plan::Key::path);
  return key == keys.end() ? nullptr : &*key;
}

// lengths = 350,400: two values, or one with a decimal comma.
std::optional<Slip> slip_in_list(const plan::Key* key, std::string_view value, int column) {
  const bool takes_several = key != nullptr && (std::holds_alternative<plan::ListSlot>(key->slot) ||
                                                std::holds_alternative<plan::PairSlot>(key->slot) ||
                                                std::holds_alternative<plan::RingsSlot>(key->slot));
  const auto parts = parts_of(value, ",");
  const bool figures = std::ranges::all_of(parts, [](std::string_view part) {
    return !part.empty() && std::ranges::all_of(part, is_digit);
  });
  if (!takes_several || parts.size() < 2 || !figures) {
    return std::nullopt;
  }
  Phrase said = {"finding.slip.no_brackets"};
  std::vector<std::string> choices;
  if (auto list = mended_parts(parts, said)) {
    choices.push_back(*std::move(list));
  }
  if (parts.size() == 2 && value.find(' ') == std::string_view::npos) {
    choices.push_back("[" + std::string(parts[0]) + "." + std::string(parts[1]) + "]");
  }
  return Slip{said, one_to_write(choices), column, std::string(plan::name_of(key->path))};
}

// A word that no quotes make a figure of.
bool is_no_figure(const plan::Key* key, std::string_view value, const Mended& better) {
  const bool takes_words = key == nullptr || std::holds_alternative<plan::TextSlot>(key->slot) ||
                           std::holds_alternative<plan::ChoiceSlot>(key->slot) ||
                           key->spec.unknown != nullptr;
  return !takes_words && !quantity_text(value) &&
         better.said == said_of("finding.slip.text_without_quotes", value);
}

// no, none and the like where no yes or no belongs: which key it is says what was meant.
std::optional<Slip> slip_in_word(const std::string& name, const std::string& table,
                                 std::string_view value, int column) {
  const plan::Key* const key = key_at_path(name, table);
  const bool flag = key != nullptr && std::holds_alternative<plan::FlagSlot>(key->slot);
  if (key == nullptr || flag || !(mended_flag(value) || is_same_word(value, "none"))) {
    return std::nullopt;
  }
  const Phrase said("finding.slip.no_value_of", {{"value", value}, {"key", name}});
  if (key->spec.unknown != nullptr) {
    return Slip{said, {"finding.mend.unknown"}, column, name};
  }
  return Slip{said, {"finding.mend.what_it_is"}, column, name};
}

// 20/11/2026: text that no program can sort; day and month may be either way round.
std::optional<Slip> slip_in_date(const std::string& name, std::string_view value, int column) {
  if (!name.ends_with("date")) {
    return std::nullopt;
  }
  const auto separator = value.find_first_of("/.-");
  if (separator == std::string_view::npos) {
    return std::nullopt;
  }
  const auto parts = parts_of(value, value.substr(separator, 1));
  const bool digits = std::ranges::all_of(parts, [](std::string_view part) {
    return !part.empty() && std::ranges::all_of(part, is_digit);
  });
  if (parts.size() != 3 || !digits || parts[2].size() != 4 || parts[0].size() > 2 ||
      parts[1].size() > 2) {
    return std::nullopt;
  }
  const auto day_of = [&](std::string_view month, std::string_view day) {
    const auto two = [](std::string_view part) {
      return std::string(2 - part.size(), '0') + std::string(part);
    };
    return std::string(parts[2]) + "-" + two(month) + "-" + two(day);
  };
  std::vector<std::string> choices;
  for (const std::string& day : {day_of(parts[1], parts[0]), day_of(parts[0], parts[1])}) {
    if (is_toml("x = " + day) && (choices.empty() || choices.front() != day)) {
      choices.push_back(day);
    }
  }
  if (choices.empty()) {
    return Slip{{"finding.slip.no_such_day"}, {"finding.mend.year_first"}, column, name};
  }
  return Slip{{"finding.slip.year_first"}, one_to_write(choices), column, name};
}

Slip slip_in_value(std::string_view line, std::size_t equals, std::string_view description,
                   const std::string& table, const Example& example) {
  const std::string name(trimmed(line.substr(0, equals)));
  const std::string_view value = trimmed(line.substr(equals + 1));
  if (!is_bare_key(name)) {
    const bool quotes = name.find('"') != std::string::npos;
    return {
        quotes ? Phrase("finding.slip.no_key") : Phrase("finding.slip.is_no_key", {{"name", name}}),
        {"finding.mend.one_word"},
        0,
        ""};
  }
  if (description.find("cannot redefine") != std::string_view::npos) {
    return {{"finding.slip.second_time"}, {"finding.do.keep_one"}, 0, name};
  }
  if (value.empty()) {
    return {{"finding.slip.after_equals"}, with_key("finding.mend.value_or_out", name), 0, name};
  }
  const auto start = static_cast<std::size_t>(value.data() - line.data());
  const int column = characters(line.substr(0, start)) + 1;
  const auto better = mended(value);
  if (auto slip = slip_in_word(name, table, value, column)) {
    return *slip;
  }
  if (auto slip = slip_in_date(name, value, column)) {
    return *slip;
  }
  if (auto slip = slip_of_two_keys(name, value)) {
    return *slip;
  }
  if (value.find_first_not_of('?') == std::string_view::npos) {
    return {{"finding.not_filled_in"},
            {"finding.do.in_place_of", {{"what", std::string("?")}}},
            column,
            name};
  }
  const plan::Key* const key = key_at_path(name, table);
  if (auto slip = slip_in_list(key, value, column)) {
    return *slip;
  }
  if (better && is_toml("x = " + better->value) && !is_no_figure(key, value, *better)) {
    return {better->said, better->to_write.value_or(to_write(better->value)), column, name};
  }
  if (description.find("parsing date") != std::string_view::npos) {
    return {{"finding.slip.no_such_day"}, {"finding.mend.year_first"}, column, name};
  }
  if (description.find("control characters") != std::string_view::npos) {
    return {{"finding.slip.control_character"}, {"finding.mend.take_out"}, 0, name};
  }
  if (description.find("escape") != std::string_view::npos) {
    return {{"finding.slip.backslash"}, {"finding.mend.slash"}, 0, name};
  }
  if (value.starts_with('{')) {
    return {{"finding.slip.braces"},
            {"finding.mend.braces", {{"what", std::string("{ read = 212, within = 0.3 }")}}},
            column,
            name};
  }
  return {no_value_at_all, {"finding.do.write", {{"what", example.value}}}, column, name};
}

Phrase what_the_parser_wanted(std::string_view description) {
  const auto colon = description.rfind(": ");
  const auto tail = colon == std::string_view::npos ? description : description.substr(colon + 2);
  return tail == "encountered end-of-file" ? Phrase("finding.slip.file_ends") : Phrase(tail);
}

// The header above a line: under which table it stands.
std::string table_above(std::string_view text, int line) {
  for (int above = line - 1; above > 0; --above) {
    const std::string_view header = trimmed(without_comment(source_line(text, above)));
    if (header.starts_with('[') && header.ends_with(']')) {
      return std::string(header_name(header));
    }
  }
  return {};
}

// The line above on which a list begins that does not end there; 0 if there is none.
int line_of_open_list(std::string_view text, int line) {
  constexpr int farthest = 64;
  for (int above = line - 1; above > std::max(0, line - farthest); --above) {
    const std::string_view code = trimmed(without_comment(source_line(text, above)));
    const auto equals = code.find('=');
    if (equals != std::string_view::npos) {
      const std::string_view value = trimmed(code.substr(equals + 1));
      return value.starts_with('[') && !value.ends_with(']') ? above : 0;
    }
  }
  return 0;
}

// A blank that is none for TOML, pasted with the rest: nobody sees it.
std::optional<Slip> slip_in_blanks(std::string_view line) {
  const std::string plain = measure::with_plain_blanks(line);
  if (plain == line || !is_toml(plain)) {
    return std::nullopt;
  }
  return Slip{{"finding.slip.blank"},
              {"finding.mend.plain_spaces", {{"what", trimmed(without_comment(plain))}}},
              0,
              ""};
}

Slip slip_of(std::string_view line, std::string_view description, const std::string& table,
             const Example& example) {
  if (auto slip = slip_in_blanks(line)) {
    return *slip;
  }
  const std::string_view code = without_comment(line);
  if (trimmed(code).starts_with('[')) {
    return slip_in_header(code, description, example);
  }
  const auto equals = code.find('=');
  if (equals == std::string_view::npos) {
    return slip_without_equals(code, example);
  }
  return slip_in_value(code, equals, description, table, example);
}

}  // namespace

void add_slip(std::string_view text, measure::Place stopped, std::string_view description,
              const Example& example, FindingList& findings) {
  measure::Place place = stopped;
  const bool again = description.find("cannot redefine") != std::string_view::npos;
  // A list that does not end makes trouble further down, often on a line that is right.
  const bool in_list = description.find("parsing array") != std::string_view::npos ||
                       (!again && is_toml(std::string(source_line(text, stopped.line))));
  const int open = in_list ? line_of_open_list(text, stopped.line) : 0;
  place.line = open == 0 ? place.line : open;
  const std::string line(source_line(text, place.line));
  Slip slip;
  if (line.find('\0') != std::string::npos) {
    findings.add(FindingCode::nul_character, stopped, "", {{}, {}, {"finding.mend.take_out"}});
    return;
  }
  if (trimmed(without_comment(line)).empty() || (!again && is_toml(line))) {
    slip = {{"finding.slip.from_here", {{"parser", what_the_parser_wanted(description)}}},
            {"finding.mend.compare", {{"what", example.whole}}},
            0,
            ""};
  } else {
    slip = slip_of(line, description, table_above(text, place.line), example);
  }
  if (open != 0 && slip.said == Phrase(no_value_at_all)) {
    slip.said = {"finding.slip.list_begins"};
    slip.hint = {"finding.mend.on_one_line", {{"what", example.list}}};
  }
  const std::string table = table_above(text, place.line);
  const bool header = trimmed(line).starts_with('[');
  std::string key = slip.name;
  if (!key.empty() && !header && !table.empty()) {
    key = table + "." + key;
  }
  if (slip.column > 0) {
    place.column = slip.column;
  } else if (place.line != stopped.line || again) {
    place.column = characters(line.substr(0, line.find_first_not_of(" \t"))) + 1;
  }
  findings.add(FindingCode::not_toml, place, key, {slip.said, {}, slip.hint});
}

}  // namespace kerfmark::job
