#include "steps.hpp"

#include <algorithm>
#include <string_view>

#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_sheets.hpp"
#include "step_list.hpp"
#include "true_scale.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Material;
using plan::Verdict;

bool marks_by_mock_up(const Subject& subject) {
  const auto by_mock_up = sheet_of(subject.job.kind).marks_by_mock_up;
  return by_mock_up != nullptr && by_mock_up(subject.now);
}

// All that can be read or marked only on the whole bicycle comes before anything is taken out.
void before_stripping(Steps& steps, const Subject& subject) {
  steps.own(Task::note_state, "step.note_state");
  steps.add(Task::measure_whole, "step.measure_twice");
  if (marks_by_mock_up(subject)) {
    steps.add(Task::mark_mock_up, "step.mock_up",
              {{"gap", report::lengths_to_mark(subject.telling()).gap}});
  }
}

void strip(Steps& steps, const Subject& subject) {
  const auto take_out = sheet_of(subject.job.kind).take_out;
  const text::Sentence sentence =
      take_out != nullptr ? take_out(subject) : subject.own("step.take_out");
  steps.add(Task::strip, std::string(sentence.key()));
  steps.add(Task::measure_bench, "step.measure_bench");
}

void mark_out(Steps& steps, const Subject& subject) {
  const plan::Plan& plan = subject.plan;
  const report::LengthsToMark marks = report::lengths_to_mark(subject.telling());
  if (marks_by_mock_up(subject)) {
    steps.add(Task::tape, "step.tape_below_mark");
  } else {
    steps.own(Task::tape, "step.tape");
  }
  const SawMark saw{marks, report::where_to_saw(subject.telling()),
                    report::safer_way(*plan.line, subject.words())};
  if (const auto own = sheet_of(subject.job.kind).mark; own == nullptr) {
    mark_length(steps, saw);
  } else {
    own(steps, subject, saw);
  }
  if (has_wrap(subject.job)) {
    steps.own(Task::mark, "step.line_by_wrap");
  } else {
    steps.own(Task::mark, "step.line_by_square");
  }
}

void before_the_saw(Steps& steps, const Subject& subject) {
  if (const auto own = sheet_of(subject.job.kind).before_the_saw; own != nullptr) {
    own(steps, subject);
  }
}

// Of two ends the second is not touched before the first is known to be right.
void measure_left(Steps& steps, const Subject& subject) {
  if (plan::kind_of_part(subject.job.kind).ends > 1) {
    steps.add(Task::measure_left, "step.second_end");
  }
  steps.own(Task::measure_left, "step.measure_left");
}

void saw_carbon(Steps& steps, const Subject& subject) {
  before_the_saw(steps, subject);
  steps.add(Task::clamp, "step.guide_carbon");
  steps.add(Task::protect, "step.protect_carbon");
  steps.add(Task::saw, "step.saw_carbon");
  steps.add(Task::deburr, "step.sand");
  steps.add(Task::wipe, "step.slurry");
  steps.add(Task::inspect, "step.inspect_carbon");
  measure_left(steps, subject);
  steps.add(Task::seal, "step.seal");
}

void saw_metal(Steps& steps, const Subject& subject) {
  before_the_saw(steps, subject);
  steps.add(Task::clamp, "step.guide_metal");
  steps.add(Task::protect, "step.protect_metal");
  steps.add(Task::saw, "step.saw_metal");
  steps.add(Task::deburr, "step.file");
  steps.add(Task::wipe, "step.chips");
  steps.add(Task::inspect, "step.inspect_metal");
  measure_left(steps, subject);
}

void assemble_and_record(Steps& steps, const Subject& subject) {
  sheet_of(subject.job.kind).assemble(steps, subject);
  steps.add_those_of_the_shop();
  steps.add(Task::record, "step.record");
}

void mark_anew(Steps& steps, const Subject& subject) {
  if (subject.now.new_mark()) {
    steps.add(Task::mark_anew, "step.mark_anew",
              {{"above", report::lengths_to_mark(subject.telling()).mark_up}});
  }
}

std::vector<BenchStep> steps_of_cut(const Subject& subject) {
  Steps steps(subject);
  steps.add(Task::read, "step.maker_first");
  before_stripping(steps, subject);
  strip(steps, subject);
  mark_out(steps, subject);
  if (const auto own = sheet_of(subject.job.kind).saw; own != nullptr) {
    own(steps, subject);
  } else if (is_carbon(subject)) {
    saw_carbon(steps, subject);
  } else {
    saw_metal(steps, subject);
  }
  mark_anew(steps, subject);
  assemble_and_record(steps, subject);
  return steps.take();
}

