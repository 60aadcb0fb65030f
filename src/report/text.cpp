#include "kerfmark/report/text.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/drawing.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

constexpr std::size_t narrowest = 40;  // cells, common practice

View usable(View view) {
  view.width = std::max(view.width, narrowest);
  return view;
}

// ANSI colours of a verdict, ISO/IEC 6429: 1 bold, 32 green, 33 yellow, 31 red.
std::string coloured(std::string_view text, plan::Verdict verdict, const View& view) {
  if (!view.colour) {
    return std::string(text);
  }
  const char* code = verdict == plan::Verdict::hold     ? "\x1b[1;33m"
                     : verdict == plan::Verdict::reject ? "\x1b[1;31m"
                                                        : "\x1b[1;32m";
  return code + std::string(text) + "\x1b[0m";
}

std::string finished(const std::string& out, const View& view) {
  return view.utf8 ? out : text::in_ascii(out);
}

std::string section(std::string_view title, const View& view) {
  const std::string line = wrapped("", title, view.width);
  return "\n" + (view.colour ? "\x1b[1m" + line.substr(0, line.size() - 1) + "\x1b[0m\n" : line);
}

std::string figure_lines(const std::vector<Figure>& figures, const View& view) {
  std::size_t width = 0;
  for (const Figure& figure : figures) {
    width = std::max(width, text::cells(figure.label));
  }
  std::string out;
  for (const Figure& figure : figures) {
    out += wrapped("  " + padded(figure.label, width + 2), figure.value, view.width);
  }
  return out;
}

// The table of limits with as many columns as there is room for.
enum class Columns { all, figures, least };

std::string limit_table(const std::vector<LimitLine>& limits, Columns shown) {
  const bool figures = shown != Columns::least;
  const bool all = shown == Columns::all;
  std::vector<Column> columns = {{" "}, {"limit"}};
  if (figures) {
    columns.insert(columns.end(), {{"needs"}, {"has", true}});
  }
  columns.insert(columns.end(), {{"margin", true}, {"doubt", true}, {"status"}});
  if (figures) {
    columns.push_back({"origin"});
  }
  if (all) {
    columns.push_back({"what it asks for"});
  }
  std::vector<std::vector<std::string>> rows;
  for (const LimitLine& limit : limits) {
    std::vector<std::string> row = {limit.governs ? ">" : " ", limit.id};
    if (figures) {
      row.insert(row.end(), {limit.bound, limit.has});
    }
    row.insert(row.end(), {limit.margin, limit.doubt, limit.status});
    if (figures) {
      row.push_back(limit.origin);
    }
    if (all) {
      row.push_back(limit.what);
    }
    rows.push_back(std::move(row));
  }
  return table(columns, rows);
}

Columns columns_for(const std::vector<LimitLine>& limits, const View& view) {
  for (const Columns shown : {Columns::all, Columns::figures}) {
    if (widest_line(limit_table(limits, shown)) <= view.width) {
      return shown;
    }
  }
  return Columns::least;
}

// A sentence for each limit that stands out, and the source of each that has one.
std::string limit_notes(const std::vector<LimitLine>& limits, Columns shown, const View& view) {
  std::string out;
  const bool all = shown == Columns::all;
  for (const LimitLine& limit : limits) {
    if ((limit.stands_out && !all) || !limit.source.empty()) {
      const std::string source = limit.source.empty() ? "" : " [" + limit.source + "]";
      out += wrapped("  " + limit.id + ": ", limit.what + source, view.width);
    }
  }
  return out;
}

std::string next_steps(const std::vector<Step>& steps, const View& view) {
  std::string out;
  std::string last;
  for (const Step& step : steps) {
    if (!step.why.empty() && step.why != last) {
      out += wrapped("  ", step.why, view.width);
    }
    out += wrapped(step.why.empty() ? "  - " : "    - ", step.action, view.width);
    last = step.why;
  }
  return out;
}

}  // namespace

