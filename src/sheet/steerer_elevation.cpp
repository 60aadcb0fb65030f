// Places along a steerer count upward, drawn to the right, in millimetres: from the crown race seat
// where that is known, else from the lower edge of the rings below the stem.

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "axis_view.hpp"
#include "kerfmark/report/wording.hpp"
#include "steerer.hpp"

namespace kerfmark::sheet {
namespace {

using plan::JudgedLimit;
using plan::Length;
using plan::Rule;

// A steerer whose diameter was not given, in mm: 1 1/8 in, the size of most (common practice).
constexpr double usual_diameter = 28.6;

// Millimetres of the bicycle, for the eye only: how far the parts on a steerer stand out, how thick
// a cap is, how much is drawn of what was not measured.
constexpr double ring_stands = 4;
constexpr double stem_stands = 7;
constexpr double tube_stands = 7.5;
constexpr double headset_stands = 9;
constexpr double cap_thick = 2.5;
constexpr double stub_long = 24;

// Millimetres of paper.
constexpr double play = 0.35;
constexpr double crown_deep = 5;
constexpr double thinnest_ring = 0.7;  // thinner ones would run together
constexpr double bolt_half = 1.5;
constexpr double bolt_high = 1.2;
constexpr double lines_stand = 0.6;  // of the saw line and the crown race, out of the headset
constexpr double air = 2 * air_mm;
constexpr double left_of_crown = 1;
constexpr double expander_part = 0.62;  // of the radius

constexpr double crown_grey = 0.4;
constexpr double expander_grey = 0.82;
constexpr double headset_grey = 0.55;
constexpr double tube_grey = 0.9;
constexpr double ring_grey = 1;
constexpr double stem_grey = 0.7;
constexpr double cap_grey = 0.3;

struct StackPlaces {
  double head_from = 0, head_to = 0;  // the head tube, or all between crown and rings
  double rings_from = 0, stem_from = 0, stem_to = 0, stack_top = 0;
  double stem_lowest = 0, stem_highest = 0;  // lower edge of its clamp there
  double top_uncut = 0, top = 0;
  bool crown = false;               // the crown race seat is known: place 0
  bool parts = false;               // and how high headset and head tube are
  bool gap = false;                 // where the steerer ends is known
  std::optional<double> other_top;  // of the stack, where parts and mock-up disagree
  double first = 0, last = 0;
};

double value(const plan::Maybe<Length>& given) { return given ? given->nominal.in_mm() : 0; }

// The mock-up says something else than the parts or the length of the steerer.
bool contradicted(const plan::Judgement& now) {
  if (now.is_after()) {
    return false;  // it is drawn by the gap that is used
  }
  return std::ranges::any_of(now.holds, [](const plan::Hold& hold) {
    return hold.reason == plan::HoldReason::routes_disagree ||
           hold.reason == plan::HoldReason::no_room_for_stack;
  });
}

// Headset and head tube, from the crown race seat to the rings. The head tube takes up the little
// by which parts and mock-up differ, so that both ends of the steerer are true; where they
// contradict each other, the parts are drawn as they were measured.
void add_head(const Subject& subject, StackPlaces& p) {
  const plan::Job& job = subject.job;
  const plan::SteererFigures& s = *subject.now.steerer;
  p.parts = job.frame.head_tube && job.headset.lower && job.headset.upper;
  const plan::Maybe<Length>& length = subject.length();
  const bool by_length = length && s.gap_uncut;
  p.crown = by_length || p.parts;
  if (by_length && !contradicted(subject.now)) {
    const double stack = (s.below_high + s.clamp + s.above).in_mm();
    p.rings_from = std::max(0.0, value(length) + s.gap_uncut->in_mm() - stack);
  } else if (p.parts) {
    p.rings_from = value(job.headset.lower) + value(job.frame.head_tube) + value(job.headset.upper);
  }
  if (p.parts) {
    p.head_from = std::min(value(job.headset.lower), p.rings_from);
    p.head_to = std::max(p.head_from, p.rings_from - value(job.headset.upper));
  } else {
    p.head_from = p.crown ? 0 : p.rings_from - stub_long;
    p.head_to = p.rings_from;
  }
}

void add_top(const Subject& subject, StackPlaces& p) {
  const plan::SteererFigures& s = *subject.now.steerer;
  p.gap = s.gap_uncut.has_value();
  if (!p.gap) {
    p.top_uncut = p.top = p.stem_to;
  } else if (contradicted(subject.now)) {
    p.top_uncut = p.top = value(subject.length());
    p.other_top = p.top - value(subject.job.mock_up.stands_proud);
  } else {
    p.top_uncut = p.stack_top - s.gap_uncut->in_mm();
    p.top = subject.is_cut() ? p.stack_top - s.gap->in_mm() : p.top_uncut;
  }
}

StackPlaces places_of(const Subject& subject) {
  const plan::SteererFigures& s = *subject.now.steerer;
  StackPlaces p;
  add_head(subject, p);
  p.stem_from = p.rings_from + s.target->below.in_mm();
  p.stem_to = p.stem_from + s.clamp.in_mm();
  p.stack_top = p.rings_from + (s.below_high + s.clamp + s.above).in_mm();
  p.stem_lowest = p.rings_from + s.below_low.in_mm();
  p.stem_highest = p.rings_from + s.below_high.in_mm();
  add_top(subject, p);
  p.first = std::min({p.crown ? 0 : p.head_from, p.top, p.other_top.value_or(p.top)});
  p.last =
      std::max({p.top_uncut, p.top + value(subject.job.expander.flange), p.stack_top + cap_thick,
                p.stem_highest + s.clamp.in_mm(), p.stem_to, p.other_top.value_or(p.top)});
  return p;
}

// Heights of single rings, lowest first; empty where only their sum is known.
std::vector<double> heights_of(const std::vector<Length>& rings) {
  std::vector<double> heights;
  heights.reserve(rings.size());
  for (const Length ring : rings) {
    heights.push_back(ring.in_mm());
  }
  return heights;
}

std::vector<double> heights_of(const plan::Rings& rings, double sum_mm) {
  std::vector<double> heights;
  double sum = 0;
  for (const auto& ring : rings.value_or(std::vector<plan::Measured<Length>>{})) {
    heights.push_back(ring.nominal.in_mm());
    sum += heights.back();
  }
  constexpr double finest_ring = 0.1;  // farther apart: rings of another position of the stem
  return std::abs(sum - sum_mm) < finest_ring ? heights : std::vector<double>{};
}

double diameter_of(const plan::Job& job) {
  return job.steerer.diameter ? value(job.steerer.diameter) : usual_diameter;
}

class Picture : SceneTools {
 public:
  Picture(const Subject& subject, const StackPlaces& places, const Axis& axis)
      : SceneTools(axis, diameter_of(subject.job), subject.words()),
        subject_(subject),
        figures_(*subject.now.steerer),
        p_(places),
        inner_(radius() + play),
        widest_(half_of(headset_stands)) {}

