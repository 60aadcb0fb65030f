#pragma once

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/kind_sentence.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::report {

/// What is told: a job and its plan, at one moment, in one language.
struct Telling {
  const plan::Job& job;
  const plan::Plan& plan;
  const plan::Judgement& now;  ///< one of the plan's two moments
  const text::Words& words;

  /// Of the moment that is known last.
  Telling(const plan::Job& of_job, const plan::Plan& of_plan, const text::Words& in_words)
      : Telling(of_job, of_plan, of_plan.now(), in_words) {}

  /// A sentence of the kind of part that is told of.
  [[nodiscard]] text::Sentence own(KindSentence sentence) const { return sentence.of(job.kind); }

  /// The same before the cut.
  [[nodiscard]] Telling before() const { return {job, plan, plan.before, words}; }

 private:
  Telling(const plan::Job& of_job, const plan::Plan& of_plan, const plan::Judgement& moment,
          const text::Words& in_words)
      : job(of_job), plan(of_plan), now(moment), words(in_words) {}
};

}  // namespace kerfmark::report
