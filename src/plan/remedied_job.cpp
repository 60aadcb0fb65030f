#include "remedied_job.hpp"

#include <algorithm>
#include <string_view>

namespace kerfmark::plan {
namespace {

using measure::millimetres;

Measured<Length> exact(double mm) { return {millimetres(mm), std::nullopt}; }

std::vector<Measured<Length>>& list_of(Rings& rings) {
  if (!rings) {
    rings.emplace();
  }
  return *rings;
}

void add(Rings& rings, const std::vector<Measured<Length>>& more) {
  std::vector<Measured<Length>>& list = list_of(rings);
  list.insert(list.end(), more.begin(), more.end());
}

void add_exact(Rings& rings, double mm) {
  if (mm != 0.0) {
    list_of(rings).push_back(exact(mm));
  }
}

// A ring is measured as those that are there: the widest half-width of theirs, a caliper's at
// least.
double half_width_of_a_ring(const Job& job) {
  double widest = finest_reading;
  for (const Rings* rings : {&job.spacers.highest, &job.spacers.above}) {
    for (const Measured<Length>& ring : rings->value_or(std::vector<Measured<Length>>{})) {
      if (ring.reading) {
        widest = std::max(widest, job.readings[*ring.reading].half_width_base);
      }
    }
  }
  return widest;
}

std::vector<Measured<Length>> new_rings(Job& job, const std::vector<double>& heights_mm) {
  std::vector<Measured<Length>> rings;
  const double within = half_width_of_a_ring(job);
  for (const double height : heights_mm) {
    measure::Reading reading = Job::reserved_row("spacers.on_hand");
    reading.half_width_base = within;
    reading.values_base = {height};
    rings.push_back({millimetres(height), job.readings.size()});
    job.readings.push_back(std::move(reading));
  }
  return rings;
}

// Both were measured on the stack as it was.
void stack_grows(Job& job, double mm) {
  if (Maybe<Length>& proud = job.mock_up.stands_proud) {
    proud->nominal = proud->nominal - millimetres(mm);
  }
  if (Maybe<Length>& gap = job.as_cut.gap) {
    gap->nominal = gap->nominal + millimetres(mm);
  }
}

// The saddle's lowest position goes up or its highest down, and the others with it where it would
// pass them.
void move_saddle(Job& job, double up_mm) {
  Saddle& saddle = job.saddle;
  const bool up = up_mm > 0.0;
  Maybe<Length>& end = up ? saddle.lowest : saddle.highest;
  end->nominal = end->nominal + millimetres(up_mm);
  const Length to = end->nominal;
  for (Maybe<Length>* height : {&saddle.lowest, &saddle.height, &saddle.highest}) {
    (*height)->nominal = up ? std::max((*height)->nominal, to) : std::min((*height)->nominal, to);
  }
}

// The stem's lowest position is no higher than its highest.
void lowest_follows(Spacers& spacers) {
  add_exact(spacers.lowest, std::min(0.0, sum_mm(spacers.highest) - sum_mm(spacers.lowest)));
}

// Limits look at the stem's lowest and highest position; where it stands between them decides
// nothing, and spacers.below stays as it is.
void change_rings(Job& job, RemedyKind kind, const RingChange& change) {
  Spacers& s = job.spacers;
  const std::vector<Measured<Length>> come = new_rings(job, change.in_mm);
  const auto exchange = [&](Rings& rings) {
    add_exact(rings, -change.out_mm);
    add(rings, come);
  };
  const double before = sum_mm(s.highest) + sum_mm(s.above);
  if (kind == RemedyKind::ring_below) {
    exchange(s.lowest);
    exchange(s.highest);
  } else if (kind == RemedyKind::rings_out) {
    exchange(s.highest);
    lowest_follows(s);
  } else if (kind == RemedyKind::ring_above || kind == RemedyKind::fewer_above) {
    exchange(s.above);
  } else if (kind == RemedyKind::move_above) {
    add_exact(s.highest, -change.out_mm);
    lowest_follows(s);
    add_exact(s.above, change.out_mm);
  } else {
    require(kind == RemedyKind::move_below, "a change of rings by what is about other things");
    add_exact(s.above, -change.out_mm);
    add_exact(s.lowest, change.out_mm);
    add_exact(s.highest, change.out_mm);
  }
  stack_grows(job, sum_mm(s.highest) + sum_mm(s.above) - before);
}

}  // namespace

double sum_mm(const Rings& rings) {
  double sum = 0.0;
  for (const Measured<Length>& ring : rings.value_or(std::vector<Measured<Length>>{})) {
    sum += ring.nominal.in_mm();
  }
  return sum;
}

bool puts_rings_on(RemedyKind kind) {
  return kind == RemedyKind::ring_above || kind == RemedyKind::ring_below;
}

bool is_about_rings(RemedyKind kind) {
  return puts_rings_on(kind) || kind == RemedyKind::rings_out || kind == RemedyKind::fewer_above ||
         kind == RemedyKind::move_above || kind == RemedyKind::move_below;
}

Job with_remedy(const Job& job, RemedyKind kind, const RingChange& change) {
  Job then = job;
  change_rings(then, kind, change);
  return then;
}

Job with_remedy(const Job& job, RemedyKind kind, double amount_mm) {
  if (is_about_rings(kind)) {
    return with_remedy(
        job, kind, puts_rings_on(kind) ? RingChange{0.0, {amount_mm}} : RingChange{amount_mm, {}});
  }
  Job then = job;
  if (kind == RemedyKind::raise_saddle || kind == RemedyKind::narrow_range) {
    move_saddle(then, amount_mm);
  } else if (kind == RemedyKind::lower_saddle) {
    move_saddle(then, -amount_mm);
  } else if (kind == RemedyKind::stem_lowest_up) {
    add_exact(then.spacers.lowest, amount_mm);
  } else if (kind == RemedyKind::lower_parts) {
    if (Maybe<Length>& upper = then.headset.upper) {
      upper->nominal = upper->nominal - millimetres(amount_mm);
    }
    stack_grows(then, -amount_mm);
  } else if (kind == RemedyKind::longer_expander) {
    then.expander.to->nominal = then.expander.to->nominal + millimetres(amount_mm);
  } else if (kind == RemedyKind::wider_wish) {
    then.handlebar.widest->nominal = then.handlebar.widest->nominal + millimetres(amount_mm);
  } else if (kind == RemedyKind::narrower_wish) {
    then.handlebar.narrowest->nominal = then.handlebar.narrowest->nominal - millimetres(amount_mm);
  } else if (kind == RemedyKind::narrower_controls) {
    // Only their sum counts, so it does not matter which of them it is.
    Maybe<Length>& width = then.controls.front().width;
    width->nominal = width->nominal - millimetres(amount_mm);
  } else if (kind == RemedyKind::approved_recess) {
    then.stem.recess_max = exact(amount_mm);
  } else {
    require(false, "a move by what moves nothing");
  }
  return then;
}

}  // namespace kerfmark::plan
