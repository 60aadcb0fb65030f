#include "record_text.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

#include "kerfmark/report/csv.hpp"
#include "kerfmark/report/json_object.hpp"
#include "kerfmark/report/listing.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"
#include "local_time.hpp"

namespace kerfmark::cli {
namespace {

using records::Documents;
using records::Record;
using report::JsonField;
using report::JsonText;
using report::JsonValue;

std::string forgetting(const Record& record) {
  std::string list;
  for (const std::int64_t number : record.forgets) {
    list += (list.empty() ? "" : ", ") + std::to_string(number);
  }
  return "owner and notes forgotten of " +
         std::string(record.forgets.size() > 1 ? "records " : "record ") + list;
}

std::string decision(const Record& record, const text::Words& words) {
  const auto& summary = record.summary;
  if (!record.forgets.empty()) {
    return forgetting(record);
  }
  const auto in_mm = [&](double value) { return report::plain(value, words) + " mm"; };
  std::string said = summary.verdict;
  if (summary.planned_cut_mm) {
    said += " " + in_mm(*summary.planned_cut_mm);
  }
  if (summary.actual_cut_mm) {
    said += ", sawn " + in_mm(*summary.actual_cut_mm);
  }
  if (summary.after_verdict) {
    said += ", " + *summary.after_verdict;
  }
  return said;
}

void add(std::string& list, std::string_view what, const std::string& value) {
  if (!value.empty()) {
    list += (list.empty() ? "" : "; ") + std::string(what) + value;
  }
}

std::string personal_data_of(const Record& record) {
  std::string list;
  if (!record.forgets.empty()) {
    return list;  // names nobody
  }
  if (record.personal_data) {
    add(list, "", record.personal_data->owner);
  } else {
    add(list, "", "owner forgotten");
  }
  add(list, "by ", record.summary.by);
  add(list, "checked by ", record.summary.checked_by);
  return list;
}

std::string what_it_replaces(const Record& record) {
  return record.summary.replaces ? "replaces record " + std::to_string(*record.summary.replaces)
                                 : std::string{};
}

std::string links_of(const Record& record) {
  std::string list = what_it_replaces(record);
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

std::string origin_text(const Documents& documents) {
  std::string list;
  for (const records::RecordIdentity& origin : records::origins_in(documents.job)) {
    add(list, "record ",
        std::to_string(origin.number) + " of another register, hash " + origin.hash);
  }
  return list;
}

JsonText origins_of(const Documents& documents) {
  std::string list;
  for (const records::RecordIdentity& origin : records::origins_in(documents.job)) {
    const std::vector<JsonField> fields = {{"record", origin.number}, {"hash", origin.hash}};
    list += (list.empty() ? "" : ",") + report::json_object(fields);
  }
  return {"[" + list + "]"};
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
  const auto& summary = record.summary;
  return {{"schema", std::int64_t{1}},
          {"record", record.identity.number},
          {"hash", record.identity.hash},
          {"replaces", or_null(summary.replaces)},
          {"replaced_by", or_null(record.replaced_by)},
          {"made_utc", summary.made_utc},
          {"program", summary.program_version},
          {"kind", summary.kind},
          {"verdict", text_or_null(summary.verdict)},
          {"planned_cut_mm", or_null(summary.planned_cut_mm)},
          {"actual_cut_mm", or_null(summary.actual_cut_mm)},
          {"after_verdict", or_null(summary.after_verdict)},
          {"number", text_or_null(summary.job_number)},
          {"bike", text_or_null(summary.bike)},
          {"owner", record.personal_data ? text_or_null(record.personal_data->owner) : JsonValue()},
          {"by", text_or_null(summary.by)},
          {"checked_by", text_or_null(summary.checked_by)},
          {"notes", record.personal_data ? text_or_null(record.personal_data->notes) : JsonValue()},
          {"forgotten", JsonText{record.personal_data ? "false" : "true"}},
          {"forgets", forgets_of(record)}};
}

std::string cell_of(const JsonValue& value) {
  if (const auto* text = std::get_if<std::string>(&value)) {
    return report::csv_cell(*text);
  }
  // Numbers as JSON has them: with a point, and as short as they are read back the same.
  const JsonField field{"x", value};
  const std::string object = report::json_object({&field, 1});
  constexpr std::string_view before = "{\"x\":";
  const std::string cell = object.substr(before.size(), object.size() - before.size() - 1);
  return cell == "null" ? "" : report::csv_cell(cell);
}

template <class Cell>
std::string row_of(const Record& record, const std::string& origin, Cell cell) {
  std::vector<JsonField> fields = fields_of(record);
  fields.push_back({"came_from", text_or_null(origin)});
  std::vector<std::string> cells;
  for (const JsonField& field : fields) {
    if (field.name != "schema") {
      cells.push_back(cell(field));
    }
  }
  return report::csv_row(cells);
}

}  // namespace

std::string list_text(std::span<const Record> found, const report::View& view) {
  const text::Words words = text::words_in(text::languages().front());
  std::vector<report::Listed> lines;
  for (const Record& record : found) {
    const auto& summary = record.summary;
    std::string first = local_time(summary.made_utc);
    if (record.replaced_by) {
      add(first, "REPLACED by record ", std::to_string(*record.replaced_by));
    }
    add(first, "", decision(record, words));
    add(first, "", record.forgets.empty() ? summary.kind : "");
    add(first, "", summary.job_number);
    add(first, "", summary.bike);
    lines.push_back({std::to_string(record.identity.number), first});
    for (const std::string& more : {personal_data_of(record), what_it_replaces(record)}) {
      if (!more.empty()) {
        lines.push_back({"", more});
      }
    }
  }
  return report::listing(lines, view);
}

std::string head_text(const Record& record, const Documents& documents, const report::View& view) {
  std::vector<report::Listed> lines = {
      {"Record", std::to_string(record.identity.number)},
      {"Made",
       local_time(record.summary.made_utc) + " by kerfmark " + record.summary.program_version},
      {"Hash", record.identity.hash}};
  if (const std::string links = links_of(record); !links.empty()) {
    lines.push_back({"Revision", links});
  }
  if (const std::string origin = origin_text(documents); !origin.empty()) {
    lines.push_back({"From", origin});
  }
  if (!record.forgets.empty()) {
    lines.push_back({"Says", forgetting(record)});
  }
  if (!record.personal_data) {
    lines.push_back({"Owner", "forgotten, with the notes"});
  }
  return report::listing(lines, view);
}

std::string json_of(const Record& record) { return report::json_object(fields_of(record)); }

std::string json_of(const Record& record, const Documents& documents) {
  std::vector<JsonField> fields = fields_of(record);
  fields.push_back({"came_from", origins_of(documents)});
  fields.push_back({"paper", text_or_null(record.summary.paper)});
  fields.push_back({"language", text_or_null(record.summary.language)});
  fields.push_back({"shop", or_null(documents.shop)});
  fields.push_back({"job", documents.job});
  if (!report::is_json(documents.result_json)) {
    throw Trouble("show", "record " + std::to_string(record.identity.number),
                  "its result is not as it was stored; kerfmark record verify says more");
  }
  fields.push_back({"result", JsonText{documents.result_json}});
  return report::json_object(fields);
}

std::string csv_header() {
  return row_of({}, {}, [](const JsonField& field) { return std::string(field.name); });
}

std::string csv_line(const Record& record, const Documents& documents) {
  return row_of(record, origin_text(documents),
                [](const JsonField& field) { return cell_of(field.value); });
}

}  // namespace kerfmark::cli
