#include "kerfmark/report/wording.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

using plan::HoldReason;
using plan::JudgedLimit;
using plan::RemedyKind;
using plan::Rule;

// "-0.0" is no figure for people.
std::string without_minus_zero(std::string text) {
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  return zero && text.starts_with('-') ? text.substr(1) : text;
}

std::string percent(double part) { return std::to_string(std::lround(part * 100.0)) + " %"; }

std::string mm_up(double missing) { return one_decimal(missing, Rounding::up) + " mm"; }

// "frame.blockage-2.depth" without its number, and the number.
struct Numbered {
  std::string bare;
  std::string number;
};

Numbered numbered(std::string_view key) {
  Numbered split;
  for (std::size_t i = 0; i < key.size(); ++i) {
    if (key[i] == '-') {
      while (i + 1 < key.size() && key[i + 1] >= '0' && key[i + 1] <= '9') {
        split.number += key[++i];
      }
    } else {
      split.bare += key[i];
    }
  }
  return split;
}

struct ReadingName {
  std::string_view key;
  std::string_view name;
};

constexpr auto reading_names = std::to_array<ReadingName>({
    {"saddle.height", "the saddle height"},
    {"saddle.lowest", "the lowest saddle height"},
    {"saddle.highest", "the highest saddle height"},
    {"saddle.crank", "the crank length"},
    {"saddle.rail_to_top", "the height of the saddle above its rails"},
    {"frame.seat_tube", "the seat tube, BB centre to collar edge"},
    {"frame.seat_angle", "the angle of the post"},
    {"frame.axis_offset", "the distance of the post's axis from the BB centre"},
    {"frame.bore", "the bore of the frame"},
    {"frame.junction", "the depth of the tube joint"},
    {"frame.blockage.depth", "the depth of blockage"},
    {"post.length", "the length of the post"},
    {"post.mark", "the distance from the lower end to the mark"},
    {"post.diameter", "the diameter of the post"},
    {"post.setback", "the setback of the post"},
    {"post.head", "the head of the post"},
    {"post.hang", "how far the fitted part hangs below the post"},
    {"mock_up.exposed_bottomed", "the mock-up with the post resting on the blockage"},
    {"steerer.length", "the length of the steerer"},
    {"steerer.diameter", "the diameter of the steerer"},
    {"frame.head_tube", "the head tube"},
    {"frame.head_angle", "the head angle"},
    {"frame.stack", "the stack of the frame"},
    {"frame.reach", "the reach of the frame"},
    {"headset.lower", "the lower headset stack"},
    {"headset.upper", "the upper headset stack"},
    {"stem.clamp", "the height of the stem's clamp"},
    {"stem.length", "the length of the stem"},
    {"stem.angle", "the angle of the stem"},
    {"spacers.below", "the rings below the stem"},
    {"spacers.lowest", "the rings below the stem at its lowest"},
    {"spacers.highest", "the rings below the stem at its highest"},
    {"spacers.above", "the rings above the stem"},
    {"mock_up.stands_proud", "the mock-up, steerer above the top of the stack"},
    {"rider.mass", "the rider's mass"},
    {"saw.within", "the saw"},
});

std::string reading_of(const plan::Remedy& remedy, const plan::Job& job) {
  return remedy.reading ? name_of_reading(job.readings[*remedy.reading].key) : "the reading";
}

std::string unit_for(const measure::Reading& reading) {
  return " " + std::string(unit_of(reading));
}

std::string asks(const JudgedLimit& limit, const plan::Job& job) {
  return limit.id() + " asks for " + what(limit, job);
}

std::string fit_range(const plan::Plan& plan) {
  const auto& fit = plan.seatpost->uncut_fit;
  return fit ? span(fit->length) + " long" : std::string();
}

std::string stock_list(const plan::Plan& plan) {
  std::string list;
  if (const auto& fit = plan.seatpost->uncut_fit) {
    for (const plan::Length length : fit->stock) {
      list += (list.empty() ? "" : " or ") + plain(length.in_mm());
    }
  }
  return list;
}

