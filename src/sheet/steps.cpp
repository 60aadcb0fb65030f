#include "steps.hpp"

#include <algorithm>
#include <initializer_list>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "true_scale.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Kind;
using plan::Material;
using plan::Verdict;
using text::Filling;

// Units are written alike in every language.
constexpr std::string_view millimetre = "mm";
constexpr std::string_view newton_metre = "N·m";

bool is_post(const Subject& subject) { return subject.job.kind == Kind::seatpost; }
bool is_bar(const Subject& subject) { return subject.job.kind == Kind::handlebar; }
bool is_mast(const Subject& subject) { return subject.job.kind == Kind::mast; }

// A sentence that every kind has, each in its own words.
std::string by_kind(const Subject& subject, std::string_view key) {
  const std::string_view kind = is_post(subject) ? "post" : plan::word(subject.job.kind);
  return "step." + std::string(key) + std::string(kind);
}

// A part of which nobody says what it is made of is handled as carbon: the more careful way.
bool is_carbon(const Subject& subject) {
  return subject.job.part.material.value_or(Material::carbon) == Material::carbon;
}

// A figure of the job or of the cut's grid, as it was given.
std::string in_mm(const Subject& subject, plan::Length length) {
  return report::mm(length, subject.words());
}

// A figure that comes of readings.
std::string reckoned_mm(const Subject& subject, plan::Length length) {
  return report::with_unit(report::one_decimal(length.in_mm(), subject.words()),
                           measure::Dimension::length, subject.words());
}

// A star nut this far below the top leaves the cap room above it, and the cap's bolt, 30 mm or more
// long, still goes right through it: common practice.
constexpr double star_nut_depth_mm = 15;

/// The steps of one sheet as they are found.
class Steps {
 public:
  explicit Steps(const Subject& subject) : subject_(subject) {}

  void add(Task task, const std::string& key, std::initializer_list<Filling> fillings = {}) {
    steps_.push_back({.text = subject_.words().say(key, fillings), .task = task});
  }
  /// With a box for a figure.
  void ask(Task task, std::string_view unit, std::string_view key,
           std::initializer_list<Filling> fillings = {}) {
    steps_.push_back({subject_.words().say(key, fillings), std::string(unit), task});
  }
  void add_those_of_the_shop() {
    for (const std::string& step : subject_.options.shop.steps) {
      steps_.push_back({.text = text::harmless(step), .task = Task::of_the_shop});
    }
  }

  [[nodiscard]] std::vector<BenchStep> take() { return std::move(steps_); }

 private:
  const Subject& subject_;
  std::vector<BenchStep> steps_;
};

// The top of the stack can be marked only on a steerer that stands above it.
bool marks_by_mock_up(const Subject& subject) {
  const auto& steerer = subject.now.steerer;
  return steerer && steerer->gap && steerer->gap_uncut && steerer->gap_uncut->in_mm() < 0;
}

// What takes the cap's bolt. An expander where the job names one, and in carbon always.
bool takes_expander(const Subject& subject) {
  return is_carbon(subject) || subject.job.expander.to.has_value();
}
bool may_take_star_nut(const Subject& subject) { return !takes_expander(subject); }
bool is_aluminium(const Subject& subject) {
  return subject.job.part.material == Material::aluminium;
}

// All that can be read or marked only on the whole bicycle comes before anything is taken out.
void before_stripping(Steps& steps, const Subject& subject) {
  steps.add(Task::note_state, by_kind(subject, "note_state_"));
  steps.add(Task::measure_whole, "step.measure_twice");
  if (marks_by_mock_up(subject)) {
    steps.add(Task::mark_mock_up, "step.mock_up",
              {{"gap", report::lengths_to_mark(subject.telling()).gap}});
  }
}

void strip(Steps& steps, const Subject& subject) {
  const bool has_star_nut = subject.job.kind == Kind::steerer && !is_carbon(subject);
  steps.add(Task::strip, by_kind(subject, "take_out_") + (has_star_nut ? "_metal" : ""));
  steps.add(Task::measure_bench, "step.measure_bench");
}

