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

/// What is done to part and bicycle in a step: the order of the work is a rule about these, however
/// a step is worded.
enum class Task {
  read,           ///< instructions, or what the sheet asks for
  note_state,     ///< how the bicycle stands now
  measure_whole,  ///< second readings of what can be read only with the bicycle whole
  mark_mock_up,   ///< the stack on the uncut steerer, marked where it ends
  strip,          ///< the part comes out; the bicycle is not whole from here on
  measure_bench,  ///< second readings of the rest
  tape,           ///< where the saw line will be
  mark,           ///< the saw line
  clamp,          ///< the part held for the saw
  protect,        ///< mask, goggles, gloves
  saw,
  deburr,  ///< and smooth
  wipe,    ///< dust or chips off, inside and out, and dry
  inspect,
  measure_left,  ///< what is left and the offcut
  seal,
  mark_anew,     ///< the new minimum-insertion line
  set_star_nut,  ///< on the bench
  clean_frame,   ///< seat tube, slot and collar edge
  try_dry,
  fit_hang,  ///< what hangs in the post
  assemble,  ///< the part goes back in: the bicycle is whole again
  check,     ///< insertion or gap
  set_expander,
  wheel_in,  ///< with the brake
  preload,
  torque,   ///< of the bolts that hold the part
  try_out,  ///< bearings, with the brake held
  of_the_shop,
  record,
};

/// Whether it can be done only while the part is in the bicycle.
[[nodiscard]] bool needs_bike_whole(Task task);

struct BenchStep {
  std::string text;
  std::string write_in = {};  ///< the unit beside a box to write in; empty: no box
  Task task = Task::read;
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
