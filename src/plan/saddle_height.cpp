// Where a saddle height puts the rail clamp. Lengths in millimetres; the frame plane has the bottom
// bracket (BB) centre as origin, x forward.
//
//   H     saddle height as the job measures it, pedal axle heights less the crank
//   E     extension: datum on the frame up to the rail clamp centre, along the axis
//   T     BB centre straight to the datum
//   a     signed perpendicular distance of the axis from the BB centre, positive in front
//   b     setback of the rail clamp, perpendicular to the axis, positive rearward
//   e     a − b: the line on which the rails sit, from the BB centre
//   h     rails' centre up to the top of the saddle, vertical
//   theta angle of the axis to the horizontal
//   s_c   foot of the BB centre on the axis up to the datum

#include "saddle_height.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kind_rows.hpp"
#include "part.hpp"

namespace kerfmark::plan {
namespace {

using measure::AngleEstimate;
using measure::LengthEstimate;
using measure::RatioEstimate;
using measure::Readings;

std::optional<ImpossibleTriangle> triangle(std::string_view key, Length hypotenuse, Length leg,
                                           std::string leg_key) {
  const Length size = std::max(leg, -leg);
  return hypotenuse > size
             ? std::nullopt
             : std::optional(ImpossibleTriangle{key, hypotenuse, size, std::move(leg_key)});
}

}  // namespace

SaddleGeometry saddle_geometry(const Job& job) {
  SaddleGeometry g{
      .measured = job.saddle.measured, .crank = {}, .s_c = {}, .rails_off = {}, .top_up = {}};
  if (g.measured == HeightMeasured::extension) {
    return g;
  }
  const Readings& r = job.readings;
  const LengthEstimate a = value(job.frame.axis_offset, r);
  g.s_c = leg_of(value(job.frame.seat_tube, r), a);
  if (job.saddle.from == HeightFrom::pedal_axle) {
    g.crank = value(job.saddle.crank, r);
  }
  if (g.measured == HeightMeasured::to_rails) {
    return g;
  }
  const AngleEstimate theta = estimate(*job.frame.seat_angle, r);
  const RatioEstimate sin_theta = sin(theta);
  const RatioEstimate cos_theta = cos(theta);
  const LengthEstimate e = a - value(setback_of(job), r);
  const LengthEstimate h = value(job.saddle.rail_to_top, r);
  if (g.measured == HeightMeasured::straight) {
    g.rails_off = e + h * cos_theta;
    g.top_up = h * sin_theta;
  } else {
    g.top_up = (e * cos_theta + h) / sin_theta;
  }
  return g;
}

LengthEstimate extension_at(const SaddleGeometry& g, const LengthEstimate& height) {
  if (g.measured == HeightMeasured::extension) {
    return height;
  }
  const LengthEstimate H = height - g.crank;
  if (g.measured == HeightMeasured::to_rails) {
    return H - g.s_c;
  }
  if (g.measured == HeightMeasured::straight) {
    return leg_of(H, g.rails_off) - g.top_up - g.s_c;
  }
  return H - g.top_up - g.s_c;
}

Extensions extensions_of(const SaddleGeometry& g, const Job& job) {
  const auto extension_of = [&](const Maybe<Length>& height) {
    return extension_at(g, value(height, job.readings));
  };
  Extensions E;
  E.height = extension_of(job.saddle.height);
  E.lowest = job.saddle.lowest == job.saddle.height ? E.height : extension_of(job.saddle.lowest);
  E.highest = job.saddle.highest == job.saddle.height ? E.height : extension_of(job.saddle.highest);
  return E;
}

Length height_at(const SaddleGeometry& g, Length E) {
  if (g.measured == HeightMeasured::extension) {
    return E;
  }
  const LengthEstimate s_r = E + g.s_c;
  if (g.measured == HeightMeasured::to_rails) {
    return (s_r + g.crank).nominal();
  }
  if (g.measured == HeightMeasured::straight) {
    return (hypotenuse_of(s_r + g.top_up, g.rails_off) + g.crank).nominal();
  }
  return (s_r + g.top_up + g.crank).nominal();
}

std::optional<Span> saddle_range(const SaddleGeometry& g, const Extensions& E,
                                 const std::vector<JudgedLimit>& limits, bool cut,
                                 const std::function<bool(Rule)>& counts) {
  std::optional<Length> lo;
  std::optional<Length> hi;
  for (const JudgedLimit& limit : limits) {
    const Standing& standing = cut ? limit.at : limit.uncut;
    const Length spare = measure::millimetres(standing.margin - standing.guard);
    const Family mended_by = limit.row().family;
    if (!counts(limit.rule)) {
      continue;
    }
    if (mended_by == Family::higher_saddle) {
      const Length end = E.lowest.nominal() - spare;
      lo = lo ? std::max(*lo, end) : end;
    } else if (mended_by == Family::lower_saddle) {
      const Length end = E.highest.nominal() + spare;
      hi = hi ? std::min(*hi, end) : end;
    }
  }
  if (lo && hi && lo->in_mm() > hi->in_mm() + measure::grain) {
    return std::nullopt;
  }
  const auto height = [&](const std::optional<Length>& extension) {
    return extension ? std::optional(height_at(g, *extension)) : std::nullopt;
  };
  return Span{height(lo), height(hi)};
}

const Maybe<Length>& setback_of(const Job& job) { return row_of(job.kind).setback(job); }

bool holds_saddle(Kind kind) { return row_of(kind).setback != nullptr; }

std::vector<ImpossibleTriangle> impossible_triangles(const Job& job) {
  std::vector<ImpossibleTriangle> found;
  const auto add = [&](std::optional<ImpossibleTriangle> one) {
    if (one) {
      found.push_back(*one);
    }
  };
  if (!holds_saddle(job.kind) || job.saddle.measured == HeightMeasured::extension) {
    return found;
  }
  const Readings& r = job.readings;
  const Length a = value(job.frame.axis_offset, r).nominal();
  if (job.frame.seat_tube) {
    add(triangle("frame.seat_tube", job.frame.seat_tube->nominal, a, "frame.axis_offset"));
  }
  if (job.saddle.measured != HeightMeasured::straight || !job.frame.seat_angle ||
      !job.saddle.rail_to_top) {
    return found;
  }
  const LengthEstimate rails_off =
      a - value(setback_of(job), r) +
      value(job.saddle.rail_to_top, r) * cos(AngleEstimate(job.frame.seat_angle->nominal));
  const Length crank =
      job.saddle.from == HeightFrom::pedal_axle ? value(job.saddle.crank, r).nominal() : Length{};
  const std::string legs = "frame.axis_offset, " + std::string(kind_of_part(job.kind).setback_key) +
                           ", saddle.rail_to_top";
  const auto add_height = [&](std::string_view key, const Maybe<Length>& height) {
    const bool own = key == "saddle.height" || height != job.saddle.height;
    if (height && own) {
      add(triangle(key, height->nominal - crank, rails_off.nominal(), legs));
    }
  };
  add_height("saddle.height", job.saddle.height);
  add_height("saddle.lowest", job.saddle.lowest);
  add_height("saddle.highest", job.saddle.highest);
  return found;
}

}  // namespace kerfmark::plan
