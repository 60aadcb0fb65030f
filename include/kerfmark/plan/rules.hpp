#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "kerfmark/plan/job.hpp"

/// The one table of limits: what feeds the engine, the reports and `kerfmark rules`.
namespace kerfmark::plan {

/// maker: the job carries the maker's figure; published: a standard or regulation; measured: plain
/// geometry of this bicycle; wish: what the rider asks for; practice: common practice of the trade,
/// without a source. All but the last are hard, a wish only before the cut.
enum class Origin { maker, published, measured, practice, wish };

/// What a longer cut does to the margin of a limit.
enum class Sense { hurts, fixed, helps };

enum class Bound { at_least, at_most };

// One for each row of the table. Where the maker's figure replaces a rule of thumb, or two sections
// have two floors, two rows share an id.
enum class Rule {
  blockage,
  clearance,
  mark,
  post_minimum,
  frame_minimum,
  floor_round,
  floor_other,
  junction,
  clamp_held,
  preload,
  gap_least,
  gap_least_maker,
  gap_most,
  gap_most_maker,
  stem_recess,
  stem_cover,
  stem_cover_maker,
  expander_reach,
  expander_top,
  width_most,
  width_least,
  bar_minimum,
  norm_least,
  cut_mark,
  controls,
  grip_zone,
  topper_low,
  topper_high,
  topper_room,
  topper_grip,
  mast_inside,
  max_cut,
  min_length,
  head,
  grip_upper,
  grip_lower,
  bore_fit,
  spacers_below,
  spacers_above_least,
  spacers_above_most,
  rider_mass,
  system_mass,
};

/// What a limit holds against its bound.
enum class Quantity {
  lowest_point,       ///< of a post and what hangs from it, below the collar
  insertion,          ///< of a post, at the saddle's highest
  extension_lowest,   ///< of a post, at the saddle's lowest: from the rails to where it is held
  extension_highest,  ///< the same at its highest
  play,               ///< of a post in its bore
  gap,                ///< below the cap, less what lies on the steerer
  recess,             ///< of a steerer in its stem
  clamp_end,          ///< lower end of the stem's clamp below the top of the steerer
  clamp_top,          ///< its upper end
  rings_below,        ///< the stem at its highest
  rings_above,        ///< the stem at its highest
  rings_above_most,   ///< the stem at its lowest
  width,              ///< of a handlebar
  room,               ///< for controls, on the straight part of a handlebar or on its grip zone
  spacers_lowest,     ///< that a topper takes at the saddle's lowest
  spacers_highest,    ///< and at its highest
  topper_edge,        ///< lower edge of the topper above the datum, at the saddle's lowest
  topper_grip,        ///< how far it reaches at the saddle's highest
  cut,                ///< of an end
  length,
  rider_mass,
  system_mass,
};

/// What mends limits of one sort.
enum class Family {
  higher_saddle,
  lower_saddle,
  other_diameter,
  taller_stack,
  shorter_stack,
  shallower_recess,
  approved_recess,  ///< the same, or the maker's word for a deeper one
  longer_reach,     ///< of the expander
  fewer_below,
  more_above,
  fewer_above,
  wider_wish,     ///< of a handlebar
  narrower_wish,  ///< the same
  narrower_controls,
  lower_inside,  ///< of a mast
  maker,         ///< nothing that is done to the part
  other_part,    ///< made for this rider
};

struct RuleRow {
  Rule rule;
  std::string_view name;  ///< of its sentences
  std::string_view id;    ///< of a numbered one without its number: "blockage"
  Kinds kinds;
  Quantity quantity;
  double slope;  ///< of its margin by the cut
  Bound bound;
  Origin origin;
  Family family;  ///< of what mends it
  /// The key of the figure that it asks for, without its table where that is the part's own. Empty
  /// where there are several or none.
  std::string_view asked_by = "";
  std::string_view source = "";  ///< document and clause; empty unless published
  /// The figure that is built in, in millimetres; of floor_round in diameters. Empty: the job's.
  std::optional<double> figure = std::nullopt;
  bool numbered = false;  ///< one for each blockage

  [[nodiscard]] constexpr Sense sense() const {
    return slope > 0.0 ? Sense::helps : (slope < 0.0 ? Sense::hurts : Sense::fixed);
  }
};

[[nodiscard]] std::span<const RuleRow> rules();
[[nodiscard]] const RuleRow& row_of(Rule rule);

[[nodiscard]] constexpr bool is_hard(Origin origin) { return origin != Origin::practice; }

/// Whether a limit decides: at a cut that somebody wants, a wish that a further cut would fulfil
/// does not, as more can come off later.
[[nodiscard]] constexpr bool decides(const RuleRow& row, bool at_a_wanted_cut) {
  const bool later = at_a_wanted_cut && row.origin == Origin::wish && row.sense() == Sense::helps;
  return is_hard(row.origin) && !later;
}

/// Whether a part that breaks it is unfit once it is cut.
[[nodiscard]] constexpr bool is_hard_after(Origin origin) {
  return is_hard(origin) && origin != Origin::wish;
}

/// Rules of thumb, wishes and the maker's limit on the cut are compared as marked: their guard is
/// 0.
[[nodiscard]] constexpr bool is_guarded(const RuleRow& row) {
  return is_hard_after(row.origin) && row.rule != Rule::max_cut;
}

/// No saw takes off less than its kerf and this much more (common practice), in millimetres.
inline constexpr double least_beyond_kerf_mm = 2.0;

}  // namespace kerfmark::plan
