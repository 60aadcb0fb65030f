#include "kerfmark/report/explain.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Length;
using plan::Plan;
using plan::Quantity;
using plan::Rule;

// Sums on paper need more than a printed figure has.
std::string exact(double value, const text::Words& words) { return decimals(value, 3, words); }

std::string value_in_words(const plan::Maybe<Length>& given, const text::Words& words) {
  return plain(given ? given->nominal.in_mm() : 0.0, words);
}

// √(T² − a²), the foot of the BB centre on the axis up to the collar.
std::string collar_line(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const double T = job.frame.seat_tube->nominal.in_mm();
  const double a = job.frame.axis_offset->nominal.in_mm();
  return "s_c = sqrt(frame.seat_tube^2 - frame.axis_offset^2) = sqrt(" +
         value_in_words(job.frame.seat_tube, words) + "^2 - " +
         value_in_words(job.frame.axis_offset, words) +
         "^2) = " + exact(std::sqrt((T - a) * (T + a)), words);
}

std::string angle(const plan::Maybe<plan::Angle>& given, const text::Words& words) {
  return plain(given->nominal.in_deg(), words) + " deg";
}

// The saddle height H as it enters the geometry, and from what.
std::string height_line(const Telling& telling, const plan::Maybe<Length>& height,
                        const char* key) {
  const auto& [job, plan, now, words] = telling;
  std::string text = "H = " + std::string(key) + " " + value_in_words(height, words);
  if (job.saddle.from == plan::HeightFrom::pedal_axle) {
    text += " - saddle.crank " + value_in_words(job.saddle.crank, words) + " = " +
            exact((height->nominal - job.saddle.crank->nominal).in_mm(), words);
  }
  return text;
}

std::vector<std::string> extension_lines(const Telling& telling, const plan::Maybe<Length>& height,
                                         const char* key, Length extension) {
  const auto& [job, plan, now, words] = telling;
  const std::string E = " = " + exact(extension.in_mm(), words);
  if (job.saddle.measured == plan::HeightMeasured::extension) {
    return {"extension E = " + std::string(key) + E};
  }
  std::vector<std::string> lines = {height_line(telling, height, key)};
  const std::string collar = collar_line(telling);
  if (job.saddle.measured == plan::HeightMeasured::to_rails) {
    lines.push_back(collar);
    lines.push_back("extension E = H - s_c" + E);
    return lines;
  }
  lines.push_back("e = frame.axis_offset " + value_in_words(job.frame.axis_offset, words) +
                  (now.mast ? " - topper.setback " + value_in_words(job.topper.setback, words)
                            : " - post.setback " + value_in_words(job.post.setback, words)) +
                  "; h = saddle.rail_to_top " + value_in_words(job.saddle.rail_to_top, words) +
                  "; angle = frame.seat_angle " + angle(job.frame.seat_angle, words));
  lines.push_back(collar);
  lines.push_back(job.saddle.measured == plan::HeightMeasured::straight
                      ? "extension E = sqrt(H^2 - (e + h cos angle)^2) - h sin angle - s_c" + E
                      : "extension E = H - (e cos angle + h) / sin angle - s_c" + E);
  return lines;
}

enum class End { lowest, highest };

std::vector<std::string> extension_of(const Telling& telling, End end) {
  const auto& [job, plan, now, words] = telling;
  const bool low = end == End::lowest;
  const auto& height = low ? job.saddle.lowest : job.saddle.highest;
  const char* key = height == job.saddle.height ? "saddle.height"
                    : low                       ? "saddle.lowest"
                                                : "saddle.highest";
  const auto& E = plan.before.mast ? plan.before.mast->extension : plan.before.seatpost->extension;
  return extension_lines(telling, height, key, low ? E.lowest : E.highest);
}

