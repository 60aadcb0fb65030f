#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/rings.hpp"
#include "kerfmark/plan/rules.hpp"

/// What is decided about one cut: everything that a report, a sheet or a record says. Lengths are
/// millimetres; those of a post count along its axis.
namespace kerfmark::plan {

/// Before a cut: cut, keep, hold or reject. After it: fit, hold or unfit.
enum class Verdict { cut, keep, hold, reject, fit, unfit };

/// Whether the question is answered: with a cut, with none needed, or with a part that may be
/// ridden.
[[nodiscard]] constexpr bool is_yes(Verdict verdict) {
  return verdict == Verdict::cut || verdict == Verdict::keep || verdict == Verdict::fit;
}

/// Whether it is answered with no, and no measuring will change that.
[[nodiscard]] constexpr bool is_no(Verdict verdict) {
  return verdict == Verdict::reject || verdict == Verdict::unfit;
}

/// A limit as it stands at one cut: margin m (positive is good) and guard g, in the limit's unit.
struct Standing {
  double margin = 0.0;
  double guard = 0.0;
  measure::Status status = measure::Status::holds;
  /// The probability, by the readings, that the margin is truly not below 0 (measure/odds.hpp). Of
  /// every limit, also of one that is compared as marked: that is a matter of its guard.
  double odds = 1.0;
  bool operator==(const Standing&) const = default;
};

struct JudgedLimit {
  Rule rule = Rule::blockage;
  std::size_t number = 0;  ///< of a blockage, from 1; 0 where there is but one
  measure::Dimension dimension = measure::Dimension::length;
  double needs = 0.0;  ///< the bound
  double has = 0.0;    ///< the quantity, at the cut the judgement is about
  double has_uncut = 0.0;
  Standing uncut;
  Standing at;  ///< at the cut the judgement is about
  bool governs = false;
  std::vector<measure::Share> doubt;  ///< of the margin at that cut, largest first
  measure::Slopes slopes;             ///< of the margin at that cut

