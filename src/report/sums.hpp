#pragma once

#include <string>
#include <vector>

#include "kerfmark/report/telling.hpp"

/// Pieces of sums on paper: how a quantity is made from the readings.
namespace kerfmark::report {

// Sums on paper need more than a printed figure has.
[[nodiscard]] std::string exact(double value, const text::Words& words);

/// A reading of the job, 0 where it was not given.
[[nodiscard]] std::string value_in_words(const plan::Maybe<plan::Length>& given,
                                         const text::Words& words);

enum class End { lowest, highest };

/// How the extension at one end of the saddle's range is made, `E` being the extensions that the
/// plan found.
[[nodiscard]] std::vector<std::string> extension_of(const Telling& telling,
                                                    const plan::AtHeights& E, End end);

}  // namespace kerfmark::report
