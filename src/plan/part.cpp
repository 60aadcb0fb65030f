#include "part.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "kind_rows.hpp"

namespace kerfmark::plan {

const Maybe<Length>& Job::length() const { return row_of(kind).length(*this); }

Paperwork Job::signed_last() const {
  const auto last = [](const std::string& after, const std::string& before) {
    return after.empty() ? before : after;
  };
  Paperwork signed_by = paperwork;
  signed_by.by = last(as_cut.by, paperwork.by);
  signed_by.checked_by = last(as_cut.checked_by, paperwork.checked_by);
  signed_by.date = last(as_cut.date, paperwork.date);
  return signed_by;
}

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

measure::LengthEstimate kerf_of(const Job& job) {
  return value(job.as_cut.kerf ? job.as_cut.kerf : job.saw.kerf, job.readings);
}

namespace {

Maybe<Mass> smallest(const Maybe<Mass>& one, const Maybe<Mass>& other) {
  return !one || (other && other->nominal < one->nominal) ? other : one;
}

// What is weighed against the makers' figure for the whole; the rider alone where that is not
// known.
const Maybe<Mass>& system_of(const Job& job) {
  return job.system_mass ? job.system_mass : job.rider_mass;
}

}  // namespace

bool nobody_has_asked(const Job& job) {
  return job.part.cutting == Cutting::not_stated &&
         (job.part.material == Material::carbon || row_of(job.kind).is_the_frame);
}

bool has_limit(const Judgement& judgement, Rule rule) {
  return std::ranges::find(judgement.limits, rule, &JudgedLimit::rule) != judgement.limits.end();
}

void add_mass_limits(const Job& job, std::vector<Limit>& limits) {
  const auto add = [&](Rule rule, const Maybe<Mass>& mass, const Maybe<Mass>& most) {
    if (mass && most) {
      limits.push_back({rule, estimate(*mass, job.readings), estimate(*most, job.readings)});
    }
  };
  add(Rule::rider_mass, job.rider_mass, smallest(job.frame.max_rider, job.part.max_rider));
  add(Rule::system_mass, system_of(job), smallest(job.frame.max_system, job.part.max_system));
}

std::vector<measure::ReadingIndex> readings_of_after(const Job& job) {
  std::vector<measure::ReadingIndex> found;
  for (const auto& given : {job.as_cut.length, job.as_cut.offcut, job.as_cut.offcut_right,
                            job.as_cut.kerf, job.as_cut.gap}) {
    if (given && given->reading) {
      found.push_back(*given->reading);
    }
  }
  return found;
}

DecisionInput decision_input(const Job& job, bool closed) {
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
      .ask_maker = nobody_has_asked(job) && !closed,
      .of_later = readings_of_after(job),
  };
}

void add_part_cautions(const Job& job, Plan& plan) {
  const bool more_is_wished = std::ranges::any_of(plan.before.limits, [](const JudgedLimit& limit) {
    return limit.row().origin == Origin::wish && limit.row().sense() == Sense::helps &&
           limit.at.status == measure::Status::broken;
  });
  if (plan.before.wanted && more_is_wished) {
    plan.cautions.push_back(Caution::more_is_wished);
  }
  if (smallest(job.frame.max_rider, job.part.max_rider) && !job.rider_mass) {
    plan.cautions.push_back(Caution::max_rider_unanswered);
  }
  if (smallest(job.frame.max_system, job.part.max_system) && !job.system_mass) {
    plan.cautions.push_back(job.rider_mass ? Caution::bicycle_not_counted
                                           : Caution::max_system_unanswered);
  }
  if (job.part.cutting == Cutting::not_stated && !nobody_has_asked(job) &&
      plan.before.at.in_mm() > 0.0) {
    plan.cautions.push_back(Caution::metal_not_stated);
  }
  if (job.part.material == Material::carbon) {
    plan.cautions.push_back(Caution::carbon_inspect);
  }
}

}  // namespace kerfmark::plan
