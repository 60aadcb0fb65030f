#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kerfmark/text/words.hpp"
#include "subject.hpp"

/// What the sheet says to the bench and not of the plan: steps, notes on safety, sign-off. They are
/// chosen by the kind of part, its material and the verdict; their sentences stand under [step] and
/// [note] in the files of the languages, the figures in them are the plan's, and the shop's own
/// come after ours.
namespace kerfmark::sheet {

struct BenchStep {
  std::string text;
  std::string write_in = {};  ///< the unit beside a box to write in; empty: no box
};

/// Of a cut or of a part that is left whole; a hold or reject has none. The last is the record, the
/// shop's own steps stand before it.
[[nodiscard]] std::vector<BenchStep> bench_steps(const Subject& subject);

/// Signal words as ANSI Z535.4-2007, 4.14, has them: what a warning is about could end in death or
/// serious injury, a caution in a minor one, a notice in none.
enum class Signal { warning, caution, notice };

struct SafetyNote {
  std::optional<Signal> signal;  ///< empty: a note of the shop's own
  std::string text;
};

/// Ours, the gravest first, then the shop's.
[[nodiscard]] std::vector<SafetyNote> safety_notes(const Subject& subject);

/// The word with the alert symbol where somebody could get hurt: "⚠ WARNING", "NOTICE".
[[nodiscard]] std::string signal_word(Signal signal, const text::Words& words);

/// Boxes for names and the date, in their order.
[[nodiscard]] std::vector<BenchStep> sign_off(const Subject& subject);

/// Boxes for what was measured in the end, with their units, in their order: after a cut what is
/// left and the offcut, and the gap of a steerer; of a part left whole insertion or gap.
[[nodiscard]] std::vector<BenchStep> results(const Subject& subject);

}  // namespace kerfmark::sheet
