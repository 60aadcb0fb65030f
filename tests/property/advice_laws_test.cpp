#include <algorithm>
#include <functional>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "as_cut.hpp"
#include "kerfmark/plan/after.hpp"
#include "random_job.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Job;
using plan::Length;
using plan::Measured;
using plan::Plan;
using plan::plan_cut;
using plan::Remedy;
using plan::RemedyKind;
using plan::Rings;
using planned::job_of;
using planned::number;
using random_job::Random;

// Advice is followed here as a mechanic follows it, rings on the steerer and saddle on the post, by
// code that shares nothing with the program's own trying.
namespace {

double sum_of(const Rings& rings) {
  double sum = 0;
  if (rings) {
    for (const auto& ring : *rings) {
      sum += ring.nominal.in_mm();
    }
  }
  return sum;
}

/// A wish for the bar is made with rings: from then on they stand there.
Job with_rings_standing(Job job, const Plan& plan) {
  auto& s = job.spacers;
  const auto standing = [](Length sum) {
    return Rings{std::vector<Measured<Length>>{{sum, std::nullopt}}};
  };
  if (job.bar.height) {
    s.below = standing(plan.before.steerer->target->below);
  }
  if (!s.lowest || job.bar.lowest) {
    s.lowest = job.bar.lowest ? standing(plan.before.steerer->below_low) : s.below;
  }
  if (!s.highest || job.bar.highest) {
    s.highest = job.bar.highest ? standing(plan.before.steerer->below_high) : s.below;
  }
  job.bar = {};
  job.wished = {};
  return job;
}

/// Takes so many millimetres off, from the tallest ring down.
void file_off(Rings& rings, double mm) {
  if (!rings) {
    return;
  }
  std::vector<Measured<Length>*> by_height;
  for (auto& ring : *rings) {
    by_height.push_back(&ring);
  }
  std::ranges::sort(by_height, std::ranges::greater{},
                    [](const auto* ring) { return ring->nominal.in_mm(); });
  for (auto* ring : by_height) {
    const double off = std::min(mm, ring->nominal.in_mm());
    ring->nominal = ring->nominal - millimetres(off);
    mm -= off;
  }
}

void take_ring(Rings& rings, Length height) {
  REQUIRE(rings.has_value());
  const auto found = std::ranges::find_if(*rings, [&](const auto& ring) {
    return std::abs((ring.nominal - height).in_mm()) < 0.006;  // rings count in hundredths
  });
  if (found != rings->end()) {
    rings->erase(found);
  } else {
    file_off(rings, height.in_mm());  // of a sum, or of a ring that another position goes without
  }
}

/// Measured as the rings are that stand there, by caliper at best.
Measured<Length> new_ring(Job& job, double mm) {
  measure::Reading reading = job.readings[Job::stock_row];
  reading.key = "spacers.new";
  reading.half_width_base = 0.1;
  for (const Rings* rings : {&job.spacers.highest, &job.spacers.above}) {
    for (const auto& other : rings->value_or(std::vector<Measured<Length>>{})) {
      const double within = other.reading ? job.readings[*other.reading].half_width_base : 0;
      reading.half_width_base = std::max(reading.half_width_base, within);
    }
  }
  reading.values_base = {mm};
  job.readings.push_back(reading);
  return {millimetres(mm), job.readings.size() - 1};
}

void put(Rings& rings, Measured<Length> ring) {
  if (!rings) {
    rings.emplace();
  }
  rings->push_back(ring);
}

void no_higher_than(Rings& rings, const Rings& highest) {
  file_off(rings, std::max(0.0, sum_of(rings) - sum_of(highest)));
}

/// What the rule reads once the stack is so much taller.
void stack_is_taller(Job& job, double mm) {
  if (job.mock_up.stands_proud) {
    job.mock_up.stands_proud->nominal = job.mock_up.stands_proud->nominal - millimetres(mm);
  }
  if (job.as_cut.gap) {
    job.as_cut.gap->nominal = job.as_cut.gap->nominal + millimetres(mm);
  }
}

/// `out` and `in` by ring, or `mm` of whatever there is.
Job with_rings(Job job, RemedyKind kind, const std::vector<Length>& out,
               const std::vector<Length>& in, double mm) {
  auto& s = job.spacers;
  const double before = sum_of(s.highest) + sum_of(s.above);
  const bool by_name = !out.empty() || !in.empty();
  const auto off = [&](Rings& rings) {
    for (const Length ring : out) {
      take_ring(rings, ring);
    }
    file_off(rings, by_name ? 0 : mm);
  };
  const bool adds = kind == RemedyKind::ring_above || kind == RemedyKind::ring_below;
  std::vector<Measured<Length>> come;
  for (const Length ring : in) {
    come.push_back(new_ring(job, ring.in_mm()));
  }
  if (adds && !by_name) {
    come.push_back(new_ring(job, mm));
  }
  const auto on = [&](Rings& rings) {
    for (const auto& ring : come) {
      put(rings, ring);
    }
  };
  double moved = by_name ? 0 : mm;
  for (const Length ring : out) {
    moved += ring.in_mm();
  }
  const Measured<Length> other_place{millimetres(moved), std::nullopt};
  const auto exchange = [&](Rings& rings) {
    if (by_name || !adds) {
      off(rings);
    }
    on(rings);
  };
  if (kind == RemedyKind::ring_above || kind == RemedyKind::fewer_above) {
    exchange(s.above);
  } else if (kind == RemedyKind::ring_below) {
    for (Rings* rings : {&s.lowest, &s.below, &s.highest}) {
      exchange(*rings);
    }
  } else if (kind == RemedyKind::move_below) {
    off(s.above);
    for (Rings* rings : {&s.lowest, &s.below, &s.highest}) {
      put(*rings, other_place);
    }
  } else {
    exchange(s.highest);
    no_higher_than(s.below, s.highest);
    no_higher_than(s.lowest, s.highest);
    if (kind == RemedyKind::move_above) {
      put(s.above, other_place);
    }
  }
  stack_is_taller(job, sum_of(s.highest) + sum_of(s.above) - before);
  return job;
}

Job with_saddle(Job job, bool up, double mm) {
  auto& end = up ? job.saddle.lowest : job.saddle.highest;
  end->nominal = end->nominal + millimetres(up ? mm : -mm);
  for (auto* height : {&job.saddle.lowest, &job.saddle.height, &job.saddle.highest}) {
    auto& h = (*height)->nominal;
    h = up ? std::max(h, end->nominal) : std::min(h, end->nominal);
  }
  return job;
}

/// The job with the advice followed, by `mm` or with the rings that it names; nothing for advice
/// that is not about moving anything.
std::vector<Job> followed(const Job& as_given, const Plan& plan, const Remedy& way, double mm,
                          bool by_name) {
  const Job job =
      as_given.kind == plan::Kind::steerer ? with_rings_standing(as_given, plan) : as_given;
  Job then = job;
  const std::vector<Length> none;
  const auto is = [&](auto... kinds) { return ((way.kind == kinds) || ...); };
  if (is(RemedyKind::raise_saddle, RemedyKind::lower_saddle)) {
    return {with_saddle(job, way.kind == RemedyKind::raise_saddle, mm)};
  }
  if (is(RemedyKind::narrow_range)) {
    return {with_saddle(job, true, mm), with_saddle(job, false, mm)};
  }
  if (is(RemedyKind::ring_above, RemedyKind::ring_below, RemedyKind::rings_out,
         RemedyKind::fewer_above, RemedyKind::move_above, RemedyKind::move_below)) {
    return {
        with_rings(job, way.kind, by_name ? way.take_out : none, by_name ? way.put_in : none, mm)};
  }
  if (is(RemedyKind::stem_lowest_up)) {
    put(then.spacers.lowest, {millimetres(mm), std::nullopt});
    if (sum_of(then.spacers.below) < sum_of(then.spacers.lowest)) {
      then.spacers.below = then.spacers.lowest;
    }
  } else if (is(RemedyKind::lower_parts)) {
    if (then.headset.upper) {
      then.headset.upper->nominal = then.headset.upper->nominal - millimetres(mm);
    }
    stack_is_taller(then, -mm);
  } else if (is(RemedyKind::longer_expander)) {
    then.expander.to->nominal = then.expander.to->nominal + millimetres(mm);
  } else if (is(RemedyKind::wider_wish)) {
    then.handlebar.widest->nominal = then.handlebar.widest->nominal + millimetres(mm);
  } else if (is(RemedyKind::narrower_wish)) {
    then.handlebar.narrowest->nominal = then.handlebar.narrowest->nominal - millimetres(mm);
  } else if (is(RemedyKind::narrower_controls)) {
    for (plan::Control& control : then.controls) {
      const double off = std::min(mm, control.width->nominal.in_mm());
      control.width->nominal = control.width->nominal - millimetres(off);
      mm -= off;
    }
  } else if (is(RemedyKind::approved_recess)) {
    then.stem.recess_max = {millimetres(mm), std::nullopt};
  } else {
    return {};
  }
  return {then};
}

/// The limits, by id, that keep a yes away.
std::vector<std::string> asked_about(const Plan& plan) {
  std::vector<std::string> ids;
  for (const auto& hold : plan.before.holds) {
    for (const auto& limit : {hold.limit, hold.second}) {
      if (limit) {
        ids.push_back(plan.before.limits.at(*limit).id());
      }
    }
  }
  if (plan.before.verdict == plan::Verdict::reject) {
    const auto broken = plan::in_the_way(plan.before);
    for (const auto* limit : broken) {
      ids.push_back(limit->id());
    }
    if (broken.empty() && plan.before.conflict) {
      ids.push_back(plan.before.limits.at(plan.before.conflict->lower).id());
      ids.push_back(plan.before.limits.at(plan.before.conflict->upper).id());
    }
  }
  return ids;
}

std::vector<std::string> asked_about(const plan::Judgement& after) {
  std::vector<std::string> ids;
  for (const auto& limit : after.limits) {
    if (limit.at.status != measure::Status::holds) {
      ids.push_back(limit.id());
    }
  }
  return ids;
}

bool contains(const std::vector<std::string>& ids, const std::string& id) {
  return std::ranges::find(ids, id) != ids.end();
}

using Count = std::map<RemedyKind, int>;

/// Every way of a plan, before and after the cut, with the limits it is named for (one of which it
/// has to mend, all of them where there is a hold).
void for_ways(
    const std::vector<plan::Hold>& holds, const std::vector<Remedy>& remedies,
    const std::vector<plan::JudgedLimit>& limits, const std::vector<std::string>& all,
    const std::function<void(const Remedy&, const std::vector<std::string>&, bool)>& law) {
  for (const auto& hold : holds) {
    std::vector<std::string> named;
    for (const auto& limit : {hold.limit, hold.second}) {
      if (limit) {
        named.push_back(limits.at(*limit).id());
      }
    }
    for (const auto& way : hold.remedies) {
      law(way, named, true);
    }
  }
  for (const auto& way : remedies) {
    law(way, all, false);
  }
}

/// The amounts and the rings that the advice says, each followed to its plan.
void for_ends(const Job& job, const Plan& plan, const Remedy& way,
              const std::function<void(const Job&)>& law) {
  for (const double mm : {way.amount, way.most}) {
    if (mm == 0) {
      continue;  // an end that is not said
    }
    CAPTURE(mm);
    for (const Job& then : followed(job, plan, way, mm, false)) {
      law(then);
    }
  }
  const bool rings = !way.take_out.empty() || !way.put_in.empty();
  if (rings && way.kind != RemedyKind::stem_lowest_up && way.kind != RemedyKind::stem_with_rise) {
    for (const Job& then : followed(job, plan, way, 0, true)) {
      law(then);
    }
  }
}

bool mends(const std::vector<std::string>& named, const std::vector<std::string>& still,
           bool all_of_them) {
  const auto gone = [&](const std::string& id) { return !contains(still, id); };
  return all_of_them ? std::ranges::all_of(named, gone) : std::ranges::any_of(named, gone);
}

/// How much of what a way moves is there; endless, where nothing on the bicycle ends it.
double to_move(const Job& as_given, const Plan& plan, RemedyKind kind) {
  const Job job =
      as_given.kind == plan::Kind::steerer ? with_rings_standing(as_given, plan) : as_given;
  const auto is = [&](auto... kinds) { return ((kind == kinds) || ...); };
  if (is(RemedyKind::rings_out, RemedyKind::move_above)) {
    return sum_of(job.spacers.highest);
  }
  if (is(RemedyKind::fewer_above, RemedyKind::move_below)) {
    return sum_of(job.spacers.above);
  }
  if (is(RemedyKind::stem_lowest_up)) {
    return sum_of(job.spacers.highest) - sum_of(job.spacers.lowest);
  }
  if (is(RemedyKind::narrow_range)) {
    return (job.saddle.highest->nominal - job.saddle.lowest->nominal).in_mm();
  }
  double controls = 0;
  for (const plan::Control& control : job.controls) {
    controls += control.width->nominal.in_mm();
  }
  return is(RemedyKind::narrower_controls) ? controls : std::numeric_limits<double>::infinity();
}

/// So many random jobs of each kind, and what is planned of them.
void for_jobs(unsigned count, const std::function<void(const Job&, const Plan&)>& law) {
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(count); ++seed) {
      Random random(seed);
      const std::string text = text_of(make(random));
      CAPTURE(seed);
      CAPTURE(text);
      const Job job = job_of(text);
      law(job, plan_cut(job));
    }
  }
}

