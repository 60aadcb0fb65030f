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

// What is told, and in which language.
struct Subject {
  const Job& job;
  const Plan& plan;
  const Judgement& now;
  const text::Words& words;

  [[nodiscard]] bool is_post() const { return now.seatpost.has_value(); }
  [[nodiscard]] std::string mm(plan::Length length) const { return report::mm(length, words); }
  // One decimal, with its unit and without.
  [[nodiscard]] std::string tenths_mm(double value, Rounding rounding) const {
    return rounded_mm(value, rounding, words);
  }
  [[nodiscard]] std::string tenths_mm(plan::Length length) const {
    return rounded_mm(length.in_mm(), Rounding::nearest, words);
  }
  [[nodiscard]] std::string tenths(plan::Length length) const {
    return one_decimal(length.in_mm(), words);
  }
};

// A hold or reject says nothing about a cut outside of "if the doubt is settled".
bool concluded(const Judgement& now) { return is_yes(now.verdict); }

const plan::Standing& standing(const JudgedLimit& limit, const Judgement& now) {
  return shown_at_the_cut(now) ? limit.at : limit.uncut;
}

std::string to_spare(const plan::Standing& s, const Subject& subject) {
  return subject.tenths_mm(s.margin - s.guard, Rounding::down);
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

// How far a post reaches past the blockage that governs, or a steerer stands above its stack.
std::string as_it_is(const JudgedLimit& lower, const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  if (now.steerer && *now.steerer->gap_uncut < plan::Length{}) {
    const double proud = -now.steerer->gap_uncut->in_mm();
    return words.say("report.because.stands_proud",
                     {{"proud", subject.tenths_mm(proud, Rounding::up)},
                      {"gap", subject.mm(job.cap.gap->nominal)}});
  }
  const auto blockage = std::ranges::find_if(now.limits, [&](const JudgedLimit& l) {
    return l.rule == plan::Rule::blockage && l.number == lower.number;
  });
  if (blockage != now.limits.end() && blockage->uncut.status == Status::broken) {
    return words.say("report.because.past_blockage",
                     {{"past", subject.tenths_mm(-blockage->uncut.margin, Rounding::up)},
                      {"blockage", blockage_name(blockage->number, job, words)}});
  }
  const plan::Standing& uncut = lower.uncut;
  return words.say(uncut.margin >= 0.0 ? "report.because.in_doubt" : "report.because.missed",
                   {{"limit", name_of_limit(lower, words)},
                    {"what", what(lower, job, words)},
                    {"margin", subject.tenths_mm(uncut.margin, Rounding::down)},
                    {"missing", subject.tenths_mm(-uncut.margin, Rounding::up)},
                    {"guard", subject.tenths_mm(uncut.guard, Rounding::up)}});
}

std::string because_of_cut(const Subject& subject) {
  std::string text;
  if (const JudgedLimit* lower = governing(subject.now, Sense::helps);
      lower != nullptr && lower->uncut.status != Status::holds) {
    text = as_it_is(*lower, subject);
  }
  add_sentence(text, subject.words.at("report.because.after_cut"));
  return text;
}

std::string because_of_keep(const Subject& subject) {
  const JudgedLimit& next = tightest(subject.now);
  return subject.words.say("report.because.nearest",
                           {{"limit", name_of_limit(next, subject.words)},
                            {"spare", to_spare(next.at, subject)},
                            {"what", what(next, subject.job, subject.words)}});
}

std::string because_of_reject(const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  std::string broken;
  for (const JudgedLimit* limit : in_the_way(now)) {
    const double missing = -as_judged(*limit, now).margin;
    add_sentence(broken, words.say("report.because.missing",
                                   {{"limit", name_of_limit(*limit, words)},
                                    {"what", what(*limit, job, words)},
                                    {"missing", amount_of(*limit, missing, Rounding::up, words)}}));
  }
  if (!broken.empty() || !now.conflict) {
    return broken;
  }
  return excludes(now.limits[now.conflict->lower], now.limits[now.conflict->upper],
                  now.conflict->short_by.in_mm(), job, words);
}

// A reject in one sentence: what kind of thing stands in the way.
std::string_view why_not(const Subject& subject) {
  const bool post = subject.is_post();
  const auto limits = in_the_way(subject.now);
  const auto broken = [&](Sense sense) {
    return std::ranges::any_of(limits,
                               [&](const JudgedLimit* l) { return l->row().sense() == sense; });
  };
  if (subject.now.wanted) {
    return "report.headline.reject_wanted";
  }
  if (broken(Sense::hurts)) {
    return post ? "report.headline.reject_post_too_short"
                : "report.headline.reject_steerer_too_short";
  }
  if (broken(Sense::fixed)) {
    return post ? "report.headline.reject_post_misfit" : "report.headline.reject_steerer_misfit";
  }
  return post ? "report.headline.reject_post_no_cut" : "report.headline.reject_steerer_no_cut";
}

std::string headline_of_cut(const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  if (!now.remaining) {
    return words.say("report.headline.cut_steerer_by_gap",
                     {{"cut", subject.mm(now.at)}, {"gap", subject.mm(*now.steerer->gap)}});
  }
  return words.say(subject.is_post() ? "report.headline.cut_post" : "report.headline.cut_steerer",
                   {{"cut", subject.mm(now.at)}, {"left", subject.mm(*now.remaining)}});
}

std::string_view headline_of_keep(const Subject& subject) {
  if (!subject.is_post()) {
    return "report.headline.keep_steerer";
  }
  return subject.now.seatpost->probed ? "report.headline.keep_post"
                                      : "report.headline.keep_post_unprobed";
}

void head(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  if (now.verdict == Verdict::cut) {
    s.verdict = words.at("report.verdict.cut");
    s.headline = headline_of_cut(subject);
    s.because = because_of_cut(subject);
  } else if (now.verdict == Verdict::keep) {
    s.verdict = words.at("report.verdict.keep");
    s.headline = words.at(headline_of_keep(subject));
    s.because = because_of_keep(subject);
  } else if (now.verdict == Verdict::hold) {
    s.verdict = words.at("report.verdict.hold");
    s.headline = words.at("report.headline.hold");
    s.because = why(now.holds.front(), now, job, words);
  } else {
    s.verdict = words.at("report.verdict.reject");
    s.headline = words.at(why_not(subject));
    s.because = because_of_reject(subject);
  }
}

// ---- figures ----

// Where figures are put, labelled by a row of [report.label]; without a value there is none.
class Figures {
 public:
  Figures(std::vector<Figure>& figures, const text::Words& words)
      : figures_(figures), words_(words) {}

  void add(std::string_view label_key, std::string value, bool in_brief = true) {
    if (!value.empty()) {
      figures_.push_back({words_.at(label_key), std::move(value), in_brief});
    }
  }
  /// For those who ask for everything.
  void add_detail(std::string_view label_key, std::string value) {
    add(label_key, std::move(value), false);
  }
  /// One more of what stands above.
  void add_below(std::string value) {
    figures_.push_back({"", std::move(value), figures_.back().in_brief});
  }

 private:
  std::vector<Figure>& figures_;
  const text::Words& words_;
};

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

void add_job(const Subject& subject, Statement& s) {
  const plan::Paperwork& p = subject.job.paperwork;
  Figures figures(s.job, subject.words);
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

std::string window(const Subject& subject) {
  const auto& found = subject.plan.window;
  return found ? span(plan::Span{found->lo, found->hi}, subject.words)
               : subject.words.at("report.value.no_window");
}

std::string new_line(const ToMark& marks, const text::Words& words) {
  return marks.mark_up.empty() ? std::string()
                               : words.say("report.value.new_mark",
                                           {{"up", marks.mark_up}, {"down", marks.mark_down}});
}

std::string scale(const Subject& subject) {
  const auto& reading = subject.now.seatpost->scale_reading;
  if (!reading) {
    return {};
  }
  const auto at = [&](std::size_t i) { return one_decimal(reading->at(i), subject.words); };
  return reading->at(0) == reading->at(2)
             ? at(1)
             : subject.words.say("report.value.at_heights",
                                 {{"here", at(1)}, {"lowest", at(0)}, {"highest", at(2)}});
}

std::string uncut_fit(const Subject& subject) {
  const auto& fit = subject.now.seatpost->uncut_fit;
  if (!fit) {
    return subject.words.at("report.value.fits_uncut_none");
  }
  std::string stock;
  for (const plan::Length length : fit->stock) {
    stock += (stock.empty() ? "" : ", ") + plain(length.in_mm(), subject.words);
  }
  return subject.words.say(
      stock.empty() ? "report.value.fits_uncut" : "report.value.fits_uncut_in_stock",
      {{"range", span(fit->length, subject.words)}, {"stock", stock}});
}

// The offcut is what falls off and can be measured: the cut less what the saw turns to dust. A cut
// that is not decided on has none.
std::string cut_off(const Subject& subject, const ToMark& marks) {
  const auto& [job, plan, now, words] = subject;
  const plan::Length offcut = now.at - plan.kerf;
  if (!concluded(now) || offcut <= plan::Length{}) {
    return words.say(
        subject.is_post() ? "report.value.unsettled_post" : "report.value.unsettled_steerer",
        {{"cut", marks.cut}, {"kerf", subject.mm(plan.kerf)}});
  }
  return words.say(
      subject.is_post() ? "report.value.cut_post" : "report.value.cut_steerer",
      {{"cut", marks.cut}, {"kerf", subject.mm(plan.kerf)}, {"offcut", subject.mm(offcut)}});
}

void add_post_after_cut(const Subject& subject, Figures& figures) {
  const auto& [job, plan, now, words] = subject;
  const plan::SeatpostFigures& post = *now.seatpost;
  const ToMark marks = lengths_to_mark(job, plan, now, words);
  figures.add("report.label.cut", cut_off(subject, marks));
  figures.add("report.label.left", *now.remaining > plan::Length{}
                                       ? words.say("report.value.left", {{"left", marks.left}})
                                       : words.at("report.value.left_nothing"));
  if (now.verdict == plan::Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(job, plan, words));
  }
  figures.add("report.label.new_mark", new_line(marks, words));
  figures.add_detail("report.label.window", window(subject));
  figures.add("report.label.insertion_after", insertion_in_words(post.insertion, words));
  figures.add("report.label.saddle_heights",
              saddle_heights_in_words(post.saddle_range_cut, job, words));
}

// A single extension that was read off the post is shown as it was written.
std::string extension(const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  const plan::AtHeights& at = now.seatpost->extension;
  const bool as_read = job.saddle.measured == plan::HeightMeasured::extension &&
                       at.lowest == at.height && at.highest == at.height;
  const bool in_inches =
      job.saddle.height->reading && !job.readings[*job.saddle.height->reading].inches.empty();
  return as_read && in_inches ? as_written(*job.saddle.height, job, words)
                              : insertion_in_words(at, words);
}

void add_post(const Subject& subject, Figures& figures) {
  const Judgement& now = subject.now;
  const plan::SeatpostFigures& post = *now.seatpost;
  const bool cut = now.verdict == Verdict::cut;
  figures.add("report.label.post_length",
              as_written(*subject.job.post.length, subject.job, subject.words));
  figures.add("report.label.extension", extension(subject));
  figures.add("report.label.insertion_uncut",
              insertion_in_words(post.insertion_uncut, subject.words), !cut);
  figures.add("report.label.scale", scale(subject));
  if (cut) {
    add_post_after_cut(subject, figures);
  } else {
    figures.add("report.label.saddle_heights",
                saddle_heights_in_words(post.saddle_range_uncut, subject.job, subject.words));
  }
  figures.add("report.label.fits_uncut", uncut_fit(subject), !cut);
}

// Where the line goes, by every way of finding it, and which of them counts.
void add_steerer_line(const Subject& subject, Figures& figures) {
  const auto& [job, plan, now, words] = subject;
  const plan::SteererFigures& steerer = *now.steerer;
  const ToMark marks = lengths_to_mark(job, plan, now, words);
  figures.add("report.label.cut", cut_off(subject, marks));
  if (now.remaining) {
    figures.add("report.label.leave", words.say("report.value.leave", {{"left", marks.left}}));
  }
  figures.add("report.label.line_from_above",
              words.say("report.value.line_from_above", {{"cut", marks.cut}}));
  const bool ring_on_top = steerer.above.in_mm() > 0.0;
  figures.add("report.label.line_by_mock_up",
              words.say(ring_on_top ? Sentence("report.value.line_by_mock_up_ring")
                                    : Sentence("report.value.line_by_mock_up_stem"),
                        {{"gap", marks.gap}}));
  if (now.verdict == plan::Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(job, plan, words));
  }
  figures.add_detail("report.label.window", window(subject));
  figures.add("report.label.gap_after",
              words.say("report.value.gap_below", {{"gap", subject.tenths_mm(*steerer.gap)}}));
}

