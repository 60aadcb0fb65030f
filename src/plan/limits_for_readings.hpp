#pragma once

#include <optional>
#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"

/// The limits of a job whose plan has been made, for other values of its readings: what the plan
/// chose once, the route to a depth or a gap, is kept. They stand in the order of Plan::limits.
namespace kerfmark::plan {

/// `by_mock_up`: the blockage, from 1, whose depth the mock-up gives. No triangle is impossible.
[[nodiscard]] std::vector<Limit> seatpost_limits(const Job& job,
                                                 std::optional<std::size_t> by_mock_up);

/// `by_mock_up`: the gap is that of the mock-up, else that of the parts.
[[nodiscard]] std::vector<Limit> steerer_limits(const Job& job, bool by_mock_up);

/// A steerer's job with the rings below the stem written out for its lowest, its own and its
/// highest position, and no wish for the bar.
[[nodiscard]] Job with_rings_listed(const Job& job);

}  // namespace kerfmark::plan