/// A random job with what is left after a cut that missed its mark, by up to 8 mm; empty, where
/// hardly anything would be.
std::string cut_at_random(random_job::Make make, unsigned seed) {
  Random random(seed);
  const std::string text = text_of(make(random));
  const Job planned = job_of(text);
  const auto& whole = planned.length();
  const double cut = plan_cut(planned).before.at.in_mm();
  const double slip = std::uniform_real_distribution<double>(-8, 8)(random);
  const double left =
      whole ? whole->nominal.in_mm() - as_cut::ends(planned.kind) * cut + slip : 0.0;
  return left < as_cut::left_of(planned.kind).least + 10
             ? ""
             : text + "[as_cut]\n" + as_cut::left(planned.kind, number(std::round(left)));
}

}  // namespace

TEST_CASE("advice that is followed leads to a yes - or mends the limit it names and breaks none") {
  Count said;
  int yes = 0;
  for_jobs(1000, [&](const Job& job, const Plan& plan) {
    const auto asked = asked_about(plan);
    for_ways(plan.before.holds, plan.before.remedies, plan.before.limits, asked,
             [&](const Remedy& way, const std::vector<std::string>& named, bool all) {
               CAPTURE(static_cast<int>(way.kind));
               for_ends(job, plan, way, [&](const Job& then_job) {
                 const Plan then = plan_cut(then_job);
                 ++said[way.kind];
                 if (is_yes(then.before.verdict)) {
                   ++yes;
                   return;
                 }
                 CHECK(mends(named, asked_about(then), all));
                 REQUIRE(then.before.limits.size() == plan.before.limits.size());
                 for (std::size_t i = 0; i < plan.before.limits.size(); ++i) {
                   CAPTURE(plan.before.limits[i].id());
                   // Neither from holding to doubt nor from doubt to broken.
                   const bool worse = as_judged(then.before.limits[i], then.before).status >
                                      as_judged(plan.before.limits[i], plan.before).status;
                   CHECK_FALSE((worse && contains(asked_about(then), plan.before.limits[i].id())));
                 }
               });
             });
  });
  for (const auto kind :
       {RemedyKind::raise_saddle, RemedyKind::lower_saddle, RemedyKind::narrow_range,
        RemedyKind::ring_above, RemedyKind::ring_below, RemedyKind::rings_out,
        RemedyKind::fewer_above, RemedyKind::move_above, RemedyKind::move_below,
        RemedyKind::lower_parts, RemedyKind::longer_expander, RemedyKind::wider_wish,
        RemedyKind::narrower_wish, RemedyKind::narrower_controls}) {
    CAPTURE(static_cast<int>(kind));
    CHECK(said[kind] >= random_job::jobs(10));
  }
  CHECK(yes > random_job::jobs(1000));
}