std::string position(const plan::StemPosition& p, const Subject& subject) {
  const std::string_view key = p.bar_reach    ? "report.value.position_bar_reach"
                               : p.bar_height ? "report.value.position_bar"
                                              : "report.value.position";
  return subject.words.say(key, {{"below", subject.mm(p.below)},
                                 {"above", plain(p.above.in_mm(), subject.words)},
                                 {"height", p.bar_height ? subject.tenths_mm(*p.bar_height) : ""},
                                 {"reach", p.bar_reach ? subject.tenths(*p.bar_reach) : ""}});
}

std::string ring_list(const std::vector<plan::Length>& rings, const text::Words& words) {
  std::string list;
  for (const plan::Length ring : rings) {
    list += (list.empty() ? "" : " + ") + plain(ring.in_mm(), words);
  }
  return list.empty() ? words.at("report.value.no_rings") : list;
}

std::string gap_uncut(const Subject& subject) {
  const text::Words& words = subject.words;
  const plan::Length gap = *subject.now.steerer->gap_uncut;
  const bool proud = gap.in_mm() < 0.0;
  const std::string told =
      words.say(proud ? Sentence("report.value.gap_proud") : Sentence("report.value.gap_below"),
                {{"gap", subject.tenths_mm(proud ? -gap : gap)}});
  return words.say(subject.now.steerer->gap_by == plan::GapRoute::mock_up
                       ? "report.value.by_mock_up"
                       : "report.value.by_parts",
                   {{"gap", told}});
}

