#pragma once

#include <optional>
#include <string>
#include <vector>

#include "json_line.hpp"
#include "kerfmark/report/kind_sentence.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"
#include "statement_parts.hpp"

/// What is reported of each kind of part in a way of its own: one row a kind, in the kind's own
/// file. Sentences that differ by kind alone are KindSentences.
namespace kerfmark::report {

/// Places in the sentences of remedies that one kind alone has figures for.
struct RemedyTexts {
  std::string missing;          ///< keys of parts that were not measured
  std::string width;            ///< that a rider is asked about
  std::string range, stock;     ///< of parts that would fit uncut
  std::string lo, hi, heights;  ///< saddle heights that are safe; an open end is not told
};

struct KindReport {
  plan::Kind kind;
  void (*figures)(const Telling& telling, Figures& figures);
  /// What a cut comes to that is not decided on.
  void (*figures_of_cut)(const Telling& telling, Figures& figures);
  void (*figures_after)(const Telling& telling, Figures& figures);
  /// What is to be thought of once it is clear where the cut goes.
  Step (*before_the_saw)(const Telling& telling);
  /// What is said of every such part.
  std::optional<text::Sentence> (*caution)(const plan::Job& job);
  /// How a quantity is made that this kind has; empty for any other.
  std::vector<std::string> (*made_from)(const plan::JudgedLimit& limit, const Telling& telling);
  void (*json)(JsonLine& out, const plan::Judgement& before);
  void (*json_after)(JsonLine& out, const plan::Judgement& after);
  std::string (*side_view)(const Telling& telling, Extent extent, const View& view);

  // Null where a kind has nothing of its own.
  std::string (*headline_without_length)(const Telling& telling) = nullptr;
  text::Sentence (*headline_of_keep)(const Telling& telling) = nullptr;
  text::Sentence (*when_fit)(const Telling& telling) = nullptr;
  /// What stands in the way of the part uncut; empty where that is a limit.
  std::string (*as_it_is)(const Telling& telling) = nullptr;
  /// What may do instead of a cut.
  std::optional<Step> (*instead)(const Telling& telling) = nullptr;
  std::optional<text::Sentence> (*remedy)(plan::RemedyKind kind,
                                          const plan::Judgement& now) = nullptr;
  RemedyTexts (*remedy_texts)(const plan::Remedy& remedy, const Telling& telling) = nullptr;
  std::string (*own_caution)(plan::Caution caution, const Telling& telling) = nullptr;
};

extern const KindReport seatpost_report;
extern const KindReport steerer_report;
extern const KindReport handlebar_report;
extern const KindReport mast_report;

[[nodiscard]] const KindReport& report_of(plan::Kind kind);

}  // namespace kerfmark::report
