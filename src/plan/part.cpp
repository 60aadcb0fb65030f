#include "part.hpp"

#include <cmath>
#include <optional>

namespace kerfmark::plan {

measure::LengthEstimate value(const Maybe<Length>& given, const measure::Readings& readings) {
  return given ? estimate(*given, readings) : measure::LengthEstimate{};
}

std::optional<Hold> contradiction(const measure::LengthEstimate& difference,
                                  std::optional<measure::ReadingIndex> second, const Job& job) {
  const double apart = difference.nominal().in_mm();
  const double u = measure::standard_uncertainty(difference.slopes(), job.readings);
  if (measure::routes_agree(apart, u, job.measuring.coverage)) {
    return std::nullopt;
  }
  Hold hold;
  hold.reason = HoldReason::routes_disagree;
  hold.reading = second;
  hold.apart = std::abs(apart);
  hold.allowed = job.measuring.coverage * u;
  hold.remedies = remedies_by_share(RemedyKind::compare_routes, difference.slopes(), job.readings);
  return hold;
}

void add_maker_limits(const Job& job, bool closed, const measure::LengthEstimate* cut,
                      const measure::LengthEstimate* length, std::vector<Limit>& limits) {
  if (closed && cut != nullptr) {
    limits.push_back({Rule::max_cut, *cut, Length{}});
  } else if (job.part.max_cut && cut != nullptr) {
    limits.push_back({Rule::max_cut, *cut, value(job.part.max_cut, job.readings)});
  }
  if (job.part.min_length && length != nullptr) {
    limits.push_back({Rule::min_length, *length, value(job.part.min_length, job.readings)});
  }
}

void add_rider_limit(const Job& job, std::vector<Limit>& limits) {
  std::optional<Mass> most;
  for (const auto& given : {job.frame.max_rider, job.part.max_rider}) {
    if (given && (!most || given->nominal < *most)) {
      most = given->nominal;
    }
  }
  if (most && job.rider_mass) {
    limits.push_back({Rule::rider_mass, estimate(*job.rider_mass, job.readings), *most});
  }
}

std::vector<measure::ReadingIndex> readings_of_after(const Job& job) {
  std::vector<measure::ReadingIndex> found;
  for (const auto& given :
       {job.as_cut.length, job.as_cut.offcut, job.as_cut.kerf, job.as_cut.gap}) {
    if (given && given->reading) {
      found.push_back(*given->reading);
    }
  }
  return found;
}

Question question_for(const Job& job, bool closed) {
  const auto wanted =
      job.saw.wanted ? std::optional(job.saw.wanted->nominal) : std::optional<Length>{};
  return {
      .readings = job.readings,
      .coverage = job.measuring.coverage,
      .twice = job.measuring.twice,
      .limits = {},
      .kerf = job.saw.kerf->nominal,
      .step = job.saw.step->nominal,
      .wanted = wanted,
      .preferred = std::nullopt,
      .cutting_closed = closed,
      .ask_maker = job.part.material == Material::carbon &&
                   job.part.cutting == Cutting::not_stated && !closed,
      .of_later = readings_of_after(job),
  };
}

void add_material_cautions(const Job& job, Plan& plan) {
  if (job.part.cutting == Cutting::not_stated && job.part.material != Material::carbon &&
      plan.at.in_mm() > 0.0) {
    plan.cautions.push_back(Caution::metal_not_stated);
  }
  if (job.part.material == Material::carbon) {
    plan.cautions.push_back(Caution::carbon_inspect);
  }
}

}  // namespace kerfmark::plan