std::vector<std::string> insertion_lines(const Telling& telling, End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, end);
  const auto& I = plan.before.seatpost->insertion;
  const Length insertion = end == End::lowest ? I.lowest : I.highest;
  lines.push_back("insertion I = post.length " + value_in_words(job.post.length, words) +
                  " - cut " + plain(plan.before.at.in_mm(), words) +
                  " - E = " + exact(insertion.in_mm(), words));
  return lines;
}

std::vector<std::string> blockage_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = insertion_lines(telling, End::lowest);
  lines.push_back("lowest point = I + post.hang " + value_in_words(job.post.hang, words) + " = " +
                  exact(limit.has, words));
  // A blockage needs its depth, a clearance that depth less some air.
  const auto blockage = std::ranges::find_if(plan.before.limits, [&](const JudgedLimit& l) {
    return l.rule == Rule::blockage && l.number == limit.number;
  });
  const std::string depth = " = " + exact(blockage->needs, words);
  if (plan.before.seatpost->by_mock_up == limit.number) {
    lines.push_back(
        "depth by mock-up = post.length " + value_in_words(job.post.length, words) +
        " - mock_up.exposed_bottomed " + value_in_words(job.mock_up.exposed_bottomed, words) +
        (job.mock_up.hang_fitted ? " + post.hang " + value_in_words(job.post.hang, words) : "") +
        depth);
  } else {
    lines.push_back("depth by probe, frame.blockage-" + std::to_string(limit.number) + ".depth" +
                    depth);
  }
  return lines;
}

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

// The extension, and for what counts from where the post is gripped, where the part that clamps
// grips it.
std::vector<std::string> extension_to_clamp(const JudgedLimit& limit, const Telling& telling,
                                            End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, end);
  if (limit.rule != Rule::head && job.frame.clamp_below->nominal > Length{}) {
    lines.push_back("has = E + frame.clamp_below " + value_in_words(job.frame.clamp_below, words) +
                    " = " + exact(limit.has, words));
  }
  return lines;
}

std::string part_table(const Job& job) { return std::string(plan::table_of_part(job.kind)); }

// The width of a handlebar at the cut, and by which way it was measured.
std::vector<std::string> width_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const std::string W = exact(plan.before.handlebar->width_uncut.in_mm(), words);
  return {plan.before.handlebar->by_halves
              ? "W = handlebar.left " + value_in_words(job.handlebar.left, words) +
                    " + handlebar.right " + value_in_words(job.handlebar.right, words) + " = " + W
              : "W = handlebar.width " + W,
          "has = W - 2 x cut " + plain(plan.before.at.in_mm(), words) + " = " +
              exact(limit.has, words)};
}

// What the straight part or the grip zone leaves, and what has to fit on it.
std::vector<std::string> room_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const bool zone = limit.rule == Rule::grip_zone;
  const std::string from =
      zone ? "handlebar.grip_zone " + value_in_words(job.handlebar.grip_zone, words)
           : "handlebar.straight " + value_in_words(job.handlebar.straight, words);
  std::string sum;
  for (const plan::Control& control : job.controls) {
    sum += (sum.empty() ? "" : " + ") + value_in_words(control.width, words);
  }
  return {"has = " + from + " - cut " + plain(plan.before.at.in_mm(), words) + " = " +
              exact(limit.has, words),
          "needs = controls " + sum +
              (zone ? "" : " + handlebar.air " + value_in_words(job.handlebar.air, words)) + " = " +
              exact(limit.needs, words)};
}

// What the topper takes of spacers at one end of the saddle's range.
std::vector<std::string> spacer_lines(const Telling& telling, End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, end);
  const plan::AtHeights& x = plan.before.mast->spacers;
  lines.push_back("spacers x = E - (mast.length " + value_in_words(job.mast.length, words) +
                  " - cut " + plain(plan.before.at.in_mm(), words) + ") - topper.rise " +
                  value_in_words(job.topper.rise, words) + " = " +
                  exact((end == End::lowest ? x.lowest : x.highest).in_mm(), words));
  return lines;
}

