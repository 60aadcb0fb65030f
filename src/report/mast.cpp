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

// What the topper takes of spacers, and how far it misses the saddle's lowest height.
std::string spacers_in_words(const plan::AtHeights& spacers, const text::Words& words) {
  const auto or_none = [](plan::Length length) { return std::max(plan::Length{}, length); };
  const std::string taken = insertion_in_words(
      {or_none(spacers.lowest), or_none(spacers.height), or_none(spacers.highest)}, words);
  const std::string above = rounded_mm(-spacers.lowest.in_mm(), Rounding::up, words);
  return spacers.lowest < plan::Length{}
             ? words.say("report.value.spacers_too_high", {{"spacers", taken}, {"above", above}})
             : taken;
}

void add_mast_after_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::MastFigures& mast = *now.mast;
  const LengthsToMark marks = lengths_to_mark(telling);
  add_cut(telling, figures,
          *now.remaining > plan::Length{}
              ? words.say("report.value.left_mast", {{"left", marks.left}})
              : words.at("report.value.left_nothing_of_mast"));
  figures.add_detail("report.label.window", window(telling));
  figures.add("report.label.spacers_then", spacers_in_words(mast.spacers, words));
  figures.add("report.label.saddle_heights",
              saddle_heights_in_words(mast.saddle_range_cut, telling), OnSheet::large);
}

void add_mast(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::MastFigures& mast = *now.mast;
  const bool cut = now.verdict == Verdict::cut;
  figures.add("report.label.mast_length", as_written(*job.mast.length, job, words),
              OnSheet::not_of_a_cut);
  figures.add("report.label.extension", extension_in_words(mast.extension, telling),
              OnSheet::not_of_a_cut);
  figures.add("report.label.spacers_uncut", spacers_in_words(mast.spacers_uncut, words), !cut);
  if (cut) {
    add_mast_after_cut(telling, figures);
  } else {
    figures.add("report.label.saddle_heights",
                saddle_heights_in_words(mast.saddle_range_uncut, telling), OnSheet::large);
  }
}

void add_mast_once_cut(const Telling& telling, Figures& figures) {
  const plan::MastFigures& mast = *telling.now.mast;
  figures.add("report.after.label.spacers", spacers_in_words(mast.spacers, telling.words));
  figures.add("report.after.label.saddle",
              saddle_heights_in_words(mast.saddle_range_uncut, telling), OnSheet::large);
}

Step before_the_saw(const Telling& telling) {
  const text::Words& words = telling.words;
  return {words.at("report.next.twice_why"), words.at("report.next.twice"), false};
}

// The heights that the mast has left, for whoever rides it next.
std::string next_owner(plan::Caution /*caution*/, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict != plan::Verdict::cut && !plan.after) {
    return words.at("report.caution.next_owner_any");
  }
  const auto& left = plan.after ? plan.after->mast->saddle_range_uncut : now.mast->saddle_range_cut;
  return words.say("report.caution.next_owner",
                   {{"heights", saddle_heights_in_words(left, telling)}});
}

// ---- sums ----

// What the topper takes of spacers at one end of the saddle's range.
std::vector<std::string> spacer_lines(const Telling& telling, End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, plan.before.mast->extension, end);
  const plan::AtHeights& x = plan.before.mast->spacers;
  lines.push_back("spacers x = E - (mast.length " + value_in_words(job.mast.length, words) +
                  " - cut " + plain(plan.before.at.in_mm(), words) + ") - topper.rise " +
                  value_in_words(job.topper.rise, words) + " = " +
                  exact((end == End::lowest ? x.lowest : x.highest).in_mm(), words));
  return lines;
}

std::vector<std::string> and_last(std::vector<std::string> lines, std::string line) {
  lines.push_back(std::move(line));
  return lines;
}

std::vector<std::string> made_from(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const Quantity quantity = limit.row().quantity;
  if (quantity == Quantity::spacers_lowest) {
    return spacer_lines(telling, End::lowest);
  }
  if (quantity == Quantity::spacers_highest) {
    return spacer_lines(telling, End::highest);
  }
  if (quantity == Quantity::topper_edge) {
    return and_last(extension_of(telling, plan.before.mast->extension, End::lowest),
                    "has = E - topper.rise " + value_in_words(job.topper.rise, words) +
                        " - topper.grip " + value_in_words(job.topper.grip, words) + " = " +
                        exact(limit.has, words));
  }
  if (quantity == Quantity::topper_grip) {
    return and_last(spacer_lines(telling, End::highest),
                    "has = topper.grip " + value_in_words(job.topper.grip, words) +
                        " - x = " + exact(limit.has, words));
  }
  return {};
}

// ---- JSON ----

void add_mast(JsonLine& out, const plan::MastFigures& mast) {
  out.name("extension_mm");
  put(out, mast.extension);
  out.name("spacers_mm");
  put(out, mast.spacers);
  add_saddle_range(out, mast.saddle_range_uncut, mast.saddle_range_cut);
}

void add_mast_after(JsonLine& out, const plan::MastFigures& mast) {
  out.name("spacers_mm");
  put(out, mast.spacers);
  out.name("saddle_range_mm");
  put(out, mast.saddle_range_uncut);
}

}  // namespace

constinit const KindReport mast_report = {
    .kind = plan::Kind::mast,
    .figures = add_mast,
    .figures_of_cut = add_mast_after_cut,
    .figures_after = add_mast_once_cut,
    .before_the_saw = before_the_saw,
    .caution = [](const Job&) -> std::optional<Sentence> {
      return Sentence("report.caution.mast_is_frame");
    },
    .made_from = made_from,
    .json = [](JsonLine& out, const Judgement& before) { add_mast(out, *before.mast); },
    .json_after = [](JsonLine& out, const Judgement& after) { add_mast_after(out, *after.mast); },
    .side_view = view_of_mast,
    .own_caution = next_owner,
};

}  // namespace kerfmark::report
