#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "kerfmark/plan/job.hpp"

/// The one table of limits: what feeds the engine, the reports and `kerfmark rules`.
namespace kerfmark::plan {

/// maker: the job carries the maker's figure; published: a standard or regulation; measured: plain
/// geometry of this bicycle; practice: common practice of the trade, without a source. The first
/// three are hard.
enum class Origin { maker, published, measured, practice };

/// What a longer cut does to the margin of a limit.
enum class Sense { hurts = -1, fixed = 0, helps = 1 };

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

struct RuleRow {
  Rule rule;
  std::string_view id;  ///< of a numbered one without its number: "blockage"
  bool for_seatpost;
  bool for_steerer;
  Sense sense;
  Bound bound;
  Origin origin;
  std::string_view source = "";  ///< document and clause; empty unless published
  /// The figure that is built in, in millimetres; of floor_round in diameters. Empty: the job's.
  std::optional<double> figure = std::nullopt;
  bool numbered = false;  ///< one for each blockage
};

[[nodiscard]] std::span<const RuleRow> rules();
[[nodiscard]] const RuleRow& row_of(Rule rule);

[[nodiscard]] constexpr bool is_hard(Origin origin) { return origin != Origin::practice; }

/// Rules of thumb and the maker's limit on the cut are compared as marked: their guard is 0.
[[nodiscard]] constexpr bool is_guarded(const RuleRow& row) {
  return is_hard(row.origin) && row.rule != Rule::max_cut;
}

/// No saw takes off less than its kerf and this much more (common practice), in millimetres.
inline constexpr double least_beyond_kerf_mm = 2.0;

}  // namespace kerfmark::plan
