#pragma once

#include <optional>

#include "json_line.hpp"
#include "kerfmark/plan/plan.hpp"

/// Figures of a plan as JSON has them.
namespace kerfmark::report {

void put(JsonLine& out, const std::optional<plan::Span>& span);
void put(JsonLine& out, const plan::AtHeights& at);

/// Saddle heights uncut and cut.
void add_saddle_range(JsonLine& out, const std::optional<plan::Span>& uncut,
                      const std::optional<plan::Span>& cut);

}  // namespace kerfmark::report
