#include "kerfmark/report/text.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include <utf8proc.h>

#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::report {
namespace {

constexpr std::size_t page_width = 80;

// Terminal cells that a text takes: wide letters two, combining marks none.
std::size_t cells(std::string_view text) {
  std::size_t sum = 0;
  const auto* next =
      reinterpret_cast<const utf8proc_uint8_t*>(text.data());  // NOLINT(*-reinterpret-cast)
  auto left = static_cast<utf8proc_ssize_t>(text.size());
  while (left > 0) {
    utf8proc_int32_t code = 0;
    const auto length = std::max<utf8proc_ssize_t>(1, utf8proc_iterate(next, left, &code));
    sum += static_cast<std::size_t>(std::max(0, utf8proc_charwidth(code)));
    next += length;
    left -= length;
  }
  return sum;
}

std::string padded(std::string_view text, std::size_t width, bool right = false) {
  const std::size_t taken = cells(text);
  const std::string blank(taken < width ? width - taken : 0, ' ');
  return right ? blank + std::string(text) : std::string(text) + blank;
}

// Words of `text` in lines of the page's width, the first behind `first`, the others behind as
// many blanks.
std::string wrapped(std::string_view first, std::string_view text) {
  const std::size_t indent = cells(first);
  std::string out(first);
  std::size_t column = indent;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find(' ', start), text.size());
    const std::string_view next = text.substr(start, end - start);
    if (column > indent && column + 1 + cells(next) > page_width) {
      out += "\n" + std::string(indent, ' ');
      column = indent;
    }
    if (column > indent) {
      out += ' ';
      ++column;
    }
    out += next;
    column += cells(next);
    start = end + 1;
  }
  return out + "\n";
}

std::string section(std::string_view title) { return "\n" + std::string(title) + "\n"; }

std::string figure_lines(const std::vector<Figure>& figures) {
  std::size_t width = 0;
  for (const Figure& figure : figures) {
    width = std::max(width, cells(figure.label));
  }
  std::string out;
  for (const Figure& figure : figures) {
    out += wrapped("  " + padded(figure.label, width + 2), figure.value);
  }
  return out;
}

struct Column {
  std::string title;
  bool right = false;
};

// Columns as wide as their widest cell, two blanks apart.
std::string table(const std::vector<Column>& columns,
                  const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (std::size_t i = 0; i < columns.size(); ++i) {
    std::size_t width = cells(columns[i].title);
    for (const auto& row : rows) {
      width = std::max(width, cells(row[i]));
    }
    widths.push_back(width);
  }
  const auto line = [&](const auto& cell_of) {
    std::string out;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      out += (i == 0 ? "" : "  ") + padded(cell_of(i), widths[i], columns[i].right);
    }
    out.erase(out.find_last_not_of(' ') + 1);
    return out + "\n";
  };
  std::string out = line([&](std::size_t i) -> const std::string& { return columns[i].title; });
  for (const auto& row : rows) {
    out += line([&](std::size_t i) -> const std::string& { return row[i]; });
  }
  return out;
}

std::string limit_table(const std::vector<LimitLine>& limits) {
  std::vector<std::vector<std::string>> rows;
  for (const LimitLine& limit : limits) {
    rows.push_back({limit.governs ? ">" : " ", limit.id, limit.bound, limit.has, limit.margin,
                    limit.doubt, limit.status, limit.origin});
  }
  return table({{" "},
                {"limit"},
                {"needs"},
                {"has", true},
                {"margin", true},
                {"doubt", true},
                {"status"},
                {"origin"}},
               rows);
}

std::string limit_notes(const std::vector<LimitLine>& limits) {
  std::string out;
  for (const LimitLine& limit : limits) {
    if (limit.stands_out || !limit.source.empty()) {
      const std::string source = limit.source.empty() ? "" : " [" + limit.source + "]";
      out += wrapped("  " + limit.id + ": ", limit.what + source);
    }
  }
  return out;
}