  [[nodiscard]] const RuleRow& row() const { return row_of(rule); }
  [[nodiscard]] std::string id() const;  ///< "mark", "blockage-2"
  bool operator==(const JudgedLimit&) const = default;
};

/// Cuts at which every cut-dependent limit holds with its doubt; hi is empty while no limit on the
/// longest cut is known.
struct Window {
  Length lo;
  std::optional<Length> hi;
  bool operator==(const Window&) const = default;
};

/// Two limits that no cut can satisfy together, by their places in Judgement::limits.
struct Conflict {
  std::size_t lower = 0;  ///< the one that asks for a longer cut
  std::size_t upper = 0;  ///< the one that forbids it
  Length short_by;
  Length to_settle;  ///< how much more room they would need, doubt counted
  bool operator==(const Conflict&) const = default;
};

enum class HoldReason {
  readings_disagree,
  routes_disagree,
  no_room_for_stack,     ///< a steerer shorter than the mock-up's own rings and clamp
  halves_against_width,  ///< both halves of a handlebar and its width
  off_centre,            ///< a handlebar that stands out farther on one side
  room_unknown,          ///< of what stays on a handlebar, for a cut
  spacers_unknown,       ///< how far up the topper of a mast may stand
  mark_unknown,
  gap_unknown,
  second_reading_missing,
  limit_in_doubt,
  rule_of_thumb_broken,
  wanted_below_least,  ///< no saw takes off so little
  window_empty,
  window_too_narrow,
  maker_not_asked,
  // After the cut:
  sum_open,              ///< what is left, offcut and kerf are not the length before
  longer_than_before,    ///< what is left is longer than the part was
  gap_against_parts,     ///< the measured gap and that of the parts differ
  gap_against_mock_up,   ///< the measured gap and that of the mock-up differ
  lengths_unknown,       ///< a maker's limit on cut or length, and nothing to judge it by
  measured_gap_unknown,  ///< no route leads to the gap
  practice_missed,       ///< a rule of thumb or a wish is broken
  off_centre_now,        ///< the two ends of a handlebar have lost what does not go together
};

enum class RemedyKind {
  measure_again,   ///< `reading`, which makes `share` of the doubt
  measure_all,     ///< every reading to `settles_within`; `reading` has the largest share
  no_measuring,    ///< settles it; `reading` has the largest share, or only the saw has one
  mock_up,         ///< instead of the probe: push the post in until it rests on the blockage
  read_twice,      ///< `reading`
  check_reading,   ///< `reading`, which makes `share` of the doubt of two limits
  measure_parts,   ///< the pieces of the gap by the parts that were not given
  measure_gap,     ///< by a mock-up
  file_or_more,    ///< a wanted cut below `amount`, the least that a saw takes off
  compare_routes,  ///< `reading` is the one of the second route
  raise_saddle,    ///< its lowest position, by `amount` to `most` mm
  lower_saddle,    ///< its highest position, by `amount` to `most` mm
  find_mark,
  ask_maker,
  exchange_post,  ///< for one of the stock lengths that fit, or for a length in uncut_fit
  longer_post,
  check_diameter,   ///< of post and bore, and the shim
  respect_maker,    ///< nothing to measure: the maker's figure stands
  other_part,       ///< a part that is made for this rider
  ring_above,       ///< of `amount` to `most` mm, above the stem: the bar stays where it is
  ring_below,       ///< of `amount` to `most` mm, below the stem, which comes up by it
  rings_out,        ///< `amount` to `most` mm of them from below the stem
  fewer_above,      ///< `amount` to `most` mm of them from above the stem
  move_above,       ///< `amount` to `most` mm of rings from below the stem to above it
  move_below,       ///< `amount` to `most` mm of rings from above the stem to below it
  lower_parts,      ///< headset cover or stem clamp, lower by `amount` to `most` mm
  approved_recess,  ///< the maker lets the steerer end `amount` mm deeper in the stem
  longer_steerer,   ///< another fork: nothing else makes up `amount` mm
  longer_expander,  ///< by `amount` mm
  stem_lowest_up,   ///< by `amount` to `most` mm: rings that stay below the stem
  narrow_range,     ///< of saddle heights, by `amount` to `most` mm, at either end
  stem_with_rise,   ///< of `angle_deg`, for `amount` mm of rings less
  find_the_middle,  ///< of a handlebar, and why its sides differ
  measure_room,     ///< what grips, levers and clamps need, and where the bar is straight
  wider_wish,       ///< a wider handlebar may do
  narrower_wish,    ///< a narrower one may do
  narrower_controls,
  other_bar,         ///< a handlebar of the width that is wanted
  ask_topper_maker,  ///< how many spacers, or how much pulling out
  other_topper,      ///< one of another rise or grip
  lower_inside,      ///< what is inside a mast, farther down
  another_cut,       ///< than the wanted one holds
  no_cut,            ///< is needed: the part fits without the wanted one
  // After the cut:
  check_sum,          ///< `reading`, which makes `share` of what the sum may be off by
  look_for_loss,      ///< the sum lacks `amount` mm: where they may have gone
  look_for_surplus,   ///< the sum has `amount` mm too much: where they may come from
  gone_reading,       ///< `reading` cannot be taken any more
  measure_gap_again,  ///< with the whole stack back in place
  measure_what_is_left,
  recall_length,      ///< the length before the cut
  find_mark_and_add,  ///< the mark from the new end up, and what came off
  cut_again,          ///< a further cut, which is a job of its own
  ride_within,        ///< the saddle heights that are safe
  scrap,              ///< nothing makes it safe
};

/// The best half-width to hope for, in mm, degrees or kg (a caliper; common practice).
inline constexpr double finest_reading = 0.1;

/// One thing to measure, ask or do.
struct Remedy {
  RemedyKind kind = RemedyKind::measure_again;
  std::optional<measure::ReadingIndex> reading = {};
  double share = 0.0;   ///< of the variance of the margin
  double amount = 0.0;  ///< millimetres, the least that does it
  double most = 0.0;    ///< millimetres, the most that breaks nothing else; 0: none known
  /// Of rings: those that do it, tallest first; empty where only their sum is known. What is moved
  /// is taken out of its place; what is to stay below a stem's lowest position is put in.
  std::vector<Length> take_out = {}, put_in = {};
  bool none_on_hand = false;  ///< the rings on hand do not make it: one would have to be got
  double angle_deg = 0.0;
  /// Of a better measurement: the guard of the limit now and then, and the half-width at which it
  /// would settle the matter; 0 where this reading alone cannot. Of all readings together, then is
  /// with each of them within `finest_reading`. Of the saw alone, the half-width is the saw's.
  double guard_now = 0.0, guard_then = 0.0, settles_within = 0.0;
  bool settles = false;  ///< of a mock-up: its doubt is small enough
  bool operator==(const Remedy&) const = default;
};

struct Hold {
  HoldReason reason = HoldReason::limit_in_doubt;
  std::optional<std::size_t> limit;   ///< place in Judgement::limits
  std::optional<std::size_t> second;  ///< the other limit, where two collide
  std::optional<measure::ReadingIndex> reading = {};
  double apart = 0.0;     ///< of readings or routes that disagree; of limits that collide, short by
  double allowed = 0.0;   ///< what readings or routes may differ by
  bool collides = false;  ///< the two limits exclude each other at every cut, whatever the doubt
  bool at_the_cut = false;       ///< judged at the cut the judgement is about, not uncut
  std::vector<Remedy> remedies;  ///< most effective first
  bool operator==(const Hold&) const = default;
};

enum class Caution {
  not_probed,             ///< nobody has probed the seat tube
  metal_not_stated,       ///< the maker of a metal part has said nothing on cutting
  carbon_inspect,         ///< damage may be invisible
  bar_out_of_reach,       ///< the rings on hand do not make the wished bar height
  expander_unknown,       ///< carbon, and nobody has said how far the expander reaches
  max_rider_unanswered,   ///< a maker's limit, and no mass of a rider
  max_system_unanswered,  ///< a maker's limit, and no mass at all
  bicycle_not_counted,    ///< system-mass goes by the rider alone
  more_is_wished,         ///< a wanted cut that leaves more than the rider wishes for
  local_law,              ///< may have other widths of a handlebar
  grip_unknown,           ///< how far a topper reaches, or must
  topper_taken_as_over,   ///< nobody has said that it does not go into the mast
  section_reaches,        ///< a mast must be of one section as far down as the topper clamps
  other_saddle,           ///< of another height asks for another mast
  next_owner,             ///< of a frame, shorter or taller; the last
};

struct CautionRow {
  Caution caution;
  std::string_view name;  ///< of its sentence; the kind of part says those that have none here
  /// Keys that nobody has given, and that would settle it; a row of a list has its number.
  std::array<std::string_view, 2> open = {};
};
[[nodiscard]] std::span<const CautionRow> caution_rows();

/// Heights or lengths at the saddle's lowest, its own and its highest height.
struct AtHeights {
  Length lowest, height, highest;
  bool operator==(const AtHeights&) const = default;
};

/// From lo to hi; an empty end is not limited.
struct Span {
  std::optional<Length> lo, hi;
  bool operator==(const Span&) const = default;
};

/// Lengths with which a post of this kind would fit without a cut.
struct UncutFit {
  Span length;
  std::vector<Length> stock;  ///< those of the stock that fall there, in the job's order
  bool operator==(const UncutFit&) const = default;
};

/// Where the line of least insertion lies after the cut.
struct NewMark {
  Length from_lower_end;
  Length from_rails;  ///< from the rail clamp centre down
  bool operator==(const NewMark&) const = default;
};

struct SeatpostFigures {
  AtHeights insertion;  ///< at the cut the judgement is about
  AtHeights insertion_uncut;
  AtHeights extension;
  std::optional<std::array<double, 3>> scale_reading;  ///< at lowest, height, highest
  std::optional<Span> saddle_range_uncut;              ///< in the job's own way of measuring
  std::optional<Span> saddle_range_cut;
  std::optional<UncutFit> uncut_fit;
  std::optional<NewMark> new_mark;
  std::optional<std::size_t> by_mock_up;  ///< the blockage, from 1, whose depth the mock-up gives
  bool blockage_known = false;            ///< a blockage is known, by probe or mock-up
  bool operator==(const SeatpostFigures&) const = default;
};

/// A height of the stem that the rings on hand can make.
struct StemPosition {
  Length below;  ///< the stem
  Length above;
  std::optional<Length> bar_height;  ///< handlebar clamp centre above the BB centre
  std::optional<Length> bar_reach;   ///< and in front of it
  bool operator==(const StemPosition&) const = default;
};

enum class GapRoute { parts, mock_up, measured };

struct SteererFigures {
  std::optional<Length> gap_uncut;      ///< empty: no route to it is complete
  std::optional<Length> gap;            ///< at the cut the judgement is about
  Length clamp;                         ///< height of the stem's clamp
  Length below_low, below_high, above;  ///< rings at the stem's lowest and highest position
  GapRoute gap_by = GapRoute::parts;    ///< the route to the gap that was used, where there is one
  /// Keys of the parts' route to the gap that were not given; empty where it is complete.
  std::vector<std::string_view> missing_parts;
  /// Of a carbon steerer without an expander.to: from the top of the steerer down to where an
  /// expander must reach, doubt counted, at the cut the judgement is about. Empty without a gap.
  std::optional<Length> expander_needs;
  std::vector<StemPosition> positions;  ///< lowest first
  std::optional<StemPosition> target;   ///< where the stem is to stand
  std::optional<RingSets> rings;        ///< which rings make the target
  bool operator==(const SteererFigures&) const = default;
};

struct HandlebarFigures {
  Length width_uncut;
  Length width;                      ///< at the cut the judgement is about
  std::optional<Length> off_centre;  ///< left less right; empty: not measured
  /// At that cut, from the middle to each end; empty: not measured.
  std::optional<Length> left, right;
  Length controls;         ///< widths of all of them together
  bool by_halves = false;  ///< the width is that of both halves
  bool operator==(const HandlebarFigures&) const = default;
};

struct MastFigures {
  AtHeights extension;
  AtHeights spacers;  ///< that the topper takes, at the cut the judgement is about
  AtHeights spacers_uncut;
  std::optional<Span> saddle_range_uncut;  ///< in the job's own way of measuring
  std::optional<Span> saddle_range_cut;
  /// A mast is cut long first, so far above the line; empty where so little comes off that one cut
  /// must do.
  std::optional<Length> first_cut_above;
  bool operator==(const MastFigures&) const = default;
};

/// From where a mark for the cut is laid off.
enum class MarkFrom {
  end_that_stays,  ///< rail clamp centre, crown race seat, middle or datum: what is left
  end_that_goes,   ///< the lower end of a post, the top of a steerer, each end: the cut
  mock_up,         ///< the top of the stack, marked on the uncut steerer: the gap
};

/// How the line is found. It is sawn at the master mark, which leaves the tightest limit the least
/// doubt; any other mark only confirms it. Between them, or between line and saw, lie at most so
/// many millimetres: what readings may differ by, or what the window leaves, whichever is less.
struct CutLine {
  MarkFrom master = MarkFrom::end_that_goes;
  std::vector<MarkFrom> confirm;  ///< empty: there is one way only
  double less_mm = 0.0;           ///< nearer the end that goes: less comes off
  double more_mm = 0.0;           ///< farther from it: more comes off
  bool less_is_harmless = false;  ///< the window leaves more than readings may differ by
  bool more_is_harmless = false;
  double closure_allowed_mm = 0.0;  ///< original and what is measured after the cut may differ by
  bool operator==(const CutLine&) const = default;
};

/// original = remaining + offcut + kerf: what the two sides differ by, and their guard.
struct Closure {
  Length off;  ///< original less the rest; positive when something is missing
  double guard_mm = 0.0;
  bool closed = false;
  bool operator==(const Closure&) const = default;
};

/// The cut that was made, by what was measured after it.
struct CutMade {
  std::optional<Length> cut;  ///< what came off, kerf and all: original less remaining
  double guard_mm = 0.0;      ///< of that length
  std::optional<Closure> closure;
  bool operator==(const CutMade&) const = default;
};

/// What is concluded about a part at one moment. Before the cut it is about a cut to come; after
/// it about the part as it was measured, with no further cut: then everything "at the cut" is as it
/// is uncut.
struct Judgement {
  Verdict verdict = Verdict::hold;
  Length at;                        ///< the cut: the wanted one, else the planned one, else 0
  std::optional<Length> wanted;     ///< by the job, before the cut
  std::optional<Length> remaining;  ///< at that cut
  std::vector<JudgedLimit> limits;  ///< in the order of the table
  std::vector<Hold> holds;          ///< of a hold; most pressing first
  std::optional<Conflict> conflict;
  std::vector<Remedy> remedies;             ///< of a no; most effective first
  std::optional<SeatpostFigures> seatpost;  ///< one of these, by the kind of part
  std::optional<SteererFigures> steerer;
  std::optional<HandlebarFigures> handlebar;
  std::optional<MastFigures> mast;
  std::optional<CutMade> made;  ///< of a part that was cut

