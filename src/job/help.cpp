#include "kerfmark/job/help.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace kerfmark::job {
namespace {

// A template has the height measured as an extension, the other examples from the BB centre.
constexpr std::string_view extension_example = "140";
constexpr std::string_view lowest_extension_example = "135";
constexpr std::string_view highest_extension_example = "145";

constexpr auto rows = std::to_array<HelpRow>({
    {"kind", R"("seatpost")",
     "What is to be cut: a seatpost, shortened at its lower end, a steerer, at its top, a "
     "handlebar, at both ends, or a mast, the frame's own seat tube that runs up to the saddle, at "
     "its top."},

    {"job.number", R"("2031")", "Your number for this job; it goes on report and sheet."},
    {"job.bike", R"("grey gravel bike, size 54")",
     "Which bicycle: whatever tells it apart from the others in the shop."},
    {"job.owner", R"("A. Rider")", "Whose bicycle it is."},
    {"job.by", R"("mechanic 1")", "Who measured."},
    {"job.checked_by", R"("mechanic 2")", "Who checked the measurements."},
    {"job.date", "2026-05-01", "Day of measuring, year first."},
    {"job.notes", R"("saddle stays as it is")", "Anything else that should be on the sheet."},

    {"saddle.height", "607",
     "From the BB centre up to the saddle, in the way that measured says: tape, +-1 mm. "
     "With measured = \"extension\": from the rail clamp centre down to the collar edge, of a mast "
     "to its datum, along the post or mast, by steel rule, +-0.5 mm.",
     extension_example},
    {"saddle.lowest", "602",
     "Lowest height the saddle will ever be set to, measured like height; the post must stay clear "
     "of blockages there, the topper of a mast come down to it. Left out: the height.",
     lowest_extension_example},
    {"saddle.highest", "612",
     "Highest height the saddle will ever be set to, measured like height; enough of the post must "
     "stay in the frame there, of the topper on its mast. Left out: the height.",
     highest_extension_example},
    {"saddle.measured", R"("along tube")",
     R"(How the heights are measured: "along tube" parallel to the seat tube, up to the level of )"
     R"(the saddle top; "straight" to the saddle top above the middle of the clamped rails; )"
     R"("to rails" along the post axis to the rail clamp centre; "extension" read off the post )"
     R"(or mast.)"},
    {"saddle.from", R"("bb")",
     R"("bb" when the heights begin at the BB centre; "pedal axle" when at the axle of the lower )"
     "pedal, with the crank in line with the tape: then give crank too."},
    {"saddle.crank", "172.5", "BB centre to pedal axle, as stamped on the crank arm."},
    {"saddle.rail_to_top", "45",
     "From the centre of the clamped rails straight up, plumb, to the level of the saddle top: "
     "square and rule, +-1 mm."},
    {"saddle.near", "2",
     "How much higher than its lowest height the saddle may end up: so much of the mast is left "
     "rather than cut off."},

    {"frame.seat_tube", "420",
     "From the BB centre straight to the collar edge, where the post enters the frame, or to the "
     "datum of a mast: tape, +-1 mm."},
    {"frame.seat_angle", "73",
     "Between the axis of the post or mast and the horizontal, the bike standing level: angle "
     "gauge "
     "on it, +-0.5 deg. Not a catalogue's effective angle."},
    {"frame.axis_offset", "0",
     "How far the axis of post or mast, drawn on downward, passes the BB centre, square to the "
     "axis: "
     "plus when it runs in front of the BB centre, minus behind; square and rule, +-1 mm."},
    {"frame.bore", "27.2",
     "Inside diameter of the seat tube where the post is clamped, as stated for the frame."},
    {"frame.min_insertion", "80",
     "Insertion that the frame's maker asks for: from the collar edge down to the lower end."},
    {"frame.junction", "45",
     "From the collar edge down to the lowest weld or joint edge of top tube or seat stays, along "
     "the seat tube: steel rule, +-0.5 mm."},
    {"frame.clamp_below", "0",
     "How far below the collar edge the part that holds the post grips it, an internal wedge for "
     "instance: depth probe, +-1 mm, to the middle of what grips. 0 for a clamp or collar at the "
     "edge."},
    {"frame.head_tube", "150",
     "From the lower edge of the head tube to its upper edge, without the headset: steel rule, "
     "+-0.5 mm."},
    {"frame.head_angle", "73",
     "Between the steering axis and the horizontal, the bike standing level: angle gauge on the "
     "head tube, +-0.5 deg."},
    {"frame.stack", "550",
     "From the BB centre plumb up to the level of the upper edge of the head tube: tape, +-1 mm, "
     "or the maker's figure."},
    {"frame.reach", "390",
     "From the BB centre level forward to the plumb line through the middle of the upper edge of "
     "the head tube: tape, +-1 mm, or the maker's figure."},
    {"frame.max_rider", "110", "Heaviest rider that the frame's maker allows."},
    {"frame.max_system", "130",
     "Heaviest total of rider, bicycle and everything on it that the frame's maker allows."},

    {"frame.blockage.what", R"("lip")",
     "What is in the way: lip, stop, bottle boss, end of the reamed bore, bend."},
    {"frame.blockage.depth", "225",
     "From the collar edge down, along the seat tube, to the first thing that the post must not "
     "touch: depth probe, +-1 mm."},
    {"frame.blockage.clearance", "2",
     "Clearance to keep above the blockage, so that the post never rests on it."},

    {"post.length", "400",
     "From the rail clamp centre down to the lower end, along the post axis: steel rule, +-0.5 mm. "
     "Measure it: a catalogue's length may run to the top of the head."},
    {"post.mark", "100",
     "From the lower end up to the minimum-insertion mark printed on the post: steel rule, "
     "+-0.5 mm. \"unknown\" when none can be read; then ask the maker for min_insertion."},
    {"post.diameter", "27.2", "Outside diameter as stamped on the post."},
    {"post.material", R"("aluminium")", "What the post is made of where it will be cut."},
    {"post.cutting", R"("not stated")",
     R"(What the maker says about shortening this post: ask. Until you know, "not stated": a )"
     "carbon post is then held back."},
    {"post.section", R"("round")", R"("round", or "other" for any profiled post.)"},
    {"post.build", R"("rigid")", R"("rigid", or "dropper" or "suspension": those are never cut.)"},
    {"post.setback", "0",
     "From the post axis to the centre of the clamped rails, square to the axis: plus to the rear, "
     "minus to the front; steel rule, +-0.5 mm."},
    {"post.head", "0",
     "From the rail clamp centre down to where the head ends, the part that cannot enter the "
     "frame: steel rule, +-0.5 mm."},
    {"post.hang", "0",
     "How far anything fixed in the post (battery, holder, wire loop) reaches below its lower end: "
     "steel rule, +-0.5 mm."},
    {"post.min_insertion", "100",
     "Insertion that the post's maker asks for in words, apart from the mark: from the collar edge "
     "down to the lower end."},
    {"post.max_cut", "60", "The most that the post's maker allows to be cut off."},
    {"post.min_length", "250",
     "The shortest post that the maker allows: from the rail clamp centre to the lower end."},
    {"post.max_rider", "100", "Heaviest rider that the post's maker allows."},
    {"post.max_system", "130",
     "Heaviest total of rider, bicycle and everything on it that the post's maker allows."},
    {"post.grip", "[60, 390]",
     "The part of the post that its maker lets you clamp: two distances down from the rail clamp "
     "centre, the smaller first."},
    {"post.shim", "false", "true when a shim (sleeve) sits between post and seat tube."},
    {"post.scale.zero_at", "100",
     "Only for a post with a scale on it: from the rail clamp centre down to the line 0 of the "
     "scale; steel rule, +-0.5 mm."},
    {"post.scale.per_unit", "10",
     "Millimetres from one figure of the scale to the next: 10 when it counts centimetres."},
    {"post.scale.rising", R"("down")",
     R"("down" when the figures grow towards the lower end, "up" when towards the saddle.)"},

    {"steerer.length", "300",
     "From the crown race seat up to the top of the steerer: steel rule, +-0.5 mm."},
    {"steerer.material", R"("carbon")", "What the steerer is made of where it will be cut."},
    {"steerer.cutting", R"("allowed")",
     "What the maker of the fork says about shortening its steerer."},
    {"steerer.diameter", "28.6", "Outside diameter of the steerer where the stem clamps it."},
    {"steerer.max_cut", "100", "The most that the maker of the fork allows to be cut off."},
    {"steerer.min_length", "160",
     "The shortest steerer that the maker allows: from the crown race seat to the top."},
    {"steerer.max_rider", "100", "Heaviest rider that the maker of the fork allows."},
    {"steerer.max_system", "130",
     "Heaviest total of rider, bicycle and everything on it that the maker of the fork allows."},
    {"steerer.threaded", "false", "true for a steerer with a thread: those are not planned here."},

    {"handlebar.width", "780",
     "End to end, along the straight line between the ends: tape, +-1 mm."},
    {"handlebar.left", "390",
     "From the middle of the stem's clamp to the left end, in the direction of the width: steel "
     "rule, +-0.5 mm."},
    {"handlebar.right", "390",
     "The same to the right end, steel rule, +-0.5 mm; left and right go together."},
    {"handlebar.wanted", "740", "The width that the rider wants."},
    {"handlebar.narrowest", "735", "What would do as well. Left out: 5 mm less than wanted."},
    {"handlebar.widest", "745", "What would do as well. Left out: 5 mm more than wanted."},
    {"handlebar.straight", "185",
     "From an end inward to where the bar bends or grows thicker, on the shorter side: steel rule, "
     "+-0.5 mm."},
    {"handlebar.grip_zone", "180",
     "From an end inward to where the maker lets clamps sit, on the shorter side."},
    {"handlebar.to_mark", "40",
     "From an end inward to the last cut mark that the maker has printed, on the shorter side: "
     "steel rule, +-0.5 mm."},
    {"handlebar.air", "5", "What to leave between the controls and the bend."},
    {"handlebar.material", R"("aluminium")", "What the handlebar is made of where it will be cut."},
    {"handlebar.cutting", R"("not stated")",
     "What the maker says about shortening this handlebar."},
    {"handlebar.diameter", "22.2", "Outside diameter where it is cut."},
    {"handlebar.min_width", "700", "The narrowest that its maker allows."},
    {"handlebar.max_cut", "40", "The most that the maker allows to be cut off each end."},
    {"handlebar.max_rider", "110", "Heaviest rider that the maker of the handlebar allows."},
    {"handlebar.max_system", "140",
     "Heaviest rider, bicycle and load together that the maker of the handlebar allows."},

    {"controls.what", R"("brake lever")", "What it is; it goes on the sheet."},
    {"controls.width", "35", "How much of the bar it takes up, along the bar: caliper, +-0.1 mm."},

    {"mast.length", "182",
     "From the datum up to the top of the mast, along it: steel rule, +-0.5 mm. The datum is the "
     "maker's; where the maker names none, the upper edge of the top tube."},
    {"mast.keep", "60",
     "From the datum up to the top of whatever inside must stay below the cut, a cable exit, "
     "battery or insert: steel rule, +-0.5 mm."},
    {"mast.material", R"("carbon")", "What the mast is made of where it will be cut."},
    {"mast.cutting", R"("not stated")",
     "What the maker of the frame says about shortening this mast. Nothing is cut before it is "
     "known."},
    {"mast.section", R"("round")",
     R"("round", or "other" for an oval or aero mast, where it is cut.)"},
    {"mast.diameter", "34.9", "Outside diameter of a round mast where it is cut."},
    {"mast.max_cut", "60", "The most that the maker of the frame allows to be cut off in all."},
    {"mast.min_length", "120",
     "The shortest mast that the maker of the frame allows: from the datum to the top."},
    {"mast.max_rider", "110", "Heaviest rider that the maker allows on this mast."},
    {"mast.max_system", "140",
     "Heaviest rider, bicycle and load together that the maker allows on this mast."},

    {"topper.rise", "32.5",
     "The head on the mast, down on its stop, without spacers: from the top of the mast up to the "
     "rail clamp centre; caliper, +-0.1 mm."},
    {"topper.spacers_most", "20",
     "The most of spacers between mast and topper, or of pulling it out, that its maker allows; 0 "
     "where it takes none. Ask: nothing is decided before it is known."},
    {"topper.goes", R"("over")", R"("over" the mast like a cap, or "into" it.)"},
    {"topper.grip", "80",
     "How far the topper reaches over or into the mast, down on its stop: caliper, +-0.1 mm."},
    {"topper.min_grip", "60",
     "How far it must reach over or into the mast at least, by its maker."},
    {"topper.setback", "0",
     "How far the rail clamp centre lies behind the axis of the mast, square to it, plus to the "
     "rear: steel rule, +-0.5 mm."},

    {"headset.lower", "0",
     "Height that the lower part of the headset puts between crown race seat and head tube, minus "
     "where the seat lies inside the head tube: caliper, +-0.1 mm. Measure it, or write 0 where "
     "nothing stands there: left out, the parts do not give the cut."},
    {"headset.upper", "12",
     "Height of the headset above the head tube, cover included, up to the first spacer or the "
     "stem: "
     "caliper, +-0.1 mm."},

    {"stem.clamp", "40",
     "Height of the stem where it clamps the steerer, along the steerer: caliper, +-0.1 mm."},
    {"stem.length", "100",
     "From the steering axis to the centre of the handlebar, along the stem: steel rule, +-0.5 "
     "mm."},
    {"stem.angle", "-6",
     "Angle of the stem against square to the steerer, plus when it rises as fitted: as stamped, "
     "or angle gauge, +-0.5 deg."},
    {"stem.recess_max", "3",
     "How far the stem's maker lets the steerer end below the top of the stem."},

    {"spacers.below", "[10, 10, 5]",
     "Spacers below the stem, one by one: caliper, +-0.1 mm each; or their sum as one number."},
    {"spacers.lowest", "[5]",
     "Spacers below the stem in its lowest position, measured like below: caliper, +-0.1 mm each."},
    {"spacers.highest", "[10, 10, 5]",
     "Spacers below the stem in its highest position, measured like below: caliper, +-0.1 mm "
     "each."},
    {"spacers.above", "0",
     "Spacers above the stem in its highest position: caliper, +-0.1 mm each."},
    {"spacers.on_hand", "[10, 10, 5, 5]", "All spacers on the bench, those on the bike included."},
    {"spacers.max_below", "30", "The most spacers below the stem that the maker allows, as a sum."},
    {"spacers.min_above", "5",
     "The fewest spacers above the stem that the maker asks for, as a sum."},
    {"spacers.max_above", "20", "The most spacers above the stem that the maker allows, as a sum."},

    {"cap.gap", "3",
     "From the top of the stack down to the top of the steerer, or of the expander's rim on it, as "
     "it is to be after the cut."},
    {"cap.gap_min", "2", "The smallest gap that the maker asks for."},
    {"cap.gap_max", "5", "The largest gap that the maker allows."},

    {"expander.from", "0",
     "From the top of the steerer, not from a rim on it, down to where the expander begins to "
     "press outward."},
    {"expander.to", "50",
     "From the top of the steerer, not from a rim on it, down to where the expander ends."},
    {"expander.flange", "0",
     "How far the rim of the expander stands up above the top of the steerer it lies on: caliper, "
     "+-0.1 mm; 0 where it has none. It takes that much of the gap below the cap."},

    {"bar.height", "620",
     "Wished height of the handlebar centre above the BB centre; takes the place of "
     "spacers.below."},
    {"bar.lowest", "610", "Lowest height wanted for the handlebar centre, above the BB centre."},
    {"bar.highest", "630", "Highest height wanted for the handlebar centre, above the BB centre."},

    {"mock_up.stands_proud", "68",
     "With headset, stem and all spacers on the uncut steerer: from the top of the stack up to the "
     "top of the steerer, not of a rim on it, minus when it ends below; steel rule, +-0.5 mm."},
    {"mock_up.exposed_bottomed", "175",
     "Push the uncut post in until it rests on the blockage, then measure from the rail clamp "
     "centre down to the collar edge: steel rule, +-0.5 mm."},
    {"mock_up.hang_fitted", "false",
     "true when whatever hangs below the post was in it at that time."},

    {"stock.lengths", "[350, 300]",
     "Lengths of posts that you could fit instead, rail clamp centre to lower end like "
     "post.length; a catalogue's length may run to the top of the head."},

    {"rider.mass", "75", "The rider with clothes and what is carried on the back."},
    {"rider.system_mass", "90",
     "Rider, bicycle and everything on it together: what a maker's limit for the whole counts."},

    {"saw.kerf", "1", "The width the blade turns to dust, on the waste side of the line."},
    {"saw.within", "0.5", "How far the finished cut may miss the line, to either side."},
    {"saw.step", "1", "A cut is planned in whole multiples of this."},
    {"saw.wanted", "40",
     "A cut of your own to check: original length less remaining length, so the kerf is part "
     "of it."},

    {"measuring.coverage", "2",
     "How many standard uncertainties count against the part (coverage factor k)."},
    {"measuring.twice", "false",
     "true when a second reading of every measured value that matters is to be asked for."},
    {"measuring.instruments", R"({ tape = 2, "my laser" = 0.3, "my gauge" = "0.2 deg" })",
     "Your own instruments: each name with the +- that you trust it to. Changes tape, steel rule, "
     "square and rule, depth probe, caliper and angle gauge, or adds one to be named by with."},

    {"as_cut.length", "229",
     "What is left, measured anew: rail clamp centre down to the new lower end of a post, crown "
     "race seat up to the new top of a steerer, datum up to the new top of a mast; steel rule, "
     "+-0.5 mm."},
    {"as_cut.gap", "3",
     "With headset, stem and all spacers back on the steerer, without the cap: from the top of the "
     "stack down to the top of the steerer, not of a rim on it, minus when it stands proud; steel "
     "rule, +-0.5 mm."},
    {"as_cut.width", "740",
     "The width after the cut, end to end along the straight line: tape, +-1 mm."},
    {"as_cut.offcut_left", "19",
     "Length of the piece that came off the left end: steel rule, +-0.5 mm."},
    {"as_cut.offcut_right", "19",
     "The same of the right end: steel rule, +-0.5 mm; the two go together."},
    {"as_cut.offcut", "70",
     "The piece that came off, by steel rule, +-0.5 mm; of several pieces the sum. What is left, "
     "offcut and kerf must add up to the length before."},
    {"as_cut.kerf", "1",
     "Width of the slot that the blade left, if it is not that of saw.kerf; where one end was cut "
     "twice, both slots together."},
    {"as_cut.by", R"("mechanic 1")", "Who cut and measured."},
    {"as_cut.checked_by", R"("mechanic 2")", "Who checked what was measured after the cut."},
    {"as_cut.date", "2026-05-02", "Day of the cut, year first."},
});

const HelpRow* row_of(std::string_view path) {
  const auto found = std::ranges::find(rows, path, &HelpRow::path);
  return found == rows.end() ? nullptr : &*found;
}

}  // namespace

std::span<const HelpRow> help_rows() { return rows; }

std::string_view help_for(std::string_view path) {
  const HelpRow* row = row_of(path);
  return row == nullptr ? std::string_view{} : row->help;
}

std::string_view example_for(std::string_view path) {
  const HelpRow* row = row_of(path);
  return row == nullptr ? std::string_view{} : row->example;
}

std::string_view template_example_for(std::string_view path) {
  const HelpRow* row = row_of(path);
  return row == nullptr || row->template_example.empty() ? example_for(path)
                                                         : row->template_example;
}

text::Phrase needed_because(const plan::Key& key) {
  if (key.spec.needed != plan::Needed::by_choice) {
    return {};
  }
  const auto sentence =
      text::Sentence::named("finding.needed." + std::string(key.spec.needed_because));
  require(sentence.has_value(), "a key that is needed by choice does not say when");
  return *sentence;
}

}  // namespace kerfmark::job
