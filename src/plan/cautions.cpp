#include <array>
#include <cstddef>

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
constexpr bool has_every_caution() {
  for (std::size_t i = 0; i < table.size(); ++i) {
    if (table[i].caution != static_cast<Caution>(i)) {
      return false;
    }
  }
  return table.size() == static_cast<std::size_t>(Caution::next_owner) + 1;  // the last
}
// One without a row would be looked up past the end.
static_assert(has_every_caution());

}  // namespace

std::span<const CautionRow> caution_rows() { return table; }

}  // namespace kerfmark::plan
