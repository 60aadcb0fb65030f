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
#include "kind_sentences.hpp"
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

// How far a post reaches past the blockage that governs, or a steerer stands above its stack.
std::string as_it_is(const JudgedLimit& lower, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (now.steerer && *now.steerer->gap_uncut < plan::Length{}) {
    const double proud = -now.steerer->gap_uncut->in_mm();
    return words.say("report.because.stands_proud",
                     {{"proud", rounded_mm(proud, Rounding::up, words)},
                      {"gap", mm(job.cap.gap->nominal, words)}});
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
  const KindSentences& says = sentences_of(telling.job.kind);
  const auto limits = in_the_way(telling.now);
  const auto broken = [&](Sense sense) {
    return std::ranges::any_of(limits,
                               [&](const JudgedLimit* l) { return l->row().sense() == sense; });
  };
  if (telling.now.wanted) {
    return "report.headline.reject_wanted";
  }
  if (broken(Sense::hurts)) {
    return says.too_short;
  }
  if (broken(Sense::fixed)) {
    return says.misfit;
  }
  return says.no_cut;
}

std::string headline_of_cut(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!now.remaining) {
    return words.say("report.headline.cut_steerer_by_gap",
                     {{"cut", mm(now.at, words)}, {"gap", mm(*now.steerer->gap, words)}});
  }
  return words.say(sentences_of(job.kind).headline_cut,
                   {{"cut", mm(now.at, words)}, {"left", mm(*now.remaining, words)}});
}

Sentence headline_of_keep(const Telling& telling) {
  const auto& post = telling.now.seatpost;
  return post && !post->blockage_known ? Sentence("report.headline.keep_post_unprobed")
                                       : sentences_of(telling.job.kind).headline_keep;
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

std::string window(const Telling& telling) {
  const auto& found = telling.plan.window;
  return found ? span(plan::Span{found->lo, found->hi}, telling.words)
               : telling.words.at("report.value.no_window");
}

std::string new_line(const LengthsToMark& marks, const text::Words& words) {
  return marks.mark_up.empty() ? std::string()
                               : words.say("report.value.new_mark",
                                           {{"up", marks.mark_up}, {"down", marks.mark_down}});
}

std::string scale(const Telling& telling) {
  const auto& reading = telling.now.seatpost->scale_reading;
  if (!reading) {
    return {};
  }
  const auto at = [&](std::size_t i) { return one_decimal(reading->at(i), telling.words); };
  return reading->at(0) == reading->at(2)
             ? at(1)
             : telling.words.say("report.value.at_heights",
                                 {{"here", at(1)}, {"lowest", at(0)}, {"highest", at(2)}});
}

std::string uncut_fit(const Telling& telling) {
  const auto& fit = telling.now.seatpost->uncut_fit;
  if (!fit) {
    return telling.words.at("report.value.fits_uncut_none");
  }
  std::string stock;
  for (const plan::Length length : fit->stock) {
    stock += (stock.empty() ? "" : ", ") + plain(length.in_mm(), telling.words);
  }
  return telling.words.say(
      stock.empty() ? "report.value.fits_uncut" : "report.value.fits_uncut_in_stock",
      {{"range", span(fit->length, telling.words)}, {"stock", stock}});
}

// The offcut is what falls off and can be measured: the cut less what the saw turns to dust. A cut
// that is not decided on has none.
std::string cut_off(const Telling& telling, const LengthsToMark& marks) {
  const auto& [job, plan, now, words] = telling;
  const plan::Length offcut = now.at - plan.kerf;
  if (!concluded(now) || offcut <= plan::Length{}) {
    return words.say(sentences_of(job.kind).unsettled,
                     {{"cut", marks.cut}, {"kerf", mm(plan.kerf, words)}});
  }
  return words.say(
      sentences_of(job.kind).value_cut,
      {{"cut", marks.cut}, {"kerf", mm(plan.kerf, words)}, {"offcut", mm(offcut, words)}});
}

void add_post_after_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SeatpostFigures& post = *now.seatpost;
  const LengthsToMark marks = lengths_to_mark(telling);
  figures.add("report.label.cut", cut_off(telling, marks));
  figures.add("report.label.left", *now.remaining > plan::Length{}
                                       ? words.say("report.value.left", {{"left", marks.left}})
                                       : words.at("report.value.left_nothing"));
  if (now.verdict == plan::Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(telling));
  }
  figures.add("report.label.new_mark", new_line(marks, words));
  figures.add_detail("report.label.window", window(telling));
  figures.add("report.label.insertion_after", insertion_in_words(post.insertion, words));
  figures.add("report.label.saddle_heights",
              saddle_heights_in_words(post.saddle_range_cut, telling));
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

