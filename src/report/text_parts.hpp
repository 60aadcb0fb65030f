#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/view.hpp"

/// What the reports for a terminal are put together from.
namespace kerfmark::report {

/// In the colour of a verdict, where there is colour.
[[nodiscard]] std::string coloured(std::string_view text, plan::Verdict verdict, const View& view);

/// Labels in one column, what belongs to them in another.
[[nodiscard]] std::string figure_lines(const std::vector<Figure>& figures, const View& view);

}  // namespace kerfmark::report
