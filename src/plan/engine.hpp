#pragma once

#include <optional>
#include <vector>

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/plan/plan.hpp"

/// The decision on one cut, whatever is cut: limits that are linear in the cut go in, window,
/// planned cut and verdict come out. Knows nothing of seatposts or steerers.
namespace kerfmark::plan {

/// One limit uncut: has ≥ needs or has ≤ needs, as its row says. A cut c changes the margin by
/// s·c, s being the row's slope.
struct Limit {
  Rule rule;
  measure::Amount has;
  measure::Amount needs;
  std::size_t number = 0;

  [[nodiscard]] const RuleRow& row() const { return row_of(rule); }
  [[nodiscard]] measure::Amount margin() const;  ///< uncut; positive is good
};

struct DecisionInput {
  const measure::Readings& readings;
  double coverage = 0.0;
  bool twice = false;
  std::vector<Limit> limits;
  Length kerf, step;
  std::optional<Length> wanted;
  std::optional<Length> preferred;        ///< empty: the window's lower end
  bool cutting_closed = false;            ///< by the maker, or by the build of the part
  bool ask_maker = false;                 ///< carbon whose maker has not been asked
  std::vector<Hold> contradictions = {};  ///< routes that disagree
  std::vector<Hold> unknowns = {};
  std::vector<Hold> unknown_if_cut = {};  ///< what nobody needs to know of a part left whole
  std::vector<measure::ReadingIndex> of_later = {};  ///< readings that say nothing yet
};

/// Everything of the plan that does not depend on the kind of part.
[[nodiscard]] Plan decide(const DecisionInput& question);

/// Limits of a part as it stands, without any cut.
[[nodiscard]] std::vector<JudgedLimit> judge_as_it_stands(const std::vector<Limit>& limits,
                                                          const measure::Readings& readings,
                                                          double coverage);

/// A remedy for each reading that makes a twentieth of the doubt or more, largest first.
[[nodiscard]] std::vector<Remedy> remedies_by_share(RemedyKind kind, const measure::Slopes& slopes,
                                                    const measure::Readings& readings);

/// Whether a reading can be taken no more.
using IsGone = bool (*)(const measure::Reading&);

/// The same for one limit that is in doubt, with what measuring each of them better would bring;
/// where none of them settles it, first what all together do, or nothing but that no measuring can.
[[nodiscard]] std::vector<Remedy> better_readings(const measure::Slopes& slopes,
                                                  const measure::Readings& readings,
                                                  double coverage, double margin,
                                                  IsGone is_gone = nullptr);

/// The values whose readings contradict each other, each as a hold.
[[nodiscard]] std::vector<Hold> contradicting_readings(const measure::Readings& readings,
                                                       double coverage);

/// The values, each as a hold, that were read only once and have doubt and a share in one of these
/// margins; the saw is no reading, and a part that was chosen for the job is not at hand.
[[nodiscard]] std::vector<Hold> second_readings_missing(const std::vector<measure::Slopes>& margins,
                                                        const measure::Readings& readings);

/// The margin of a limit with the saw's doubt in it, as it stands at a cut above zero.
[[nodiscard]] measure::Slopes slopes_with_saw(const measure::Slopes& slopes, double slope);

/// By how much the cut would have to change for a margin of that slope to change by so much.
[[nodiscard]] double as_change_of_cut(double margin, double slope);

}  // namespace kerfmark::plan
