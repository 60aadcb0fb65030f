#pragma once

#include <vector>

#include "flow.hpp"
#include "limits_table.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// What stands behind the decision: warnings, what to measure, ask or do, steps and boxes; what
/// stands in the way of a reject; and at the end what found no room on the first page.
struct PagesBehind {
  std::vector<Block> pages;
  std::vector<int> begins;  ///< on which page of the sheet each section of the rest begins
};

/// `limits` must outlive the sections; those of the rest that are empty are left out.
[[nodiscard]] PagesBehind pages_behind(const Subject& subject, const LimitsTable& limits,
                                       std::vector<Section> rest, Room room);

}  // namespace kerfmark::sheet