// Whether a limit at the stem's lowest position would hold with the stem `lower_mm` below that.
bool allows_lower(const Judgement& now, plan::Rule rule, double lower_mm) {
  return std::ranges::none_of(now.limits, [&](const JudgedLimit& limit) {
    return limit.rule == rule && limit.at.margin - limit.at.guard < lower_mm;
  });
}

// Riders get less supple, and bicycles are sold: whether the stem may come down once the steerer is
// cut. Its spacers then go above it, so the gap stays; what changes is how far the clamp reaches
// down. One spacer of 10 mm is the usual size (common practice).
std::string stem_lower(const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  const plan::SteererFigures& steerer = *now.steerer;
  constexpr double one_spacer = 10.0;
  const plan::Length below = steerer.target ? steerer.target->below : steerer.below_high;
  const double beyond = one_spacer - (below - steerer.below_low).in_mm();
  const auto say = [&](std::string_view key) {
    return words.say(key, {{"below", subject.mm(below)},
                           {"spacer", subject.mm(measure::millimetres(one_spacer))}});
  };
  if (below.in_mm() < one_spacer - measure::grain) {
    return say("report.value.lower_no_spacers");
  }
  if (job.part.material == plan::Material::carbon && !job.expander.to) {
    return say("report.value.lower_unknown");
  }
  if (!allows_lower(now, plan::Rule::expander_reach, beyond)) {
    return say("report.value.lower_no_expander");
  }
  if (!allows_lower(now, plan::Rule::spacers_above_most, beyond)) {
    return say("report.value.lower_no_maker");
  }
  return say("report.value.lower_yes");
}

