#include "kerfmark/report/statement.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/odds.hpp"
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
using plan::Sense;
using plan::Verdict;
using text::Sentence;

// A hold or reject says nothing about a cut outside of "if the doubt is settled".
bool concluded(const Judgement& now) { return is_yes(now.verdict); }

const plan::Standing& standing(const JudgedLimit& limit, const Judgement& now) {
  return shown_at_the_cut(now) ? limit.at : limit.uncut;
}

std::string to_spare(const plan::Standing& s, const Telling& telling) {
  return rounded_mm(s.margin - s.guard, Rounding::down, telling.words);
}

const JudgedLimit* governing(const Judgement& now, Sense sense) {
  const auto found = std::ranges::find_if(
      now.limits, [&](const JudgedLimit& l) { return l.governs && l.row().sense() == sense; });
  return found == now.limits.end() ? nullptr : &*found;
}

// The limit with the least to spare; a post whose head was not given has none to spare on it.
const JudgedLimit& tightest(const Judgement& now) {
  constexpr double never = 1e9;  // mm, beyond any bicycle
  return *std::ranges::min_element(now.limits, {}, [](const JudgedLimit& l) {
    const bool counts = l.dimension == measure::Dimension::length &&
                        !(l.rule == plan::Rule::head && l.needs == 0.0);
    return counts ? l.at.margin - l.at.guard : never;
  });
}

// Whole sentences stand side by side in every language.
void add_sentence(std::string& text, const std::string& sentence) {
  text += (text.empty() ? "" : " ") + sentence;
}

// What stands in the way of the part as it is.
std::string as_it_is(const JudgedLimit& lower, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (const auto own = report_of(job.kind).as_it_is; own != nullptr) {
    if (std::string said = own(telling); !said.empty()) {
      return said;
    }
  }
  const auto blockage = std::ranges::find_if(now.limits, [&](const JudgedLimit& l) {
    return l.rule == plan::Rule::blockage && l.number == lower.number;
  });
  if (blockage != now.limits.end() && blockage->uncut.status == Status::broken) {
    return words.say("report.because.past_blockage",
                     {{"past", rounded_mm(-blockage->uncut.margin, Rounding::up, words)},
                      {"blockage", blockage_name(blockage->number, telling)}});
  }
  const plan::Standing& uncut = lower.uncut;
  return words.say(uncut.margin >= 0.0 ? "report.because.in_doubt" : "report.because.missed",
                   {{"limit", name_of_limit(lower, words)},
                    {"what", requirement(lower, telling)},
                    {"margin", rounded_mm(uncut.margin, Rounding::down, words)},
                    {"missing", rounded_mm(-uncut.margin, Rounding::up, words)},
                    {"guard", rounded_mm(uncut.guard, Rounding::up, words)}});
}

std::string because_of_cut(const Telling& telling) {
  std::string text;
  if (const JudgedLimit* lower = governing(telling.now, Sense::helps);
      lower != nullptr && lower->uncut.status != Status::holds) {
    text = as_it_is(*lower, telling);
  }
  // A wish that a smaller cut leaves open is no reason against it.
  const bool all = std::ranges::all_of(
      telling.now.limits, [](const JudgedLimit& l) { return l.at.status == Status::holds; });
  add_sentence(text, telling.words.at(all ? Sentence("report.because.after_cut")
                                          : Sentence("report.because.after_cut_but_wish")));
  return text;
}

std::string because_of_keep(const Telling& telling) {
  const JudgedLimit& next = tightest(telling.now);
  return telling.words.say("report.because.nearest", {{"limit", name_of_limit(next, telling.words)},
                                                      {"spare", to_spare(next.at, telling)},
                                                      {"what", requirement(next, telling)}});
}

std::string because_of_reject(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  std::string broken;
  for (const JudgedLimit* limit : in_the_way(now)) {
    const double missing = -as_judged(*limit, now).margin;
    add_sentence(broken, words.say("report.because.missing",
                                   {{"limit", name_of_limit(*limit, words)},
                                    {"what", requirement(*limit, telling)},
                                    {"missing", amount_of(*limit, missing, Rounding::up, words)}}));
  }
  if (!broken.empty() || !now.conflict) {
    return broken;
  }
  return exclusion(now.limits[now.conflict->lower], now.limits[now.conflict->upper],
                   now.conflict->short_by.in_mm(), telling);
}

// A reject in one sentence: what kind of thing stands in the way.
Sentence why_not(const Telling& telling) {
  const auto limits = in_the_way(telling.now);
  const auto broken = [&](Sense sense) {
    return std::ranges::any_of(limits,
                               [&](const JudgedLimit* l) { return l->row().sense() == sense; });
  };
  if (telling.now.wanted) {
    return "report.headline.reject_wanted";
  }
  if (broken(Sense::hurts)) {
    return telling.own("report.headline.reject_too_short");
  }
  if (broken(Sense::fixed)) {
    return telling.own("report.headline.reject_misfit");
  }
  return telling.own("report.headline.reject_no_cut");
}

