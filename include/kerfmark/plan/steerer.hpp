#pragma once

#include <optional>
#include <string_view>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// The key of a stem's lowest or highest height that lies on the wrong side of its height, where
/// one is given by rings and the other by a wish for the bar. The reader asks before anything is
/// planned; what a wish needs must be there.
[[nodiscard]] std::optional<std::string_view> stem_height_out_of_order(const Job& job);

/// The plan of a steerer job but for what moves and other parts can do: see plan.hpp. The job has
/// passed the reader: needed values are there, defaults are filled in. Without a complete route to
/// the gap it ends in a hold.
[[nodiscard]] Plan plan_steerer(const Job& job);

}  // namespace kerfmark::plan