void add_post(const Telling& telling, Figures& figures) {
  const Judgement& now = telling.now;
  const plan::SeatpostFigures& post = *now.seatpost;
  const bool cut = now.verdict == Verdict::cut;
  figures.add("report.label.post_length",
              as_written(*telling.job.post.length, telling.job, telling.words));
  figures.add("report.label.extension", extension_in_words(post.extension, telling));
  figures.add("report.label.insertion_uncut",
              insertion_in_words(post.insertion_uncut, telling.words), !cut);
  figures.add("report.label.scale", scale(telling));
  if (cut) {
    add_post_after_cut(telling, figures);
  } else {
    figures.add("report.label.saddle_heights",
                saddle_heights_in_words(post.saddle_range_uncut, telling));
  }
  figures.add("report.label.fits_uncut", uncut_fit(telling), !cut);
}

// Where the line goes, by every way of finding it, and which of them counts.
void add_steerer_line(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SteererFigures& steerer = *now.steerer;
  const LengthsToMark marks = lengths_to_mark(telling);
  figures.add("report.label.cut", cut_off(telling, marks));
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
    figures.add("report.label.saw_at", where_to_saw(telling));
  }
  figures.add_detail("report.label.window", window(telling));
  figures.add("report.label.gap_after",
              words.say("report.value.gap_below", {{"gap", rounded_mm(*steerer.gap, words)}}));
}

std::string position(const plan::StemPosition& p, const Telling& telling) {
  const std::string_view key = p.bar_reach    ? "report.value.position_bar_reach"
                               : p.bar_height ? "report.value.position_bar"
                                              : "report.value.position";
  return telling.words.say(
      key, {{"below", mm(p.below, telling.words)},
            {"above", plain(p.above.in_mm(), telling.words)},
            {"height", p.bar_height ? rounded_mm(*p.bar_height, telling.words) : ""},
            {"reach", p.bar_reach ? one_decimal(*p.bar_reach, telling.words) : ""}});
}

std::string ring_list(const std::vector<plan::Length>& rings, const text::Words& words) {
  std::string list;
  for (const plan::Length ring : rings) {
    list += (list.empty() ? "" : " + ") + plain(ring.in_mm(), words);
  }
  return list.empty() ? words.at("report.value.no_rings") : list;
}