std::string headline_of_cut(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!now.remaining) {
    return report_of(job.kind).headline_without_length(telling);
  }
  return words.say(telling.own("report.headline.cut"),
                   {{"cut", mm(now.at, words)}, {"left", mm(*now.remaining, words)}});
}

Sentence headline_of_keep(const Telling& telling) {
  const auto own = report_of(telling.job.kind).headline_of_keep;
  return own != nullptr ? own(telling) : telling.own("report.headline.keep");
}

void head(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict == Verdict::cut) {
    s.verdict = words.at("report.verdict.cut");
    s.headline = headline_of_cut(telling);
    s.because = because_of_cut(telling);
  } else if (now.verdict == Verdict::keep) {
    s.verdict = words.at("report.verdict.keep");
    s.headline = words.at(headline_of_keep(telling));
    s.because = because_of_keep(telling);
  } else if (now.verdict == Verdict::hold) {
    s.verdict = words.at("report.verdict.hold");
    s.headline = words.at("report.headline.hold");
    s.because = why(now.holds.front(), telling);
  } else {
    s.verdict = words.at("report.verdict.reject");
    s.headline = words.at(why_not(telling));
    s.because = because_of_reject(telling);
  }
}

// ---- figures ----

void add_notes(const std::string& notes, Figures& figures) {
  std::size_t start = 0;
  while (start < notes.size()) {
    const std::size_t end = std::min(notes.find('\n', start), notes.size());
    const std::string line = text::harmless(notes.substr(start, end - start));
    if (start == 0) {
      figures.add_detail("report.job.notes", line);
    } else if (!line.empty()) {
      figures.add_below(line);
    }
    start = end + 1;
  }
}

void add_job(const Telling& telling, Statement& s) {
  const plan::Paperwork& p = telling.job.paperwork;
  Figures figures(s.job, telling.words);
  figures.add("report.job.number", text::harmless(p.number));
  figures.add("report.job.bike", text::harmless(p.bike));
  figures.add("report.job.owner", text::harmless(p.owner));
  figures.add_detail("report.job.by", text::harmless(p.by));
  figures.add_detail("report.job.checked_by", text::harmless(p.checked_by));
  figures.add_detail("report.job.date", text::harmless(p.date));
  add_notes(p.notes, figures);
}

std::string_view key_of(plan::HeightMeasured measured) {
  switch (measured) {
    case plan::HeightMeasured::along_tube:
      return "report.measured.along_tube";
    case plan::HeightMeasured::straight:
      return "report.measured.straight";
    case plan::HeightMeasured::to_rails:
      return "report.measured.to_rails";
    case plan::HeightMeasured::extension:
      return "report.measured.extension";
  }
  return {};
}

void add_figures(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  Figures figures(s.figures, telling.words);
  report_of(job.kind).figures(telling, figures);
  if (now.verdict == Verdict::keep && plan.window && plan.window->hi) {
    const std::string most = rounded_mm(plan.window->hi->in_mm(), Rounding::down, words);
    figures.add("report.label.room", telling.words.say("report.value.room", {{"most", most}}));
  }
}

// What the figures would give once everything open is settled. A wanted cut that breaks a limit is
// not repeated: the cuts that hold are.
void add_if_settled(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  const bool reject = now.verdict == Verdict::reject;
  s.if_settled_title =
      telling.words.at(reject ? "report.title.if_settled_alone" : "report.title.if_settled");
  if (concluded(now) || now.at.in_mm() <= 0.0) {
    return;
  }
  Figures figures(s.if_settled, telling.words);
  if (now.wanted && reject) {
    figures.add("report.label.window", window(telling));
    figures.add("report.label.planned_instead", plan.planned ? mm(*plan.planned, words) : "");
  } else {
    report_of(job.kind).figures_of_cut(telling, figures);
  }
}

// ---- limits ----

}  // namespace

void add_cut(const Telling& telling, Figures& figures, std::string left) {
  figures.add("report.label.cut", cut_off(telling, lengths_to_mark(telling)),
              OnSheet::not_of_a_cut);
  figures.add("report.label.left", std::move(left), OnSheet::not_of_a_cut);
  if (telling.now.verdict == Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(telling));
  }
}