void add_steerer(const Subject& subject, Figures& figures) {
  const auto& [job, plan, now, words] = subject;
  const plan::SteererFigures& steerer = *now.steerer;
  if (job.steerer.length) {
    figures.add("report.label.steerer_length", as_written(*job.steerer.length, job, words));
  }
  if (steerer.gap_uncut) {
    figures.add("report.label.gap_uncut", gap_uncut(subject));
  }
  if (now.verdict == Verdict::cut) {
    add_steerer_line(subject, figures);
  } else if (now.verdict == Verdict::keep && job.steerer.length) {
    figures.add("report.label.leave",
                words.say("report.value.leave_whole",
                          {{"left", as_written(*job.steerer.length, job, words)}}));
  }
  if (is_yes(now.verdict)) {
    figures.add("report.label.stem_lower", stem_lower(subject));
  }
  if (job.bar.height) {
    figures.add(
        "report.label.bar_wished",
        words.say("report.value.bar_wished", {{"height", subject.mm(job.bar.height->nominal)}}));
  }
  if (steerer.target) {
    figures.add("report.label.stem_stands", position(*steerer.target, subject));
  }
  if (steerer.rings) {
    figures.add_detail(
        "report.label.rings",
        words.say("report.value.rings", {{"below", ring_list(steerer.rings->below, words)},
                                         {"above", ring_list(steerer.rings->above, words)}}));
  }
  for (std::size_t i = 0; i < steerer.positions.size(); ++i) {
    const std::string one = position(steerer.positions[i], subject);
    if (i == 0) {
      figures.add_detail("report.label.stem_can_stand", one);
    } else {
      figures.add_below(one);
    }
  }
}

