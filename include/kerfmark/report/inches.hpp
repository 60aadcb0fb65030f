#pragma once

#include <optional>
#include <string>

#include "kerfmark/report/telling.hpp"

/// Inches for people who measure in inches. Nothing is planned in them: the plan is millimetres,
/// and an inch figure is printed beside them only where marking by it does no harm.
namespace kerfmark::report {

/// Whether a measured length of the job was written in inches. Nominal sizes such as a steerer's
/// 1 1/8 in say nothing of the rule at hand.
[[nodiscard]] bool in_inches(const plan::Job& job);

/// A value as it was written, where that was in inches: "15 3/4 in (400.1 mm)"; else as mm() has
/// it.
[[nodiscard]] std::string as_written(const plan::Measured<plan::Length>& value,
                                     const plan::Job& job, const text::Words& words);

/// How many 1/32 in a length comes to that may be anything from `least` to `most`: the nearer of
/// the two marks of the rule beside `wanted` that lie in there, both ends included; the smaller on
/// a tie. Nothing where neither does.
[[nodiscard]] std::optional<int> thirty_seconds(double wanted_mm, double least_mm, double most_mm);

/// "13 11/16 in", "3/32 in", "2 in": in lowest terms.
[[nodiscard]] std::string inches_text(int thirty_seconds, const text::Words& words);

/// The lengths of a cut that somebody marks or measures, each in millimetres and, in a job in
/// inches, by the rule's nearest harmless mark: "43 mm (1 11/16 in)". A mark of the rule is
/// harmless when the cut that it leads to lies in the window, where every limit holds with its
/// doubt.
struct LengthsToMark {
  std::string cut;        ///< the length to take off
  std::string left;       ///< from the upper datum of a post, the lower of a steerer; may be empty
  std::string mark_up;    ///< new line above the lower end; empty without one
  std::string mark_down;  ///< the same line below the rail clamp centre
  std::string gap;        ///< of a steerer: the line below the top of the stack
};
/// `now` is one of the plan's two moments; the window is that of the cut to come.
[[nodiscard]] LengthsToMark lengths_to_mark(const Telling& telling);

}  // namespace kerfmark::report
