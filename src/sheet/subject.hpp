#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/sheet/sheet.hpp"

namespace kerfmark::sheet {

/// What all pages of one sheet are about.
struct Subject {
  const plan::Job& job;
  const plan::Plan& plan;
  const plan::Judgement& now;  ///< what the sheet is about: before the cut, or after it
  const SheetOptions& options;
  report::Statement says;
  std::vector<std::string> lacking;  ///< characters of the job that cannot be printed

  [[nodiscard]] const text::Words& words() const { return options.words; }
  [[nodiscard]] report::Telling telling() const { return {job, plan, options.words}; }
  [[nodiscard]] bool is_cut() const { return now.verdict == plan::Verdict::cut; }
  /// A sentence of the kind of part that the sheet is about.
  [[nodiscard]] text::Sentence own(report::KindSentence sentence) const {
    return sentence.of(job.kind);
  }
  /// Of the part at that moment; where a cut one has not been measured again, as it was before.
  [[nodiscard]] const plan::Maybe<plan::Length>& length() const {
    return now.is_after() && job.as_cut.length ? job.as_cut.length : job.length();
  }
};

}  // namespace kerfmark::sheet