void add_figures(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  Figures figures(s.figures, subject.words);
  if (subject.is_post()) {
    add_post(subject, figures);
  } else {
    add_steerer(subject, figures);
  }
  if (now.verdict == Verdict::keep && plan.window && plan.window->hi) {
    const std::string most = subject.tenths_mm(plan.window->hi->in_mm(), Rounding::down);
    figures.add("report.label.room", subject.words.say("report.value.room", {{"most", most}}));
  }
}

// What the figures would give once everything open is settled. A wanted cut that breaks a limit is
// not repeated: the cuts that hold are.
void add_if_settled(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  const bool reject = now.verdict == Verdict::reject;
  s.if_settled_title =
      subject.words.at(reject ? "report.title.if_settled_alone" : "report.title.if_settled");
  if (concluded(now) || now.at.in_mm() <= 0.0) {
    return;
  }
  Figures figures(s.if_settled, subject.words);
  if (now.wanted && reject) {
    figures.add("report.label.window", window(subject));
    figures.add("report.label.planned_instead", plan.planned ? subject.mm(*plan.planned) : "");
  } else if (now.seatpost) {
    add_post_after_cut(subject, figures);
  } else if (now.steerer->gap) {
    add_steerer_line(subject, figures);
  }
}

// ---- limits ----

}  // namespace

LimitLine limit_line(const JudgedLimit& limit, const Job& job, const Judgement& now,
                     const text::Words& words) {
  const plan::Standing& here = standing(limit, now);
  const double has = shown_at_the_cut(now) ? limit.has : limit.has_uncut;
  const plan::RuleRow& row = limit.row();
  LimitLine line;
  line.name = name_of_limit(limit, words);
  line.bound = words.say(
      row.bound == plan::Bound::at_least ? "report.bound.at_least" : "report.bound.at_most",
      {{"needs", one_decimal(limit.needs, words)}});
  // At a wanted cut this is a length to cut by, and a hold or reject has none.
  const bool tells_the_cut = row.family == plan::Family::maker;
  line.has = tells_the_cut && now.wanted && !concluded(now) ? "-" : one_decimal(has, words);
  line.margin = one_decimal(here.margin, Rounding::down, words);
  line.doubt = plan::is_guarded(row) ? one_decimal(here.guard, Rounding::up, words) : "-";
  line.status = spoken(here.status, words);
  line.origin = spoken(row.origin, words);
  line.source = source_of(row, words);
  line.what = what(limit, job, words);
  line.odds = spoken_odds(limit, here, words);
  line.has_odds = has_odds(limit);
  line.governs = limit.governs;
  line.standing = here.status;
  line.stands_out = limit.governs || here.status != Status::holds;
  return line;
}

