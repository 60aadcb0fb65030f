#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "kerfmark/plan/places.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "side_view.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::Judgement;
using plan::Length;

Strip strip_of_handlebar(const plan::HandlebarPlaces& p, const View& view) {
  constexpr double stem_half = 22.0;  // mm, for the eye only
  Strip strip(p.right_uncut, view);
  strip.row();
  for (const plan::Stretch& control : p.controls) {
    strip.fill(control.from, control.to, stem);
  }
  strip.fill(p.middle - stem_half, p.middle + stem_half, headset);
  strip.row();
  strip.fill(p.left, p.right, part);
  if (p.left > p.left_uncut) {
    strip.fill(p.left_uncut, p.left, waste);
    strip.fill(p.right, p.right_uncut, waste);
    strip.put(p.left, cut_line);
    strip.put(p.right, cut_line);
  }
  if (p.straight) {
    strip.put(p.straight->from, bend);
    strip.put(p.straight->to, bend);
  }
  return strip;
}

std::vector<Legend> legend_of_handlebar(const Judgement& now, const plan::HandlebarPlaces& p,
                                        const text::Words& words) {
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  std::vector<Legend> legend;
  if (!p.controls.empty()) {
    legend.push_back({stem, "grips, levers and clamps"});
  }
  legend.push_back({headset, "stem"});
  if (p.left > p.left_uncut) {
    legend.push_back({cut_line, "cut lines", ", " + figure(p.right - p.left) + " apart"});
    legend.push_back({waste, "waste", ", " + mm(now.at, words) + " at each end"});
  } else {
    legend.push_back({part, "handlebar", ", " + figure(p.right - p.left) + " wide"});
  }
  if (p.straight) {
    legend.push_back({bend, "straight up to here"});
  }
  return legend;
}

}  // namespace

std::string view_of_handlebar(const Telling& telling, Extent extent, const View& view) {
  const auto& [job, plan, now, words] = telling;
  const plan::HandlebarPlaces p = plan::handlebar_places(job, now);
  return with_legend("Seen from the saddle, left end left", strip_of_handlebar(p, view),
                     legend_of_handlebar(now, p, words), extent, view, words);
}

}  // namespace kerfmark::report
