#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/house.hpp"
#include "kerfmark/report/view.hpp"
#include "kerfmark/text/words.hpp"

/// What is in force before any job says a word, and whose it is.
namespace kerfmark::report {

/// Every limit with its origin, source and default, then what the workshop's values are.
[[nodiscard]] std::string rules_table(const std::vector<plan::HouseValue>& house, const View& view,
                                      const text::Words& words);

/// The same as one line; `shop` names the shop file, empty: there is none.
[[nodiscard]] std::string rules_json(const std::vector<plan::HouseValue>& house,
                                     const std::string& shop, const text::Words& words);

}  // namespace kerfmark::report
