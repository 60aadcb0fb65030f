#pragma once

#include <optional>
#include <string_view>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// Finds the rings on hand for each wish for the bar: the sum whose bar height is nearest, the
/// smaller on a tie, made of the fewest rings. Each counts as a reading of its own, named like a
/// ring of the list it stands for, with this half-width. To be called once, after the defaults are
/// filled in; what a wish needs must be there.
void choose_rings(Job& job, Length caliper_half_width);

/// The key of a stem's lowest or highest height that lies on the wrong side of its height, where
/// one is given by rings and the other by a wish for the bar. The reader asks before anything is
/// planned.
[[nodiscard]] std::optional<std::string_view> stem_height_out_of_order(const Job& job);

/// The plan of a steerer job but for what moves and other parts can do: see plan.hpp. The job has
/// passed the reader: needed values are there, defaults are filled in, rings chosen. Without a
/// complete route to the gap it ends in a hold.
[[nodiscard]] Plan plan_steerer(const Job& job);

}  // namespace kerfmark::plan
