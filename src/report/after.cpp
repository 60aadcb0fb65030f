#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "after_wording.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
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

std::string share_of(const plan::Remedy& remedy) {
  return std::to_string(std::lround(remedy.share * 100.0)) + " %";
}

plan::Length original_of(const Job& job) {
  return job.kind == plan::Kind::seatpost ? job.post.length->nominal : job.steerer.length->nominal;
}

plan::Length kerf_of(const Job& job) {
  return (job.as_cut.kerf ? job.as_cut.kerf : job.saw.kerf)->nominal;
}

bool is_scrap(const Judgement& now) {
  return std::ranges::any_of(
      now.remedies, [](const plan::Remedy& remedy) { return remedy.kind == RemedyKind::scrap; });
}

std::string reading_of(const plan::Remedy& remedy, const Telling& telling) {
  return name_of_reading(telling.job.readings[*remedy.reading].key, telling.words);
}

// The key of what is said of an enumerator, if there is one.
std::optional<std::string_view> sentence_of(const auto& sentences, auto which) {
  const auto found =
      std::ranges::find_if(sentences, [&](const auto& s) { return s.first == which; });
  return found == sentences.end() ? std::nullopt : std::optional(found->second);
}

// ---- why ----

std::string sum_open(const plan::Hold& hold, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const double original = original_of(job).in_mm();
  return words.say("report.after.why.sum_open",
                   {{"sum", mm(plan::Length::from_base(original - hold.apart), words)},
                    {"original", mm(original_of(job), words)},
                    {"apart", rounded_mm(std::abs(hold.apart), Rounding::up, words)},
                    {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
}

std::string missed(std::string_view key, const JudgedLimit& limit, const Telling& telling) {
  return telling.words.say(
      key, {{"limit", name_of_limit(limit, telling.words)},
            {"what", what(limit, telling)},
            {"missing", amount_of(limit, -limit.at.margin, Rounding::up, telling.words)}});
}

// ---- what to do ----

std::string measured_gap(const plan::Remedy& remedy, const Words& words) {
  const std::string key = "report.after.do.measure_gap";
  if (remedy.guard_now == 0.0) {
    return words.say(key);
  }
  return words.say(key + (remedy.settles ? "_settles" : "_helps"),
                   {{"from", rounded_mm(remedy.guard_now, Rounding::up, words)},
                    {"to", rounded_mm(remedy.guard_then, Rounding::up, words)}});
}

// An end that nothing limits is not told: the sentence that names it is only said where it is
// there.
std::string end_of(const std::optional<plan::Length>& end, Rounding rounding, const Words& words) {
  return end ? rounded_mm(end->in_mm(), rounding, words) : std::string();
}

// Too little insertion is mended from a height down, a lower end that rests on something from a
// height up; the other end of the range is said too.
std::string ride_within(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::Span& range = *now.seatpost->saddle_range_uncut;
  const bool down = std::ranges::any_of(now.limits, [](const JudgedLimit& limit) {
    const bool lowered = limit.row().sense() == plan::Sense::hurts ||
                         limit.row().family == plan::Family::lower_saddle;
    return lowered && is_hard_after(limit.row().origin) && limit.at.status == Status::broken;
  });
  return words.say(down ? "report.after.do.ride_down" : "report.after.do.ride_up",
                   {{"hi", end_of(range.hi, Rounding::down, words)},
                    {"lo", end_of(range.lo, Rounding::up, words)},
                    {"heights", saddle_heights_in_words(range, telling)}});
}

// ---- the statement ----

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
                    {"what", what(*nearest, telling)}});
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

// Of a post the length that is left, of a steerer the gap.
std::string headline_when_fit(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  return now.seatpost
             ? words.say("report.after.headline.fit_post", {{"left", mm(*now.remaining, words)}})
             : words.say(
                   "report.after.headline.fit_steerer",
                   {{"gap", rounded_mm(now.steerer->gap->in_mm(), Rounding::nearest, words)}});
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

void add(Statement& s, std::string_view label, std::string value, const Words& words) {
  if (!value.empty()) {
    s.figures.push_back({words.say(label), std::move(value)});
  }
}

std::string came_off(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::CutMade& made = *now.made;
  if (!made.cut) {
    return {};
  }
  const bool planned = plan.before.at.in_mm() > 0.0;
  return words.say(planned ? "report.after.value.off_planned" : "report.after.value.off",
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
                    {"offcut", mm(job.as_cut.offcut->nominal, words)},
                    {"kerf", mm(kerf_of(job), words)},
                    {"original", mm(original_of(job), words)},
                    {"apart", rounded_mm(std::abs(made.closure->off.in_mm()),
                                         closed ? Rounding::nearest : Rounding::up, words)},
                    {"guard", rounded_mm(made.closure->guard_mm,
                                         closed ? Rounding::nearest : Rounding::down, words)}});
}

std::string gap(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!now.steerer || !now.steerer->gap) {
    return {};
  }
  const double gap_mm = now.steerer->gap->in_mm();
  const std::string figure =
      words.say(gap_mm < 0.0 ? Sentence("report.after.value.gap_proud")
                             : Sentence("report.after.value.gap_below"),
                {{"gap", rounded_mm(std::abs(gap_mm), Rounding::nearest, words)}});
  switch (now.steerer->gap_by) {
    case plan::GapRoute::parts:
      return words.say("report.after.value.by_parts", {{"gap", figure}});
    case plan::GapRoute::mock_up:
      return words.say("report.after.value.by_mock_up", {{"gap", figure}});
    case plan::GapRoute::measured:
      return words.say("report.after.value.by_reading", {{"gap", figure}});
  }
  return {};
}

