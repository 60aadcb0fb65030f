#include "kerfmark/report/text.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/after.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/drawing.hpp"
#include "kerfmark/report/odds.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"
#include "text_parts.hpp"

namespace kerfmark::report {
namespace {

// The verdict before the cut that has the same colour.
plan::Verdict like(plan::AfterVerdict verdict) {
  switch (verdict) {
    case plan::AfterVerdict::fit:
      return plan::Verdict::keep;
    case plan::AfterVerdict::hold:
      return plan::Verdict::hold;
    case plan::AfterVerdict::unfit:
      return plan::Verdict::reject;
  }
  return plan::Verdict::hold;
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
    std::vector<std::string> row = {limit.governs ? ">" : " ", limit.name};
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
      out += wrapped("  " + limit.name + ": ", limit.what + source, view.width);
    }
  }
  return out;
}

// The odds of each limit that stands out.
std::string how_sure(const std::vector<LimitLine>& limits, const View& view,
                     const text::Words& words) {
  std::string lines;
  for (const LimitLine& limit : limits) {
    if (limit.stands_out && limit.has_odds) {
      lines += wrapped("  " + limit.name + ": ", limit.odds, view.width);
    }
  }
  return lines.empty() ? "" : section(words.say("report.odds.title"), view) + lines;
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

std::string head(const std::string& verdict, plan::Verdict colour, const std::string& headline,
                 const std::string& because, const View& view) {
  std::string out = wrapped("", verdict + ". " + headline, view.width);
  out.replace(0, verdict.size(), coloured(verdict, colour, view));
  return out + wrapped("", because, view.width);
}

std::string drawing(const plan::Job& job, const plan::Plan& plan, const View& view,
                    const text::Words& words) {
  const std::string shown = side_view(job, plan, view, words);
  return shown.empty() ? shown : "\n" + shown;
}

std::string limits(const std::string& title, const std::vector<LimitLine>& lines, const View& view,
                   const text::Words& words) {
  const Columns shown = columns_for(lines, view);
  return section(title + " (mm; > governs)", view) + limit_table(lines, shown) +
         limit_notes(lines, shown, view) + how_sure(lines, view, words);
}

// The part as it was measured after the cut: that comes first, the plan is history.
std::string after_cut(const plan::Job& job, const plan::Plan& plan, const Statement& s,
                      const View& view, const text::Words& words) {
  const AfterStatement a = after_statement_of(job, plan, words);
  std::string out = head(a.verdict, like(plan.after->verdict), a.headline, a.because, view);
  if (!s.job.empty()) {
    out += "\n" + figure_lines(s.job, view);
  }
  out += section(a.title, view) + figure_lines(a.figures, view);
  out += drawing(job, plan, view, words) + limits(a.limits_title, a.limits, view, words);
  return out + section("What to do", view) + next_steps(a.next, view);
}

}  // namespace

std::string verdict_line(const plan::Job& job, const plan::Plan& plan, const View& view,
                         const text::Words& words) {
  if (plan.after) {
    const AfterStatement a = after_statement_of(job, plan, words);
    const bool fit = plan.after->verdict == plan::AfterVerdict::fit;
    return finished(coloured(a.verdict + ".", like(plan.after->verdict), view) + " " + a.headline +
                        (fit ? "" : " " + a.because) + "\n",
                    view);
  }
  const Statement s = statement_of(job, plan, words);
  const bool decided = plan::is_yes(plan.verdict);
  return finished(coloured(s.verdict + ".", plan.verdict, view) + " " + s.headline +
                      (decided ? "" : " " + s.because) + "\n",
                  view);
}

std::string text_report(const plan::Job& job, const plan::Plan& plan, const View& as_is,
                        const text::Words& words, const plan::Trials* trials) {
  const View view = usable(as_is);
  const Statement s = statement_of(job, plan, words);
  std::string out;
  if (plan.after) {
    out = after_cut(job, plan, s, view, words) + section(words.at("report.after.title.plan"), view);
  }
  out += head(s.verdict, plan.verdict, s.headline, s.because, view);
  if (!s.job.empty() && !plan.after) {
    out += "\n" + figure_lines(s.job, view);
  }
  out += section("Figures", view) + figure_lines(s.figures, view);
  if (!plan.after) {
    out += drawing(job, plan, view, words);
  }
  out += limits(s.limits_title, s.limits, view, words);
  if (trials != nullptr) {
    out += trials_report(plan, *trials, view, words);
  }
  // What was to be done before the cut is done or too late.
  if (!s.next.empty() && !plan.after) {
    out += section("What to do", view) + next_steps(s.next, view);
  }
  if (!s.if_settled.empty()) {
    out += section(s.if_settled_title, view) + figure_lines(s.if_settled, view);
  }
  out += section("Cautions", view);
  for (const std::string& caution : s.cautions) {
    out += wrapped("  - ", caution, view.width);
  }
  out +=
      "\n" + wrapped("", words.say("report.digest.line", {{"digest", digest_of(job)}}), view.width);
  return finished(out, view);
}

std::string rules_table(const View& as_is, const text::Words& words) {
  const View view = usable(as_is);
  std::string out;
  std::vector<std::vector<std::string>> rows;
  for (const plan::RuleRow& row : plan::rules()) {
    const std::string kinds = row.for_seatpost && row.for_steerer ? "both"
                              : row.for_seatpost                  ? "seatpost"
                                                                  : "steerer";
    rows.push_back({std::string(row.id) + (row.numbered ? "-1, -2 ..." : ""), kinds,
                    std::string(word(row.origin)), built_in(row, words), std::string(row.source)});
  }
  out += table({{"limit"}, {"kind"}, {"origin"}, {"default"}, {"source"}}, rows);
  out += section("What each asks", view);
  for (const plan::RuleRow& row : plan::rules()) {
    out += wrapped("  " + std::string(row.id) + ": ", what(row.rule, words), view.width);
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