namespace {

std::string limits_title(const Subject& subject) {
  const auto& [job, plan, now, words] = subject;
  if (now.verdict == Verdict::cut) {
    return words.say("report.title.limits_after_cut", {{"cut", subject.mm(now.at)}});
  }
  if (now.wanted) {
    return words.at("report.title.limits_at_wanted_cut");
  }
  return words.at(subject.is_post() ? "report.title.limits_uncut_post"
                                    : "report.title.limits_uncut_steerer");
}

void add_limits(const Subject& subject, Statement& s) {
  s.limits_title = limits_title(subject);
  for (const JudgedLimit& limit : subject.now.limits) {
    s.limits.push_back(limit_line(limit, subject.job, subject.now, subject.words));
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

void add_exchange(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  if (now.seatpost && now.seatpost->uncut_fit && !now.seatpost->uncut_fit->stock.empty()) {
    s.next.push_back(
        {words.at("report.next.exchange_why"),
         what_to_do({plan::RemedyKind::exchange_post, {}, 0.0, 0.0}, now, job, words)});
  }
}

void add_cut_steps(const Subject& subject, Statement& s) {
  const text::Words& words = subject.words;
  s.next.push_back({words.at("report.next.once_why"), words.at("report.next.once"), false});
  if (subject.is_post()) {
    s.next.push_back({words.at("report.next.mark_why"),
                      words.say("report.next.mark", {{"label", words.at("report.label.new_mark")}}),
                      false});
    return;
  }
  s.next.push_back({words.at(subject.now.remaining ? "report.next.line_why_all_three"
                                                   : "report.next.line_why_both"),
                    words.at("report.next.line"), false});
}

void add_next(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  if (now.verdict == Verdict::cut) {
    add_exchange(subject, s);
    add_cut_steps(subject, s);
  }
  for (const plan::Hold& hold : now.holds) {
    const std::string reason = why(hold, now, job, words);
    for (const plan::Remedy& remedy : hold.remedies) {
      s.next.push_back(step_of(reason, remedy, job, now, words));
    }
  }
  if (now.verdict == Verdict::reject && now.wanted && plan.window) {
    s.next.push_back({"", words.at("report.next.choose")});
  }
  for (const plan::Remedy& remedy : now.remedies) {
    s.next.push_back(step_of("", remedy, job, now, words));
  }
  if (now.verdict == Verdict::hold && !contradicts_itself(now)) {
    add_exchange(subject, s);
  }
  if (now.verdict == Verdict::keep) {
    s.next.push_back(
        {"", words.at(subject.is_post() ? "report.next.keep_post" : "report.next.keep_steerer"),
         false});
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
void add_what_the_shop_gave(const Subject& subject, Statement& s) {
  std::string list;
  for (const std::string& path : subject.job.from_shop) {
    list += (list.empty() ? "" : ", ") + in_words(path, subject.words);
  }
  if (!list.empty()) {
    s.cautions.push_back(subject.words.say("report.caution.from_shop", {{"values", list}}));
  }
}

void add_cautions(const Subject& subject, Statement& s) {
  const auto& [job, plan, now, words] = subject;
  for (const plan::Caution one : plan.cautions) {
    s.cautions.push_back(caution(one, plan.before, words));
  }
  if (subject.is_post()) {
    s.cautions.push_back(words.at("report.caution.raised_post"));
  } else if (job.part.material == plan::Material::carbon) {
    s.cautions.push_back(words.at("report.caution.carbon_steerer"));
  }
  s.cautions.push_back(words.at("report.caution.maker_first"));
}

}  // namespace

Statement said_at_any_time(const Job& job, const Plan& plan, const text::Words& words) {
  const Subject subject{job, plan, plan.before, words};
  Statement s;
  add_job(subject, s);
  add_cautions(subject, s);
  add_what_the_shop_gave(subject, s);
  return s;
}

Statement statement_of(const Job& job, const Plan& plan, const text::Words& words) {
  const Subject subject{job, plan, plan.before, words};
  Statement s = said_at_any_time(job, plan, words);
  head(subject, s);
  add_figures(subject, s);
  add_if_settled(subject, s);
  add_limits(subject, s);
  add_next(subject, s);
  return s;
}

Answer answer_of(plan::RemedyKind kind) {
  using Kind = plan::RemedyKind;
  constexpr auto people =
      std::to_array<Kind>({Kind::ask_maker, Kind::respect_maker, Kind::approved_recess,
                           Kind::raise_saddle, Kind::lower_saddle, Kind::narrow_range});
  constexpr auto figure = std::to_array<Kind>(
      {Kind::measure_again, Kind::measure_all, Kind::mock_up, Kind::read_twice, Kind::check_reading,
       Kind::measure_gap, Kind::compare_routes, Kind::find_mark, Kind::check_diameter,
       Kind::check_sum, Kind::measure_gap_again, Kind::measure_what_is_left, Kind::recall_length,
       Kind::find_mark_and_add});
  return std::ranges::find(people, kind) != people.end()   ? Answer::people
         : std::ranges::find(figure, kind) != figure.end() ? Answer::figure
                                                           : Answer::none;
}

Step step_of(std::string why, const plan::Remedy& remedy, const Job& job, const Judgement& now,
             const text::Words& words) {
  return {std::move(why), what_to_do(remedy, now, job, words), true, answer_of(remedy.kind)};
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

std::string saddle_heights_in_words(const std::optional<plan::Span>& heights, const Job& job,
                                    const text::Words& words) {
  if (!heights) {
    return words.at("report.value.no_saddle_heights");
  }
  const bool axle = job.saddle.from == plan::HeightFrom::pedal_axle;
  return words.say(
      axle ? "report.value.saddle_heights_from_axle" : "report.value.saddle_heights",
      {{"range", span(*heights, words)}, {"measured", words.at(key_of(job.saddle.measured))}});
}

}  // namespace kerfmark::report