std::string gap_uncut(const Telling& telling) {
  const text::Words& words = telling.words;
  const plan::Length gap = *telling.now.steerer->gap_uncut;
  const bool proud = gap.in_mm() < 0.0;
  const std::string told =
      words.say(proud ? Sentence("report.value.gap_proud") : Sentence("report.value.gap_below"),
                {{"gap", rounded_mm(proud ? -gap : gap, telling.words)}});
  return words.say(telling.now.steerer->gap_by == plan::GapRoute::mock_up
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
std::string stem_lower(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::SteererFigures& steerer = *now.steerer;
  constexpr double one_spacer = 10.0;
  const plan::Length below = steerer.target ? steerer.target->below : steerer.below_high;
  const double beyond = one_spacer - (below - steerer.below_low).in_mm();
  const auto say = [&](std::string_view key) {
    return words.say(key, {{"below", mm(below, words)},
                           {"spacer", mm(measure::millimetres(one_spacer), words)}});
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

void add_steerer(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SteererFigures& steerer = *now.steerer;
  if (job.steerer.length) {
    figures.add("report.label.steerer_length", as_written(*job.steerer.length, job, words));
  }
  if (steerer.gap_uncut) {
    figures.add("report.label.gap_uncut", gap_uncut(telling));
  }
  if (now.verdict == Verdict::cut) {
    add_steerer_line(telling, figures);
  } else if (now.verdict == Verdict::keep && job.steerer.length) {
    figures.add("report.label.leave",
                words.say("report.value.leave_whole",
                          {{"left", as_written(*job.steerer.length, job, words)}}));
  }
  if (is_yes(now.verdict)) {
    figures.add("report.label.stem_lower", stem_lower(telling));
  }
  if (job.bar.height) {
    figures.add(
        "report.label.bar_wished",
        words.say("report.value.bar_wished", {{"height", mm(job.bar.height->nominal, words)}}));
  }
  if (steerer.target) {
    figures.add("report.label.stem_stands", position(*steerer.target, telling));
  }
  if (steerer.rings) {
    figures.add_detail(
        "report.label.rings",
        words.say("report.value.rings", {{"below", ring_list(steerer.rings->below, words)},
                                         {"above", ring_list(steerer.rings->above, words)}}));
  }
  for (std::size_t i = 0; i < steerer.positions.size(); ++i) {
    const std::string one = position(steerer.positions[i], telling);
    if (i == 0) {
      figures.add_detail("report.label.stem_can_stand", one);
    } else {
      figures.add_below(one);
    }
  }
}

// ---- a handlebar ----

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
  figures.add("report.label.cut", cut_off(telling, marks));
  figures.add("report.label.left",
              words.say("report.value.left_handlebar", {{"left", marks.left}}));
  if (now.verdict == Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(telling));
  }
  figures.add("report.label.ends", ends(telling, now.at));
  figures.add_detail("report.label.window", window(telling));
}

void add_handlebar(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::HandlebarFigures& bar = *now.handlebar;
  figures.add("report.label.handlebar_width",
              bar.by_halves
                  ? words.say("report.value.by_halves", {{"width", mm(bar.width_uncut, words)}})
                  : as_written(*job.handlebar.width, job, words));
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

// ---- a mast ----

void add_mast_after_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::MastFigures& mast = *now.mast;
  const LengthsToMark marks = lengths_to_mark(telling);
  figures.add("report.label.cut", cut_off(telling, marks));
  figures.add("report.label.left", *now.remaining > plan::Length{}
                                       ? words.say("report.value.left_mast", {{"left", marks.left}})
                                       : words.at("report.value.left_nothing_of_mast"));
  if (now.verdict == Verdict::cut) {
    figures.add("report.label.saw_at", where_to_saw(telling));
  }
  figures.add_detail("report.label.window", window(telling));
  figures.add("report.label.spacers_then", spacers_in_words(mast.spacers, words));
  figures.add("report.label.saddle_heights",
              saddle_heights_in_words(mast.saddle_range_cut, telling));
}

void add_mast(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::MastFigures& mast = *now.mast;
  const bool cut = now.verdict == Verdict::cut;
  figures.add("report.label.mast_length", as_written(*job.mast.length, job, words));
  figures.add("report.label.extension", extension_in_words(mast.extension, telling));
  figures.add("report.label.spacers_uncut", spacers_in_words(mast.spacers_uncut, words), !cut);
  if (cut) {
    add_mast_after_cut(telling, figures);
  } else {
    figures.add("report.label.saddle_heights",
                saddle_heights_in_words(mast.saddle_range_uncut, telling));
  }
}

void add_figures(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  Figures figures(s.figures, telling.words);
  if (now.seatpost) {
    add_post(telling, figures);
  } else if (now.steerer) {
    add_steerer(telling, figures);
  } else if (now.handlebar) {
    add_handlebar(telling, figures);
  } else {
    add_mast(telling, figures);
  }
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
  } else if (now.seatpost) {
    add_post_after_cut(telling, figures);
  } else if (now.handlebar) {
    add_handlebar_after_cut(telling, figures);
  } else if (now.mast) {
    add_mast_after_cut(telling, figures);
  } else if (now.steerer->gap) {
    add_steerer_line(telling, figures);
  }
}

// ---- limits ----

}  // namespace

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
  return words.at(sentences_of(job.kind).limits_uncut);
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