std::vector<BenchStep> steps_of_keep(const Subject& subject) {
  Steps steps(subject);
  if (!subject.now.is_after()) {
    steps.own(Task::read, "step.leave");
  }
  steps.add(Task::read, "step.maker_first");
  mark_anew(steps, subject);
  assemble_and_record(steps, subject);
  return steps.take();
}

std::string_view scrap(Verdict verdict) {
  return verdict == Verdict::cut    ? "note.scrap_cut"
         : verdict == Verdict::keep ? "note.scrap_keep"
                                    : "note.scrap_no_answer";
}

}  // namespace

bool is_carbon(const Subject& subject) {
  return subject.job.part.material.value_or(Material::carbon) == Material::carbon;
}

std::string in_mm(const Subject& subject, plan::Length length) {
  return report::mm(length, subject.words());
}

std::string reckoned_mm(const Subject& subject, plan::Length length) {
  return report::with_unit(report::one_decimal(length.in_mm(), subject.words()),
                           measure::Dimension::length, subject.words());
}

void mark_length(Steps& steps, const SawMark& saw) {
  steps.own(
      Task::mark, "step.mark",
      {{"left", saw.marks.left}, {"off", saw.marks.cut}, {"saw_at", saw.saw_at}, {"way", saw.way}});
}

bool needs_bike_whole(Task task) {
  switch (task) {
    case Task::note_state:
    case Task::measure_whole:
    case Task::mark_mock_up:
    case Task::check:
    case Task::preload:
    case Task::torque:
    case Task::try_out:
      return true;
    case Task::read:
    case Task::strip:
    case Task::measure_bench:
    case Task::tape:
    case Task::mark:
    case Task::clamp:
    case Task::protect:
    case Task::saw:
    case Task::deburr:
    case Task::wipe:
    case Task::inspect:
    case Task::measure_left:
    case Task::seal:
    case Task::mark_anew:
    case Task::set_star_nut:
    case Task::clean_frame:
    case Task::try_dry:
    case Task::fit_hang:
    case Task::assemble:
    case Task::set_expander:
    case Task::wheel_in:
    case Task::of_the_shop:
    case Task::record:
      return false;
  }
  return false;
}

std::vector<BenchStep> bench_steps(const Subject& subject) {
  if (subject.now.verdict == Verdict::cut) {
    return steps_of_cut(subject);
  }
  return plan::is_yes(subject.now.verdict) ? steps_of_keep(subject) : std::vector<BenchStep>{};
}

std::vector<SafetyNote> safety_notes(const Subject& subject) {
  const text::Words& words = subject.words();
  const Verdict verdict = subject.now.verdict;
  std::vector<SafetyNote> notes;
  notes.push_back({Signal::warning, words.say(subject.own("note.part"))});
  if (verdict == Verdict::cut) {
    notes.push_back(
        {Signal::caution, words.say(is_carbon(subject) ? "note.dust_carbon" : "note.dust_metal")});
  }
  notes.push_back(
      {Signal::notice, words.say(subject.now.is_after() ? "note.after_cut" : scrap(verdict))});
  for (const std::string& note : subject.options.shop.notes) {
    notes.push_back({{}, text::harmless(note)});
  }
  return notes;
}

std::string signal_word(Signal signal, const text::Words& words) {
  switch (signal) {
    case Signal::warning:
      return "⚠ " + words.say("note.word_warning");
    case Signal::caution:
      return "⚠ " + words.say("note.word_caution");
    case Signal::notice:
      return words.say("note.word_notice");  // no alert symbol: nobody gets hurt
  }
  return {};
}

std::vector<BenchStep> sign_off(const Subject& subject) {
  const text::Words& words = subject.words();
  std::vector<BenchStep> boxes = {{words.say("step.measured_by")}, {words.say("step.checked_by")}};
  if (subject.now.verdict == Verdict::cut) {
    boxes.push_back({words.say("step.cut_by")});
  }
  boxes.push_back({words.say("step.date")});
  return boxes;
}

std::vector<BenchStep> results(const Subject& subject) {
  const text::Words& words = subject.words();
  const Verdict verdict = subject.now.verdict;
  std::vector<BenchStep> boxes;
  const auto box = [&](text::Sentence key) {
    boxes.push_back({words.say(key), std::string(millimetre)});
  };
  if (verdict == Verdict::cut) {
    box("step.length_left");
    box("step.offcut");
  }
  if (plan::is_yes(verdict)) {
    box(subject.own("step.confirmed"));
  }
  return boxes;
}

}  // namespace kerfmark::sheet