std::string new_line(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const auto& mark = now.seatpost->new_mark;
  return mark && mark->from_rails > plan::Length{}
             ? words.say("report.after.value.mark", {{"up", mm(mark->from_lower_end, words)},
                                                     {"down", mm(mark->from_rails, words)}})
             : std::string();
}

void add_figures(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.remaining) {
    add(s, "report.after.label.left",
        words.say(now.seatpost ? "report.after.value.left_post" : "report.after.value.left_steerer",
                  {{"left", mm(*now.remaining, words)}}),
        words);
  }
  add(s, "report.after.label.off", came_off(telling), words);
  add(s, "report.after.label.sum", sum(telling), words);
  add(s, "report.after.label.gap", gap(telling), words);
  if (now.seatpost) {
    add(s, "report.after.label.insertion", insertion_in_words(now.seatpost->insertion, words),
        words);
    // A part for the bin gets no saddle height and no line to aim at.
    if (!is_scrap(now)) {
      add(s, "report.after.label.saddle",
          saddle_heights_in_words(now.seatpost->saddle_range_uncut, telling), words);
      add(s, "report.after.label.mark", new_line(telling), words);
    }
  }
  add(s, "report.after.label.by", text::harmless(job.as_cut.by), words);
  add(s, "report.after.label.checked_by", text::harmless(job.as_cut.checked_by), words);
  add(s, "report.after.label.date", text::harmless(job.as_cut.date), words);
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
  const auto& [job, plan, now, words] = telling;
  if (!now.seatpost) {
    return words.at("report.after.do.fit_steerer");
  }
  return words.at(now.seatpost->new_mark ? "report.after.do.fit_post"
                                         : "report.after.do.fit_post_unmarked");
}

bool carbon_maker_not_asked(const Job& job) {
  return job.part.material == plan::Material::carbon &&
         job.part.cutting == plan::Cutting::not_stated;
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
  if (carbon_maker_not_asked(job) && !is_scrap(now)) {
    s.next.push_back({"", words.at("report.after.do.ask_maker"), true, Answer::people});
  }
  if (now.verdict == Verdict::fit) {
    s.next.push_back({"", when_fit(telling)});
  }
}

}  // namespace

void tell_after_cut(const Telling& telling, Statement& s) {
  add_head(telling, s);
  s.figures_title = telling.words.at("report.after.title.section");
  add_figures(telling, s);
  add_limits(telling, s);
  add_next(telling, s);
}

std::string why_after_cut(const plan::Hold& hold, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  using plan::HoldReason;
  if (hold.reason == HoldReason::sum_open) {
    return sum_open(hold, telling);
  }
  if (hold.reason == HoldReason::practice_missed) {
    return missed("report.after.why.practice_missed", now.limits[*hold.limit], telling);
  }
  constexpr auto sentences = std::to_array<std::pair<HoldReason, std::string_view>>(
      {{HoldReason::longer_than_before, "report.after.why.longer_than_before"},
       {HoldReason::gap_against_parts, "report.after.why.gap_against_parts"},
       {HoldReason::gap_against_mock_up, "report.after.why.gap_against_mock_up"},
       {HoldReason::lengths_unknown, "report.after.why.lengths_unknown"},
       {HoldReason::measured_gap_unknown, "report.after.why.gap_unknown"}});
  const auto key = sentence_of(sentences, hold.reason);
  require(key.has_value(), "a reason that is none of the time after the cut");
  return words.say(*key, {{"apart", rounded_mm(hold.apart, Rounding::up, words)},
                          {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
}

std::optional<std::string> what_to_do_after_cut(const plan::Remedy& remedy,
                                                const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (remedy.kind == RemedyKind::measure_gap_again) {
    return measured_gap(remedy, words);
  }
  if (remedy.kind == RemedyKind::ride_within) {
    return ride_within(telling);
  }
  const bool post = job.kind == plan::Kind::seatpost;
  const auto sentences = std::to_array<std::pair<RemedyKind, std::string_view>>(
      {{RemedyKind::check_sum, "report.after.do.check_sum"},
       {RemedyKind::look_for_loss, "report.after.do.look_for_loss"},
       {RemedyKind::look_for_surplus, post ? "report.after.do.look_for_surplus_post"
                                           : "report.after.do.look_for_surplus_steerer"},
       {RemedyKind::gone_reading, "report.after.do.gone"},
       {RemedyKind::measure_what_is_left, "report.after.do.measure_what_is_left"},
       {RemedyKind::recall_length, "report.after.do.recall_length"},
       {RemedyKind::find_mark_and_add, "report.after.do.find_mark"},
       {RemedyKind::cut_again, "report.after.do.cut_again"},
       {RemedyKind::scrap, "report.after.do.scrap"}});
  const auto found = sentence_of(sentences, remedy.kind);
  if (!found) {
    return std::nullopt;
  }
  return words.say(*found,
                   {{"reading", remedy.reading ? reading_of(remedy, telling) : std::string()},
                    {"share", share_of(remedy)},
                    {"amount", rounded_mm(remedy.amount, Rounding::up, words)}});
}

}  // namespace kerfmark::report
