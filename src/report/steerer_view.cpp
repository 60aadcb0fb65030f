#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "side_view.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::Judgement;
using plan::Length;

// Places along a steerer, from the crown race seat, or where the parts below the rings are not
// known, from the lower edge of the rings, up.
struct SteererPlaces {
  double rings_from = 0.0, stem_from = 0.0, stem_to = 0.0, top_of_stack = 0.0;
  double head_from = 0.0, head_to = 0.0;
  double top_uncut = 0.0, top = 0.0;
  bool from_crown = false;
};

SteererPlaces places_of_steerer(const Job& job, const Judgement& now) {
  const plan::SteererFigures& s = *now.steerer;
  SteererPlaces p;
  const auto value = [](const plan::Maybe<Length>& given) {
    return given ? given->nominal.in_mm() : 0.0;
  };
  p.from_crown = job.frame.head_tube && job.headset.lower && job.headset.upper;
  if (p.from_crown) {
    p.head_from = value(job.headset.lower);
    p.head_to = p.head_from + value(job.frame.head_tube);
    p.rings_from = p.head_to + value(job.headset.upper);
  }
  const double below = s.target->below.in_mm();
  p.stem_from = p.rings_from + below;
  p.stem_to = p.stem_from + s.clamp.in_mm();
  p.top_of_stack = p.rings_from + (s.below_high + s.above).in_mm() + s.clamp.in_mm();
  const Length gap = *s.gap_uncut;
  p.top_uncut = std::max(0.0, p.top_of_stack - gap.in_mm());
  p.top = cut_is_shown(now) ? std::max(0.0, p.top_of_stack - s.gap->in_mm()) : p.top_uncut;
  return p;
}

Strip strip_of_steerer(const Job& job, const Judgement& now, const SteererPlaces& p,
                       const View& view) {
  Strip strip(std::max(p.top_uncut, p.top_of_stack) + 5.0, view);
  strip.row();
  if (p.from_crown) {
    strip.fill(0.0, p.rings_from, headset);
    strip.fill(p.head_from, p.head_to, wall);
  }
  strip.fill(p.rings_from, p.top_of_stack, ring);
  if (now.steerer->rings) {
    double edge = p.rings_from;
    for (const Length one : now.steerer->rings->below) {
      strip.put(edge, ring_edge);
      edge += one.in_mm();
    }
    edge = p.stem_to;
    for (const Length one : now.steerer->rings->above) {
      edge += one.in_mm();
      strip.put(edge, ring_edge);
    }
  }
  strip.fill(p.stem_from, p.stem_to, stem);
  strip.row();
  strip.fill(0.0, p.top, part);
  if (p.top < p.top_uncut) {
    strip.fill(p.top, p.top_uncut, waste);
    strip.put(p.top, cut_line);
  }
  if (p.from_crown) {
    strip.put(0.0, crown);
  }
  if (job.expander.to) {
    const double from = job.expander.from ? job.expander.from->nominal.in_mm() : 0.0;
    strip.row();
    strip.fill(p.top - job.expander.to->nominal.in_mm(), p.top - from, expander);
  }
  return strip;
}

std::vector<Legend> legend_of_steerer(const Telling& telling, const SteererPlaces& p) {
  const auto& [job, plan, now, words] = telling;
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  const std::string origin =
      p.from_crown ? " above the crown race seat" : " above the upper headset cover";
  std::vector<Legend> legend;
  if (p.from_crown) {
    legend.push_back({crown, "crown race seat"});
    legend.push_back({headset, "headset"});
    legend.push_back({wall, "head tube"});
  }
  legend.push_back(
      {ring, "spacers", "; " + figure((now.steerer->target->below).in_mm()) + " below the stem"});
  legend.push_back({stem, "stem", ", top at " + figure(p.stem_to) + origin});
  if (p.top < p.top_uncut) {
    legend.push_back({cut_line, "cut line", ", " + figure(p.top) + origin});
    legend.push_back({waste, "waste", ", " + mm(now.at, words)});
  } else {
    legend.push_back({part, "steerer", ", up to " + figure(p.top) + origin});
  }
  if (job.expander.to) {
    legend.push_back({expander, "zone that the expander holds",
                      ", down to " + mm(job.expander.to->nominal, words) + " below the top"});
  }
  return legend;
}

}  // namespace

std::string view_of_steerer(const Telling& telling, Extent extent, const View& view) {
  const auto& [job, plan, now, words] = telling;
  if (!now.steerer->gap_uncut) {
    return {};  // nothing is known of where the steerer ends
  }
  const SteererPlaces p = places_of_steerer(job, now);
  return with_legend("Side view, crown left, top right", strip_of_steerer(job, now, p, view),
                     legend_of_steerer(telling, p), extent, view, words);
}

}  // namespace kerfmark::report
