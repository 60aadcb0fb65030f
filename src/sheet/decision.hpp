#pragma once

#include <vector>

#include "flow.hpp"
#include "limits_table.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The pages on which goes on what the first page only begins.
struct Elsewhere {
  int rest = 2;
  int limits = 2;
  bool with_spare = false;  ///< also what fills a page but is not worth one
  bool operator==(const Elsewhere&) const = default;
};

/// The first page, and what found no room on it. Spare are other positions of the stem and passive
/// limits, which hold and do not govern.
struct Decision {
  Block page;
  std::vector<Section> rest;
  Section positions;
  std::vector<std::size_t> telling, passive;  ///< limits, by their places
};

/// The verdict and what it stands on. `limits` must outlive the result.
[[nodiscard]] Decision decision_page(const Subject& subject, const LimitsTable& limits, Room room,
                                     const Elsewhere& where);

}  // namespace kerfmark::sheet
