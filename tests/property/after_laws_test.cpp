#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <random>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "as_cut.hpp"
#include "kerfmark/plan/after.hpp"
#include "random_job.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::HoldReason;
using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Length;
using plan::Plan;
using plan::Verdict;
using planned::job_of;
using planned::Near;
using planned::number;
using random_job::Random;

namespace {

using random_job::Make;

struct Sample {
  std::string text;
  Job job;
  Plan plan;
  Random random;
};

/// Jobs of all kinds, seeds from 1. What fails says the seed and the whole job.
void for_jobs(unsigned count, const std::function<void(Sample&)>& law) {
  for (const Make make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(count); ++seed) {
      CAPTURE(seed);
      Random random(seed);
      const std::string text = random_job::text_of(make(random));
      Job job = job_of(text);
      Plan plan = plan::plan_cut(job);
      Sample s{text, std::move(job), std::move(plan), random};
      CAPTURE(s.text);
      law(s);
    }
  }
}

double between(Random& random, double least, double most) {
  return std::uniform_real_distribution<double>(least, most)(random);
}

std::optional<double> original_mm(const Sample& s) {
  if (s.plan.before.handlebar) {
    return s.plan.before.handlebar->width_uncut.in_mm();
  }
  const auto& length = s.job.length();
  return length ? std::optional(length->nominal.in_mm()) : std::nullopt;
}

std::string exact(double mm) { return "{ read = " + number(mm) + ", within = 0 }"; }

Job with(const Sample& s, const std::string& as_cut) {
  return job_of(s.text + "\n[as_cut]\n" + as_cut);
}

bool holds_for(const Judgement& after, HoldReason reason) {
  return std::ranges::any_of(after.holds, [&](const auto& h) { return h.reason == reason; });
}

/// What two lengths leave for the offcut of each end, missed by a part of the guard of the sum.
struct Sawn {
  double left;
  double offcut;
};

std::optional<Sawn> sawn(Sample& s, double off) {
  const auto original = original_mm(s);
  if (!original) {
    return std::nullopt;
  }
  const double ends = as_cut::ends(s.job.kind);
  const double cut = between(s.random, 5, 60);
  const Sawn made{*original - ends * cut, cut - s.job.saw.kerf->nominal.in_mm() - off / ends};
  return made.left >= as_cut::left_of(s.job.kind).least && made.offcut >= 0 ? std::optional(made)
                                                                            : std::nullopt;
}

}  // namespace

TEST_CASE("a sum that is off by more than its guard is a hold and by less never one for that") {
  std::size_t open = 0;
  std::size_t closed = 0;
  for_jobs(700, [&](Sample& s) {
    // Two readings by steel rule and the length before, whatever that was measured with.
    const auto probe = sawn(s, 0);
    if (!probe) {
      return;
    }
    const auto measured = [&](const Sawn& made) {
      return as_cut::left(s.job.kind, number(made.left)) +
             as_cut::offcut(s.job.kind, number(made.offcut));
    };
    const double guard =
        plan::check_after(with(s, measured(*probe)), s.plan.before)->made->closure->guard_mm;
    for (const double part : {0.0, 0.6, 0.999, 1.001, 1.5, 4.0}) {
      for (const double sign : {1.0, -1.0}) {
        const double off = sign * part * guard;
        const Sawn made{probe->left, probe->offcut - off / as_cut::ends(s.job.kind)};
        if (made.offcut < 0) {
          continue;
        }
        const Job job = with(s, measured(made));
        const Judgement after = *plan::check_after(job, s.plan.before);
        CAPTURE(part);
        CHECK(after.made->closure->off == Near{off});
        CHECK(after.made->closure->guard_mm == Near{guard});
        CHECK(after.made->closure->closed == (part < 1));
        CHECK(holds_for(after, HoldReason::sum_open) == (part > 1));
        if (part > 1) {
          CHECK(after.verdict == Verdict::hold);
        }
        ++(part > 1 ? open : closed);
      }
    }
  });
  CHECK(open > random_job::jobs(3000));
  CHECK(closed > random_job::jobs(3000));
}