  Scene scene() {
    draw_steerer();
    draw_head();
    draw_stack();
    draw_cap();
    draw_flange();
    if (subject_.is_cut()) {
      across(p_.top, widest_ + lines_stand, saw_line());
    }
    add_tags();
    add_measures();
    return finished(widest_ + air);
  }

 private:
  [[nodiscard]] std::string one_decimal(double mm) const {
    return report::one_decimal(mm, words());
  }
  [[nodiscard]] std::string plain(double mm) const { return report::plain(mm, words()); }
  [[nodiscard]] double half_of(double stands_mm) const {
    return inner_ + stands_mm * axis().across;
  }

  // A part on the steerer, cut open: above its axis and below.
  void sleeve(double from, double to, double half, double grey) {
    if (to <= from) {
      return;
    }
    for (const double side : {-1.0, 1.0}) {
      const Area area{x(from), std::min(side * inner_, side * half), x(to),
                      std::max(side * inner_, side * half)};
      part().fill(area, grey);
      part().box(area, thin());
    }
  }

  // ---- lines ----

  void draw_steerer() {
    Block& b = part();
    const double from = x(p_.crown ? 0 : p_.head_from);
    const double to = x(p_.top);
    if (subject_.is_cut()) {
      waste(b, {to, -radius(), x(p_.top_uncut), radius()});
    }
    draw_expander();
    for (const double side : {-radius(), radius()}) {
      if (to > from) {
        b.rule({from, side}, {to, side}, edge());
      }
    }
    if (p_.gap) {
      across(p_.top, radius(), edge());
    } else {
      broken_off(b, to, radius() + break_stands_mm);
    }
    if (p_.crown) {
      b.polygon({{from, -widest_},
                 {from, widest_},
                 {from - crown_deep, radius()},
                 {from - crown_deep, -radius()}},
                crown_grey);
      across(0, widest_ + lines_stand, strong());
    } else {
      broken_off(b, from, widest_ + break_stands_mm);
    }
  }

