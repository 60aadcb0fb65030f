#pragma once

#include <string_view>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/text/words.hpp"

/// What is said of each kind of part in words of its own.
namespace kerfmark::report {

using text::Sentence;

struct KindSentences {
  Sentence headline_cut;  ///< {cut}, {left}
  Sentence headline_keep;
  Sentence too_short;  ///< why it is not cut: nothing may come off
  Sentence misfit;     ///< what no cut changes
  Sentence no_cut;     ///< what the limits ask for clashes
  Sentence value_cut;  ///< {cut}, {kerf}, {offcut}
  Sentence in_short;   ///< what comes off: {cut}
  Sentence unsettled;  ///< {cut}, {kerf}
  Sentence limits_uncut;
  Sentence next_keep;
  Sentence from_end_that_stays;  ///< the mark to saw at: {left}
  Sentence from_end_that_goes;   ///< {cut}
  Sentence confirmed;            ///< by the other mark: {master}, {less}, {more}
  Sentence left_after;           ///< {left}
  Sentence headline_fit;         ///< {left}; of a steerer it is about the gap
  Sentence fit;                  ///< what to do with a part that is fit
  Sentence surplus;              ///< {amount}
  Sentence ask_maker;
  Sentence not_asked;  ///< why nothing is cut whose maker has not been asked
  Sentence ask_after;  ///< what to do about it once it is cut
  Sentence more_is_wished;
  Sentence other_part;
};

[[nodiscard]] const KindSentences& sentences_of(plan::Kind kind);

}  // namespace kerfmark::report