  [[nodiscard]] bool is_after() const { return made.has_value(); }
  // Figures that parts of some kinds have; empty for the others.
  [[nodiscard]] std::optional<Length> gap() const;  ///< below the cap, at the cut
  [[nodiscard]] std::optional<Length> insertion()
      const;  ///< at the cut, at the saddle's own height
  [[nodiscard]] std::optional<NewMark> new_mark() const;  ///< the line of least insertion
  bool operator==(const Judgement&) const = default;
};

struct Plan {
  Judgement before;
  std::optional<Judgement> after;  ///< once the job says what was measured after the cut
  std::optional<Length> planned;   ///< the cut that the limits leave and the job prefers
  std::optional<Window> window;
  Length kerf;
  std::optional<CutLine> line;  ///< of the cut that `before` is about, where it is more than 0
  std::vector<Caution> cautions;

  /// The part as it is known last.
  [[nodiscard]] const Judgement& now() const { return after ? *after : before; }
  bool operator==(const Plan&) const = default;
};

/// A limit as the verdict takes it: uncut, or with a wanted cut, at that.
[[nodiscard]] const Standing& as_judged(const JudgedLimit& limit, const Judgement& judgement);

/// Whether people are shown the limits at the cut the judgement is about. A hold or reject without
/// a wanted cut shows them uncut: nothing is concluded about a cut.
[[nodiscard]] bool shown_at_the_cut(const Judgement& judgement);

/// The limits that a reject is about, each by itself: hard ones that are broken and that no other
/// cut mends. Empty where two limits exclude each other; then there is a conflict.
[[nodiscard]] std::vector<const JudgedLimit*> in_the_way(const Judgement& judgement);

/// The one that a person hears of first, of a hold or a reject; null where there is none, as where
/// a hold is for something unknown.
[[nodiscard]] const JudgedLimit* first_in_the_way(const Judgement& judgement);

/// A maker has to be asked before this part is cut, and nobody has.
[[nodiscard]] bool nobody_has_asked(const Job& job);

/// The plan of a job that the reader has passed.
[[nodiscard]] Plan plan_cut(const Job& job);

}  // namespace kerfmark::plan
