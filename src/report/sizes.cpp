#include "kerfmark/report/sizes.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "json_line.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/csv.hpp"
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

constexpr std::size_t piece = std::size_t{1} << 16;  // bytes that are written at a time

void append_limit_id(const SizeCell& cell, std::string& to) {
  if (cell.limit) {
    to += plan::row_of(*cell.limit).id;
    to += cell.number > 0 ? "-" + std::to_string(cell.number) : "";
  }
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
  std::string out = "\n" + wrapped("", set_sentence(telling, set, whole, words), view.width);
  if (telling.matrix.rows() <= most_rows_shown && !set.parts.empty()) {
    out += served_text(telling, set, view, words);
  }
  if (const std::string none = unserved_sentence(telling, set, words); !none.empty()) {
    out += wrapped("", none, view.width);
  }
  return out;
}

constexpr std::string_view csv_header =
    "size,range,part,verdict,cut_mm,saddle_from_mm,saddle_to_mm,limit,serves,serves_whole\r\n";

void append_row(const SizesTelling& telling, const std::string& size_and_range, std::size_t row,
                std::size_t part, const std::string& name_of_part, std::string& out) {
  const SizeCell& cell = telling.matrix.at(row, part);
  const auto figure = [&](const std::optional<plan::Length>& length) {
    out += ',';
    if (length) {
      append_nine_decimals(length->in_mm(), out);
    }
  };
  out += size_and_range;
  out += name_of_part;
  out += ',';
  out += word(cell.verdict);
  figure(cell.verdict == Verdict::cut ? std::optional(cell.cut) : std::nullopt);
  figure(cell.saddle ? cell.saddle->lo : std::nullopt);
  figure(cell.saddle ? cell.saddle->hi : std::nullopt);
  out += ',';
  append_limit_id(cell, out);
  out += telling.least.serves[row] == part ? ",yes" : ",";
  out += telling.whole.serves[row] == part ? ",yes\r\n" : ",\r\n";
}

void put_cell(JsonLine& out, const SizesTelling& telling, std::size_t row, std::size_t part) {
  const SizeCell& cell = telling.matrix.at(row, part);
  const std::string& range = telling.ranges[row % telling.ranges.size()];
  out.object([&] {
    out.field("size", std::string_view(telling.sizes[row / telling.ranges.size()]));
    out.field("range", range.empty() ? std::nullopt : std::optional<std::string_view>(range));
    out.field("part", std::string_view(telling.parts[part]));
    out.field("verdict", word(cell.verdict));
    out.field("cut_mm", cell.verdict == Verdict::cut ? std::optional(cell.cut) : std::nullopt);
    out.name("saddle_range_mm");
    if (cell.saddle) {
      out.list([&] {
        out.put(cell.saddle->lo);
        out.put(cell.saddle->hi);
      });
    } else {
      out.put(std::nullopt);
    }
    std::string id;
    append_limit_id(cell, id);
    out.field("limit", id.empty() ? std::nullopt : std::optional<std::string_view>(id));
    out.field("serves", telling.least.serves[row] == part);
    out.field("serves_whole", telling.whole.serves[row] == part);
  });
}

