#include "kind_reports.hpp"

#include <array>

#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::report {
namespace {

// In the order of the enumerators.
constexpr auto table = std::to_array<const KindReport*>(
    {&seatpost_report, &steerer_report, &handlebar_report, &mast_report});
static_assert(table.size() == plan::number_of_kinds);

}  // namespace

const KindReport& report_of(plan::Kind kind) {
  const KindReport& row = *table.at(static_cast<std::size_t>(kind));
  require(row.kind == kind, "the kinds stand in their order");
  return row;
}

}  // namespace kerfmark::report