std::vector<std::string> and_last(std::vector<std::string> lines, std::string line) {
  lines.push_back(std::move(line));
  return lines;
}

// Where the bound of a limit comes from: a key of the job, or the built-in figure.
std::string bound_from(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::RuleRow& row = limit.row();
  if (limit.rule == Rule::max_cut && limit.needs == 0.0) {
    return part_table(job) + " that may not be cut";
  }
  if (!row.asked_by.empty()) {
    const bool of_part = row.asked_by.find('.') == std::string_view::npos;
    return (of_part ? part_table(job) + "." : "") + std::string(row.asked_by);
  }
  if (limit.rule == Rule::topper_low) {
    return "how far the height may be missed, saddle.near";
  }
  if (limit.rule == Rule::topper_room) {
    return limit.needs != 0.0 ? "mast.keep" : "the datum";
  }
  if (limit.rule == Rule::blockage) {
    return "the depth above";
  }
  if (row.quantity == Quantity::room) {
    return "the sum above";
  }
  if (limit.rule == Rule::clearance) {
    return "that depth less the clearance";
  }
  if (limit.rule == Rule::junction) {
    return "frame.junction " + value_in_words(job.frame.junction, words) + " + post.diameter " +
           value_in_words(job.post.diameter, words);
  }
  if (row.family == plan::Family::other_part) {
    return std::string("the smallest ") +
           (row.quantity == Quantity::rider_mass ? "max_rider" : "max_system") + " given";
  }
  return built_in(row, words) + (limit.rule == Rule::floor_round
                                     ? ", post.diameter " + value_in_words(job.post.diameter, words)
                                     : ", built in");
}

// How the quantity of a limit is made from the readings.
std::vector<std::string> made_from(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  switch (limit.row().quantity) {
    case Quantity::lowest_point:
      return blockage_lines(limit, telling);
    case Quantity::insertion:
      return insertion_lines(telling, End::highest);
    case Quantity::extension_lowest:
      return extension_to_clamp(limit, telling, End::lowest);
    case Quantity::extension_highest:
      return extension_to_clamp(limit, telling, End::highest);
    case Quantity::play:
      return {"difference of frame.bore " + value_in_words(job.frame.bore, words) +
              " and post.diameter " + value_in_words(job.post.diameter, words)};
    case Quantity::gap:
      return cap_lines(limit, telling);
    case Quantity::recess:
      return gap_and(telling, "has = G - spacers above = " + exact(limit.has, words));
    case Quantity::clamp_end:
      return gap_and(telling, "has = stem.clamp + spacers above at the stem's lowest - G = " +
                                  exact(limit.has, words));
    case Quantity::clamp_top:
      return gap_and(telling, "has = spacers above - G = " + exact(limit.has, words));
    case Quantity::width:
      return width_lines(limit, telling);
    case Quantity::room:
      return room_lines(limit, telling);
    case Quantity::spacers_lowest:
      return spacer_lines(telling, End::lowest);
    case Quantity::spacers_highest:
      return spacer_lines(telling, End::highest);
    case Quantity::topper_edge:
      return and_last(extension_of(telling, End::lowest),
                      "has = E - topper.rise " + value_in_words(job.topper.rise, words) +
                          " - topper.grip " + value_in_words(job.topper.grip, words) + " = " +
                          exact(limit.has, words));
    case Quantity::topper_grip:
      return and_last(spacer_lines(telling, End::highest),
                      "has = topper.grip " + value_in_words(job.topper.grip, words) +
                          " - x = " + exact(limit.has, words));
    case Quantity::cut:
      return {"has = cut " + plain(plan.before.at.in_mm(), words)};
    case Quantity::length:
      return {"has = length - cut " + plain(plan.before.at.in_mm(), words) + " = " +
              exact(limit.has, words)};
    case Quantity::rings_below:
      return {"has = spacers below the stem at its highest, by their nominal heights"};
    case Quantity::rings_above:
      return {"has = spacers above the stem at its highest, by their nominal heights"};
    case Quantity::rings_above_most:
      return {"has = spacers above " + plain(plan.before.steerer->above.in_mm(), words) +
              " + spacers below " + plain(plan.before.steerer->below_high.in_mm(), words) +
              " at the highest - " + plain(plan.before.steerer->below_low.in_mm(), words) +
              " at the lowest"};
    case Quantity::rider_mass:
      return {"has = rider.mass"};
    case Quantity::system_mass:
      return {job.system_mass ? "has = rider.system_mass"
                              : "has = rider.mass; the bicycle is not counted"};
  }
  return {};
}