void add_exchange(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.seatpost && now.seatpost->uncut_fit && !now.seatpost->uncut_fit->stock.empty()) {
    s.next.push_back({words.at("report.next.exchange_why"),
                      what_to_do({plan::RemedyKind::exchange_post, {}, 0.0, 0.0}, telling)});
  }
}

void add_cut_steps(const Telling& telling, Statement& s) {
  const text::Words& words = telling.words;
  s.next.push_back({words.at("report.next.once_why"), words.at("report.next.once"), false});
  if (telling.now.handlebar) {
    s.next.push_back({words.at("report.next.ends_why"), words.at("report.next.ends"), false});
    return;
  }
  if (telling.now.mast) {
    s.next.push_back({words.at("report.next.twice_why"), words.at("report.next.twice"), false});
    return;
  }
  if (telling.now.seatpost) {
    s.next.push_back({words.at("report.next.mark_why"),
                      words.say("report.next.mark", {{"label", words.at("report.label.new_mark")}}),
                      false});
    return;
  }
  s.next.push_back({words.at(telling.now.remaining ? "report.next.line_why_all_three"
                                                   : "report.next.line_why_both"),
                    words.at("report.next.line"), false});
}

void add_next(const Telling& telling, Statement& s) {
  const auto& [job, plan, now, words] = telling;
  if (now.verdict == Verdict::cut) {
    add_exchange(telling, s);
    add_cut_steps(telling, s);
  }
  for (const plan::Hold& hold : now.holds) {
    const std::string reason = why(hold, telling);
    for (const plan::Remedy& remedy : hold.remedies) {
      s.next.push_back(step_of(reason, remedy, telling));
    }
  }
  if (now.verdict == Verdict::reject && now.wanted && plan.window) {
    s.next.push_back({"", words.at("report.next.choose")});
  }
  for (const plan::Remedy& remedy : now.remedies) {
    s.next.push_back(step_of("", remedy, telling));
  }
  if (now.verdict == Verdict::hold && !contradicts_itself(now)) {
    add_exchange(telling, s);
  }
  if (now.verdict == Verdict::keep) {
    s.next.push_back({"", words.at(sentences_of(job.kind).next_keep), false});
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
  if (now.seatpost) {
    s.cautions.push_back(words.at("report.caution.raised_post"));
  } else if (now.handlebar) {
    s.cautions.push_back(words.at("report.caution.open_ends"));
  } else if (now.mast) {
    s.cautions.push_back(words.at("report.caution.mast_is_frame"));
  } else if (job.part.material == plan::Material::carbon) {
    s.cautions.push_back(words.at("report.caution.carbon_steerer"));
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

std::string spacers_in_words(const plan::AtHeights& spacers, const text::Words& words) {
  const auto or_none = [](plan::Length length) { return std::max(plan::Length{}, length); };
  const std::string taken = insertion_in_words(
      {or_none(spacers.lowest), or_none(spacers.height), or_none(spacers.highest)}, words);
  const std::string above = rounded_mm(-spacers.lowest.in_mm(), Rounding::up, words);
  return spacers.lowest < plan::Length{}
             ? words.say("report.value.spacers_too_high", {{"spacers", taken}, {"above", above}})
             : taken;
}

std::string saddle_heights_in_words(const std::optional<plan::Span>& heights,
                                    const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!heights) {
    return words.at("report.value.no_saddle_heights");
  }
  const bool axle = job.saddle.from == plan::HeightFrom::pedal_axle;
  if (now.mast && !heights->hi) {
    return words.say("report.value.saddle_heights_open",
                     {{"lo", rounded_mm(heights->lo->in_mm(), Rounding::up, words)},
                      {"measured", words.at(key_of(job.saddle.measured))}});
  }
  return words.say(
      axle ? "report.value.saddle_heights_from_axle" : "report.value.saddle_heights",
      {{"range", span(*heights, words)}, {"measured", words.at(key_of(job.saddle.measured))}});
}

}  // namespace kerfmark::report
