#pragma once

#include <string>
#include <vector>

#include "kerfmark/report/telling.hpp"

namespace kerfmark::report {

/// Where the first page of a sheet has a figure.
enum class OnSheet {
  listed,
  not_of_a_cut,  ///< the drawing has it, the headline, or a step
  second,        ///< where the new mark lies must not be looked for
  large,         ///< how far the saddle still goes is for good, and for whoever rides it next
  spare,         ///< in rows of its own, where there is room
};

struct Figure {
  std::string label;
  std::string value;
  bool in_brief = true;  ///< false: only where everything is told
  OnSheet on_sheet = OnSheet::listed;
};

struct LimitLine {
  std::string name, bound, has, margin, doubt, status, origin, source, what;
  std::string odds;       ///< "1 in 48 that it does not hold", "as marked", "no doubt"
  bool has_odds = false;  ///< odds that are worth a sentence, where the limit stands out
  bool governs = false;
  bool stands_out = false;  ///< governs, is in doubt or broken: worth a sentence
  measure::Status standing = measure::Status::holds;  ///< what `status` says
};

/// What comes of a step and can be written down: a figure, or what a maker or the rider says.
enum class StepAnswer { none, figure, people };

struct Step {
  std::string why;
  std::string action;    ///< what to measure, ask or do
  bool on_sheet = true;  ///< false: the steps of the cut sheet say it in their own place
  StepAnswer answer = StepAnswer::none;
};

/// Everything that a plan says to a person of one moment, worded and rounded once, in one language;
/// the text report and the sheet only arrange it. A hold or reject has no cut length anywhere but
/// in `if_settled`.
struct Statement {
  std::string verdict;   ///< one to three words: "CUT", "LEAVE IT WHOLE", "HOLD", "FIT TO RIDE"
  std::string headline;  ///< a sentence: how much, from which end, what is left; or what to do
  std::string because;   ///< a sentence: what governs, or what stands in the way
  std::vector<Figure> job;
  std::string figures_title;  ///< of a part that was cut: "After the cut"
  std::vector<Figure> figures;
  std::string limits_title;
  std::vector<LimitLine> limits;
  std::vector<Step> next;
  std::string if_settled_title;
  std::vector<Figure> if_settled;  ///< of a hold or reject: what the figures would give
  std::vector<std::string> cautions;
};

[[nodiscard]] Statement statement_of(const Telling& telling);

}  // namespace kerfmark::report
