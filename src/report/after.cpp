#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "statement_parts.hpp"

namespace kerfmark::report {
namespace {

using measure::Status;
using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Plan;
using plan::RemedyKind;
using plan::Verdict;
using text::Sentence;
using text::Words;

// Of all ends that were cut.
plan::Length kerf_of(const Job& job) {
  const double ends = job.as_cut.offcut_right ? 2.0 : 1.0;
  return ends * (job.as_cut.kerf ? job.as_cut.kerf : job.saw.kerf)->nominal;
}

plan::Length offcut_of(const Job& job) {
  const auto& right = job.as_cut.offcut_right;
  return job.as_cut.offcut->nominal + (right ? right->nominal : plan::Length{});
}

std::string missed(std::string_view key, const JudgedLimit& limit, const Telling& telling) {
  return telling.words.say(
      key, {{"limit", name_of_limit(limit, telling.words)},
            {"what", requirement(limit, telling)},
            {"missing", amount_of(limit, -limit.at.margin, Rounding::up, telling.words)}});
}

std::string limit_nearest(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const JudgedLimit* nearest = nullptr;
  for (const JudgedLimit& limit : now.limits) {
    // A head that was not given has none to spare, and a cut up to the maker's limit need not.
    const bool counts = limit.dimension == measure::Dimension::length &&
                        limit.rule != plan::Rule::max_cut &&
                        !(limit.rule == plan::Rule::head && limit.needs == 0.0);
    if (counts && (nearest == nullptr ||
                   limit.at.margin - limit.at.guard < nearest->at.margin - nearest->at.guard)) {
      nearest = &limit;
    }
  }
  if (nearest == nullptr) {
    return {};
  }
  return words.say("report.because.nearest",
                   {{"limit", name_of_limit(*nearest, words)},
                    {"spare", amount_of(*nearest, nearest->at.margin - nearest->at.guard,
                                        Rounding::down, words)},
                    {"what", requirement(*nearest, telling)}});
}

std::string limits_broken(const Telling& telling) {
  std::string text;
  for (const JudgedLimit& limit : telling.now.limits) {
    if (is_hard_after(limit.row().origin) && limit.at.status == Status::broken) {
      text += (text.empty() ? "" : " ") + missed(limit.rule == plan::Rule::max_cut
                                                     ? "report.after.because.too_much"
                                                     : "report.because.missing",
                                                 limit, telling);
    }
  }
  return text;
}

std::string headline_when_fit(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  return words.say(telling.own("report.after.headline.fit"),
                   {{"left", now.remaining ? mm(*now.remaining, words) : std::string()},
                    {"gap", now.gap() ? rounded_mm(now.gap()->in_mm(), Rounding::nearest, words)
                                      : std::string()}});
}

void add_head(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict == Verdict::fit) {
    s.verdict = words.at("report.after.verdict.fit");
    s.headline = headline_when_fit(telling);
    s.because = limit_nearest(telling);
  } else if (now.verdict == Verdict::unfit) {
    s.verdict = words.at("report.after.verdict.unfit");
    s.headline = words.at(is_scrap(now) ? Sentence("report.after.headline.scrap")
                                        : Sentence("report.after.headline.unfit"));
    s.because = limits_broken(telling);
  } else {
    s.verdict = words.at("report.after.verdict.hold");
    s.headline = words.at("report.after.headline.hold");
    s.because = why(now.holds.front(), telling);
  }
}

std::string came_off(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::CutMade& made = *now.made;
  if (!made.cut) {
    return {};
  }
  const bool planned = plan.before.at.in_mm() > 0.0;
  const Sentence of_both = planned ? Sentence("report.after.value.off_end_planned")
                                   : Sentence("report.after.value.off_end");
  const Sentence of_one =
      planned ? Sentence("report.after.value.off_planned") : Sentence("report.after.value.off");
  return words.say(plan::kind_of_part(job.kind).ends > 1 ? of_both : of_one,
                   {{"cut", mm(*made.cut, words)},
                    {"guard", rounded_mm(made.guard_mm, Rounding::up, words)},
                    {"planned", mm(plan.before.at, words)}});
}

std::string sum(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::CutMade& made = *now.made;
  if (!made.closure) {
    return words.say(made.cut ? "report.after.value.sum_not_checked"
                              : "report.after.value.sum_not_known");
  }
  const bool closed = made.closure->closed;
  return words.say(closed ? "report.after.value.sum_closed" : "report.after.value.sum_open",
                   {{"left", mm(*now.remaining, words)},
                    {"offcut", mm(offcut_of(job), words)},
                    {"kerf", mm(kerf_of(job), words)},
                    {"original", mm(job.length()->nominal, words)},
                    {"apart", rounded_mm(std::abs(made.closure->off.in_mm()),
                                         closed ? Rounding::nearest : Rounding::up, words)},
                    {"guard", rounded_mm(made.closure->guard_mm,
                                         closed ? Rounding::nearest : Rounding::down, words)}});
}

void add_figures(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  Figures figures(s.figures, words);
  if (now.remaining) {
    figures.add("report.after.label.left", words.say(telling.own("report.after.value.left"),
                                                     {{"left", mm(*now.remaining, words)}}));
  }
  figures.add("report.after.label.off", came_off(telling));
  figures.add("report.after.label.sum", sum(telling));
  report_of(job.kind).figures_after(telling, figures);
  figures.add("report.after.label.by", text::harmless(job.as_cut.by));
  figures.add("report.after.label.checked_by", text::harmless(job.as_cut.checked_by));
  figures.add("report.after.label.date", text::harmless(job.as_cut.date));
}

void add_limits(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  s.limits_title = words.at("report.after.title.limits");
  for (const JudgedLimit& limit : now.limits) {
    LimitLine line = limit_line(limit, telling);
    if (limit.rule == plan::Rule::max_cut) {
      line.doubt = one_decimal(limit.at.guard, Rounding::up, words);
    }
    s.limits.push_back(std::move(line));
  }
}

std::string when_fit(const Telling& telling) {
  const auto own = report_of(telling.job.kind).when_fit;
  return telling.words.at(own != nullptr ? own(telling) : telling.own("report.after.do.fit"));
}

void add_next(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  for (const plan::Hold& hold : now.holds) {
    const std::string reason = why(hold, telling);
    for (const plan::Remedy& remedy : hold.remedies) {
      s.next.push_back(step_of(reason, remedy, telling));
    }
  }
  for (const plan::Remedy& remedy : now.remedies) {
    s.next.push_back(step_of("", remedy, telling));
  }
  if (plan::nobody_has_asked(job) && !is_scrap(now)) {
    s.next.push_back(
        {"", words.at(telling.own("report.after.do.ask_maker")), true, StepAnswer::people});
  }
  if (now.verdict == Verdict::fit) {
    s.next.push_back({"", when_fit(telling)});
  }
}

}  // namespace

bool is_scrap(const Judgement& now) {
  return std::ranges::any_of(
      now.remedies, [](const plan::Remedy& remedy) { return remedy.kind == RemedyKind::scrap; });
}

void tell_after_cut(const Telling& telling, Statement& s) {
  add_head(telling, s);
  s.figures_title = telling.words.at("report.after.title.section");
  add_figures(telling, s);
  add_limits(telling, s);
  add_next(telling, s);
}

}  // namespace kerfmark::report
