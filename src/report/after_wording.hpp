#pragma once

#include <optional>
#include <string>

#include "kerfmark/report/telling.hpp"

/// What wording.hpp says of a part once it is cut: `now` is the part as it stands.
namespace kerfmark::report {

[[nodiscard]] std::string why_after_cut(const plan::Hold& hold, const Telling& telling);
/// Empty for what is advised before a cut too.
[[nodiscard]] std::optional<std::string> what_to_do_after_cut(const plan::Remedy& remedy,
                                                              const Telling& telling);

}  // namespace kerfmark::report
