#include "kind_sheets.hpp"

#include <array>

#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::sheet {
namespace {

// In the order of the enumerators.
constexpr auto table = std::to_array<const KindSheet*>(
    {&seatpost_sheet, &steerer_sheet, &handlebar_sheet, &mast_sheet});
static_assert(table.size() == plan::number_of_kinds);

}  // namespace

const KindSheet& sheet_of(plan::Kind kind) {
  const KindSheet& row = *table.at(static_cast<std::size_t>(kind));
  require(row.kind == kind, "the kinds stand in their order");
  return row;
}

}  // namespace kerfmark::sheet
