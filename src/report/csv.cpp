#include "kerfmark/report/csv.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "json_line.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Plan;

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

std::string number(double value) {
  std::string figure;
  append_nine_decimals(value, figure);
  return figure;
}

std::string cell(const std::optional<plan::Length>& length) {
  return length ? number(length->in_mm()) : std::string{};
}

// In the order of the columns.
struct Row {
  std::string file, kind, number, bike, owner, verdict, after, cut, left, window_from, window_to,
      first_limit, gap, insertion, do_first;
};

struct Column {
  std::string_view name;
  std::string Row::*cell;
};
constexpr auto columns = std::to_array<Column>({
    {"file", &Row::file},
    {"kind", &Row::kind},
    {"number", &Row::number},
    {"bike", &Row::bike},
    {"owner", &Row::owner},
    {"verdict", &Row::verdict},
    {"after_verdict", &Row::after},
    {"cut_mm", &Row::cut},
    {"left_mm", &Row::left},
    {"window_from_mm", &Row::window_from},
    {"window_to_mm", &Row::window_to},
    {"first_limit", &Row::first_limit},
    {"gap_mm", &Row::gap},
    {"insertion_mm", &Row::insertion},
    {"do_first", &Row::do_first},
});

template <class Cell>
std::string row_of(Owner owner, Cell cell) {
  std::vector<std::string> cells;
  for (const Column& column : columns) {
    if (owner == Owner::shown || column.cell != &Row::owner) {
      cells.push_back(cell(column));
    }
  }
  return csv_row(cells);
}

std::string row_of(Owner owner, const Row& row) {
  return row_of(owner, [&](const Column& column) { return row.*column.cell; });
}

// Of those that depend on the cut, the one with the least to spare.
const JudgedLimit* tightest(const Judgement& now) {
  const JudgedLimit* least = nullptr;
  const auto spare = [](const JudgedLimit& limit) { return limit.at.margin - limit.at.guard; };
  for (const JudgedLimit& limit : now.limits) {
    if (limit.row().sense() != plan::Sense::fixed &&
        (least == nullptr || spare(limit) < spare(*least))) {
      least = &limit;
    }
  }
  return least;
}

// What a hold or reject is about, else the one that the next millimetre meets.
std::string first_limit(const Judgement& now) {
  const bool about_one = now.verdict == plan::Verdict::hold || now.verdict == plan::Verdict::reject;
  const JudgedLimit* limit = about_one ? plan::first_in_the_way(now) : tightest(now);
  return limit == nullptr ? std::string{} : limit->id();
}

std::string first_of(const std::vector<Step>& steps) {
  return steps.empty() ? std::string{} : steps.front().action;
}

void add_figures(const Judgement& now, Row& row) {
  row.left = cell(now.remaining);
  row.gap = cell(now.gap());
  row.insertion = cell(now.insertion());
}

void add_after(const Telling& telling, Row& row) {
  const Judgement& after = telling.now;
  row.after = word(after.verdict);
  row.cut = cell(after.made->cut);
  add_figures(after, row);
  row.do_first = first_of(statement_of(telling).next);
}

void add_plan(const Telling& telling, Row& row) {
  const auto& [job, plan, now, words] = telling;
  row.first_limit = first_limit(plan.before);
  row.do_first = first_of(statement_of(telling).next);
  if (!plan::is_yes(plan.before.verdict)) {
    return;
  }
  row.cut = number(plan.before.at.in_mm());
  if (plan.window) {
    row.window_from = number(plan.window->lo.in_mm());
    row.window_to = cell(plan.window->hi);
  }
  add_figures(plan.before, row);
}

}  // namespace

std::string csv_cell(std::string_view text) {
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

std::string csv_row(std::span<const std::string> cells) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    line += (i == 0 ? "" : ",") + cells[i];
  }
  return line + "\r\n";
}

std::string plans_header(Owner owner) {
  return row_of(owner, [](const Column& column) { return std::string(column.name); });
}

std::string plan_row(std::string_view file, const Telling& telling, Owner owner) {
  const auto& [job, plan, now, words] = telling;
  Row row;
  row.file = csv_cell(file);
  row.kind = plan::word(job.kind);
  row.number = csv_cell(job.paperwork.number);
  row.bike = csv_cell(job.paperwork.bike);
  row.owner = csv_cell(job.paperwork.owner);
  row.verdict = word(plan.before.verdict);
  if (plan.after) {
    add_after(telling, row);
  } else {
    add_plan(telling, row);
  }
  row.do_first = csv_cell(row.do_first);
  return row_of(owner, row);
}

std::string bad_file_row(std::string_view file, const text::FindingLine& first, std::size_t more,
                         Owner owner) {
  std::string said;
  if (first.line && first.column) {
    said = std::to_string(*first.line) + ":" + std::to_string(*first.column) + ": ";
  }
  said += (first.key ? *first.key + ": " : "") + first.message +
          (more > 0 ? " (and " + std::to_string(more) + " more)" : "");
  Row row;
  row.file = csv_cell(file);
  row.verdict = "error";
  row.do_first = csv_cell(said);
  return row_of(owner, row);
}

}  // namespace kerfmark::report