std::string verdict_line(const plan::Job& job, const plan::Plan& plan, const View& view) {
  const Statement s = statement_of(job, plan);
  const bool decided = plan::is_yes(plan.verdict);
  return finished(coloured(s.verdict + ".", plan.verdict, view) + " " + s.headline +
                      (decided ? "" : " " + s.because) + "\n",
                  view);
}

std::string text_report(const plan::Job& job, const plan::Plan& plan, const View& as_is) {
  const View view = usable(as_is);
  const Statement s = statement_of(job, plan);
  std::string out = wrapped("", s.verdict + ". " + s.headline, view.width);
  out.replace(0, s.verdict.size(), coloured(s.verdict, plan.verdict, view));
  out += wrapped("", s.because, view.width);
  if (!s.job.empty()) {
    out += "\n" + figure_lines(s.job, view);
  }
  out += section("Figures", view) + figure_lines(s.figures, view);
  if (const std::string drawing = side_view(job, plan, view); !drawing.empty()) {
    out += "\n" + drawing;
  }
  const Columns shown = columns_for(s.limits, view);
  out += section(s.limits_title + " (mm; > governs)", view) + limit_table(s.limits, shown);
  out += limit_notes(s.limits, shown, view);
  if (!s.next.empty()) {
    out += section("What to do", view) + next_steps(s.next, view);
  }
  if (!s.if_settled.empty()) {
    out += section(s.if_settled_title, view) + figure_lines(s.if_settled, view);
  }
  out += section("Cautions", view);
  for (const std::string& caution : s.cautions) {
    out += wrapped("  - ", caution, view.width);
  }
  return finished(out, view);
}

namespace {

// Twice the diameter is a floor for all posts and no maker's word on this one.
bool by_diameter_only(const plan::InsertionCheck& check) {
  return std::ranges::all_of(check.limits, [](const plan::JudgedLimit& limit) {
    return limit.rule == plan::Rule::floor_round;
  });
}

}  // namespace

std::string insertion_report(const plan::InsertionCheck& check, const View& as_is) {
  const View view = usable(as_is);
  const std::string inserted =
      ". " + one_decimal(check.inserted.in_mm()) + " mm of the post is in the frame: ";
  std::string verdict;
  switch (check.verdict) {
    case plan::Verdict::keep:
      verdict = by_diameter_only(check)
                    ? "more than twice the diameter, which is the least for any post. Neither its "
                      "mark nor a maker's minimum was given: measure from the lower end up to the "
                      "printed mark and ask again with --mark."
                    : "enough, with the doubt of the readings counted against it.";
      break;
    case plan::Verdict::hold:
      verdict = "too close to tell. Measure again, or lower the saddle.";
      break;
    case plan::Verdict::cut:
    case plan::Verdict::reject:
      verdict = "not enough. Do not ride it; lower the saddle or fit a longer post.";
      break;
  }
  const std::string word_of = check.verdict == plan::Verdict::keep   ? "KEEP"
                              : check.verdict == plan::Verdict::hold ? "HOLD"
                                                                     : "REJECT";
  std::string out = wrapped("", word_of + inserted + verdict, view.width);
  out.replace(0, word_of.size(), coloured(word_of, check.verdict, view));
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
  out += section("Cautions", view);
  out += wrapped("  - ",
                 "The larger of the post maker's and the frame maker's minimum counts; ask for "
                 "both. Never ride a post that is raised above its line.",
                 view.width);
  out += wrapped("  - ",
                 "The maker's instructions come first. If anything is unclear, ask a qualified "
                 "mechanic.",
                 view.width);
  return finished(out, view);
}

std::string rules_table(const View& as_is) {
  const View view = usable(as_is);
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
  out += section("What each asks", view);
  for (const plan::RuleRow& row : plan::rules()) {
    out += wrapped("  " + std::string(row.id) + ": ", what(row.rule), view.width);
  }
  out += "\n";
  out += wrapped("",
                 "Limits of origin maker, published and measured are hard: none may be broken, "
                 "and the doubt of the readings counts against them. Practice is common practice "
                 "of the trade and compared as marked.",
                 view.width);
  return finished(out, view);
}

}  // namespace kerfmark::report