TEST_CASE("a tenth less than advice says would not do - nor a tenth more") {
  int less = 0;
  int more = 0;
  for_jobs(500, [&](const Job& job, const Plan& plan) {
    for_ways(
        plan.before.holds, plan.before.remedies, plan.before.limits, {},
        [&](const Remedy& way, const std::vector<std::string>&, bool) {
          CAPTURE(static_cast<int>(way.kind));
          CAPTURE(way.amount);
          CAPTURE(way.most);
          const auto would_do = [&](double mm) {
            return std::ranges::all_of(followed(job, plan, way, mm, false), [&](const Job& then) {
              const auto verdict = plan_cut(then).before.verdict;
              // A saddle that goes lower may ask for a cut that none asked for before.
              return verdict == plan::Verdict::keep ||
                     (verdict == plan::Verdict::cut && way.kind != RemedyKind::lower_saddle);
            });
          };
          if (followed(job, plan, way, way.amount, false).empty()) {
            return;  // nothing is moved
          }
          if (way.amount > 0.15) {
            ++less;
            CHECK_FALSE(would_do(way.amount - 0.1));
          }
          if (way.most > 0.0 && way.most + 0.1 <= to_move(job, plan, way.kind)) {
            ++more;
            CHECK_FALSE(would_do(way.most + 0.1));
          }
        });
  });
  CHECK(less > random_job::jobs(750));
  CHECK(more > random_job::jobs(400));
}

