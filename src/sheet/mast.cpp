#include "mast.hpp"

#include <algorithm>

#include "kerfmark/report/wording.hpp"
#include "kind_sheets.hpp"

namespace kerfmark::sheet {
namespace {

void before_the_saw(Steps& steps, const Subject& subject) {
  const auto& above = subject.now.mast->first_cut_above;
  steps.add(Task::mark, above ? "step.first_line" : "step.one_cut_only",
            {{"above", above ? in_mm(subject, *above) : std::string()}});
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

// What comes off in two cuts and what the saw took are sums.
std::vector<SumFigure> sum_of_two_cuts(const Subject& subject, const std::string& left) {
  if (!subject.now.mast->first_cut_above) {
    return {};
  }
  const plan::Length kerfs = 2.0 * subject.plan.kerf;
  return {{"", "remaining", 1.7, "", left},
          {"+", "offcuts", 1.6, "",
           planned(subject, report::mm(subject.now.at - kerfs, subject.words()))},
          {"+", "kerfs", 1.1, report::plain(kerfs.in_mm(), subject.words())},
          {"=", "sum", 1.05},
          {"−", "original", 1, original_of(subject)},
          {"=", "difference", 1.15}};
}

}  // namespace

constinit const KindSheet mast_sheet = {
    .kind = plan::Kind::mast,
    .elevation = mast_elevation,
    .sketch = mast_sketch,
    .diameter =
        [](const plan::Job& job) {
          const bool round = job.mast.section == plan::Section::round && job.mast.diameter;
          return round ? std::optional(job.mast.diameter->nominal) : std::nullopt;
        },
    .assemble = assemble_mast,
    .saw = saw_mast,
    .sum = sum_of_two_cuts,
};

}  // namespace kerfmark::sheet
