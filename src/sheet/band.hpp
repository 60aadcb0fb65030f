#pragma once

#include <string>

#include "block.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::sheet {

/// The band at the head of a sheet: a sign and the verdict in words, as large as they fit, and at
/// the right what it is about. Black where the sheet lets somebody cut, framed twice for a reject.
[[nodiscard]] Block verdict_band(double width_mm, plan::Verdict verdict, const std::string& words,
                                 const std::string& about);

}  // namespace kerfmark::sheet
