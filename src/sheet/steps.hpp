#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/plan.hpp"

/// The words of the sheet that belong to the bench and not to the plan: steps, notes on safety,
/// sign-off. They are chosen by the kind of part, its material and the verdict; figures are the
/// plan's.
namespace kerfmark::sheet {

struct BenchStep {
  std::string text;
  std::string write_in = {};  ///< the unit or word beside a box to write in; empty: no box
};

/// Of a cut or of a part that is left whole; a hold or reject has none.
[[nodiscard]] std::vector<BenchStep> bench_steps(const plan::Job& job, const plan::Plan& plan);

/// Signal words as ANSI Z535.4 has them: a warning could end in death or serious injury, a caution
/// in a minor injury, a notice in no injury.
enum class Signal { warning, caution, notice };

struct SafetyNote {
  Signal signal = Signal::notice;
  std::string text;
};

[[nodiscard]] std::vector<SafetyNote> safety_notes(const plan::Job& job, plan::Verdict verdict);

/// Boxes for names and results, in their order.
[[nodiscard]] std::vector<BenchStep> sign_off(plan::Kind kind, plan::Verdict verdict);

}  // namespace kerfmark::sheet
