#pragma once

#include <optional>
#include <string>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/text/words.hpp"

/// What wording.hpp says of a part once it is cut: `now` is the part as it stands.
namespace kerfmark::report {

[[nodiscard]] std::string why_after_cut(const plan::Hold& hold, const plan::Judgement& now,
                                        const plan::Job& job, const text::Words& words);
/// Empty for what is advised before a cut too.
[[nodiscard]] std::optional<std::string> what_to_do_after_cut(const plan::Remedy& remedy,
                                                              const plan::Judgement& now,
                                                              const plan::Job& job,
                                                              const text::Words& words);

}  // namespace kerfmark::report