std::string doubt_table(const JudgedLimit& limit, const Telling& telling, bool short_of_room) {
  const auto& [job, plan, now, words] = telling;
  std::vector<Column> columns = {{"  reading"},   {"value", true},          {"within", true},
                                 {"slope", true}, {"slope x within", true}, {"share", true}};
  std::vector<std::vector<std::string>> rows;
  for (const measure::Share& part : limit.doubt) {
    const auto& reading = job.readings[part.reading];
    const double slope =
        std::ranges::find(limit.slopes, part.reading, &measure::Slope::reading)->coefficient;
    rows.push_back({"  " + reading.key,
                    part.reading == Job::saw_row ? "" : decimals(reading.mean_base(), 2, words),
                    "±" + plain(reading.half_width_base, words), decimals(slope, 3, words),
                    decimals(slope * reading.half_width_base, 3, words),
                    decimals(part.of_variance * 100.0, 0, words) + " %"});
  }
  if (short_of_room) {  // the value stands in the job, the product is soon made
    for (const std::size_t column : {4U, 1U}) {
      columns.erase(columns.begin() + static_cast<std::ptrdiff_t>(column));
      for (auto& row : rows) {
        row.erase(row.begin() + static_cast<std::ptrdiff_t>(column));
      }
    }
  }
  return table(columns, rows);
}

std::string doubt_table(const JudgedLimit& limit, const Telling& telling, const View& view) {
  std::string whole = doubt_table(limit, telling, false);
  return widest_line(whole) <= view.width ? whole : doubt_table(limit, telling, true);
}

std::string guard_text(const JudgedLimit& limit, const Telling& telling, const View& view) {
  const auto& [job, plan, now, words] = telling;
  if (!plan::is_guarded(limit.row())) {
    return wrapped("  ",
                   limit.row().origin == plan::Origin::wish
                       ? "a wish of the rider: compared as read, its guard is 0"
                       : "a rule of thumb or a limit on the cut itself: compared as read, its "
                         "guard is 0",
                   view.width);
  }
  if (limit.doubt.empty()) {
    return wrapped("  ", "no reading with doubt enters: guard 0", view.width);
  }
  const double u = measure::standard_uncertainty(limit.slopes, job.readings);
  const double worst = measure::worst_case(limit.slopes, job.readings);
  std::string out = doubt_table(limit, telling, view);
  out += wrapped("  ",
                 "u = square root of the sum of (slope x within)^2 / 3 = " + exact(u, words) +
                     " (JCGM 100:2008 4.3.7, 5.1.2)",
                 view.width);
  out += wrapped("  ", "worst case = sum of |slope x within| = " + exact(worst, words), view.width);
  out += wrapped("  ",
                 "guard = the smaller of " + plain(job.measuring.coverage, words) +
                     " u and worst case = " + exact(limit.at.guard, words),
                 view.width);
  return out;
}

