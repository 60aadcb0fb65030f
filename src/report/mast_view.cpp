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

Strip strip_of_mast(const plan::MastPlaces& p, const View& view) {
  Strip strip(std::max(p.top_uncut, p.rails_highest) + 5.0, view);
  strip.row();
  strip.fill(std::max(0.0, p.topper_from), p.rails, stem);
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    strip.put(p.rails_lowest, lowest);
    strip.put(p.rails_highest, highest);
  }
  strip.put(p.rails, rails);
  strip.row();
  strip.fill(0.0, p.top, part);
  if (p.inside) {
    strip.fill(0.0, *p.inside, inside);
  }
  if (p.spacers) {
    strip.fill(p.spacers->from, p.spacers->to, ring);
  }
  if (p.top < p.top_uncut) {
    strip.fill(p.top, p.top_uncut, waste);
    strip.put(p.top, cut_line);
  }
  strip.put(0.0, datum);
  return strip;
}

std::vector<Legend> legend_of_mast(const Telling& telling, const plan::MastPlaces& p) {
  const auto& [job, plan, now, words] = telling;
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  std::vector<Legend> legend = {{datum, "datum"}};
  if (p.inside) {
    legend.push_back({inside, "what must stay inside", ", up to " + figure(*p.inside)});
  }
  if (p.top < p.top_uncut) {
    legend.push_back({cut_line, "cut line", ", " + figure(p.top) + " above the datum"});
    legend.push_back({waste, "waste", ", " + mm(now.at, words)});
  } else {
    legend.push_back({part, "mast", ", up to " + figure(p.top) + " above the datum"});
  }
  if (p.spacers) {
    legend.push_back({ring, "spacers", ", " + figure(p.spacers->to - p.spacers->from)});
  }
  legend.push_back({stem, "topper"});
  legend.push_back({rails, "rail clamp centre", ", " + figure(p.rails) + " above the datum"});
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    legend.push_back({lowest, "saddle lowest", ": rails at " + figure(p.rails_lowest)});
    legend.push_back({highest, "saddle highest", ": rails at " + figure(p.rails_highest)});
  }
  return legend;
}

}  // namespace

std::string view_of_mast(const Telling& telling, Extent extent, const View& view) {
  const auto& [job, plan, now, words] = telling;
  const plan::MastPlaces p = plan::mast_places(job, now);
  return with_legend("Side view, datum left, top right", strip_of_mast(p, view),
                     legend_of_mast(telling, p), extent, view, words);
}

}  // namespace kerfmark::report
