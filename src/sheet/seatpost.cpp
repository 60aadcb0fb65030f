#include "seatpost.hpp"

#include "kerfmark/report/wording.hpp"
#include "kind_sheets.hpp"

namespace kerfmark::sheet {
namespace {

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

}  // namespace

constinit const KindSheet seatpost_sheet = {
    .kind = plan::Kind::seatpost,
    .elevation = seatpost_elevation,
    .sketch = seatpost_sketch,
    .diameter =
        [](const plan::Job& job) {
          const bool round = job.post.section == plan::Section::round && job.post.diameter;
          return round ? std::optional(job.post.diameter->nominal) : std::nullopt;
        },
    .assemble = assemble_post,
};

}  // namespace kerfmark::sheet
