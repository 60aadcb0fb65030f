#include "record_text.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

#include "kerfmark/report/json_object.hpp"
#include "kerfmark/report/listing.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

using records::Papers;
using records::Record;
using report::JsonField;
using report::JsonText;
using report::JsonValue;

// "2026-11-20T14:05:09Z" as people write it.
std::string when(const std::string& made_utc) {
  constexpr std::size_t day = 10;  // characters of a date, and of it with hour and minute
  constexpr std::size_t minute = 16;
  return made_utc.size() < minute
             ? made_utc
             : made_utc.substr(0, day) + " " + made_utc.substr(day + 1, minute - day - 1) + " UTC";
}

std::string forgetting(const Record& record) {
  std::string list;
  for (const std::int64_t number : record.forgets) {
    list += (list.empty() ? "" : ", ") + std::to_string(number);
  }
  return "owner and notes forgotten of " +
         std::string(record.forgets.size() > 1 ? "records " : "record ") + list;
}

std::string decision(const Record& record, const text::Words& words) {
  const auto& facts = record.facts;
  if (!record.forgets.empty()) {
    return forgetting(record);
  }
  const auto in_mm = [&](double value) { return report::plain(value, words) + " mm"; };
  std::string said = facts.verdict;
  if (facts.planned_cut_mm) {
    said += " " + in_mm(*facts.planned_cut_mm);
  }
  if (facts.actual_cut_mm) {
    said += ", sawn " + in_mm(*facts.actual_cut_mm);
  }
  if (facts.after_verdict) {
    said += ", " + *facts.after_verdict;
  }
  return said;
}

void add(std::string& list, std::string_view what, const std::string& value) {
  if (!value.empty()) {
    list += (list.empty() ? "" : "; ") + std::string(what) + value;
  }
}

std::string people_of(const Record& record) {
  std::string list;
  if (!record.forgets.empty()) {
    return list;  // names nobody
  }
  if (record.people) {
    add(list, "", record.people->owner);
  } else {
    add(list, "", "owner forgotten");
  }
  add(list, "by ", record.facts.by);
  add(list, "checked by ", record.facts.checked_by);
  return list;
}

std::string links_of(const Record& record) {
  std::string list;
  if (record.facts.replaces) {
    add(list, "replaces record ", std::to_string(*record.facts.replaces));
  }
  if (record.replaced_by) {
    add(list, "replaced by record ", std::to_string(*record.replaced_by));
  }
  return list;
}

template <class T>
JsonValue or_null(const std::optional<T>& value) {
  return value ? JsonValue(*value) : JsonValue();
}

JsonValue text_or_null(const std::string& text) {
  return text.empty() ? JsonValue() : JsonValue(text);
}

JsonValue forgets_of(const Record& record) {
  std::string list;
  for (const std::int64_t number : record.forgets) {
    list += (list.empty() ? "[" : ",") + std::to_string(number);
  }
  return list.empty() ? JsonValue() : JsonText{list + "]"};
}

// Number and hash come first, then what the job says, then how it was made.
std::vector<JsonField> fields_of(const Record& record) {
  const auto& facts = record.facts;
  return {{"schema", std::int64_t{1}},
          {"record", record.mark.number},
          {"hash", record.mark.hash},
          {"replaces", or_null(facts.replaces)},
          {"replaced_by", or_null(record.replaced_by)},
          {"made_utc", facts.made_utc},
          {"program", facts.program_version},
          {"kind", facts.kind},
          {"verdict", text_or_null(facts.verdict)},
          {"planned_cut_mm", or_null(facts.planned_cut_mm)},
          {"actual_cut_mm", or_null(facts.actual_cut_mm)},
          {"after_verdict", or_null(facts.after_verdict)},
          {"number", text_or_null(facts.job_number)},
          {"bike", text_or_null(facts.bike)},
          {"owner", record.people ? text_or_null(record.people->owner) : JsonValue()},
          {"by", text_or_null(facts.by)},
          {"checked_by", text_or_null(facts.checked_by)},
          {"notes", record.people ? text_or_null(record.people->notes) : JsonValue()},
          {"forgotten", JsonText{record.people ? "false" : "true"}},
          {"forgets", forgets_of(record)}};
}

// A spreadsheet reckons a cell that begins like this (CWE-1236), also in the wide and the small
// forms of the signs, of which some programs make the plain ones.
constexpr auto formula_signs =
    std::to_array<std::string_view>({"=", "+", "-", "@", "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20",
                                     "\uFE66", "\uFE62", "\uFE63", "\uFE6B", "\u2212"});

