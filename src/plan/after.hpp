#pragma once

#include <optional>
#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/after.hpp"

/// What all kinds of part have in common once they are cut.
namespace kerfmark::plan {

/// A part after the cut, from readings to limits: what its kind hands over to be judged.
struct CutPart {
  std::optional<measure::LengthEstimate> original;   ///< length before the cut
  std::optional<measure::LengthEstimate> remaining;  ///< length after it
  /// What came off each end of a part that is cut at both; empty where there is but one.
  std::optional<measure::LengthEstimate> off_an_end = std::nullopt;
  std::vector<Limit> limits;         ///< as it stands
  std::vector<Hold> contradictions;  ///< routes that disagree
  std::vector<Hold> unknowns;

  /// Original less remaining; empty where a length is not known.
  [[nodiscard]] std::optional<measure::LengthEstimate> lost() const;
  /// What came off an end, kerf and all.
  [[nodiscard]] std::optional<measure::LengthEstimate> cut() const {
    return off_an_end ? off_an_end : lost();
  }
};

/// Verdict, closure, limits, and the holds with what to measure again.
[[nodiscard]] Judgement judge_after(const Job& job, const CutPart& part);

/// A limit that less length would mend may be met by a further cut: the last thing to think of.
void offer_further_cut(Judgement& after);

/// Whether a hard limit on which a cut acts in that way is broken.
[[nodiscard]] bool breaks(const Judgement& after, Sense sense);

/// Whether a limit that no saddle, ring or other part can mend is broken: too much was cut off.
[[nodiscard]] bool is_past_mending(const Judgement& after);

}  // namespace kerfmark::plan