TEST_CASE("a job cut just as planned keeps its margins and is fit where its plan said so") {
  std::size_t fits = 0;
  for_jobs(2000, [&](Sample& s) {
    const auto original = original_mm(s);
    if (s.plan.before.verdict != plan::Verdict::cut || !original ||
        s.plan.before.remaining->in_mm() < as_cut::left_of(s.job.kind).least) {
      return;
    }
    // Without any doubt of its own: what is left has been measured by a better instrument.
    const Job job = with(s, as_cut::left(s.job.kind, exact(s.plan.before.remaining->in_mm())));
    const Judgement after = *plan::check_after(job, s.plan.before);
    const bool other_route =
        s.plan.before.steerer && after.steerer->gap_by != s.plan.before.steerer->gap_by;
    if (other_route) {
      return;
    }
    REQUIRE(after.limits.size() == s.plan.before.limits.size());
    bool room = true;
    for (std::size_t i = 0; i < after.limits.size(); ++i) {
      const JudgedLimit& now = after.limits[i];
      const JudgedLimit& planned = s.plan.before.limits[i];
      CAPTURE(now.id());
      CHECK(now.id() == planned.id());
      CHECK(now.at.margin == Near{planned.at.margin, 1e-9});
      CHECK(now.has == Near{planned.has, 1e-9});
      room = room && (now.rule == plan::Rule::max_cut ||
                      now.at.margin >= now.at.guard - planned::arithmetic);
    }
    CHECK(*after.made->cut == Near{s.plan.before.at.in_mm()});
    if (room) {
      CHECK(after.verdict == Verdict::fit);
      ++fits;
    } else {
      CHECK(after.verdict == Verdict::hold);
    }
  });
  CHECK(fits > random_job::jobs(400));
}

TEST_CASE("whatever is measured after the cut the plan before it is the same") {
  for_jobs(700, [](Sample& s) {
    // Rings chosen for a bar are numbered behind all that was read, so also behind these.
    if (s.job.wished.below || s.job.wished.lowest || s.job.wished.highest) {
      return;
    }
    const double least = as_cut::left_of(s.job.kind).least + 10;
    std::string measured =
        as_cut::left(s.job.kind, "[" + number(between(s.random, least, 400)) + ", " +
                                     number(between(s.random, least, 400)) + "]") +
        as_cut::offcut(s.job.kind, number(between(s.random, 0, 200))) +
        "kerf = { read = 2, within = 1 }\n";
    if (s.job.kind == plan::Kind::steerer) {
      measured += "gap = " + number(between(s.random, -5, 15)) + "\n";
    }
    Plan after = plan::plan_cut(with(s, measured));
    REQUIRE(after.after.has_value());
    after.after.reset();
    CHECK(after == s.plan);
  });
}

TEST_CASE("a remedy has the figures of its kind and no others") {
  // As the list of kinds says it (plan.hpp): whose `amount` and whose `share` mean something.
  const std::set<plan::RemedyKind> with_amount = {
      plan::RemedyKind::file_or_more,      plan::RemedyKind::raise_saddle,
      plan::RemedyKind::lower_saddle,      plan::RemedyKind::ring_above,
      plan::RemedyKind::ring_below,        plan::RemedyKind::rings_out,
      plan::RemedyKind::fewer_above,       plan::RemedyKind::move_above,
      plan::RemedyKind::move_below,        plan::RemedyKind::lower_parts,
      plan::RemedyKind::approved_recess,   plan::RemedyKind::longer_steerer,
      plan::RemedyKind::longer_expander,   plan::RemedyKind::stem_lowest_up,
      plan::RemedyKind::narrow_range,      plan::RemedyKind::stem_with_rise,
      plan::RemedyKind::wider_wish,        plan::RemedyKind::narrower_wish,
      plan::RemedyKind::narrower_controls, plan::RemedyKind::look_for_loss,
      plan::RemedyKind::look_for_surplus};
  const std::set<plan::RemedyKind> with_share = {
      plan::RemedyKind::measure_again,  plan::RemedyKind::measure_all,
      plan::RemedyKind::no_measuring,   plan::RemedyKind::check_reading,
      plan::RemedyKind::compare_routes, plan::RemedyKind::check_sum,
      plan::RemedyKind::gone_reading};
  std::set<plan::RemedyKind> seen;
  const auto check = [&](const plan::Remedy& way) {
    CAPTURE(static_cast<int>(way.kind));
    seen.insert(way.kind);
    if (!with_amount.contains(way.kind)) {
      CHECK(way.amount == 0.0);
    }
    if (!with_share.contains(way.kind) || !way.reading) {
      CHECK(way.share == 0.0);
    }
  };
  const auto check_all = [&](const plan::Judgement& now) {
    for (const plan::Hold& hold : now.holds) {
      for (const plan::Remedy& way : hold.remedies) {
        check(way);
        if (hold.reason == plan::HoldReason::readings_disagree) {
          CHECK(way.share == 0.0);
        }
      }
    }
    std::ranges::for_each(now.remedies, check);
  };
  for_jobs(1000, [&](Sample& s) {
    check_all(s.plan.before);
    const auto range = as_cut::left_of(s.job.kind);
    const double around =
        original_mm(s).value_or(300) - as_cut::ends(s.job.kind) * s.plan.before.at.in_mm();
    const double left = std::clamp(around + between(s.random, -40, 20), range.least, range.most);
    check_all(*plan::check_after(with(s, as_cut::left(s.job.kind, number(left))), s.plan.before));
  });
  CHECK(seen.size() > 10);
}

