#pragma once

#include <optional>
#include <string>
#include <vector>

#include "block.hpp"
#include "kerfmark/report/inches.hpp"
#include "page.hpp"
#include "sketch.hpp"
#include "step_list.hpp"
#include "subject.hpp"

/// What the sheet and the form have of each kind of part in a way of its own: one row a kind, in
/// the kind's own file. Sentences that differ by kind alone are KindSentences.
namespace kerfmark::sheet {

/// The line to saw at, as it is to be marked.
struct SawMark {
  report::LengthsToMark marks;
  std::string saw_at;  ///< which mark counts
  std::string way;     ///< to which side a slip is harmless
};
void mark_length(Steps& steps, const SawMark& saw);

/// A figure of the sum after the cut: the sign before it, what it is (a sentence of
/// [sheet.work]), and a box where it is not known, with what was planned below.
struct SumFigure {
  std::string_view sign;
  std::string_view key;
  double part;  ///< of the row's width
  std::string known = {};
  std::string planned = {};
};
/// "planned: 363 mm"
[[nodiscard]] std::string planned(const Subject& subject, const std::string& figure);
[[nodiscard]] std::string original_of(const Subject& subject);

struct KindSheet {
  plan::Kind kind;
  /// The part before the cut and after, to a stated scale: see elevation.hpp.
  Block (*elevation)(const Subject& subject, Room room);
  /// Where each measure is taken, for the blank form.
  Sketch (*sketch)(const Letters& letters);
  /// Of a round part; empty where it is not known.
  std::optional<plan::Length> (*diameter)(const plan::Job& job);
  /// From the sawn part to the bicycle that is ready to ride.
  void (*assemble)(Steps& steps, const Subject& subject);

  // Null where it is done as with most parts.
  bool (*marks_by_mock_up)(const plan::Judgement& now) = nullptr;
  text::Sentence (*take_out)(const Subject& subject) = nullptr;
  void (*mark)(Steps& steps, const Subject& subject, const SawMark& saw) = nullptr;
  void (*before_the_saw)(Steps& steps, const Subject& subject) = nullptr;
  void (*saw)(Steps& steps, const Subject& subject) = nullptr;
  /// original = remaining + offcut + kerf; `left` is what was planned to be left. Empty: as of
  /// one cut.
  std::vector<SumFigure> (*sum)(const Subject& subject, const std::string& left) = nullptr;
};

extern const KindSheet seatpost_sheet;
extern const KindSheet steerer_sheet;
extern const KindSheet handlebar_sheet;
extern const KindSheet mast_sheet;

[[nodiscard]] const KindSheet& sheet_of(plan::Kind kind);

}  // namespace kerfmark::sheet
