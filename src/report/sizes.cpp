#include "kerfmark/report/sizes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "json_line.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/csv.hpp"
#include "kerfmark/report/json_object.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

using plan::SizeCell;
using plan::Verdict;

// A screenful; more is for a spreadsheet.
constexpr std::size_t most_rows_shown = 60;
constexpr std::size_t most_parts_shown = 12;

std::string limit_id(const SizeCell& cell) {
  return cell.limit ? std::string(plan::row_of(*cell.limit).id) +
                          (cell.number > 0 ? "-" + std::to_string(cell.number) : "")
                    : std::string{};
}

std::string nine(double value) {
  std::string figure;
  append_nine_decimals(value, figure);
  return figure;
}

std::string nine(const std::optional<plan::Length>& length) {
  return length ? nine(length->in_mm()) : std::string{};
}

std::string shown(const std::string& name) { return text::harmless(name); }

std::string names(const SizesTelling& telling, const std::vector<std::size_t>& parts) {
  std::string list;
  for (const std::size_t part : parts) {
    list += (list.empty() ? "" : ", ") + shown(telling.parts[part]);
  }
  return list;
}

std::string matrix_text(const SizesTelling& telling, const View& view, const text::Words& words) {
  const plan::SizeMatrix& matrix = telling.matrix;
  if (matrix.rows() > most_rows_shown || matrix.parts > most_parts_shown) {
    return wrapped("",
                   words.say("sizes.too_large", {{"rows", std::to_string(matrix.rows())},
                                                 {"parts", std::to_string(matrix.parts)}}),
                   view.width);
  }
  std::vector<Column> columns = {{""}};
  for (const std::string& part : telling.parts) {
    columns.push_back({shown(part)});
  }
  std::vector<std::vector<std::string>> rows;
  for (std::size_t row = 0; row < matrix.rows(); ++row) {
    rows.push_back({shown(telling.row_name(row))});
    for (std::size_t part = 0; part < matrix.parts; ++part) {
      rows.back().push_back(size_word(matrix.at(row, part), words));
    }
  }
  return table_to_fit(columns, rows, view.width);
}

std::string set_line(const SizesTelling& telling, const plan::LeastSet& set, bool whole,
                     const text::Words& words) {
  if (set.parts.empty()) {
    return words.at(whole ? text::Sentence("sizes.none_whole")
                          : text::Sentence("sizes.none_serves"));
  }
  const std::string parts = names(telling, set.parts);
  if (!set.proven) {
    return words.say("sizes.best_found", {{"parts", parts}});
  }
  return whole ? words.say("sizes.least_whole", {{"parts", parts}})
               : words.say("sizes.least", {{"parts", parts}});
}

std::vector<std::size_t> unserved(const plan::LeastSet& set) {
  std::vector<std::size_t> rows;
  for (std::size_t row = 0; row < set.serves.size(); ++row) {
    if (!set.serves[row]) {
      rows.push_back(row);
    }
  }
  return rows;
}

std::string served_text(const SizesTelling& telling, const plan::LeastSet& set, const View& view,
                        const text::Words& words) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    if (const auto part = set.serves[row]) {
      const SizeCell& cell = telling.matrix.at(row, *part);
      const std::string range = saddle_range(cell, words);
      rows.push_back({shown(telling.row_name(row)), shown(telling.parts[*part]),
                      size_word(cell, words),
                      range.empty() ? "" : words.say("sizes.saddle", {{"range", range}})});
    }
  }
  // A table without titles.
  const std::string text = table_to_fit({{""}, {""}, {""}, {""}}, rows, view.width);
  return text.substr(std::min(text.find('\n') + 1, text.size()));
}

std::string set_text(const SizesTelling& telling, const plan::LeastSet& set, bool whole,
                     const View& view, const text::Words& words) {
  std::string out = "\n" + wrapped("", set_line(telling, set, whole, words), view.width);
  if (telling.matrix.rows() <= most_rows_shown && !set.parts.empty()) {
    out += served_text(telling, set, view, words);
  }
  std::string list;
  for (const std::size_t row : unserved(set)) {
    list += (list.empty() ? "" : "; ") + shown(telling.row_name(row));
  }
  if (!list.empty() && !set.parts.empty()) {
    out += wrapped("", words.say("sizes.unserved", {{"sizes", list}}), view.width);
  }
  return out;
}

struct Field {
  std::string_view name;
  std::string value;
};

std::vector<Field> fields_of(const SizesTelling& telling, std::size_t row, std::size_t part) {
  const SizeCell& cell = telling.matrix.at(row, part);
  const bool serves = telling.least.serves[row] == part;
  return {{"size", csv_cell(telling.sizes[row / telling.ranges.size()])},
          {"range", csv_cell(telling.ranges[row % telling.ranges.size()])},
          {"part", csv_cell(telling.parts[part])},
          {"verdict", std::string(word(cell.verdict))},
          {"cut_mm", cell.verdict == Verdict::cut ? nine(cell.cut.in_mm()) : std::string{}},
          {"saddle_from_mm", cell.saddle ? nine(cell.saddle->lo) : std::string{}},
          {"saddle_to_mm", cell.saddle ? nine(cell.saddle->hi) : std::string{}},
          {"limit", limit_id(cell)},
          {"serves", serves ? "yes" : ""},
          {"serves_whole", telling.whole.serves[row] == part ? "yes" : ""}};
}

std::string row_of(const std::vector<Field>& fields, bool header) {
  std::vector<std::string> cells;
  for (const Field& field : fields) {
    cells.push_back(header ? std::string(field.name) : field.value);
  }
  return csv_row(cells);
}

