#include "steerer.hpp"

#include "kerfmark/report/wording.hpp"
#include "kind_sheets.hpp"

namespace kerfmark::sheet {
namespace {

// A star nut this far below the top leaves the cap room above it, and the cap's bolt, 30 mm or more
// long, still goes right through it: common practice.
constexpr double star_nut_depth_mm = 15;

// What takes the cap's bolt. An expander where the job names one, and in carbon always.
bool takes_expander(const Subject& subject) {
  return is_carbon(subject) || subject.job.expander.to.has_value();
}
bool may_take_star_nut(const Subject& subject) { return !takes_expander(subject); }
bool is_aluminium(const Subject& subject) {
  return subject.job.part.material == plan::Material::aluminium;
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

// The top of the stack can be marked only on a steerer that stands above it.
bool marks_by_mock_up(const plan::Judgement& now) {
  const auto& steerer = now.steerer;
  return steerer->gap && steerer->gap_uncut && steerer->gap_uncut->in_mm() < 0;
}

void mark(Steps& steps, const Subject& subject, const SawMark& saw) {
  if (subject.now.remaining) {
    mark_length(steps, saw);
    return;
  }
  steps.add(Task::mark, "step.mark_steerer_top",
            {{"off", saw.marks.cut}, {"saw_at", saw.saw_at}, {"way", saw.way}});
}

// A metal steerer may have a star nut in it.
text::Sentence take_out(const Subject& subject) {
  return is_carbon(subject) ? text::Sentence("step.take_out_steerer")
                            : text::Sentence("step.take_out_steerer_metal");
}

}  // namespace

constinit const KindSheet steerer_sheet = {
    .kind = plan::Kind::steerer,
    .elevation = steerer_elevation,
    .sketch = steerer_sketch,
    .diameter =
        [](const plan::Job& job) {
          const auto& given = job.steerer.diameter;
          return given ? std::optional(given->nominal) : std::nullopt;
        },
    .assemble = assemble_steerer,
    .marks_by_mock_up = marks_by_mock_up,
    .take_out = take_out,
    .mark = mark,
};

}  // namespace kerfmark::sheet
