#include <algorithm>
#include <array>
#include <ranges>

#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {
namespace {

constexpr auto table = std::to_array<CautionRow>({
    {Caution::not_probed, "not_probed", {"frame.blockage-1.depth", "mock_up.exposed_bottomed"}},
    {Caution::metal_not_stated, "metal_not_stated"},
    {Caution::carbon_inspect, "carbon_inspect"},
    {Caution::bar_out_of_reach, "bar_out_of_reach"},
    {Caution::expander_unknown, "", {"expander.to"}},
    {Caution::max_rider_unanswered, "max_rider_unanswered", {"rider.mass"}},
    {Caution::max_system_unanswered, "max_system_unanswered", {"rider.system_mass"}},
    {Caution::bicycle_not_counted, "bicycle_not_counted", {"rider.system_mass"}},
    {Caution::more_is_wished, ""},
    {Caution::local_law, "local_law"},
    {Caution::grip_unknown, "grip_unknown", {"topper.grip", "topper.min_grip"}},
    {Caution::topper_taken_as_over, "topper_taken_as_over", {"topper.goes"}},
    {Caution::section_reaches, "section_reaches"},
    {Caution::other_saddle, "other_saddle"},
    {Caution::next_owner, ""},
});
// A caution without a row would be looked up past the end. next_owner is the last of them.
static_assert(
    std::ranges::equal(table, std::views::iota(0, static_cast<int>(Caution::next_owner) + 1), {},
                       [](const CautionRow& row) { return static_cast<int>(row.caution); }));

}  // namespace

std::span<const CautionRow> caution_rows() { return table; }

}  // namespace kerfmark::plan
