#include "kerfmark/report/explain.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "lines.hpp"
#include "sums.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Length;
using plan::Plan;
using plan::Quantity;
using plan::Rule;

std::string part_table(const Job& job) { return std::string(plan::table_of_part(job.kind)); }

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
  lines.push_back("e = frame.axis_offset " + value_in_words(job.frame.axis_offset, words) + " - " +
                  std::string(plan::kind_of_part(job.kind).setback_key) + " " +
                  value_in_words(plan::setback_of(job), words) + "; h = saddle.rail_to_top " +
                  value_in_words(job.saddle.rail_to_top, words) + "; angle = frame.seat_angle " +
                  angle(job.frame.seat_angle, words));
  lines.push_back(collar);
  lines.push_back(job.saddle.measured == plan::HeightMeasured::straight
                      ? "extension E = sqrt(H^2 - (e + h cos angle)^2) - h sin angle - s_c" + E
                      : "extension E = H - (e cos angle + h) / sin angle - s_c" + E);
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
  if (auto own = report_of(job.kind).made_from(limit, telling); !own.empty()) {
    return own;
  }
  const Quantity quantity = limit.row().quantity;
  if (quantity == Quantity::cut) {
    return {"has = cut " + plain(plan.before.at.in_mm(), words)};
  }
  if (quantity == Quantity::length) {
    return {"has = length - cut " + plain(plan.before.at.in_mm(), words) + " = " +
            exact(limit.has, words)};
  }
  return {quantity == Quantity::rider_mass || !job.system_mass
              ? std::string("has = rider.mass") +
                    (quantity == Quantity::rider_mass ? "" : "; the bicycle is not counted")
              : "has = rider.system_mass"};
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
                    exact(limit.at.margin - limit.at.guard, words) + " along the " +
                    part_table(job) + " before this limit stops it");
  }
  return lines;
}

}  // namespace

// Sums on paper need more than a printed figure has.
std::string exact(double value, const text::Words& words) { return decimals(value, 3, words); }

std::string value_in_words(const plan::Maybe<Length>& given, const text::Words& words) {
  return plain(given ? given->nominal.in_mm() : 0.0, words);
}

std::vector<std::string> extension_of(const Telling& telling, const plan::AtHeights& E, End end) {
  const auto& [job, plan, now, words] = telling;
  const bool low = end == End::lowest;
  const auto& height = low ? job.saddle.lowest : job.saddle.highest;
  const char* key = height == job.saddle.height ? "saddle.height"
                    : low                       ? "saddle.lowest"
                                                : "saddle.highest";
  return extension_lines(telling, height, key, low ? E.lowest : E.highest);
}

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
