#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "json_parts.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"
#include "kind_reports.hpp"
#include "sums.hpp"
#include "views.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Length;
using plan::Quantity;
using plan::RemedyKind;
using plan::Rule;
using plan::Verdict;
using text::Sentence;

// ---- the statement ----

// Where each end lies, `off` less than as it is, where the bar was measured from its middle.
std::string ends(const Telling& telling, plan::Length off) {
  const plan::Handlebar& bar = telling.job.handlebar;
  if (!bar.left || !bar.right) {
    return {};
  }
  const auto tenths_mm = [&](plan::Length length) {
    return rounded_mm(length.in_mm(), Rounding::nearest, telling.words);
  };
  return telling.words.say("report.value.ends", {{"left", tenths_mm(bar.left->nominal - off)},
                                                 {"right", tenths_mm(bar.right->nominal - off)}});
}

void add_handlebar_after_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const LengthsToMark marks = lengths_to_mark(telling);
  add_cut(telling, figures, words.say("report.value.left_handlebar", {{"left", marks.left}}));
  figures.add("report.label.ends", ends(telling, now.at));
  figures.add_detail("report.label.window", window(telling));
}

void add_handlebar(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::HandlebarFigures& bar = *now.handlebar;
  figures.add("report.label.handlebar_width",
              bar.by_halves
                  ? words.say("report.value.by_halves", {{"width", mm(bar.width_uncut, words)}})
                  : as_written(*job.handlebar.width, job, words),
              OnSheet::not_of_a_cut);
  figures.add("report.label.width_wished", mm(job.handlebar.wanted->nominal, words));
  if (bar.controls > plan::Length{}) {
    figures.add_detail("report.label.controls",
                       rounded_mm(bar.controls.in_mm(), Rounding::nearest, words));
  }
  if (now.verdict == Verdict::cut) {
    add_handlebar_after_cut(telling, figures);
  } else {
    figures.add("report.label.ends_uncut", ends(telling, {}));
  }
}

Step before_the_saw(const Telling& telling) {
  const text::Words& words = telling.words;
  return {words.at("report.next.ends_why"), words.at("report.next.ends"), false};
}

// The width that a rider is asked about.
std::string width_asked_for(const plan::Remedy& remedy, const Telling& telling) {
  const plan::Handlebar& bar = telling.job.handlebar;
  if (remedy.kind == RemedyKind::wider_wish) {
    return rounded_mm(bar.widest->nominal.in_mm() + remedy.amount, Rounding::up, telling.words);
  }
  return remedy.kind == RemedyKind::narrower_wish
             ? rounded_mm(bar.narrowest->nominal.in_mm() - remedy.amount, Rounding::down,
                          telling.words)
             : std::string();
}

// ---- sums ----

// The width of a handlebar at the cut, and by which way it was measured.
std::vector<std::string> width_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const std::string W = exact(plan.before.handlebar->width_uncut.in_mm(), words);
  return {plan.before.handlebar->by_halves
              ? "W = handlebar.left " + value_in_words(job.handlebar.left, words) +
                    " + handlebar.right " + value_in_words(job.handlebar.right, words) + " = " + W
              : "W = handlebar.width " + W,
          "has = W - 2 x cut " + plain(plan.before.at.in_mm(), words) + " = " +
              exact(limit.has, words)};
}

// What the straight part or the grip zone leaves, and what has to fit on it.
std::vector<std::string> room_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const bool zone = limit.rule == Rule::grip_zone;
  const std::string from =
      zone ? "handlebar.grip_zone " + value_in_words(job.handlebar.grip_zone, words)
           : "handlebar.straight " + value_in_words(job.handlebar.straight, words);
  std::string sum;
  for (const plan::Control& control : job.controls) {
    sum += (sum.empty() ? "" : " + ") + value_in_words(control.width, words);
  }
  return {"has = " + from + " - cut " + plain(plan.before.at.in_mm(), words) + " = " +
              exact(limit.has, words),
          "needs = controls " + sum +
              (zone ? "" : " + handlebar.air " + value_in_words(job.handlebar.air, words)) + " = " +
              exact(limit.needs, words)};
}

std::vector<std::string> made_from(const JudgedLimit& limit, const Telling& telling) {
  const Quantity quantity = limit.row().quantity;
  if (quantity == Quantity::width) {
    return width_lines(limit, telling);
  }
  return quantity == Quantity::room ? room_lines(limit, telling) : std::vector<std::string>{};
}

// ---- JSON ----

void add_handlebar(JsonLine& out, const plan::HandlebarFigures& bar) {
  out.name("width_mm");
  out.object([&] {
    out.field("uncut", bar.width_uncut);
    out.field("cut", bar.width);
  });
  out.field("off_centre_mm", bar.off_centre);
}

}  // namespace

constinit const KindReport handlebar_report = {
    .kind = plan::Kind::handlebar,
    .figures = add_handlebar,
    .figures_of_cut = add_handlebar_after_cut,
    .figures_after = [](const Telling&, Figures&) {},
    .before_the_saw = before_the_saw,
    .caution = [](const Job&) -> std::optional<Sentence> {
      return Sentence("report.caution.open_ends");
    },
    .made_from = made_from,
    .json = [](JsonLine& out, const Judgement& before) { add_handlebar(out, *before.handlebar); },
    .json_after = [](JsonLine&, const Judgement&) {},
    .side_view = view_of_handlebar,
    .remedy_texts =
        [](const plan::Remedy& remedy, const Telling& telling) {
          RemedyTexts texts;
          texts.width = width_asked_for(remedy, telling);
          return texts;
        },
};

}  // namespace kerfmark::report