void put_set(JsonLine& out, const SizesTelling& telling, const plan::LeastSet& set,
             std::string_view name_of_set, std::string_view name_of_rest) {
  out.name(name_of_set);
  out.list([&] {
    for (const std::size_t part : set.parts) {
      out.put(std::string_view(telling.parts[part]));
    }
  });
  out.name(name_of_rest);
  out.list([&] {
    for (const std::size_t row : unserved(set)) {
      out.put(std::string_view(telling.row_name(row)));
    }
  });
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

std::string limit_of(const SizeCell& cell, const text::Words& words) {
  if (!cell.limit) {
    return {};
  }
  plan::JudgedLimit limit;
  limit.rule = *cell.limit;
  limit.number = cell.number;
  return name_of_limit(limit, words);
}

std::string size_word(const SizeCell& cell, const text::Words& words) {
  const std::string limit = limit_of(cell, words);
  switch (cell.verdict) {
    case Verdict::keep:
    case Verdict::fit:
      return words.at("sizes.keep");
    case Verdict::cut:
      return words.say("sizes.cut", {{"cut", plain(cell.cut.in_mm(), words)}});
    case Verdict::hold:
      return limit.empty() ? words.at("sizes.hold")
                           : words.say("sizes.hold_for", {{"limit", limit}});
    case Verdict::reject:
    case Verdict::unfit:
      return limit.empty() ? words.at("sizes.no") : words.say("sizes.no_for", {{"limit", limit}});
  }
  return {};
}

SaddleEnds saddle_ends(const SizeCell& cell, const text::Words& words) {
  if (!plan::is_yes(cell.verdict) || !cell.saddle) {
    return {};
  }
  const auto& [lo, hi] = *cell.saddle;
  constexpr double forgiven = 1e-9;  // as all comparisons of lengths
  double from = lo ? std::ceil(lo->in_mm() - forgiven) : 0.0;
  double to = hi ? std::floor(hi->in_mm() + forgiven) : 0.0;
  if (lo && hi && from > to) {  // no whole millimetre lies between them
    from = lo->in_mm();
    to = hi->in_mm();
  }
  return {lo ? plain(from, words) : std::string{}, hi ? plain(to, words) : std::string{}};
}

std::string saddle_range(const SizeCell& cell, const text::Words& words) {
  const auto [lo, hi] = saddle_ends(cell, words);
  const auto mm = [&](const std::string& end) {
    return with_unit(end, measure::Dimension::length, words);
  };
  if (lo.empty()) {
    return hi.empty() ? std::string{} : words.say("report.range.up_to", {{"hi", mm(hi)}});
  }
  return hi.empty() ? words.say("report.range.from", {{"lo", mm(lo)}})
                    : words.say("report.range.from_to", {{"lo", lo}, {"hi", hi}});
}

std::string set_sentence(const SizesTelling& telling, const plan::LeastSet& set, bool whole,
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

std::string unserved_sentence(const SizesTelling& telling, const plan::LeastSet& set,
                              const text::Words& words) {
  std::string list;
  for (const std::size_t row : unserved(set)) {
    list += (list.empty() ? "" : "; ") + shown(telling.row_name(row));
  }
  // Where no part serves anything, that is said already.
  return list.empty() || set.parts.empty() ? std::string{}
                                           : words.say("sizes.unserved", {{"sizes", list}});
}

std::string sizes_text(const SizesTelling& telling, const View& as_is, const text::Words& words) {
  const View view = usable(as_is);
  std::string out = matrix_text(telling, view, words);
  out += set_text(telling, telling.least, false, view, words);
  if (telling.whole.parts != telling.least.parts) {
    out += set_text(telling, telling.whole, true, view, words);
  }
  out += "\n" + wrapped("", words.at("report.caution.maker_first"), view.width);
  return finished(out, view);
}

void sizes_csv(const SizesTelling& telling, const Sink& to) {
  std::vector<std::string> parts;
  for (const std::string& part : telling.parts) {
    parts.push_back(csv_cell(part));
  }
  std::string out(csv_header);
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    const std::string names = csv_cell(telling.sizes[row / telling.ranges.size()]) + "," +
                              csv_cell(telling.ranges[row % telling.ranges.size()]) + ",";
    for (std::size_t part = 0; part < telling.matrix.parts; ++part) {
      append_row(telling, names, row, part, parts[part], out);
      if (out.size() > piece) {
        to(std::exchange(out, {}));
      }
    }
  }
  to(out);
}

void sizes_json(const SizesTelling& telling, const Sink& to) {
  JsonLine out;
  out.object([&] {
    out.field("schema", 1);
    out.field("kind", plan::word(telling.kind));
    out.name("cells");
    out.list([&] {
      for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
        for (std::size_t part = 0; part < telling.matrix.parts; ++part) {
          put_cell(out, telling, row, part);
          if (out.length() > piece) {
            to(out.take());
          }
        }
      }
    });
    put_set(out, telling, telling.least, "least_set", "unserved");
    out.field("proven_least", telling.least.proven);
    put_set(out, telling, telling.whole, "least_set_whole", "unserved_whole");
  });
  to(out.take() + "\n");
}

}  // namespace kerfmark::report