// From the middle, as far as that is known to be there, and from each end.
void mark_both_ends(Steps& steps, const Subject& subject, const report::LengthsToMark& marks,
                    const std::string& saw_at, const std::string& way) {
  const plan::HandlebarFigures& bar = *subject.now.handlebar;
  const plan::Length half = 0.5 * bar.width;
  steps.add(Task::mark, bar.left ? "step.mark_handlebar_sides" : "step.mark_handlebar",
            {{"half", reckoned_mm(subject, bar.left.value_or(half))},
             {"half_right", reckoned_mm(subject, bar.right.value_or(half))},
             {"left", marks.left},
             {"off", marks.cut},
             {"saw_at", saw_at},
             {"way", way}});
}

void mark_out(Steps& steps, const Subject& subject) {
  const plan::Plan& plan = subject.plan;
  const report::LengthsToMark marks = report::lengths_to_mark(subject.telling());
  steps.add(Task::tape, is_bar(subject)             ? "step.tape_ends"
                        : marks_by_mock_up(subject) ? "step.tape_below_mark"
                                                    : "step.tape");
  const std::string saw_at = report::where_to_saw(subject.telling());
  const std::string way = report::safer_way(*plan.line, subject.words());
  if (is_bar(subject)) {
    mark_both_ends(steps, subject, marks, saw_at, way);
  } else if (!subject.now.remaining) {
    steps.add(Task::mark, "step.mark_steerer_top",
              {{"off", marks.cut}, {"saw_at", saw_at}, {"way", way}});
  } else {
    steps.add(Task::mark, by_kind(subject, "mark_"),
              {{"left", marks.left}, {"off", marks.cut}, {"saw_at", saw_at}, {"way", way}});
  }
  const bool wrap = has_wrap(subject.job);
  if (is_bar(subject)) {
    steps.add(Task::mark, wrap ? "step.lines_by_wrap" : "step.lines_by_square");
  } else {
    steps.add(Task::mark, wrap ? "step.line_by_wrap" : "step.line_by_square");
  }
}

// Of two ends the second is not touched before the first is known to be right.
void before_the_saw(Steps& steps, const Subject& subject) {
  if (is_bar(subject)) {
    steps.add(Task::mark, "step.one_end_first");
  } else if (is_mast(subject)) {
    const auto& above = subject.now.mast->first_cut_above;
    steps.add(Task::mark, above ? "step.first_line" : "step.one_cut_only",
              {{"above", above ? in_mm(subject, *above) : std::string()}});
  }
}

// Nobody turns a frame in the saw, and what falls into it stays there.
void saw_mast(Steps& steps, const Subject& subject) {
  const bool twice = subject.now.mast->first_cut_above.has_value();
  const bool carbon = is_carbon(subject);
  before_the_saw(steps, subject);
  steps.add(Task::clamp, "step.guide_mast");
  steps.add(Task::protect, carbon ? "step.protect_carbon" : "step.protect_metal");
  steps.add(Task::saw, carbon ? "step.saw_mast_carbon" : "step.saw_mast_metal");
  if (twice) {
    steps.add(Task::try_dry, "step.try_topper");
    steps.add(Task::saw, "step.to_the_line");
  }
  steps.add(Task::deburr, carbon ? "step.sand" : "step.file");
  steps.add(Task::wipe, carbon ? "step.slurry" : "step.chips");
  steps.add(Task::inspect, carbon ? "step.inspect_carbon" : "step.inspect_metal");
  steps.add(Task::measure_left, "step.measure_left_mast");
  if (carbon) {
    steps.add(Task::seal, "step.seal");
  }
}