std::string exchange(const plan::Plan& plan, std::string_view verb) {
  const std::string stock = stock_list(plan);
  const std::string range = fit_range(plan);
  if (!stock.empty()) {
    return std::string(verb) + " for one from stock that fits uncut: " + stock +
           " mm, if its mark is no higher above its lower end.";
  }
  if (range.empty()) {
    return "No length of post fits this frame at this saddle height without a cut.";
  }
  return std::string(verb) + " for one that fits uncut: " + range +
         ", rail clamp centre to lower end, if its mark is no higher above that.";
}

// Rings take up a little; nobody stacks them by the handful (20 mm, common practice).
std::string add_ring(const plan::Remedy& remedy) {
  constexpr double handful = 20.0;
  const std::string least = one_decimal(remedy.amount, Rounding::up);
  if (remedy.amount > handful) {
    return "The stack would need " + least + " mm more of rings to take up this steerer.";
  }
  return remedy.most > remedy.amount
             ? "Add a ring of " + least + " to " + one_decimal(remedy.most, Rounding::down) +
                   " mm to the stack; no saw."
             : "Add a ring of " + least + " mm or more to the stack; no saw.";
}

// Said where another limit is near: within a centimetre (common practice).
std::string no_more_than(const plan::Remedy& remedy) {
  constexpr double near = 10.0;
  return remedy.most - remedy.amount < near
             ? ", no more than " + one_decimal(remedy.most, Rounding::down) + " mm"
             : "";
}

std::string falls(const plan::Remedy& remedy) {
  return "falls from " + one_decimal(remedy.guard_now, Rounding::up) + " to " +
         one_decimal(remedy.guard_then, Rounding::up);
}

// What a better reading would bring; a tenth of a millimetre or degree is the best to hope for
// (a caliper, common practice).
std::string measure_again(const plan::Remedy& remedy, const plan::Job& job) {
  constexpr double best = 0.1;
  const auto& reading = job.readings[*remedy.reading];
  const std::string name = name_of_reading(reading.key);
  if (remedy.guard_now == 0.0) {
    return "Measure " + name + " again until the readings agree.";
  }
  const std::string now = " ±" + plain(reading.half_width_base) + unit_for(reading);
  if (remedy.settles_within >= best) {
    return "Measure " + name + " to within ±" + one_decimal(remedy.settles_within, Rounding::down) +
           unit_for(reading) + ", now" + now + ": that settles it if the figure stays.";
  }
  return "Measure " + name + " better than now" + now + ": it makes " + percent(remedy.share) +
         " of the doubt, which " + falls(remedy) + " at best; not enough alone.";
}

std::string in_doubt(const plan::Hold& hold, const plan::Plan& plan, const plan::Job& job) {
  const JudgedLimit& limit = plan.limits[*hold.limit];
  const plan::Standing& s = hold.at_the_cut ? limit.at : limit.uncut;
  const std::string unit(unit_of(limit));
  const std::string margin = s.margin >= 0.0
                                 ? one_decimal(s.margin, Rounding::down) + " " + unit + " to spare"
                                 : one_decimal(-s.margin, Rounding::up) + " " + unit + " short";
  return asks(limit, job) + ": " + margin + ", but the readings leave " +
         one_decimal(s.guard, Rounding::up) + " " + unit + " of doubt.";
}

std::string collision(const plan::Hold& hold, const plan::Plan& plan, const plan::Job& job) {
  if (!hold.limit || !hold.second) {
    return "A cut is needed, and no cut keeps every limit.";
  }
  const std::string both =
      asks(plan.limits[*hold.limit], job) + ", and " + asks(plan.limits[*hold.second], job) + ": ";
  return hold.collides ? both + "they exclude each other by " + mm_up(hold.apart) + "."
                       : both + "with the doubt of the readings they leave no room for a cut, " +
                             mm_up(hold.apart) + " are missing.";
}

}  // namespace