// Of texts, or of what is JSON already.
template <class Range, class Text>
std::string list_of(const Range& range, Text text) {
  std::string list;
  for (const auto& one : range) {
    list += (list.empty() ? "" : ",") + text(one);
  }
  return "[" + list + "]";
}

std::string json_text(const std::string& text) {
  const JsonField field{"x", text};
  const std::string object = json_object({&field, 1});
  return object.substr(5, object.size() - 6);  // behind {"x": and before }
}

JsonValue json_range(const SizeCell& cell) {
  if (!cell.saddle) {
    return {};
  }
  const auto end = [](const std::optional<plan::Length>& at) {
    return at ? nine(at->in_mm()) : std::string("null");
  };
  return JsonText{"[" + end(cell.saddle->lo) + "," + end(cell.saddle->hi) + "]"};
}

std::string json_cell(const SizesTelling& telling, std::size_t row, std::size_t part) {
  const SizeCell& cell = telling.matrix.at(row, part);
  const std::string range = telling.ranges[row % telling.ranges.size()];
  const std::string id = limit_id(cell);
  const std::array<JsonField, 9> fields = {
      {{"size", telling.sizes[row / telling.ranges.size()]},
       {"range", range.empty() ? JsonValue() : JsonValue(range)},
       {"part", telling.parts[part]},
       {"verdict", std::string(word(cell.verdict))},
       {"cut_mm", cell.verdict == Verdict::cut ? JsonValue(cell.cut.in_mm()) : JsonValue()},
       {"saddle_range_mm", json_range(cell)},
       {"limit", id.empty() ? JsonValue() : JsonValue(id)},
       {"serves", JsonText{telling.least.serves[row] == part ? "true" : "false"}},
       {"serves_whole", JsonText{telling.whole.serves[row] == part ? "true" : "false"}}}};
  return json_object(fields);
}

}  // namespace

std::string SizesTelling::row_name(std::size_t row) const {
  const std::string& range = ranges[row % ranges.size()];
  return sizes[row / ranges.size()] + (range.empty() ? "" : ", " + range);
}

std::string SizesTelling::cell_name(std::size_t row, std::size_t part) const {
  return row_name(row) + ", " + parts[part];
}

std::optional<std::pair<std::size_t, std::size_t>> SizesTelling::cell_of(
    const std::string& name) const {
  for (std::size_t row = 0; row < sizes.size() * ranges.size(); ++row) {
    for (std::size_t part = 0; part < parts.size(); ++part) {
      if (cell_name(row, part) == name) {
        return std::pair(row, part);
      }
    }
  }
  return std::nullopt;
}

std::string size_word(const SizeCell& cell, const text::Words& words) {
  const std::string id = limit_id(cell);
  switch (cell.verdict) {
    case Verdict::keep:
    case Verdict::fit:
      return words.at("sizes.keep");
    case Verdict::cut:
      return words.say("sizes.cut", {{"cut", plain(cell.cut.in_mm(), words)}});
    case Verdict::hold:
      return id.empty() ? words.at("sizes.hold") : words.say("sizes.hold_for", {{"limit", id}});
    case Verdict::reject:
    case Verdict::unfit:
      return id.empty() ? words.at("sizes.no") : words.say("sizes.no_for", {{"limit", id}});
  }
  return {};
}

std::string saddle_range(const SizeCell& cell, const text::Words& words) {
  if (!plan::is_yes(cell.verdict) || !cell.saddle || !cell.saddle->lo || !cell.saddle->hi) {
    return {};
  }
  // Inwards, so that no height is promised that is not there.
  const auto mm = [&](double value) { return plain(value, words); };
  return words.say("report.range.from_to",
                   {{"lo", mm(std::ceil(cell.saddle->lo->in_mm() - 1e-9))},
                    {"hi", mm(std::floor(cell.saddle->hi->in_mm() + 1e-9))}});
}

std::string sizes_text(const SizesTelling& telling, const View& as_is, const text::Words& words) {
  const View view = usable(as_is);
  std::string out = matrix_text(telling, view, words);
  out += set_text(telling, telling.least, false, view, words);
  if (telling.whole.parts != telling.least.parts) {
    out += set_text(telling, telling.whole, true, view, words);
  }
  return finished(out, view);
}

std::string sizes_csv(const SizesTelling& telling) {
  std::string out;
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    for (std::size_t part = 0; part < telling.matrix.parts; ++part) {
      const auto fields = fields_of(telling, row, part);
      out += (out.empty() ? row_of(fields, true) : "") + row_of(fields, false);
    }
  }
  return out;
}

std::string sizes_json(const SizesTelling& telling) {
  std::string cells;
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    for (std::size_t part = 0; part < telling.matrix.parts; ++part) {
      cells += (cells.empty() ? "" : ",") + json_cell(telling, row, part);
    }
  }
  const auto part_name = [&](std::size_t part) { return json_text(telling.parts[part]); };
  const auto row_name = [&](std::size_t row) { return json_text(telling.row_name(row)); };
  const std::array<JsonField, 8> fields = {
      {{"schema", std::int64_t{1}},
       {"kind", std::string(plan::word(telling.kind))},
       {"cells", JsonText{"[" + cells + "]"}},
       {"least_set", JsonText{list_of(telling.least.parts, part_name)}},
       {"proven_least", JsonText{telling.least.proven ? "true" : "false"}},
       {"unserved", JsonText{list_of(unserved(telling.least), row_name)}},
       {"least_set_whole", JsonText{list_of(telling.whole.parts, part_name)}},
       {"unserved_whole", JsonText{list_of(unserved(telling.whole), row_name)}}}};
  return json_object(fields);
}

}  // namespace kerfmark::report
