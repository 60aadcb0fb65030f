#pragma once

#include <optional>
#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"

/// What all kinds of part have in common: the maker's word and the maker's limits.
namespace kerfmark::plan {

/// The value with its doubt, or 0 where it was not given.
[[nodiscard]] measure::LengthEstimate value(const Maybe<Length>& given,
                                            const measure::Readings& readings);

/// A hold where two routes to one length contradict each other; `second` is the second route's own
/// reading.
[[nodiscard]] std::optional<Hold> contradiction(const measure::LengthEstimate& difference,
                                                std::optional<measure::ReadingIndex> second,
                                                const Job& job);

/// max-cut and min-length of a part as it stands: `cut` has come off it, nothing as yet before the
/// cut, and `length` is left; each is null when it is not known.
void add_maker_limits(const Job& job, bool closed, const measure::LengthEstimate* cut,
                      const measure::LengthEstimate* length, std::vector<Limit>& limits);

/// The kerf as sawn, or the saw's where nobody measured it.
[[nodiscard]] measure::LengthEstimate kerf_of(const Job& job);

/// rider-mass and system-mass, each against the smallest figure given.
void add_mass_limits(const Job& job, std::vector<Limit>& limits);

/// Where a limit is there only above 0, a drawn value asks the plan: it may be below.
[[nodiscard]] bool has_limit(const Judgement& judgement, Rule rule);

/// The readings that were taken after the cut: they say nothing of the time before it.
[[nodiscard]] std::vector<measure::ReadingIndex> readings_of_after(const Job& job);

/// The question to the engine, but for limits and what the kind adds.
[[nodiscard]] DecisionInput decision_input(const Job& job, bool closed);

/// Carbon, a metal part whose maker has said nothing, and masses that nobody has given.
void add_part_cautions(const Job& job, Plan& plan);

}  // namespace kerfmark::plan