std::string decimals(double value, int count) {
  std::array<char, 64> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, count)
                       .ptr;
  return {buffer.data(), end};
}

std::string one_decimal(double value, Rounding rounding) {
  // A figure that stands exactly on its decimal must stay there, whatever its last binary digits.
  constexpr double slack = 1e-6;
  double tenths = value * 10.0;
  switch (rounding) {
    case Rounding::nearest:
      tenths = std::round(tenths);
      break;
    case Rounding::down:
      tenths = std::floor(tenths + slack);
      break;
    case Rounding::up:
      tenths = std::ceil(tenths - slack);
      break;
  }
  return without_minus_zero(decimals(tenths / 10.0, 1));
}

std::string plain(double value) {
  std::string text = decimals(value, 2);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with('.')) {
    text.pop_back();
  }
  return without_minus_zero(text);
}

std::string mm(plan::Length length) { return plain(length.in_mm()) + " mm"; }

std::string span(const plan::Span& span) {
  if (!span.lo) {
    return "up to " + one_decimal(span.hi->in_mm(), Rounding::down) + " mm";
  }
  const std::string lo = one_decimal(span.lo->in_mm(), Rounding::up);
  if (!span.hi) {
    return lo + " mm and up";
  }
  // Ends less than a tenth apart would cross when each is rounded to its safe side.
  constexpr double tenth = 0.1;
  if ((*span.hi - *span.lo).in_mm() < tenth) {
    return decimals(span.lo->in_mm(), 2) + " to " + decimals(span.hi->in_mm(), 2) + " mm";
  }
  return lo + " to " + one_decimal(span.hi->in_mm(), Rounding::down) + " mm";
}

std::string_view word(plan::Verdict verdict) {
  switch (verdict) {
    case plan::Verdict::cut:
      return "cut";
    case plan::Verdict::keep:
      return "keep";
    case plan::Verdict::hold:
      return "hold";
    case plan::Verdict::reject:
      return "reject";
  }
  return {};
}

std::string_view word(plan::Origin origin) {
  switch (origin) {
    case plan::Origin::maker:
      return "maker";
    case plan::Origin::published:
      return "published";
    case plan::Origin::measured:
      return "measured";
    case plan::Origin::practice:
      return "practice";
  }
  return {};
}

std::string_view word(measure::Status status) {
  switch (status) {
    case measure::Status::holds:
      return "holds";
    case measure::Status::in_doubt:
      return "in_doubt";
    case measure::Status::broken:
      return "broken";
  }
  return {};
}

std::string_view spoken(measure::Status status) {
  return status == measure::Status::in_doubt ? "in doubt" : word(status);
}

std::string_view unit_of(const JudgedLimit& limit) {
  return limit.dimension == measure::Dimension::mass ? "kg" : "mm";
}

std::string_view unit_of(const measure::Reading& reading) {
  switch (reading.dimension) {
    case measure::Dimension::length:
      return "mm";
    case measure::Dimension::angle:
      return "deg";
    case measure::Dimension::mass:
      return "kg";
    case measure::Dimension::ratio:
      return "";
  }
  return {};
}

