#pragma once

#include <optional>
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
  std::string look;      ///< "Look at the post: …"; empty where it is told what is seen
  std::string verdict;   ///< "ENOUGH IN THE FRAME"
  std::string headline;  ///< a sentence: how much is in and how much must be
  std::string action;    ///< a sentence or two: ride, measure, lower the saddle
  std::vector<Figure> figures;
  std::vector<LimitLine> limits;
  bool shows_limits = true;  ///< else they are for other programs only
  std::string how;           ///< it was measured; empty where it was not
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
  std::optional<double> line;  ///< of what must be in; above the collar where too little is
};
/// Of a post that was measured.
[[nodiscard]] InsertionPlaces places_of(const plan::InsertionCheck& check);

}  // namespace kerfmark::report