  // Of the steerer as drawn: where its expander presses, as far as that is on the drawing.
  [[nodiscard]] std::optional<std::pair<double, double>> expander() const {
    if (!subject_.job.expander.to || !p_.gap) {
      return std::nullopt;
    }
    const double to = p_.top - value(subject_.job.expander.from);
    const double from = std::max(p_.top - value(subject_.job.expander.to), p_.first);
    return from < to ? std::optional(std::pair(from, to)) : std::nullopt;
  }

  void draw_expander() {
    if (const auto zone = expander()) {
      const Area area{x(zone->first), -expander_part * radius(), x(zone->second),
                      expander_part * radius()};
      part().fill(area, expander_grey);
      part().box(area, phantom());
    }
  }

  // The rim of the expander, on the top of the steerer as it is drawn.
  [[nodiscard]] double flange() const { return p_.gap ? value(subject_.job.expander.flange) : 0; }

  void draw_flange() {
    if (flange() > 0) {
      part().fill({x(p_.top), -inner_, x(p_.top + flange()), inner_}, 0);
    }
  }

  void draw_head() {
    if (p_.crown && p_.parts) {
      sleeve(0, p_.head_from, widest_, headset_grey);
      sleeve(p_.head_from, p_.head_to, half_of(tube_stands), tube_grey);
      sleeve(p_.head_to, p_.rings_from, widest_, headset_grey);
    } else {
      sleeve(p_.head_from, p_.rings_from, half_of(tube_stands), tube_grey);
    }
  }

  void draw_rings(double from, double to, const std::vector<double>& heights) {
    const double half = half_of(ring_stands);
    sleeve(from, to, half, ring_grey);
    double at = from;
    for (const double height : heights) {
      at += height;
      const bool last = to - at < thinnest_ring * axis().scale;
      if (height / axis().scale < thinnest_ring || last) {
        continue;
      }
      for (const double side : {-1.0, 1.0}) {
        part().rule({x(at), side * inner_}, {x(at), side * half}, thin());
      }
    }
  }

  void draw_stack() {
    const plan::Spacers& given = subject_.job.spacers;
    const auto& chosen = figures_.rings;
    draw_rings(
        p_.rings_from, p_.stem_from,
        chosen ? heights_of(chosen->below) : heights_of(given.below, p_.stem_from - p_.rings_from));
    draw_rings(
        p_.stem_to, p_.stack_top,
        chosen ? heights_of(chosen->above) : heights_of(given.above, p_.stack_top - p_.stem_to));
    const double half = half_of(stem_stands);
    sleeve(p_.stem_from, p_.stem_to, half, stem_grey);
    for (const double other : {p_.stem_lowest, p_.stem_highest}) {
      if (other != p_.stem_from) {
        part().box({x(other), -half, x(other + figures_.clamp.in_mm()), half}, phantom());
      }
    }
    if (p_.other_top) {
      across(*p_.other_top, half, ghost());
    }
  }

