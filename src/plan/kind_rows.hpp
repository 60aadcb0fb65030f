#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "engine.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/plan/plan.hpp"

/// The one table of the kinds of part, as far as they are planned. Each row stands in the kind's
/// own file.
namespace kerfmark::plan {

/// What is advised of a part of this kind besides what mends its limits (remedies.cpp).
struct KindMending {
  /// The job to try things on.
  Job (*tried_on)(const Job& job) = nullptr;
  /// Moves come after readings once more: a saddle height is another bicycle's fit, while rings
  /// are surer than any reading.
  bool moves_last = false;
  /// Where another cut mends a limit of a reject, that is said and no more.
  bool another_cut_will_do = true;
  std::optional<RemedyKind> no_window = std::nullopt;    ///< too narrow or none
  std::optional<RemedyKind> stuck_hold = std::nullopt;   ///< nothing else to do about one
  std::optional<RemedyKind> stuck = std::nullopt;        ///< a reject with nothing else to do
  std::optional<RemedyKind> reject_last = std::nullopt;  ///< of every reject
  /// What holds the saddle, where its height is in the way and another one may be had.
  std::optional<RemedyKind> other_head = std::nullopt;
  /// Of a reject, before what mends the limits that are broken.
  std::vector<Remedy> (*reject_first)(const Judgement& before,
                                      const std::vector<const JudgedLimit*>& broken) = nullptr;
  /// Of an unfit part; null: what mends its limits.
  std::vector<Remedy> (*unfit)(const Judgement& after) = nullptr;
};

struct KindRow {
  Kind kind;
  KindOfPart part;
  /// But for what moves and other parts can do.
  Plan (*plan)(const Job& job);
  /// The same of a part once it is cut.
  Judgement (*after)(const Job& job, const Judgement& before);
  /// For other values of its readings: what the plan chose once, the route to a depth or a gap, is
  /// kept. They stand in the order of Judgement::limits.
  std::vector<Limit> (*limits)(const Job& job, const Judgement& before);
  /// Before the cut.
  const Maybe<Length>& (*length)(const Job& job);
  KindMending mending;
  /// See complete() in kind_of_part.hpp; null where nothing is left to fill in.
  std::optional<std::string_view> (*complete)(Job& job, Length caliper_half_width) = nullptr;
  /// Saddle heights that a table of sizes tells; null where it tells none.
  std::optional<Span> (*heights_of_size)(const Judgement& before) = nullptr;
  /// What holds the saddle; null where nothing does.
  const Maybe<Length>& (*setback)(const Job& job) = nullptr;
  /// Where the part is the frame, nobody cuts it whose maker has not been asked, whatever it is
  /// made of: nothing can be exchanged.
  bool is_the_frame = false;
};

extern const KindRow seatpost_row;
extern const KindRow steerer_row;
extern const KindRow handlebar_row;
extern const KindRow mast_row;

[[nodiscard]] const KindRow& row_of(Kind kind);

[[nodiscard]] inline Job as_it_is(const Job& job) { return job; }

}  // namespace kerfmark::plan