// How the windows and ranges of the report come from this limit.
std::vector<std::string> follows(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines;
  const plan::RuleRow& row = limit.row();
  const std::string uncut = exact(limit.uncut.margin, words);
  const std::string guard = exact(limit.at.guard, words);
  // A part that loses the cut at both ends has half of the margin for each.
  const double slope = std::abs(row.slope);
  const std::string over = slope == 0.0 || slope == 1.0 ? "" : ", over " + plain(slope, words);
  if (plan.before.at.in_mm() > 0.0 && row.sense() == plan::Sense::helps) {
    lines.push_back("cuts that hold begin at guard " + guard + " - margin uncut " + uncut + over +
                    " = " + exact((limit.at.guard - limit.uncut.margin) / slope, words));
  }
  if (plan.before.at.in_mm() > 0.0 && row.sense() == plan::Sense::hurts) {
    lines.push_back("cuts that hold end at margin uncut " + uncut + " - guard " + guard + over +
                    " = " + exact((limit.uncut.margin - limit.at.guard) / slope, words));
  }
  if (row.family == plan::Family::higher_saddle || row.family == plan::Family::lower_saddle) {
    lines.push_back("the saddle may move by margin - guard = " +
                    exact(limit.at.margin - limit.at.guard, words) +
                    (now.mast ? " along the mast" : " along the post") +
                    " before this limit stops it");
  }
  return lines;
}

}  // namespace

std::vector<std::string> limit_ids(const Plan& plan) {
  std::vector<std::string> ids;
  ids.reserve(plan.before.limits.size());
  for (const JudgedLimit& limit : plan.before.limits) {
    ids.push_back(limit.id());
  }
  return ids;
}

std::optional<std::string> explain(std::string_view id, const Telling& telling, const View& view) {
  const auto& [job, plan, now, words] = telling;
  const auto found =
      std::ranges::find_if(plan.before.limits, [&](const JudgedLimit& l) { return l.id() == id; });
  if (found == plan.before.limits.end()) {
    return std::nullopt;
  }
  const JudgedLimit& limit = *found;
  const plan::RuleRow& row = limit.row();
  const std::string unit = " " + std::string(unit_of(limit));
  const bool least = row.bound == plan::Bound::at_least;
  std::string out = wrapped(limit.id() + ": ", requirement(limit, telling), view.width);
  out += wrapped(
      "Origin: ",
      std::string(word(row.origin)) + (row.source.empty() ? "" : ", " + std::string(row.source)),
      view.width);
  if (plan.before.at.in_mm() > 0.0) {
    const bool settled = plan.before.verdict == plan::Verdict::cut || plan.before.wanted;
    out +=
        wrapped("",
                settled ? "At a cut of " + mm(plan.before.at, words) + "."
                        : "If the doubt is settled, at a cut of " + mm(plan.before.at, words) + ".",
                view.width);
  }
  out += "\nHow it is made\n";
  for (const std::string& line : made_from(limit, telling)) {
    out += wrapped("  ", line, view.width);
  }
  out += "\nMargin\n";
  out += wrapped("  ",
                 "has " + exact(limit.has, words) + unit + ", needs " +
                     (least ? "at least " : "at most ") + exact(limit.needs, words) + unit + " (" +
                     bound_from(limit, telling) + ")",
                 view.width);
  out += wrapped("  ",
                 std::string("margin = ") + (least ? "has - needs" : "needs - has") + " = " +
                     exact(limit.at.margin, words) + unit,
                 view.width);
  out += "\nDoubt\n" + guard_text(limit, telling, view);
  const char* relation = limit.at.status == measure::Status::holds ? "margin >= guard: "
                         : limit.at.status == measure::Status::broken
                             ? "margin below 0 by the guard or more: "
                             : "margin within the guard: ";
  out +=
      "\n" + wrapped("", std::string(relation) + std::string(spoken(limit.at.status, words)) + ".",
                     view.width);
  if (const auto lines = follows(limit, telling); !lines.empty()) {
    out += "\nWhat follows\n";
    for (const std::string& line : lines) {
      out += wrapped("  ", line, view.width);
    }
  }
  return view.utf8 ? out : text::in_ascii(out);
}

}  // namespace kerfmark::report