LimitLine limit_line(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::Standing& here = standing(limit, now);
  const double has = shown_at_the_cut(now) ? limit.has : limit.has_uncut;
  const plan::RuleRow& row = limit.row();
  LimitLine line;
  line.name = name_of_limit(limit, words);
  line.bound = words.say(
      row.bound == plan::Bound::at_least ? "report.bound.at_least" : "report.bound.at_most",
      {{"needs", one_decimal(limit.needs, words)}});
  // At a wanted cut this is a length to cut by, and a hold or reject has none.
  const bool tells_the_cut =
      row.quantity == plan::Quantity::cut || row.quantity == plan::Quantity::length ||
      row.quantity == plan::Quantity::width || row.quantity == plan::Quantity::room;
  line.has = tells_the_cut && now.wanted && !concluded(now) ? "-" : one_decimal(has, words);
  line.margin = one_decimal(here.margin, Rounding::down, words);
  line.doubt = plan::is_guarded(row) ? one_decimal(here.guard, Rounding::up, words) : "-";
  line.status = spoken(here.status, words);
  line.origin = spoken(row.origin, words);
  line.source = source_of(row, words);
  line.what = requirement(limit, telling);
  line.odds = spoken_odds(limit, here, words);
  line.has_odds = has_odds(limit);
  line.governs = limit.governs;
  line.standing = here.status;
  line.stands_out = limit.governs || here.status != Status::holds;
  return line;
}

namespace {

std::string limits_title(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict == Verdict::cut) {
    return words.say("report.title.limits_after_cut", {{"cut", mm(now.at, words)}});
  }
  if (now.wanted) {
    return words.at("report.title.limits_at_wanted_cut");
  }
  return words.at(telling.own("report.title.limits_uncut"));
}

void add_limits(const Telling& telling, Statement& s) {
  s.limits_title = limits_title(telling);
  for (const JudgedLimit& limit : telling.now.limits) {
    s.limits.push_back(limit_line(limit, telling));
  }
}

// ---- what comes next ----

// Nothing is concluded from figures that contradict each other.
bool contradicts_itself(const Judgement& now) {
  return std::ranges::any_of(now.holds, [](const plan::Hold& hold) {
    return hold.reason == plan::HoldReason::readings_disagree ||
           hold.reason == plan::HoldReason::routes_disagree;
  });
}

// What may do instead of a cut.
void add_instead(const Telling& telling, Statement& s) {
  if (const auto instead = report_of(telling.job.kind).instead; instead != nullptr) {
    if (auto step = instead(telling)) {
      s.next.push_back(*std::move(step));
    }
  }
}

void add_cut_steps(const Telling& telling, Statement& s) {
  const text::Words& words = telling.words;
  s.next.push_back({words.at("report.next.once_why"), words.at("report.next.once"), false});
  s.next.push_back(report_of(telling.job.kind).before_the_saw(telling));
}

void add_next(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict == Verdict::cut) {
    add_instead(telling, s);
    add_cut_steps(telling, s);
  }
  for (const plan::Hold& hold : now.holds) {
    const std::string reason = why(hold, telling);
    for (const plan::Remedy& remedy : hold.remedies) {
      s.next.push_back(step_of(reason, remedy, telling));
    }
  }
  for (const plan::Remedy& remedy : now.remedies) {
    s.next.push_back(step_of("", remedy, telling));
  }
  if (now.verdict == Verdict::hold && !contradicts_itself(now)) {
    add_instead(telling, s);
  }
  if (now.verdict == Verdict::keep) {
    s.next.push_back({"", words.at(telling.own("report.next.keep")), false});
  }
}

// What a shop's file may give, by its key in a job; an instrument has its own name below its key.
struct OfShop {
  std::string_view path;
  std::string_view words;
};
constexpr auto of_shop = std::to_array<OfShop>({
    {"measuring.coverage", "report.shop.coverage"},
    {"measuring.twice", "report.shop.twice"},
    {"saw.kerf", "report.shop.kerf"},
    {"saw.within", "report.shop.within"},
    {"saw.step", "report.shop.step"},
    {"stock.lengths", "report.shop.lengths"},
    {"spacers.on_hand", "report.shop.on_hand"},
});
constexpr std::string_view instruments = "measuring.instruments.";

std::string in_words(std::string_view path, const text::Words& words) {
  if (path.starts_with(instruments)) {
    return words.say("report.shop.instrument",
                     {{"name", text::harmless(path.substr(instruments.size()))}});
  }
  const auto row = std::ranges::find(of_shop, path, &OfShop::path);
  require(row != of_shop.end(), "what a shop may give has words");
  return words.at(row->words);
}

// Whoever reads the job alone must see where a figure comes from that it does not have.
void add_what_the_shop_gave(const Telling& telling, Statement& s) {
  std::string list;
  for (const std::string& path : telling.job.from_shop) {
    list += (list.empty() ? "" : ", ") + in_words(path, telling.words);
  }
  if (!list.empty()) {
    s.cautions.push_back(telling.words.say("report.caution.from_shop", {{"values", list}}));
  }
}

