#include "kerfmark/plan/rules.hpp"

#include <array>

namespace kerfmark::plan {
namespace {

constexpr std::string_view cfr_floor = "16 CFR 1512.15(b)";
constexpr std::string_view iso_floor = "ISO 4210-2:2014 4.16.2 (figure from secondary sources)";

constexpr std::string_view iso_recess = "ISO 4210-2:2014 4.7.4";
constexpr std::string_view iso_width = "ISO 4210-2:2014 4.7 (figure and clause from memory)";

constexpr Kinds every = Kinds::every();
constexpr Kinds post = Kind::seatpost;
constexpr Kinds steerer = Kind::steerer;
constexpr Kinds bar = Kind::handlebar;
constexpr Kinds mast = Kind::mast;

// What comes off and the margin change one for one.
constexpr double helps = 1.0;
constexpr double hurts = -1.0;
constexpr double fixed = 0.0;
// A handlebar loses the cut at both ends.
constexpr double helps_twice = 2.0;
constexpr double hurts_twice = -2.0;

constexpr Bound least = Bound::at_least;
constexpr Bound most = Bound::at_most;

constexpr bool one_each = true;

// In the order of the enumerators.
constexpr auto table = std::to_array<RuleRow>({
    {Rule::blockage, "blockage", "blockage", post, Quantity::lowest_point, helps, most,
     Origin::measured, Family::higher_saddle, "", "", std::nullopt, one_each},
    {Rule::clearance, "clearance", "clearance", post, Quantity::lowest_point, helps, most,
     Origin::practice, Family::higher_saddle, "", "", 2.0, one_each},
    {Rule::mark, "mark", "mark", post, Quantity::insertion, hurts, least, Origin::maker,
     Family::lower_saddle, "post.mark"},
    {Rule::post_minimum, "post-minimum", "post-minimum", post, Quantity::insertion, hurts, least,
     Origin::maker, Family::lower_saddle, "post.min_insertion"},
    {Rule::frame_minimum, "frame-minimum", "frame-minimum", post, Quantity::insertion, hurts, least,
     Origin::maker, Family::lower_saddle, "frame.min_insertion"},
    {Rule::floor_round, "floor-round", "floor", post, Quantity::insertion, hurts, least,
     Origin::published, Family::lower_saddle, "", cfr_floor, 2.0},
    {Rule::floor_other, "floor-other", "floor", post, Quantity::insertion, hurts, least,
     Origin::published, Family::lower_saddle, "", iso_floor, 65.0},
    {Rule::junction, "junction", "junction", post, Quantity::insertion, hurts, least,
     Origin::practice, Family::lower_saddle},
    {Rule::clamp_held, "clamp-held", "clamp-held", post, Quantity::insertion, hurts, least,
     Origin::measured, Family::lower_saddle, "frame.clamp_below"},
    {Rule::preload, "preload", "preload", steerer, Quantity::gap, helps, least, Origin::measured,
     Family::taller_stack, "", "", 0.0},
    {Rule::gap_least, "gap-least", "gap-least", steerer, Quantity::gap, helps, least,
     Origin::practice, Family::taller_stack, "", "", 2.0},
    {Rule::gap_least_maker, "gap-least-maker", "gap-least", steerer, Quantity::gap, helps, least,
     Origin::maker, Family::taller_stack, "cap.gap_min"},
    {Rule::gap_most, "gap-most", "gap-most", steerer, Quantity::gap, hurts, most, Origin::practice,
     Family::shorter_stack, "", "", 5.0},
    {Rule::gap_most_maker, "gap-most-maker", "gap-most", steerer, Quantity::gap, hurts, most,
     Origin::maker, Family::shorter_stack, "cap.gap_max"},
    {Rule::stem_recess, "stem-recess", "stem-recess", steerer, Quantity::recess, hurts, most,
     Origin::published, Family::shallower_recess, "", iso_recess, 5.0},
    {Rule::stem_cover, "stem-cover", "stem-cover", steerer, Quantity::recess, hurts, most,
     Origin::practice, Family::approved_recess, "", "", 0.0},
    {Rule::stem_cover_maker, "stem-cover-maker", "stem-cover", steerer, Quantity::recess, hurts,
     most, Origin::maker, Family::shallower_recess, "stem.recess_max"},
    {Rule::expander_reach, "expander-reach", "expander-reach", steerer, Quantity::clamp_end, helps,
     most, Origin::maker, Family::longer_reach, "expander.to"},
    {Rule::expander_top, "expander-top", "expander-top", steerer, Quantity::clamp_top, hurts, least,
     Origin::maker, Family::shallower_recess, "expander.from"},
    {Rule::width_most, "width-most", "width-most", bar, Quantity::width, helps_twice, most,
     Origin::wish, Family::wider_wish, "handlebar.widest"},
    {Rule::width_least, "width-least", "width-least", bar, Quantity::width, hurts_twice, least,
     Origin::wish, Family::narrower_wish, "handlebar.narrowest"},
    {Rule::bar_minimum, "bar-minimum", "bar-minimum", bar, Quantity::width, hurts_twice, least,
     Origin::maker, Family::maker, "handlebar.min_width"},
    {Rule::norm_least, "norm-least", "norm-least", bar, Quantity::width, hurts_twice, least,
     Origin::published, Family::maker, "", iso_width, 350.0},
    {Rule::cut_mark, "cut-mark", "cut-mark", bar, Quantity::cut, hurts, most, Origin::maker,
     Family::maker, "handlebar.to_mark"},
    {Rule::controls, "controls", "controls", bar, Quantity::room, hurts, least, Origin::measured,
     Family::narrower_controls},
    {Rule::grip_zone, "grip-zone", "grip-zone", bar, Quantity::room, hurts, least, Origin::maker,
     Family::narrower_controls},
    {Rule::topper_low, "topper-low", "topper-low", mast, Quantity::spacers_lowest, helps, least,
     Origin::wish, Family::higher_saddle},
    {Rule::topper_high, "topper-high", "topper-high", mast, Quantity::spacers_highest, hurts, most,
     Origin::maker, Family::lower_saddle, "topper.spacers_most"},
    {Rule::topper_room, "topper-room", "topper-room", mast, Quantity::topper_edge, fixed, least,
     Origin::measured, Family::higher_saddle},
    {Rule::topper_grip, "topper-grip", "topper-grip", mast, Quantity::topper_grip, hurts, least,
     Origin::maker, Family::lower_saddle, "topper.min_grip"},
    {Rule::mast_inside, "mast-inside", "mast-inside", mast, Quantity::length, hurts, least,
     Origin::measured, Family::lower_inside, "mast.keep"},
    {Rule::max_cut, "max-cut", "max-cut", every, Quantity::cut, hurts, most, Origin::maker,
     Family::maker, "max_cut"},
    {Rule::min_length, "min-length", "min-length", post | steerer | mast, Quantity::length, hurts,
     least, Origin::maker, Family::maker, "min_length"},
    {Rule::head, "head", "head", post, Quantity::extension_lowest, fixed, least, Origin::measured,
     Family::higher_saddle, "post.head"},
    {Rule::grip_upper, "grip-upper", "grip-upper", post, Quantity::extension_lowest, fixed, least,
     Origin::maker, Family::higher_saddle, "post.grip"},
    {Rule::grip_lower, "grip-lower", "grip-lower", post, Quantity::extension_highest, fixed, most,
     Origin::maker, Family::lower_saddle, "post.grip"},
    {Rule::bore_fit, "bore-fit", "bore-fit", post, Quantity::play, fixed, most, Origin::practice,
     Family::other_diameter, "", "", 0.1},
    {Rule::spacers_below, "spacers-below", "spacers-below", steerer, Quantity::rings_below, fixed,
     most, Origin::maker, Family::fewer_below, "spacers.max_below"},
    {Rule::spacers_above_least, "spacers-above-least", "spacers-above-least", steerer,
     Quantity::rings_above, fixed, least, Origin::maker, Family::more_above, "spacers.min_above"},
    {Rule::spacers_above_most, "spacers-above-most", "spacers-above-most", steerer,
     Quantity::rings_above_most, fixed, most, Origin::maker, Family::fewer_above,
     "spacers.max_above"},
    {Rule::rider_mass, "rider-mass", "rider-mass", every, Quantity::rider_mass, fixed, most,
     Origin::maker, Family::other_part},
    {Rule::system_mass, "system-mass", "system-mass", every, Quantity::system_mass, fixed, most,
     Origin::maker, Family::other_part},
});

constexpr bool in_order() {
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (static_cast<std::size_t>(table[i].rule) != i) {
      return false;
    }
  }
  return true;
}
static_assert(in_order());

}  // namespace

std::span<const RuleRow> rules() { return table; }

const RuleRow& row_of(Rule rule) { return table.at(static_cast<std::size_t>(rule)); }

}  // namespace kerfmark::plan
