#pragma once

#include <string>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/plan/trials.hpp"
#include "kerfmark/report/view.hpp"
#include "kerfmark/text/words.hpp"

/// How sure a limit is, in words: probabilities as odds, and what trials say.
namespace kerfmark::report {

/// The odds of a limit, in three steps of care: "1 in 48 that it does not hold", never fewer than
/// they are; "less than 1 in 1,000" and no smaller figure, because a half-width is a bound that
/// somebody believes in and how far its tail reaches is not known; and no odds at all for a limit
/// that is compared as marked or that no reading enters.
[[nodiscard]] std::string spoken_odds(const plan::JudgedLimit& limit,
                                      const plan::Standing& standing, const text::Words& words);

/// Whether there are odds to speak of: the limit has a guard, and a reading enters it.
[[nodiscard]] bool has_odds(const plan::JudgedLimit& limit);

/// What the trials say of each limit, as a table with what its columns mean.
[[nodiscard]] std::string trials_report(const plan::Plan& plan, const plan::Trials& trials,
                                        const View& view, const text::Words& words);

}  // namespace kerfmark::report