std::string next_steps(const std::vector<Step>& steps) {
  std::string out;
  std::string last;
  for (const Step& step : steps) {
    if (!step.why.empty() && step.why != last) {
      out += wrapped("  ", step.why);
    }
    out += wrapped(step.why.empty() ? "  - " : "    - ", step.action);
    last = step.why;
  }
  return out;
}

}  // namespace

std::string text_report(const plan::Job& job, const plan::Plan& plan) {
  const Statement s = statement_of(job, plan);
  std::string out = wrapped("", s.verdict + ". " + s.headline);
  out += wrapped("", s.because);
  if (!s.job.empty()) {
    out += "\n" + figure_lines(s.job);
  }
  out += section("Figures") + figure_lines(s.figures);
  out += section(s.limits_title + " (mm; > governs)") + limit_table(s.limits);
  out += limit_notes(s.limits);
  if (!s.next.empty()) {
    out += section("What to do") + next_steps(s.next);
  }
  if (!s.if_settled.empty()) {
    const bool reject = plan.verdict == plan::Verdict::reject;
    out +=
        section(reject
                    ? "If the doubt is settled and what is broken is mended, the figures would give"
                    : "If the doubt is settled, the figures would give") +
        figure_lines(s.if_settled);
  }
  out += section("Cautions");
  for (const std::string& caution : s.cautions) {
    out += wrapped("  - ", caution);
  }
  return out;
}

std::string insertion_report(const plan::InsertionCheck& check) {
  std::string out;
  const std::string inserted = one_decimal(check.inserted.in_mm());
  switch (check.verdict) {
    case plan::Verdict::keep:
      out = wrapped("", "KEEP. " + inserted +
                            " mm of the post is in the frame: enough, with the "
                            "doubt of the readings counted against it.");
      break;
    case plan::Verdict::hold:
      out = wrapped("", "HOLD. " + inserted +
                            " mm of the post is in the frame: too close to tell. "
                            "Measure again, or lower the saddle.");
      break;
    case plan::Verdict::cut:
    case plan::Verdict::reject:
      out = wrapped("", "REJECT. " + inserted +
                            " mm of the post is in the frame: not enough. Do "
                            "not ride it; lower the saddle or fit a longer post.");
      break;
  }
  std::vector<std::vector<std::string>> rows;
  for (const plan::JudgedLimit& limit : check.limits) {
    rows.push_back({limit.id(), "min " + one_decimal(limit.needs),
                    one_decimal(limit.at.margin, Rounding::down),
                    one_decimal(limit.at.guard, Rounding::up), std::string(spoken(limit.at.status)),
                    std::string(word(limit.row().origin)), std::string(limit.row().source)});
  }
  out += "\n" + table({{"limit"},
                       {"needs"},
                       {"margin", true},
                       {"doubt", true},
                       {"status"},
                       {"origin"},
                       {"source"}},
                      rows);
  out += section("Cautions");
  out += wrapped("  - ",
                 "The larger of the post maker's and the frame maker's minimum counts; ask "
                 "for both. Never ride a post that is raised above its line.");
  out += wrapped("  - ",
                 "The maker's instructions come first. If anything is unclear, ask a "
                 "qualified mechanic.");
  return out;
}

std::string rules_table() {
  std::string out;
  std::vector<std::vector<std::string>> rows;
  for (const plan::RuleRow& row : plan::rules()) {
    const std::string kinds = row.for_seatpost && row.for_steerer ? "both"
                              : row.for_seatpost                  ? "seatpost"
                                                                  : "steerer";
    rows.push_back({std::string(row.id) + (row.numbered ? "-1, -2 ..." : ""), kinds,
                    std::string(word(row.origin)), built_in(row), std::string(row.source)});
  }
  out += table({{"limit"}, {"kind"}, {"origin"}, {"default"}, {"source"}}, rows);
  out += section("What each asks");
  for (const plan::RuleRow& row : plan::rules()) {
    out += wrapped("  " + std::string(row.id) + ": ", what(row.rule));
  }
  out += "\n";
  out += wrapped("",
                 "Limits of origin maker, published and measured are hard: none may be broken, "
                 "and the doubt of the readings counts against them. Practice is common "
                 "practice of the trade and compared as marked.");
  return out;
}

}  // namespace kerfmark::report
