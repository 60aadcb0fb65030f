#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/plan.hpp"

namespace kerfmark::report {

struct Figure {
  std::string label;
  std::string value;
};

struct LimitLine {
  std::string id, bound, has, margin, doubt, status, origin, source, what;
  bool governs = false;
  bool stands_out = false;  ///< governs, is in doubt or broken: worth a sentence
};

struct Step {
  std::string why;
  std::string action;    ///< what to measure, ask or do
  bool on_sheet = true;  ///< false: the steps of the cut sheet say it in their own place
};

/// Everything that a plan says to a person, worded and rounded once; the text report and the sheet
/// only arrange it. A hold or reject has no cut length anywhere but in `if_settled`.
struct Statement {
  std::string verdict;   ///< one to three words: "CUT", "LEAVE IT WHOLE", "HOLD", "DO NOT CUT"
  std::string headline;  ///< a sentence: how much, from which end, what is left; or what to do
  std::string because;   ///< a sentence: what governs, or what stands in the way
  std::vector<Figure> job;
  std::vector<Figure> figures;
  std::string limits_title;
  std::vector<LimitLine> limits;
  std::vector<Step> next;
  std::string if_settled_title;
  std::vector<Figure> if_settled;  ///< of a hold or reject: what the figures would give
  std::vector<std::string> cautions;
};

[[nodiscard]] Statement statement_of(const plan::Job& job, const plan::Plan& plan);

}  // namespace kerfmark::report