std::string what(Rule rule) {
  switch (rule) {
    case Rule::blockage:
      return "the lower end clear of the blockage, saddle at its lowest";
    case Rule::clearance:
      return "a little air above the blockage, so that the post never rests on it";
    case Rule::mark:
      return "insertion up to the printed mark, saddle at its highest";
    case Rule::post_minimum:
      return "the post maker's minimum insertion, saddle at its highest";
    case Rule::frame_minimum:
      return "the frame maker's minimum insertion, saddle at its highest";
    case Rule::floor_round:
      return "insertion of twice the diameter, saddle at its highest";
    case Rule::floor_other:
      return "insertion of 65 mm for a post that is not round, saddle at its highest";
    case Rule::junction:
      return "the post one diameter past the tube joint, saddle at its highest";
    case Rule::preload:
      return "a top cap that presses on the stack, not on the steerer";
    case Rule::gap_least:
      return "room below the cap to adjust the bearings";
    case Rule::gap_least_maker:
      return "room below the cap to adjust the bearings, as the maker states";
    case Rule::gap_most:
      return "the steerer not too far below the cap";
    case Rule::gap_most_maker:
      return "the steerer not too far below the cap, as the maker states";
    case Rule::stem_recess:
      return "the steerer no deeper below the top of the stem than 5 mm, stem at its highest";
    case Rule::stem_cover:
      return "a carbon steerer through the whole clamp, stem at its highest";
    case Rule::stem_cover_maker:
      return "the steerer no deeper in the stem than its maker allows, stem at its highest";
    case Rule::expander_reach:
      return "the expander behind the whole clamp, stem at its lowest";
    case Rule::expander_top:
      return "an expander that begins no lower than the top of the clamp, stem at its highest";
    case Rule::spacers_below:
      return "no more rings below the stem than the maker allows, stem at its highest";
    case Rule::spacers_above_least:
      return "the rings above the stem that the maker wants, stem at its highest";
    case Rule::spacers_above_most:
      return "no more rings above the stem than the maker allows, stem at its lowest";
    case Rule::max_cut:
      return "no more cut off than the maker allows";
    case Rule::min_length:
      return "a part no shorter than the maker allows";
    case Rule::head:
      return "the head of the post above the collar, saddle at its lowest";
    case Rule::grip_upper:
      return "the collar below the upper end of the maker's grip zone";
    case Rule::grip_lower:
      return "the collar above the lower end of the maker's grip zone";
    case Rule::bore_fit:
      return "a post that fits the bore of the frame";
    case Rule::rider_mass:
      return "a rider within the makers' limits";
  }
  return {};
}

std::string what(const JudgedLimit& limit, const plan::Job& job) {
  if (limit.rule == Rule::blockage) {
    return "the lower end clear of " + blockage_name(limit.number, job) + ", saddle at its lowest";
  }
  if (limit.rule == Rule::clearance) {
    return "a little air above " + blockage_name(limit.number, job);
  }
  if (limit.rule == Rule::max_cut && limit.needs == 0.0) {
    return "no cut at all, by its maker or its build";
  }
  return what(limit.rule);
}

std::string built_in(const plan::RuleRow& row) {
  if (!row.figure) {
    return "from the job";
  }
  return row.rule == Rule::floor_round ? plain(*row.figure) + " x diameter"
                                       : plain(*row.figure) + " mm";
}

std::string blockage_name(std::size_t number, const plan::Job& job) {
  std::string name = "blockage " + std::to_string(number);
  if (number >= 1 && number <= job.frame.blockages.size() &&
      !job.frame.blockages[number - 1].what.empty()) {
    name += " (" + text::harmless(job.frame.blockages[number - 1].what) + ")";
  }
  return name;
}

std::string name_of_reading(std::string_view key) {
  const Numbered split = numbered(key);
  const auto found =
      std::ranges::find(reading_names, std::string_view(split.bare), &ReadingName::key);
  if (found == reading_names.end()) {
    return std::string(key);
  }
  if (split.number.empty()) {
    return std::string(found->name) + " (" + std::string(key) + ")";
  }
  const bool ring = split.bare.starts_with("spacers.");
  const std::string name = ring ? "ring " + split.number + " of " + std::string(found->name)
                                : std::string(found->name) + " " + split.number;
  return name + " (" + std::string(key) + ")";
}