// And it may take the blanks before them away first, of whatever width.
constexpr auto blanks = std::to_array<std::string_view>(
    {" ",      "\t",     "\r",     "\n",     "\v",     "\f",     "\u00A0", "\u1680", "\u2000",
     "\u2001", "\u2002", "\u2003", "\u2004", "\u2005", "\u2006", "\u2007", "\u2008", "\u2009",
     "\u200A", "\u200B", "\u2028", "\u2029", "\u202F", "\u205F", "\u2060", "\u3000", "\uFEFF"});

bool is_formula(std::string_view text) {
  const auto begins_with = [&](std::string_view sign) { return text.starts_with(sign); };
  for (;;) {
    const auto blank = std::ranges::find_if(blanks, begins_with);
    if (blank == blanks.end()) {
      return std::ranges::any_of(formula_signs, begins_with);
    }
    text.remove_prefix(blank->size());
  }
}

std::string csv_text(const std::string& text) {
  // Line ends stay, as a cell may have several lines.
  std::string shown = text::harmless_lines(text, text::Colours::none);
  std::ranges::replace(shown, '\t', ' ');
  std::string cell = is_formula(text) ? "'" + shown : shown;
  if (cell.find_first_of(",\"\r\n") == std::string::npos) {
    return cell;
  }
  std::string quoted = "\"";
  for (const char c : cell) {
    quoted += c == '"' ? "\"\"" : std::string(1, c);
  }
  return quoted + "\"";
}

std::string csv_cell(const JsonValue& value) {
  if (const auto* text = std::get_if<std::string>(&value)) {
    return csv_text(*text);
  }
  // Numbers as JSON has them: with a point, and as short as they are read back the same.
  const JsonField field{"x", value};
  const std::string object = report::json_object({&field, 1});
  constexpr std::string_view before = "{\"x\":";
  const std::string cell = object.substr(before.size(), object.size() - before.size() - 1);
  return cell == "null" ? "" : csv_text(cell);
}

template <class Cell>
std::string csv_row(const Record& record, Cell cell) {
  std::string line;
  for (const JsonField& field : fields_of(record)) {
    if (field.name != "schema") {
      line += (line.empty() ? "" : ",") + cell(field);
    }
  }
  return line + "\r\n";
}

}  // namespace

std::string list_text(std::span<const Record> found, const report::View& view) {
  const text::Words words = text::words_in(text::languages().front());
  std::vector<report::Listed> lines;
  for (const Record& record : found) {
    const auto& facts = record.facts;
    std::string first = when(facts.made_utc);
    add(first, "", decision(record, words));
    add(first, "", record.forgets.empty() ? facts.kind : "");
    add(first, "", facts.job_number);
    add(first, "", facts.bike);
    lines.push_back({std::to_string(record.mark.number), first});
    for (const std::string& more : {people_of(record), links_of(record)}) {
      if (!more.empty()) {
        lines.push_back({"", more});
      }
    }
  }
  return report::listing(lines, view);
}

std::string head_text(const Record& record, const report::View& view) {
  std::vector<report::Listed> lines = {
      {"Record", std::to_string(record.mark.number)},
      {"Made", when(record.facts.made_utc) + " by kerfmark " + record.facts.program_version},
      {"Hash", record.mark.hash}};
  if (const std::string links = links_of(record); !links.empty()) {
    lines.push_back({"Revision", links});
  }
  if (!record.forgets.empty()) {
    lines.push_back({"Says", forgetting(record)});
  }
  if (!record.people) {
    lines.push_back({"Owner", "forgotten, with the notes"});
  }
  return report::listing(lines, view);
}

std::string json_of(const Record& record) { return report::json_object(fields_of(record)); }

std::string json_of(const Record& record, const Papers& papers) {
  std::vector<JsonField> fields = fields_of(record);
  fields.push_back({"paper", text_or_null(record.facts.paper)});
  fields.push_back({"language", text_or_null(record.facts.language)});
  fields.push_back({"shop", or_null(papers.shop)});
  fields.push_back({"job", papers.job});
  if (!report::is_json(papers.result_json)) {
    throw Trouble("show", "record " + std::to_string(record.mark.number),
                  "its result is not as it was stored; kerfmark record verify says more");
  }
  fields.push_back({"result", JsonText{papers.result_json}});
  return report::json_object(fields);
}

std::string csv_header() {
  return csv_row({}, [](const JsonField& field) { return std::string(field.name); });
}

std::string csv_line(const Record& record) {
  return csv_row(record, [](const JsonField& field) { return csv_cell(field.value); });
}

}  // namespace kerfmark::cli