void add_cautions(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  for (const plan::Caution one : plan.cautions) {
    s.cautions.push_back(caution(one, telling.before()));
  }
  if (const auto always = report_of(job.kind).caution(job)) {
    s.cautions.push_back(words.at(*always));
  }
  s.cautions.push_back(words.at("report.caution.maker_first"));
}

}  // namespace

Statement statement_of(const Telling& telling) {
  Statement s;
  add_job(telling, s);
  add_cautions(telling, s);
  add_what_the_shop_gave(telling, s);
  if (telling.now.is_after()) {
    tell_after_cut(telling, s);
    return s;
  }
  head(telling, s);
  add_figures(telling, s);
  add_if_settled(telling, s);
  add_limits(telling, s);
  add_next(telling, s);
  return s;
}

StepAnswer answer_of(plan::RemedyKind kind) {
  using Kind = plan::RemedyKind;
  constexpr auto people = std::to_array<Kind>(
      {Kind::ask_maker, Kind::respect_maker, Kind::approved_recess, Kind::raise_saddle,
       Kind::lower_saddle, Kind::narrow_range, Kind::wider_wish, Kind::narrower_wish,
       Kind::ask_topper_maker, Kind::lower_inside});
  constexpr auto figure = std::to_array<Kind>(
      {Kind::measure_again, Kind::measure_all, Kind::mock_up, Kind::read_twice, Kind::check_reading,
       Kind::measure_gap, Kind::compare_routes, Kind::find_mark, Kind::check_diameter,
       Kind::check_sum, Kind::measure_gap_again, Kind::measure_what_is_left, Kind::recall_length,
       Kind::find_mark_and_add, Kind::find_the_middle, Kind::measure_room});
  return std::ranges::find(people, kind) != people.end()   ? StepAnswer::people
         : std::ranges::find(figure, kind) != figure.end() ? StepAnswer::figure
                                                           : StepAnswer::none;
}

Step step_of(std::string why, const plan::Remedy& remedy, const Telling& telling) {
  return {std::move(why), what_to_do(remedy, telling), true, answer_of(remedy.kind)};
}

std::string window(const Telling& telling) {
  const auto& found = telling.plan.window;
  return found ? span(plan::Span{found->lo, found->hi}, telling.words)
               : telling.words.at("report.value.no_window");
}

// The offcut is what falls off and can be measured: the cut less what the saw turns to dust. A cut
// that is not decided on has none.
std::string cut_off(const Telling& telling, const LengthsToMark& marks) {
  const auto& [job, plan, now, words] = telling;
  const plan::Length offcut = now.at - plan.kerf;
  if (!concluded(now) || offcut <= plan::Length{}) {
    return words.say(telling.own("report.value.unsettled"),
                     {{"cut", marks.cut}, {"kerf", mm(plan.kerf, words)}});
  }
  return words.say(
      telling.own("report.value.cut"),
      {{"cut", marks.cut}, {"kerf", mm(plan.kerf, words)}, {"offcut", mm(offcut, words)}});
}

// A single extension that was read off the part is shown as it was written.
std::string extension_in_words(const plan::AtHeights& at, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const bool as_read = job.saddle.measured == plan::HeightMeasured::extension &&
                       at.lowest == at.height && at.highest == at.height;
  const bool in_inches =
      job.saddle.height->reading && !job.readings[*job.saddle.height->reading].inches.empty();
  return as_read && in_inches ? as_written(*job.saddle.height, job, words)
                              : insertion_in_words(at, words);
}

std::string insertion_in_words(const plan::AtHeights& at, const text::Words& words) {
  std::string here = rounded_mm(at.height.in_mm(), Rounding::nearest, words);
  if (at.lowest == at.height && at.highest == at.height) {
    return here;
  }
  return words.say("report.value.at_heights",
                   {{"here", here},
                    {"lowest", one_decimal(at.lowest.in_mm(), words)},
                    {"highest", one_decimal(at.highest.in_mm(), words)}});
}

std::string saddle_heights_in_words(const std::optional<plan::Span>& heights,
                                    const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!heights) {
    return words.at("report.value.no_saddle_heights");
  }
  const bool axle = job.saddle.from == plan::HeightFrom::pedal_axle;
  if (!heights->hi) {
    return words.say("report.value.saddle_heights_open",
                     {{"lo", rounded_mm(heights->lo->in_mm(), Rounding::up, words)},
                      {"measured", words.at(key_of(job.saddle.measured))}});
  }
  return words.say(
      axle ? "report.value.saddle_heights_from_axle" : "report.value.saddle_heights",
      {{"range", span(*heights, words)}, {"measured", words.at(key_of(job.saddle.measured))}});
}

}  // namespace kerfmark::report
