#include "handlebar.hpp"

#include "kerfmark/report/wording.hpp"
#include "kind_sheets.hpp"

namespace kerfmark::sheet {
namespace {

// From the middle, as far as that is known to be there, and from each end.
void mark_both_ends(Steps& steps, const Subject& subject, const SawMark& saw) {
  const plan::HandlebarFigures& bar = *subject.now.handlebar;
  const plan::Length half = 0.5 * bar.width;
  steps.add(Task::mark, bar.left ? "step.mark_handlebar_sides" : "step.mark_handlebar",
            {{"half", reckoned_mm(subject, bar.left.value_or(half))},
             {"half_right", reckoned_mm(subject, bar.right.value_or(half))},
             {"left", saw.marks.left},
             {"off", saw.marks.cut},
             {"saw_at", saw.saw_at},
             {"way", saw.way}});
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

std::vector<SumFigure> sum_of_both_ends(const Subject& subject, const std::string& left) {
  const plan::Plan& plan = subject.plan;
  const std::string offcut =
      planned(subject, report::mm(subject.now.at - plan.kerf, subject.words()));
  return {{"", "width_left", 1.35, "", left},
          {"+", "offcut_left", 1.35, "", offcut},
          {"+", "offcut_right", 1.35, "", offcut},
          {"+", "kerfs", 1.1, report::plain(2.0 * plan.kerf.in_mm(), subject.words())},
          {"=", "sum", 1.05},
          {"−", "original", 1,
           report::plain(subject.now.handlebar->width_uncut.in_mm(), subject.words())},
          {"=", "difference", 1.1}};
}

}  // namespace

constinit const KindSheet handlebar_sheet = {
    .kind = plan::Kind::handlebar,
    .elevation = handlebar_elevation,
    .sketch = handlebar_sketch,
    .diameter =
        [](const plan::Job& job) {
          const auto& given = job.handlebar.diameter;
          return given ? std::optional(given->nominal) : std::nullopt;
        },
    .assemble = assemble_handlebar,
    .mark = mark_both_ends,
    .before_the_saw = [](Steps& steps,
                         const Subject&) { steps.add(Task::mark, "step.one_end_first"); },
    .sum = sum_of_both_ends,
};

}  // namespace kerfmark::sheet