std::string why(const plan::Hold& hold, const plan::Plan& plan, const plan::Job& job) {
  switch (hold.reason) {
    case HoldReason::readings_disagree: {
      const auto& reading = job.readings[*hold.reading];
      return "The readings of " + name_of_reading(reading.key) + " are " +
             one_decimal(hold.apart, Rounding::up) + unit_for(reading) + " apart; " +
             one_decimal(hold.allowed, Rounding::down) + unit_for(reading) +
             " is what such readings may differ by.";
    }
    case HoldReason::routes_disagree: {
      const std::string routes =
          hold.limit ? "Probe and mock-up give depths of " + blockage_name(*hold.limit + 1, job)
                     : std::string("The parts and the mock-up give gaps");
      return routes + " that are " + mm_up(hold.apart) + " apart; " +
             one_decimal(hold.allowed, Rounding::down) + " mm is what they may differ by.";
    }
    case HoldReason::no_room_for_stack:
      return "By the mock-up, rings and clamp have no room on a steerer of this length: " +
             mm_up(hold.apart) + " are missing, so one of the readings is wrong.";
    case HoldReason::mark_unknown:
      return "Nobody knows where the minimum-insertion mark is, and the maker's figure is not "
             "given.";
    case HoldReason::gap_unknown:
      return "Neither the parts nor a mock-up give the gap below the cap, so nothing can be said "
             "about a cut.";
    case HoldReason::second_reading_missing:
      return "The shop measures twice, and " + name_of_reading(job.readings[*hold.reading].key) +
             " was read once.";
    case HoldReason::limit_in_doubt:
      return in_doubt(hold, plan, job);
    case HoldReason::rule_of_thumb_broken: {
      const JudgedLimit& limit = plan.limits[*hold.limit];
      const plan::Standing& s = hold.at_the_cut ? limit.at : limit.uncut;
      return asks(limit, job) + ": " + one_decimal(-s.margin, Rounding::up) + " " +
             std::string(unit_of(limit)) +
             " is missing. That is common practice only; nobody saws for it.";
    }
    case HoldReason::window_empty:
      return collision(hold, plan, job);
    case HoldReason::window_too_narrow:
      return "What would have to come off is less than a saw takes off cleanly, or falls between "
             "the steps of the saw.";
    case HoldReason::maker_not_asked:
      return "The part is carbon, and its maker has not been asked whether it may be cut.";
  }
  return {};
}

