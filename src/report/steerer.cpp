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

// Where the line goes, by every way of finding it, and which of them counts.
void add_steerer_line(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SteererFigures& steerer = *now.steerer;
  const LengthsToMark marks = lengths_to_mark(telling);
  figures.add("report.label.cut", cut_off(telling, marks), OnSheet::not_of_a_cut);
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
    figures.add("report.label.saw_at", where_to_saw(telling), OnSheet::not_of_a_cut);
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
    figures.add("report.label.steerer_length", as_written(*job.steerer.length, job, words),
                OnSheet::not_of_a_cut);
  }
  if (steerer.gap_uncut) {
    figures.add("report.label.gap_uncut", gap_uncut(telling), OnSheet::not_of_a_cut);
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
      figures.add_detail("report.label.stem_can_stand", one, OnSheet::spare);
    } else {
      figures.add_below(one);
    }
  }
}

std::string gap_once_cut(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!now.steerer->gap) {
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

std::string headline_without_length(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  return words.say("report.headline.cut_steerer_by_gap",
                   {{"cut", mm(now.at, words)}, {"gap", mm(*now.steerer->gap, words)}});
}

// How far it stands above its stack.
std::string as_it_is(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (*now.steerer->gap_uncut < plan::Length{}) {
    const double proud = -now.steerer->gap_uncut->in_mm();
    return words.say("report.because.stands_proud",
                     {{"proud", rounded_mm(proud, Rounding::up, words)},
                      {"gap", mm(job.cap.gap->nominal, words)}});
  }
  return {};
}

Step before_the_saw(const Telling& telling) {
  const text::Words& words = telling.words;
  return {words.at(telling.now.remaining ? "report.next.line_why_all_three"
                                         : "report.next.line_why_both"),
          words.at("report.next.line"), false};
}

std::optional<Sentence> caution_of_every(const Job& job) {
  return job.part.material == plan::Material::carbon
             ? std::optional(Sentence("report.caution.carbon_steerer"))
             : std::nullopt;
}

// Expanders are sold by whole millimetres: the reach is rounded up to one.
std::string expander_unknown(plan::Caution /*caution*/, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const auto& needs = now.steerer->expander_needs;
  const double reach = needs ? std::ceil(needs->in_mm() - measure::grain) : 0.0;
  if (reach <= 0.0) {
    return words.at("report.caution.expander_unknown");
  }
  return words.say(now.at > plan::Length{} ? "report.caution.expander_reach"
                                           : "report.caution.expander_reach_uncut",
                   {{"reach", mm(measure::millimetres(reach), words)}});
}

// ---- remedies ----

// What the parts lack to give the gap, each with its key.
RemedyTexts texts_of_remedy(const plan::Remedy& /*remedy*/, const Telling& telling) {
  RemedyTexts texts;
  for (const std::string_view key : telling.now.steerer->missing_parts) {
    texts.missing += (texts.missing.empty() ? "" : ", ") + name_of_reading(key, telling.words);
  }
  return texts;
}

std::optional<Sentence> remedy_of_steerer(RemedyKind kind, const Judgement& now) {
  if (kind != RemedyKind::measure_parts) {
    return std::nullopt;
  }
  return now.steerer->missing_parts == std::vector<std::string_view>{"headset.lower"}
             ? Sentence("report.remedy.measure_lower")
             : Sentence("report.remedy.measure_parts");
}

// ---- sums ----

std::string rings_text(const plan::Rings& rings, const text::Words& words) {
  std::string text;
  for (const auto& ring : rings ? *rings : std::vector<plan::Measured<Length>>{}) {
    text += (text.empty() ? "" : " + ") + plain(ring.nominal.in_mm(), words);
  }
  return text.empty() ? "0" : text;
}

std::vector<std::string> gap_lines(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::SteererFigures& s = *plan.before.steerer;
  std::vector<std::string> lines;
  if (s.gap_by == plan::GapRoute::mock_up) {
    lines.push_back("gap uncut = -mock_up.stands_proud = " + exact(s.gap_uncut->in_mm(), words));
  } else {
    lines.push_back("Q = headset.lower " + value_in_words(job.headset.lower, words) +
                    " + frame.head_tube " + value_in_words(job.frame.head_tube, words) +
                    " + headset.upper " + value_in_words(job.headset.upper, words) + " = " +
                    exact((job.headset.lower->nominal + job.frame.head_tube->nominal +
                           job.headset.upper->nominal)
                              .in_mm(),
                          words));
    lines.push_back("spacers below at the stem's highest " + plain(s.below_high.in_mm(), words) +
                    ", above " + rings_text(job.spacers.above, words));
    lines.push_back("gap uncut = Q + spacers below + stem.clamp " +
                    value_in_words(job.stem.clamp, words) + " + spacers above - steerer.length " +
                    value_in_words(job.steerer.length, words) + " = " +
                    exact(s.gap_uncut->in_mm(), words));
  }
  lines.push_back("gap G = gap uncut + cut " + plain(plan.before.at.in_mm(), words) + " = " +
                  exact(s.gap->in_mm(), words));
  return lines;
}

std::vector<std::string> gap_and(const Telling& telling, std::string line) {
  std::vector<std::string> lines = gap_lines(telling);
  lines.push_back(std::move(line));
  return lines;
}

// The gap that the cap has: it counts from what lies on top of the steerer.
std::vector<std::string> cap_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (job.expander.flange->nominal == Length{}) {
    return gap_lines(telling);
  }
  return gap_and(telling, "has = G - expander.flange " +
                              value_in_words(job.expander.flange, words) + " = " +
                              exact(limit.has, words));
}