TEST_CASE("advice on a part that was cut leads to a fit - or mends the limit it names") {
  Count said;
  int fit = 0;
  int less = 0;
  int more = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(1000); ++seed) {
      const std::string text = cut_at_random(make, seed);
      if (text.empty()) {
        continue;
      }
      CAPTURE(seed);
      CAPTURE(text);
      const Job job = job_of(text);
      const Plan plan = plan_cut(job);
      const plan::Judgement& after = *plan.after;
      const auto asked = asked_about(after);
      const auto then_fits = [&](const Job& then_job) {
        return plan::check_after(then_job, plan.before)->verdict == plan::Verdict::fit;
      };
      for_ways(after.holds, after.remedies, after.limits, asked,
               [&](const Remedy& way, const std::vector<std::string>& named, bool all) {
                 CAPTURE(static_cast<int>(way.kind));
                 for_ends(job, plan, way, [&](const Job& then_job) {
                   const plan::Judgement then = *plan::check_after(then_job, plan.before);
                   ++said[way.kind];
                   if (then.verdict == plan::Verdict::fit) {
                     ++fit;
                     return;
                   }
                   CHECK(mends(named, asked_about(then), all));
                   for (const std::string& id : asked_about(then)) {
                     CAPTURE(id);
                     CHECK(contains(asked, id));
                   }
                 });
                 const auto would_do = [&](double mm) {
                   const auto jobs = followed(job, plan, way, mm, false);
                   return !jobs.empty() && std::ranges::all_of(jobs, then_fits);
                 };
                 CAPTURE(way.amount);
                 CAPTURE(way.most);
                 if (way.amount > 0.15 && would_do(way.amount)) {
                   ++less;
                   CHECK_FALSE(would_do(way.amount - 0.1));
                 }
                 if (way.most > 0.0 && would_do(way.most) &&
                     way.most + 0.1 <= to_move(job, plan, way.kind)) {
                   ++more;
                   CHECK_FALSE(would_do(way.most + 0.1));
                 }
               });
    }
  }
  CHECK(said.size() > 8);
  CHECK(fit > random_job::jobs(700));
  CHECK(less > random_job::jobs(1000));
  CHECK(more > random_job::jobs(800));
}
