#include "steps.hpp"

#include <algorithm>
#include <initializer_list>
#include <string_view>

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

/// The steps of one sheet as they are found.
class Steps {
 public:
  explicit Steps(const Subject& subject) : subject_(subject) {}

  void add(std::string_view key, std::initializer_list<Filling> fillings = {}) {
    steps_.push_back({subject_.words().say(key, fillings)});
  }
  /// With a box for a figure.
  void ask(std::string_view unit, std::string_view key,
           std::initializer_list<Filling> fillings = {}) {
    steps_.push_back({subject_.words().say(key, fillings), std::string(unit)});
  }
  void add_those_of_the_shop() {
    for (const std::string& step : subject_.options.shop.steps) {
      steps_.push_back({text::harmless(step)});
    }
  }

  [[nodiscard]] std::vector<BenchStep> take() { return std::move(steps_); }

 private:
  const Subject& subject_;
  std::vector<BenchStep> steps_;
};

void mark_out(Steps& steps, const Subject& subject) {
  const plan::Plan& plan = subject.plan;
  const std::string off = in_mm(subject, plan.at);
  if (is_post(subject)) {
    steps.add("step.tape");
    steps.add("step.mark_post", {{"left", in_mm(subject, *plan.remaining)}, {"off", off}});
  } else {
    if (plan.steerer->gap) {
      steps.add("step.mock_up", {{"gap", reckoned_mm(subject, *plan.steerer->gap)}});
    }
    steps.add("step.tape");
    if (plan.remaining) {
      steps.add("step.mark_steerer", {{"left", in_mm(subject, *plan.remaining)}, {"off", off}});
    } else {
      steps.add("step.mark_steerer_top", {{"off", off}});
    }
  }
  steps.add(has_wrap(subject.job) ? "step.line_by_wrap" : "step.line_by_square");
}

void saw_carbon(Steps& steps) {
  steps.add("step.guide_carbon");
  steps.add("step.protect_carbon");
  steps.add("step.saw_carbon");
  steps.add("step.sand");
  steps.add("step.seal");
  steps.add("step.slurry");
  steps.add("step.inspect_carbon");
}

void saw_metal(Steps& steps) {
  steps.add("step.guide_metal");
  steps.add("step.protect_metal");
  steps.add("step.saw_metal");
  steps.add("step.file");
  steps.add("step.chips");
  steps.add("step.inspect_metal");
}

// Tried dry: a post with paste on it is not pulled out again to look at a line.
void assemble_post(Steps& steps, const Subject& subject) {
  const plan::Job& job = subject.job;
  steps.add("step.dry_fit_post");
  if (job.post.hang && job.post.hang->nominal.in_mm() > 0) {
    steps.add("step.hang", {{"hang", in_mm(subject, job.post.hang->nominal)}});
  }
  steps.ask(newton_metre,
            is_carbon(subject) ? "step.assemble_post_carbon" : "step.assemble_post_metal");
  steps.ask(millimetre, "step.confirm_post",
            {{"insertion", reckoned_mm(subject, subject.plan.seatpost->insertion.height)}});
}

// The stem's bolts come last: they hold what the cap has preloaded.
void assemble_steerer(Steps& steps, const Subject& subject) {
  const bool carbon = is_carbon(subject);
  steps.add(carbon ? "step.assemble_steerer_carbon" : "step.assemble_steerer_metal");
  if (subject.plan.steerer->gap) {
    steps.ask(millimetre, "step.confirm_gap",
              {{"gap", reckoned_mm(subject, *subject.plan.steerer->gap)}});
  }
  if (carbon) {
    steps.ask(newton_metre, "step.expander");
  } else {
    steps.add("step.star_nut");
  }
  steps.ask(newton_metre, "step.preload");
  steps.add("step.brake");
}

void assemble_and_record(Steps& steps, const Subject& subject) {
  if (is_post(subject)) {
    assemble_post(steps, subject);
  } else {
    assemble_steerer(steps, subject);
  }
  steps.add_those_of_the_shop();
  steps.add("step.record");
}

void mark_anew(Steps& steps, const Subject& subject) {
  if (subject.plan.seatpost && subject.plan.seatpost->new_mark) {
    steps.add("step.mark_anew",
              {{"above", in_mm(subject, subject.plan.seatpost->new_mark->from_lower_end)}});
  }
}

std::vector<BenchStep> steps_of_cut(const Subject& subject) {
  Steps steps(subject);
  steps.add("step.maker_first");
  steps.add(is_post(subject) ? "step.take_out_post" : "step.take_out_steerer");
  steps.add("step.measure_twice");
  mark_out(steps, subject);
  if (is_carbon(subject)) {
    saw_carbon(steps);
  } else {
    saw_metal(steps);
  }
  steps.add("step.measure_left");
  mark_anew(steps, subject);
  assemble_and_record(steps, subject);
  return steps.take();
}

std::vector<BenchStep> steps_of_keep(const Subject& subject) {
  Steps steps(subject);
  if (!subject.plan.after) {
    steps.add(is_post(subject) ? "step.leave_post" : "step.leave_steerer");
  }
  steps.add("step.maker_first");
  mark_anew(steps, subject);
  assemble_and_record(steps, subject);
  return steps.take();
}

std::string_view scrap(Verdict verdict) {
  switch (verdict) {
    case Verdict::cut:
      return "note.scrap_cut";
    case Verdict::keep:
      return "note.scrap_keep";
    case Verdict::hold:
    case Verdict::reject:
      return "note.scrap_no_answer";
  }
  return {};
}

}  // namespace

std::vector<BenchStep> bench_steps(const Subject& subject) {
  switch (subject.plan.verdict) {
    case Verdict::cut:
      return steps_of_cut(subject);
    case Verdict::keep:
      return steps_of_keep(subject);
    case Verdict::hold:
    case Verdict::reject:
      return {};
  }
  return {};
}

std::vector<SafetyNote> safety_notes(const Subject& subject) {
  const text::Words& words = subject.words();
  const Verdict verdict = subject.plan.verdict;
  std::vector<SafetyNote> notes;
  notes.push_back(
      {Signal::warning, words.say(is_post(subject) ? "note.insertion" : "note.steerer")});
  if (verdict == Verdict::cut) {
    notes.push_back(
        {Signal::caution, words.say(is_carbon(subject) ? "note.dust_carbon" : "note.dust_metal")});
  }
  notes.push_back(
      {Signal::notice, words.say(subject.plan.after ? "note.after_cut" : scrap(verdict))});
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
  if (subject.plan.verdict == Verdict::cut) {
    boxes.push_back({words.say("step.cut_by")});
  }
  boxes.push_back({words.say("step.date")});
  return boxes;
}

std::vector<BenchStep> results(const Subject& subject) {
  const text::Words& words = subject.words();
  const Verdict verdict = subject.plan.verdict;
  std::vector<BenchStep> boxes;
  const auto box = [&](std::string_view key) {
    boxes.push_back({words.say(key), std::string(millimetre)});
  };
  if (verdict == Verdict::cut) {
    box("step.length_left");
    box("step.offcut");
  }
  if (plan::is_yes(verdict)) {
    box(is_post(subject) ? "step.insertion" : "step.gap");
  }
  return boxes;
}

}  // namespace kerfmark::sheet
