#pragma once

#include <vector>

#include "flow.hpp"
#include "limits_table.hpp"
#include "subject.hpp"

namespace kerfmark::sheet {

/// The first page, and what found no room on it.
struct Decision {
  Block page;
  std::vector<Section> rest;
};

/// The verdict and what it stands on. `limits` must outlive the result; `page_of_rest` is the page
/// on which the rest will begin.
[[nodiscard]] Decision decision_page(const Subject& subject, const LimitsTable& limits, Room room,
                                     int page_of_rest);

}  // namespace kerfmark::sheet
