#include "kerfmark/report/text.hpp"

#include <algorithm>
#include <iterator>
#include <string_view>
#include <vector>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/rules.hpp"
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

// The odds of each limit that has them, or only of those that stand out.
std::string how_sure(const std::vector<LimitLine>& limits, Extent extent, const View& view,
                     const text::Words& words) {
  std::string lines;
  for (const LimitLine& limit : limits) {
    if (limit.has_odds && (limit.stands_out || extent == Extent::full)) {
      lines += wrapped("  " + limit.name + ": ", limit.odds, view.width);
    }
  }
  return lines.empty() ? "" : section(words.say("report.odds.title"), view) + lines;
}

// One reason with one thing to do is one sentence after the other; several stand below it. What the
// verdict has just said is not said again.
std::string next_steps(const std::vector<Step>& steps, const std::string& said, const View& view) {
  std::string out;
  for (std::size_t i = 0; i < steps.size();) {
    const std::string& why = steps[i].why;
    std::size_t end = i + 1;
    while (!why.empty() && end < steps.size() && steps[end].why == why) {
      ++end;
    }
    const bool alone = end - i == 1;
    const bool told = why.empty() || why == said;
    if (!alone && !told) {
      out += wrapped("  - ", why, view.width);
    }
    for (std::size_t k = i; k < end; ++k) {
      out += wrapped(alone || told ? "  - " : "    - ",
                     (alone && !told ? why + " " : "") + steps[k].action, view.width);
    }
    i = end;
  }
  return out;
}

std::string what_to_do(const std::vector<Step>& steps, const std::string& said, const View& view) {
  return steps.empty() ? "" : section("What to do", view) + next_steps(steps, said, view);
}

std::string head(const std::string& verdict, plan::Verdict colour, const std::string& headline,
                 const View& view) {
  std::string out = wrapped("", verdict + ". " + headline, view.width);
  out.replace(0, verdict.size(), coloured(verdict, colour, view));
  return out;
}

std::string figures(const std::string& title, const std::vector<Figure>& all, Extent extent,
                    const View& view) {
  std::vector<Figure> shown;
  for (const Figure& figure : all) {
    if (figure.in_brief || extent == Extent::full) {
      shown.push_back(figure);
    }
  }
  return shown.empty() ? "" : section(title, view) + figure_lines(shown, view);
}

std::string cautions(const std::vector<std::string>& all, const View& view) {
  std::string out = section("Cautions", view);
  for (const std::string& caution : all) {
    out += wrapped("  - ", caution, view.width);
  }
  return out;
}

std::string drawing(const Telling& telling, Extent extent, const View& view) {
  const std::string shown = side_view(telling, extent, view);
  return shown.empty() ? shown : "\n" + shown;
}

std::string all_limits(const std::string& title, const std::vector<LimitLine>& lines,
                       const View& view) {
  const Columns shown = columns_for(lines, view);
  return section(title + " (mm; > governs)", view) + limit_table(lines, shown) +
         limit_notes(lines, shown, view);
}

// Those that somebody has to look at: what each asks for, and how sure it is, stands below them.
std::string limits_that_count(const std::string& title, const std::vector<LimitLine>& lines,
                              const View& view) {
  std::vector<LimitLine> shown;
  std::ranges::copy_if(lines, std::back_inserter(shown), &LimitLine::stands_out);
  if (shown.empty()) {
    return {};
  }
  const Columns columns = widest_line(limit_table(shown, Columns::figures)) <= view.width
                              ? Columns::figures
                              : Columns::least;
  std::string out = heading(title + ": those that govern, are in doubt or broken (mm)", view) +
                    limit_table(shown, columns);
  for (const LimitLine& limit : shown) {
    const std::string source = limit.source.empty() ? "" : " [" + limit.source + "]";
    const std::string odds = limit.has_odds ? "; " + limit.odds : "";
    out += wrapped("  " + limit.name + ": ", limit.what + source + odds, view.width);
  }
  return out;
}

std::string limits(const std::string& title, const std::vector<LimitLine>& lines, Extent extent,
                   const View& view, const text::Words& words) {
  return extent == Extent::full
             ? all_limits(title, lines, view) + how_sure(lines, extent, view, words)
             : limits_that_count(title, lines, view);
}

// What tells this job from others, in the brief report on a line or two.
std::string identity(const Telling& telling, const Statement& s, Extent extent, const View& view) {
  const auto& [job, plan, now, words] = telling;
  const std::string digest = digest_of(job);
  if (extent == Extent::full) {
    return figures("This job", s.job, extent, view) + "\n" +
           wrapped("", words.say("report.digest.line", {{"digest", digest}}), view.width);
  }
  std::string line;
  for (const Figure& figure : s.job) {
    if (figure.in_brief) {
      line += (line.empty() ? figure.label + " " : "; ") + figure.value;
    }
  }
  line += (line.empty() ? "" : ". ") + words.say("report.digest.brief", {{"digest", digest}});
  return wrapped("", line, view.width);
}

// What was planned before the cut; what was to be done then is done or too late.
std::string plan_before(const Telling& telling, const View& view) {
  const Telling before = telling.before();
  const Statement s = statement_of(before);
  return section(telling.words.at("report.after.title.plan"), view) +
         head(s.verdict, before.now.verdict, s.headline, view) +
         wrapped("", s.because, view.width) +
         figures("Figures before the cut", s.figures, Extent::full, view) +
         limits(s.limits_title, s.limits, Extent::full, view, telling.words);
}

// What stands below the verdict.
std::string body(const Telling& telling, const Statement& s, Extent extent, const View& view) {
  const bool after = telling.now.is_after();
  const bool full = extent == Extent::full;
  std::string out = wrapped("", s.because, view.width) + what_to_do(s.next, s.because, view) +
                    figures(after ? s.figures_title : "Figures", s.figures, extent, view);
  // A hold or a reject has no length to saw but where somebody asks for everything.
  if (full) {
    out += figures(s.if_settled_title, s.if_settled, extent, view);
  }
  out += cautions(s.cautions, view) + drawing(telling, extent, view) +
         limits(s.limits_title, s.limits, extent, view, telling.words);
  return full && after ? out + plan_before(telling, view) : out;
}

}  // namespace

std::string verdict_line(const Telling& telling, const View& view) {
  const Statement s = statement_of(telling);
  const plan::Verdict verdict = telling.now.verdict;
  return finished(coloured(s.verdict + ".", verdict, view) + " " + s.headline +
                      (plan::is_yes(verdict) ? "" : " " + s.because) + "\n",
                  view);
}

std::string text_report(const Telling& telling, const View& as_is, Extent extent,
                        const plan::Trials* trials) {
  const View view = usable(as_is);
  const Statement s = statement_of(telling);
  const std::string first = head(s.verdict, telling.now.verdict, s.headline, view);
  std::string out = first + body(telling, s, extent, view);
  if (trials != nullptr) {
    out += trials_report(telling.plan, *trials, view, telling.words);
  }
  out += identity(telling, s, extent, view);
  // The prompt takes a line of the terminal too; what does not fit is begun once more at the end.
  const auto lines = static_cast<std::size_t>(std::ranges::count(out, '\n'));
  if (view.height > 0 && lines + 1 > view.height) {
    out += first;
  }
  return finished(out, view);
}

}  // namespace kerfmark::report
