#include "kerfmark/plan/rules.hpp"

#include <algorithm>
#include <array>

namespace kerfmark::plan {
namespace {

constexpr std::string_view cfr_floor = "16 CFR 1512.15(b)";
constexpr std::string_view iso_floor = "ISO 4210-2:2014 4.16.2 (figure from secondary sources)";

constexpr std::string_view iso_recess = "ISO 4210-2:2014 4.7.4";

constexpr bool yes = true;
constexpr bool no = false;

constexpr auto table = std::to_array<RuleRow>({
    {Rule::blockage, "blockage", yes, no, Sense::helps, Bound::at_most, Origin::measured, "",
     std::nullopt, yes},
    {Rule::clearance, "clearance", yes, no, Sense::helps, Bound::at_most, Origin::practice, "", 2.0,
     yes},
    {Rule::mark, "mark", yes, no, Sense::hurts, Bound::at_least, Origin::maker},
    {Rule::post_minimum, "post-minimum", yes, no, Sense::hurts, Bound::at_least, Origin::maker},
    {Rule::frame_minimum, "frame-minimum", yes, no, Sense::hurts, Bound::at_least, Origin::maker},
    {Rule::floor_round, "floor", yes, no, Sense::hurts, Bound::at_least, Origin::published,
     cfr_floor, 2.0},
    {Rule::floor_other, "floor", yes, no, Sense::hurts, Bound::at_least, Origin::published,
     iso_floor, 65.0},
    {Rule::junction, "junction", yes, no, Sense::hurts, Bound::at_least, Origin::practice},
    {Rule::clamp_held, "clamp-held", yes, no, Sense::hurts, Bound::at_least, Origin::measured},
    {Rule::preload, "preload", no, yes, Sense::helps, Bound::at_least, Origin::measured, "", 0.0},
    {Rule::gap_least, "gap-least", no, yes, Sense::helps, Bound::at_least, Origin::practice, "",
     2.0},
    {Rule::gap_least_maker, "gap-least", no, yes, Sense::helps, Bound::at_least, Origin::maker},
    {Rule::gap_most, "gap-most", no, yes, Sense::hurts, Bound::at_most, Origin::practice, "", 5.0},
    {Rule::gap_most_maker, "gap-most", no, yes, Sense::hurts, Bound::at_most, Origin::maker},
    {Rule::stem_recess, "stem-recess", no, yes, Sense::hurts, Bound::at_most, Origin::published,
     iso_recess, 5.0},
    {Rule::stem_cover, "stem-cover", no, yes, Sense::hurts, Bound::at_most, Origin::practice, "",
     0.0},
    {Rule::stem_cover_maker, "stem-cover", no, yes, Sense::hurts, Bound::at_most, Origin::maker},
    {Rule::expander_reach, "expander-reach", no, yes, Sense::helps, Bound::at_most, Origin::maker},
    {Rule::expander_top, "expander-top", no, yes, Sense::hurts, Bound::at_least, Origin::maker},
    {Rule::max_cut, "max-cut", yes, yes, Sense::hurts, Bound::at_most, Origin::maker},
    {Rule::min_length, "min-length", yes, yes, Sense::hurts, Bound::at_least, Origin::maker},
    {Rule::head, "head", yes, no, Sense::fixed, Bound::at_least, Origin::measured},
    {Rule::grip_upper, "grip-upper", yes, no, Sense::fixed, Bound::at_least, Origin::maker},
    {Rule::grip_lower, "grip-lower", yes, no, Sense::fixed, Bound::at_most, Origin::maker},
    {Rule::bore_fit, "bore-fit", yes, no, Sense::fixed, Bound::at_most, Origin::practice, "", 0.1},
    {Rule::spacers_below, "spacers-below", no, yes, Sense::fixed, Bound::at_most, Origin::maker},
    {Rule::spacers_above_least, "spacers-above-least", no, yes, Sense::fixed, Bound::at_least,
     Origin::maker},
    {Rule::spacers_above_most, "spacers-above-most", no, yes, Sense::fixed, Bound::at_most,
     Origin::maker},
    {Rule::rider_mass, "rider-mass", yes, yes, Sense::fixed, Bound::at_most, Origin::maker},
    {Rule::system_mass, "system-mass", yes, yes, Sense::fixed, Bound::at_most, Origin::maker},
});

}  // namespace

std::span<const RuleRow> rules() { return table; }

const RuleRow& row_of(Rule rule) {
  const auto found = std::ranges::find(table, rule, &RuleRow::rule);
  require(found != table.end(), "a limit was asked for that is not in the table");
  return *found;
}

}  // namespace kerfmark::plan
