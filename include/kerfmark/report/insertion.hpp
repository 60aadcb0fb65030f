#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/view.hpp"
#include "kerfmark/text/words.hpp"

/// The check of a post as it stands, for the rider.
namespace kerfmark::report {

/// Everything that it says to a person, worded and rounded once, in one language.
struct InsertionStatement {
  std::string verdict;   ///< "ENOUGH IN THE FRAME"
  std::string headline;  ///< a sentence: how much is in and how much must be
  std::string action;    ///< a sentence or two: ride, measure, lower the saddle
  std::vector<Figure> figures;
  std::vector<LimitLine> limits;
  std::string how;  ///< it was measured
  std::vector<std::string> cautions;
};

[[nodiscard]] InsertionStatement insertion_statement(const plan::InsertionCheck& check,
                                                     const text::Words& words);

/// The report for a terminal, with a picture of the post in its frame; lines end in '\n'.
[[nodiscard]] std::string insertion_report(const plan::InsertionCheck& check, const View& view,
                                           const text::Words& words);

/// Where things are along a post as it stands, in millimetres from the collar edge down.
struct InsertionPlaces {
  double lower_end = 0.0;
  double line = 0.0;  ///< of what must be in; above the collar where too little is
};
[[nodiscard]] InsertionPlaces places_of(const plan::InsertionCheck& check);

}  // namespace kerfmark::report