std::string what_to_do(const plan::Remedy& remedy, const plan::Plan& plan, const plan::Job& job) {
  const std::string figure = mm_up(remedy.amount);
  const std::string part = job.kind == plan::Kind::seatpost ? "post" : "steerer";
  switch (remedy.kind) {
    case RemedyKind::measure_again:
      return measure_again(remedy, job);
    case RemedyKind::mock_up:
      return "Measure with a mock-up: push the uncut post in until it rests on the blockage and "
             "measure what shows, rail clamp centre to collar (mock_up.exposed_bottomed): the "
             "doubt " +
             falls(remedy) + (remedy.settles ? "; that settles it if the figure stays." : ".");
    case RemedyKind::check_reading:
      return "Check " + reading_of(remedy, job) + ": it makes " + percent(remedy.share) +
             " of the doubt of the two.";
    case RemedyKind::measure_gap:
      return "Put the whole stack on by hand and measure how far the steerer stands above it "
             "(mock_up.stands_proud), or give steerer.length, frame.head_tube and headset.upper.";
    case RemedyKind::read_twice:
      return "Measure " + reading_of(remedy, job) + " a second time and enter both readings.";
    case RemedyKind::compare_routes:
      return "Check " + reading_of(remedy, job) + ": it makes " + percent(remedy.share) +
             " of what the two may differ by.";
    case RemedyKind::raise_saddle:
      return (job.saddle.lowest == job.saddle.height ? "Raise the saddle by "
                                                     : "Raise the lowest saddle position by ") +
             figure + no_more_than(remedy) + ", if the rider agrees.";
    case RemedyKind::lower_saddle:
      return (job.saddle.highest == job.saddle.height ? "Lower the saddle by "
                                                      : "Lower the highest saddle position by ") +
             figure + no_more_than(remedy) + ", if the rider agrees.";
    case RemedyKind::find_mark:
      return "Find the mark on the post and measure it from the lower end up (post.mark).";
    case RemedyKind::ask_maker:
      if (job.part.max_cut) {
        return "If the maker itself states that figure of max_cut, it lets the part be cut: write "
               "cutting = \"allowed\" as well. Else ask.";
      }
      return job.kind == plan::Kind::seatpost
                 ? "Ask the maker of the post, in writing, whether and how far it may be cut and "
                   "what insertion it needs; then set post.cutting and post.min_insertion."
                 : "Ask the maker of the fork, in writing, whether and how far its steerer may be "
                   "cut; then set steerer.cutting.";
    case RemedyKind::exchange_post:
      return exchange(plan, "Exchange the post");
    case RemedyKind::longer_post:
      return exchange(plan, "Exchange the post, which is too short here,");
    case RemedyKind::check_diameter:
      return "Measure the bore and the post with a caliper; fit the post or shim that this frame "
             "takes.";
    case RemedyKind::respect_maker:
      return "The maker's figure stands; no measuring changes it. Ask the maker if it is not "
             "clear.";
    case RemedyKind::other_part:
      return "Fit a frame or " + part + " that its maker allows for this rider.";
    case RemedyKind::add_ring:
      return add_ring(remedy);
    case RemedyKind::ring_above:
      return "Put a ring of " + figure + " or more above the stem, then plan again.";
    case RemedyKind::rings_out:
      return "Take " + figure + " or more of rings out below the stem, or fit lower ones.";
    case RemedyKind::longer_steerer:
      return "Rings below the stem cannot make up " + figure +
             ": a fork with a longer steerer is needed.";
    case RemedyKind::fewer_above:
      return "Take " + figure + " or more of rings out above the stem.";
    case RemedyKind::lower_parts:
      return "Fit a lower headset cover or a stem with a lower clamp: " + figure +
             " less in the stack.";
    case RemedyKind::approved_recess:
      return "Ask the maker of the stem whether the steerer may end " + figure +
             " deeper in it (stem.recess_max); never beyond the published limit.";
    case RemedyKind::longer_expander:
      return "Fit an expander that reaches at least " + figure + " further down.";
    case RemedyKind::stem_lowest_up:
      return "Let the lowest position of the stem be " + figure +
             " higher (spacers.lowest): that many millimetres of rings stay below it.";
    case RemedyKind::narrow_range:
      return "Bring the lowest and the highest saddle position " + figure +
             " closer together, if the rider agrees.";
    case RemedyKind::stem_with_rise:
      return "Fit a stem of " + one_decimal(remedy.angle_deg) +
             " deg instead: the bar stays where "
             "it is with " +
             figure + " of rings less below it.";
  }
  return {};
}

std::string caution(plan::Caution caution) {
  switch (caution) {
    case plan::Caution::not_probed:
      return "Nobody has probed the seat tube: kerfmark knows of no blockage. Probe it down to "
             "where the post will end before you push the post in.";
    case plan::Caution::wanted_below_least:
      return "The wanted cut is less than the kerf and " + plain(plan::least_beyond_kerf_mm) +
             " mm: a saw hardly takes off so little cleanly.";
    case plan::Caution::metal_not_stated:
      return "The maker has not stated whether this part may be cut: ask before you saw.";
    case plan::Caution::lower_stack_is_0:
      return "The lower headset stack (headset.lower) was not given and counts as 0: right only "
             "where the lower bearing sits inside the head tube. Otherwise the cut comes out too "
             "long by what stands between crown race seat and head tube.";
    case plan::Caution::bar_out_of_reach:
      return "The rings on hand do not make the wished bar height. Get the rings or another stem "
             "and plan again before you saw: what is cut for fewer rings cannot be put back.";
    case plan::Caution::carbon_inspect:
      return "Carbon: damage may be invisible. Inspect the part before and after, and replace it "
             "if there is any doubt.";
  }
  return {};
}

}  // namespace kerfmark::report
