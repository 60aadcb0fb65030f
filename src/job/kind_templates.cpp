#include "kind_templates.hpp"

#include <array>

#include "kerfmark/measure/invariant.hpp"

namespace kerfmark::job {
namespace {

// In the order of the enumerators.
constexpr auto table = std::to_array<const KindTemplate*>(
    {&seatpost_template, &steerer_template, &handlebar_template, &mast_template});
static_assert(table.size() == plan::number_of_kinds);

}  // namespace

const KindTemplate& template_of(plan::Kind kind) {
  const KindTemplate& row = *table.at(static_cast<std::size_t>(kind));
  require(row.kind == kind, "the kinds stand in their order");
  return row;
}

}  // namespace kerfmark::job