  // On a steerer that stands proud there is no cap; over what comes off only its rim is drawn.
  [[nodiscard]] bool has_cap() const { return !p_.gap || p_.top <= p_.stack_top; }

  void draw_cap() {
    if (!has_cap()) {
      return;
    }
    sleeve(p_.stack_top, p_.stack_top + cap_thick, half_of(ring_stands), cap_grey);
    if (p_.gap && p_.top_uncut <= p_.stack_top) {
      const double over = x(p_.stack_top + cap_thick);
      part().fill({x(p_.stack_top), -inner_, over, inner_}, cap_grey);
      part().fill({over, -bolt_half, over + bolt_high, bolt_half}, 0);
    }
  }

  // ---- tags ----

  // Of a part, between its ends.
  void tag_part(double from, double to, double off, std::string text, Weight weight) {
    tag((from + to) / 2, off, std::move(text), weight, true);
  }

  void add_tags() {
    add_head_tags();
    if (p_.stem_from > p_.rings_from) {
      ring_tag(p_.rings_from, p_.stem_from, "sheet.drawing.rings_below", {Rule::spacers_below});
    }
    tag_part(p_.stem_from, p_.stem_to, -half_of(stem_stands),
             words().say("sheet.drawing.stem", {{"figure", one_decimal(figures_.clamp.in_mm())}}),
             Weight::needed);
    if (p_.stack_top > p_.stem_to) {
      ring_tag(p_.stem_to, p_.stack_top, "sheet.drawing.rings_above",
               {Rule::spacers_above_least, Rule::spacers_above_most});
    }
    tag(p_.stack_top, -half_of(ring_stands), words().at("sheet.drawing.stack_top"), Weight::needed);
    if (has_cap()) {
      tag_part(p_.stack_top, p_.stack_top + cap_thick, -half_of(ring_stands),
               words().at("sheet.drawing.cap"), Weight::needed);
    }
    if (p_.other_top) {
      tag(*p_.other_top, -half_of(stem_stands), words().at("sheet.drawing.other_top"),
          Weight::vital);
    }
    add_steerer_tags();
  }

  void add_head_tags() {
    if (!p_.crown) {
      tag_part(p_.head_from, p_.rings_from, -half_of(tube_stands),
               words().at("sheet.drawing.not_measured"), Weight::needed);
      return;
    }
    tag(0, -widest_ - lines_stand, words().at("sheet.drawing.crown_race"), Weight::vital);
    if (p_.parts) {
      tag_part(p_.head_from, p_.head_to, -half_of(tube_stands),
               words().say("sheet.drawing.head_tube",
                           {{"figure", plain(value(subject_.job.frame.head_tube))}}),
               Weight::useful);
    }
  }

  // A limit on rings that does not hold is said where they are.
  void ring_tag(double from, double to, std::string_view name, const std::vector<Rule>& rules) {
    std::string text = words().say(name, {{"figure", one_decimal(to - from)}});
    Weight weight = Weight::needed;
    for (const JudgedLimit& limit : subject_.now.limits) {
      if (std::ranges::find(rules, limit.rule) != rules.end() &&
          plan::as_judged(limit, subject_.now).status != measure::Status::holds) {
        const bool most = limit.row().bound == plan::Bound::at_most;
        text = words().say(most ? "sheet.drawing.at_most" : "sheet.drawing.at_least",
                           {{"what", text}, {"figure", one_decimal(limit.needs)}});
        weight = Weight::vital;
      }
    }
    tag_part(from, to, -half_of(ring_stands), std::move(text), weight);
  }