TEST_CASE("a hold and an unfit part say what to do and a fit one has nothing that does not hold") {
  std::size_t unfit = 0;
  std::size_t hold = 0;
  std::size_t fit = 0;
  for_jobs(1500, [&](Sample& s) {
    const double around =
        original_mm(s).value_or(300) - as_cut::ends(s.job.kind) * s.plan.before.at.in_mm();
    const auto range = as_cut::left_of(s.job.kind);
    const double left = std::clamp(around + between(s.random, -40, 20), range.least, range.most);
    const Judgement after =
        *plan::check_after(with(s, as_cut::left(s.job.kind, number(left))), s.plan.before);
    CHECK(after.holds.empty() == (after.verdict != Verdict::hold));
    CHECK(after.remedies.empty() == (after.verdict != Verdict::unfit));
    for (const plan::Hold& one : after.holds) {
      CHECK_FALSE(one.remedies.empty());
    }
    const bool all = std::ranges::all_of(after.limits, [](const JudgedLimit& limit) {
      return limit.at.status == measure::Status::holds;
    });
    CHECK((all || after.verdict != Verdict::fit));
    unfit += after.verdict == Verdict::unfit ? 1 : 0;
    hold += after.verdict == Verdict::hold ? 1 : 0;
    fit += after.verdict == Verdict::fit ? 1 : 0;
  });
  CHECK(unfit > random_job::jobs(1000));
  CHECK(hold > random_job::jobs(300));
  CHECK(fit > random_job::jobs(300));
}

TEST_CASE("within the safe saddle heights nothing is missed that the saddle mends") {
  std::size_t checked = 0;
  for_jobs(1200, [&](Sample& s) {
    if (s.job.kind != plan::Kind::seatpost) {
      return;
    }
    const double left = std::clamp(*original_mm(s) - between(s.random, 0, 120), 50.0, 700.0);
    Job job = with(s, "length = " + number(left) + "\n");
    const Judgement after = *plan::check_after(job, s.plan.before);
    // Where heights are measured straight, guards change a little with the height.
    if (!after.seatpost->saddle_range_uncut ||
        job.saddle.measured == plan::HeightMeasured::straight) {
      return;
    }
    ++checked;
    constexpr double hair = 1e-6;
    // Without blockage, grip and a measured head nothing bounds it from below.
    if (after.seatpost->saddle_range_uncut->lo) {
      job.saddle.lowest->nominal = *after.seatpost->saddle_range_uncut->lo + millimetres(hair);
    }
    job.saddle.highest->nominal = *after.seatpost->saddle_range_uncut->hi - millimetres(hair);
    job.saddle.lowest->nominal = std::min(job.saddle.lowest->nominal, job.saddle.highest->nominal);
    job.saddle.height->nominal = job.saddle.highest->nominal;
    const Judgement there = *plan::check_after(job, s.plan.before);
    for (const JudgedLimit& limit : there.limits) {
      using enum plan::Rule;
      const bool unmeasured_head = limit.rule == head && !job.post.head->reading;
      const bool mended = limit.rule != max_cut && limit.rule != min_length &&
                          limit.rule != rider_mass && limit.rule != system_mass &&
                          limit.rule != bore_fit && !unmeasured_head;
      CAPTURE(limit.id());
      CHECK((!mended || limit.at.status == measure::Status::holds));
    }
  });
  CHECK(checked > random_job::jobs(300));
}