void measure_left(Steps& steps, const Subject& subject) {
  if (is_bar(subject)) {
    steps.add(Task::measure_left, "step.second_end");
  }
  steps.add(Task::measure_left,
            is_bar(subject) ? "step.measure_left_handlebar" : "step.measure_left");
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

// Tried dry: a post with paste on it is not pulled out again to look at a line. Insertion is
// checked while the bolts are loose, as what is too little would have to be undone.
void assemble_post(Steps& steps, const Subject& subject) {
  const plan::Job& job = subject.job;
  steps.add(Task::clean_frame, "step.clean_seat_tube");
  steps.add(Task::try_dry, "step.dry_fit_post");
  if (job.post.hang && job.post.hang->nominal.in_mm() > 0) {
    steps.add(Task::fit_hang, "step.hang", {{"hang", in_mm(subject, job.post.hang->nominal)}});
  }
  steps.add(Task::assemble,
            is_carbon(subject) ? "step.assemble_post_carbon" : "step.assemble_post_metal");
  steps.ask(Task::check, millimetre, "step.confirm_post",
            {{"insertion", reckoned_mm(subject, subject.now.seatpost->insertion.height)}});
  steps.ask(Task::torque, newton_metre, "step.torque_post");
}

// A star nut is driven in before anything stands on the steerer; an expander goes in last, behind
// the clamp. The stem's bolts come after the cap: they hold what it has preloaded.
void assemble_steerer(Steps& steps, const Subject& subject) {
  const bool carbon = is_carbon(subject);
  if (may_take_star_nut(subject)) {
    steps.add(Task::set_star_nut,
              is_aluminium(subject) ? "step.star_nut_aluminium" : "step.star_nut",
              {{"depth", in_mm(subject, measure::millimetres(star_nut_depth_mm))}});
  }
  steps.add(Task::assemble,
            carbon ? "step.assemble_steerer_carbon" : "step.assemble_steerer_metal");
  if (subject.now.steerer->gap) {
    steps.ask(Task::check, millimetre, "step.confirm_gap",
              {{"gap", reckoned_mm(subject, *subject.now.steerer->gap)}});
  }
  if (takes_expander(subject)) {
    steps.ask(Task::set_expander, newton_metre, "step.expander");
  } else if (is_aluminium(subject)) {
    steps.ask(Task::set_expander, newton_metre, "step.expander_if_any");
  }
  steps.add(Task::wheel_in, "step.wheel_in");
  steps.add(Task::preload, "step.preload");
  steps.ask(Task::torque, newton_metre, "step.torque_stem");
  steps.add(Task::try_out, "step.brake");
}

// The ends are closed before anything else: an open one is forgotten.
void assemble_handlebar(Steps& steps, const Subject& subject) {
  steps.add(Task::assemble, "step.plugs");
  steps.add(Task::assemble, "step.assemble_handlebar");
  steps.ask(Task::check, millimetre, "step.confirm_width",
            {{"width", reckoned_mm(subject, subject.now.handlebar->width)}});
  steps.ask(Task::torque, newton_metre, "step.torque_handlebar");
  steps.add(Task::try_out, "step.levers");
}

// Where the topper comes down to its stop, nothing is below it.
void assemble_mast(Steps& steps, const Subject& subject) {
  const plan::Length spacers = std::max(plan::Length{}, subject.now.mast->spacers.height);
  steps.add(Task::fit_hang, "step.inside_mast");
  steps.add(Task::assemble,
            is_carbon(subject) ? "step.assemble_mast_carbon" : "step.assemble_mast_metal");
  steps.ask(Task::check, millimetre, "step.confirm_topper",
            {{"spacers", reckoned_mm(subject, spacers)}});
  steps.ask(Task::torque, newton_metre, "step.torque_topper");
  steps.add(Task::try_out, "step.topper_holds");
}

void assemble_and_record(Steps& steps, const Subject& subject) {
  switch (subject.job.kind) {
    case Kind::seatpost:
      assemble_post(steps, subject);
      break;
    case Kind::steerer:
      assemble_steerer(steps, subject);
      break;
    case Kind::handlebar:
      assemble_handlebar(steps, subject);
      break;
    case Kind::mast:
      assemble_mast(steps, subject);
      break;
  }
  steps.add_those_of_the_shop();
  steps.add(Task::record, "step.record");
}

void mark_anew(Steps& steps, const Subject& subject) {
  if (subject.now.seatpost && subject.now.seatpost->new_mark) {
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
  if (is_mast(subject)) {
    saw_mast(steps, subject);
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
    steps.add(Task::read, by_kind(subject, "leave_"));
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
  notes.push_back(
      {Signal::warning,
       words.say(is_post(subject) ? std::string("note.insertion")
                                  : "note." + std::string(plan::word(subject.job.kind)))});
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
  const auto box = [&](std::string_view key) {
    boxes.push_back({words.say(key), std::string(millimetre)});
  };
  if (verdict == Verdict::cut) {
    box("step.length_left");
    box("step.offcut");
  }
  if (plan::is_yes(verdict)) {
    box(is_post(subject)   ? "step.insertion"
        : is_bar(subject)  ? "step.width"
        : is_mast(subject) ? "step.below_topper"
                           : "step.gap");
  }
  return boxes;
}

}  // namespace kerfmark::sheet