  void add_steerer_tags() {
    if (!p_.gap) {
      tag(p_.top, -radius() - break_stands_mm, words().at("sheet.drawing.top_unknown"),
          Weight::vital);
      return;
    }
    if (subject_.is_cut()) {
      tag(p_.top, -widest_ - lines_stand, words().at("sheet.drawing.cut_line"), Weight::vital);
    }
    tag(p_.top_uncut, -radius(),
        words().at(subject_.is_cut() ? "sheet.drawing.top_before" : "sheet.drawing.top"),
        Weight::needed);
    if (flange() > 0) {
      tag_part(p_.top, p_.top + flange(), -inner_,
               words().say("sheet.drawing.flange", {{"figure", plain(flange())}}), Weight::needed);
    }
    if (const auto zone = expander()) {
      tag_part(zone->first, zone->second, -expander_part * radius(),
               words().at("sheet.drawing.expander"), Weight::useful);
    }
  }

  // ---- dimensions ----

  void add_measures() {
    if (!p_.gap) {
      return;
    }
    const plan::Judgement& now = subject_.now;
    const bool cut = subject_.is_cut();
    if (p_.crown && now.remaining) {
      measure(0, p_.top, cut ? "sheet.drawing.remaining" : "sheet.drawing.steerer",
              plain(cut ? now.remaining->in_mm() : value(subject_.length())), Weight::vital);
    }
    if (cut) {
      measure(p_.top, p_.top_uncut, "sheet.drawing.cut", plain(now.at.in_mm()), Weight::vital);
    }
    if (p_.stack_top >= p_.top) {
      measure(p_.top, p_.stack_top, "sheet.drawing.gap", one_decimal(gap_shown()), Weight::vital);
    }
    add_proud(cut);
  }

  // As the plan has it, where its route is drawn: the places may differ by a rounding error.
  [[nodiscard]] double gap_shown() const {
    const auto& gap = subject_.is_cut() ? figures_.gap : figures_.gap_uncut;
    return p_.other_top ? p_.stack_top - p_.top : gap->in_mm();
  }

  // How far the uncut steerer stands out of its stack, and by which route that is known.
  void add_proud(bool cut) {
    const double proud = p_.top_uncut - p_.stack_top;
    if (p_.other_top) {
      measure(*p_.other_top, p_.top, "sheet.drawing.mock_up_proud",
              one_decimal(p_.top - *p_.other_top), Weight::vital);
    }
    if (proud > 0) {
      const bool mock_up =
          !subject_.now.is_after() && figures_.gap_by == plan::GapRoute::mock_up && !p_.other_top;
      const auto name = cut ? "sheet.drawing.proud_before" : "sheet.drawing.proud";
      measure(p_.stack_top, p_.top_uncut, mock_up ? "sheet.drawing.mock_up_proud" : name,
              one_decimal(proud), Weight::needed);
    }
  }

  const Subject& subject_;
  const plan::SteererFigures& figures_;
  const StackPlaces& p_;
  double inner_, widest_;
};

Caption caption_of(const Subject& subject, const StackPlaces& p) {
  const text::Words& words = subject.words();
  Caption caption{words.at("sheet.drawing.steerer_title"), {}};
  if (subject.is_cut()) {
    caption.legend.push_back(words.at("sheet.drawing.legend_waste"));
  }
  if (p.stem_lowest != p.stem_from || p.stem_highest != p.stem_from) {
    caption.legend.push_back(words.at("sheet.drawing.legend_stem"));
  }
  return caption;
}

}  // namespace

Block steerer_elevation(const Subject& subject, Room room) {
  const StackPlaces places = places_of(subject);
  const Extent extent{.from_mm = places.first,
                      .to_mm = places.last,
                      .left_mm = crown_deep + left_of_crown,
                      .right_mm = break_deep_mm,
                      .diameter_mm = diameter_of(subject.job)};
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(subject, places, axis).scene(); },
      caption_of(subject, places), subject.words(), room);
}

}  // namespace kerfmark::sheet