std::vector<std::string> rings_at_lowest(const plan::SteererFigures& steerer,
                                         const text::Words& words) {
  return {"has = spacers above " + plain(steerer.above.in_mm(), words) + " + spacers below " +
          plain(steerer.below_high.in_mm(), words) + " at the highest - " +
          plain(steerer.below_low.in_mm(), words) + " at the lowest"};
}

std::vector<std::string> made_from(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const Quantity quantity = limit.row().quantity;
  if (quantity == Quantity::gap) {
    return cap_lines(limit, telling);
  }
  if (quantity == Quantity::recess) {
    return gap_and(telling, "has = G - spacers above = " + exact(limit.has, words));
  }
  if (quantity == Quantity::clamp_end) {
    return gap_and(telling, "has = stem.clamp + spacers above at the stem's lowest - G = " +
                                exact(limit.has, words));
  }
  if (quantity == Quantity::clamp_top) {
    return gap_and(telling, "has = spacers above - G = " + exact(limit.has, words));
  }
  if (quantity == Quantity::rings_below) {
    return {"has = spacers below the stem at its highest, by their nominal heights"};
  }
  if (quantity == Quantity::rings_above) {
    return {"has = spacers above the stem at its highest, by their nominal heights"};
  }
  return quantity == Quantity::rings_above_most ? rings_at_lowest(*plan.before.steerer, words)
                                                : std::vector<std::string>{};
}

// ---- JSON ----

void add_steerer(JsonLine& out, const plan::SteererFigures& steerer) {
  out.name("gap_mm");
  out.object([&] {
    out.field("uncut", steerer.gap_uncut);
    out.field("cut", steerer.gap);
  });
  out.name("positions");
  out.list([&] {
    for (const plan::StemPosition& position : steerer.positions) {
      out.object([&] {
        out.field("below", position.below);
        out.field("above", position.above);
        out.field("height_mm", position.bar_height);
        out.field("reach_mm", position.bar_reach);
      });
    }
  });
}

}  // namespace

constinit const KindReport steerer_report = {
    .kind = plan::Kind::steerer,
    .figures = add_steerer,
    .figures_of_cut =
        [](const Telling& telling, Figures& figures) {
          if (telling.now.steerer->gap) {
            add_steerer_line(telling, figures);
          }
        },
    .figures_after =
        [](const Telling& telling, Figures& figures) {
          figures.add("report.after.label.gap", gap_once_cut(telling));
        },
    .before_the_saw = before_the_saw,
    .caution = caution_of_every,
    .made_from = made_from,
    .json = [](JsonLine& out, const Judgement& before) { add_steerer(out, *before.steerer); },
    .json_after = [](JsonLine& out,
                     const Judgement& after) { out.field("gap_mm", after.steerer->gap); },
    .side_view = view_of_steerer,
    .headline_without_length = headline_without_length,
    .as_it_is = as_it_is,
    .remedy = remedy_of_steerer,
    .remedy_texts = texts_of_remedy,
    .own_caution = expander_unknown,
};

}  // namespace kerfmark::report
