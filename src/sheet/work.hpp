#pragma once

#include <vector>

#include "flow.hpp"
#include "limits_table.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// What to do at the bench for a cut: steps, boxes, the table to measure twice by; and what found
/// no room there. `page_of_rest` is the page on which that will go on.
struct Work {
  Block page;
  std::vector<Section> rest;
};
[[nodiscard]] Work work_of_cut(const Subject& subject, Room room, int page_of_rest);

/// What to do where nothing is cut: the steps of a part that stays whole, what to measure or ask
/// for a hold, what collides and what else to do for a reject; then what found no room on the
/// first page.
struct Behind {
  std::vector<Block> pages;
  int page_of_rest = 0;  ///< of the sheet
};
[[nodiscard]] Behind pages_without_cut(const Subject& subject, const LimitsTable& limits,
                                       std::vector<Section> rest, Room room);

}  // namespace kerfmark::sheet
