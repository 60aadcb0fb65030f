#include "kind_rows.hpp"

#include <array>

#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::plan {
namespace {

// In the order of the enumerators.
constexpr auto table =
    std::to_array<const KindRow*>({&seatpost_row, &steerer_row, &handlebar_row, &mast_row});
static_assert(table.size() == number_of_kinds);

}  // namespace

const KindRow& row_of(Kind kind) {
  const KindRow& row = *table.at(static_cast<std::size_t>(kind));
  require(row.kind == kind, "the kinds stand in their order");
  return row;
}

const KindOfPart& kind_of_part(Kind kind) { return row_of(kind).part; }

std::optional<std::string_view> complete(Job& job, Length caliper_half_width) {
  const auto completes = row_of(job.kind).complete;
  return completes != nullptr ? completes(job, caliper_half_width) : std::nullopt;
}

}  // namespace kerfmark::plan
