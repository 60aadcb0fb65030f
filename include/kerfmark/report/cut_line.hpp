#pragma once

#include <string>

#include "kerfmark/report/telling.hpp"

namespace kerfmark::report {

/// What comes off, for a title: "20 mm", of both ends "2 × 20 mm". The plan is about a cut.
[[nodiscard]] std::string cut_in_short(const Telling& telling);

/// Where to saw: the master mark with its figure, and how far any other mark may lie from it. The
/// plan is about a cut.
[[nodiscard]] std::string where_to_saw(const Telling& telling);

/// Which way a small error keeps every limit, as a sentence.
[[nodiscard]] std::string safer_way(const plan::CutLine& line, const text::Words& words);

}  // namespace kerfmark::report
