#include "steps.hpp"

#include "kerfmark/report/wording.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Job;
using plan::Kind;
using plan::Material;
using plan::Plan;
using plan::Verdict;
using report::mm;

// A part of which nobody says what it is made of is handled as carbon: the more careful way.
bool is_carbon(const Job& job) { return job.part.material == Material::carbon; }

bool is_post(const Job& job) { return job.kind == Kind::seatpost; }

std::string take_out(const Job& job) {
  return is_post(job) ? "Battery, wires, plugs and saddle out; post out of the frame."
                      : "Wires, plugs, stem, fork, expander or star nut out of the way; keep every "
                        "ring in its order.";
}

std::string gap_of(const Plan& plan) {
  return plan.steerer->gap ? report::one_decimal(plan.steerer->gap->in_mm()) : std::string();
}

std::string mark_from_both_ends(const Job& job, const Plan& plan) {
  const std::string off = mm(plan.at);
  const std::string agree = "The marks must agree within 1 mm; if not, stop and measure again.";
  if (is_post(job)) {
    return "On the tape, mark from both ends: " + mm(*plan.remaining) +
           " down from the rail clamp centre, " + off + " up from the lower end. " + agree;
  }
  const std::string below =
      plan.remaining ? mm(*plan.remaining) + " up from the crown race seat and " : std::string();
  const std::string mock_up =
      plan.steerer->gap ? "Build the stack dry and snug, mark the steerer at its top, take it off: "
                          "the line lies " +
                              gap_of(plan) + " mm below that. "
                        : std::string();
  return "On the tape, mark " + below + off + " down from the top. " + mock_up + agree;
}

void saw_carbon(std::vector<BenchStep>& steps, const Job& job) {
  steps.push_back(
      {"Put it in a guide of its diameter, tape or rubber between. No clamp on bare carbon."});
  steps.push_back({"Mask (FFP3 or P100), goggles and gloves on."});
  steps.push_back(
      {"Cut wet, fine-tooth or grit blade, kerf on the waste side; turn the part. Last fibres "
       "without force." +
       std::string(is_post(job) ? "" : " Never a pipe cutter.")});
  steps.push_back(
      {"Sand wet from outside inward; break the edge: no edge may hurt (ISO 4210-2, 4.2)."});
  steps.push_back({"Seal the end where the maker says so."});
  steps.push_back({"Wipe up and bag the slurry. Never blow, never sweep dry."});
}

void saw_metal(std::vector<BenchStep>& steps) {
  steps.push_back({"Put it in a saw guide or soft jaws that fit; do not squeeze it out of round."});
  steps.push_back({"Goggles and gloves on."});
  steps.push_back(
      {"Cut with a fine-tooth metal blade, kerf on the waste side; turn the part. Finish without "
       "force."});
  steps.push_back(
      {"File flat and square; deburr inside and outside: no edge may hurt (ISO 4210-2, 4.2)."});
  steps.push_back({"Wipe every chip out of the part; keep chips off bearings and contacts."});
}

std::string inspect(const Job& job) {
  return is_carbon(job)
             ? "Inspect under a lamp: no split, no loose fibre, no soft spot. In doubt, scrap it."
             : "Inspect under a lamp: no crack, no dent, still round. In doubt, scrap it.";
}

std::string paste(const Job& job) {
  return is_carbon(job) ? "Carbon paste or grease only as the maker says."
                        : "Grease or paste only as the maker says.";
}

void assemble_post(std::vector<BenchStep>& steps, const Job& job) {
  steps.push_back({"Post back in. " + paste(job) + " Bolts to the maker's torque:", "N·m"});
}

void confirm_post(std::vector<BenchStep>& steps, const Plan& plan) {
  steps.push_back(
      {"Confirm the insertion: post in, saddle at its highest, tape at the collar edge, post out, "
       "measure tape to lower end; planned " +
           report::one_decimal(plan.seatpost->insertion.highest.in_mm()) +
           " mm. The line that counts must be inside the frame.",
       "mm"});
  if (plan.seatpost->probed) {
    steps.push_back({"Saddle at its lowest: the post must not touch the blockage."});
  }
}

// The stem's bolts come last: they hold what the cap has preloaded.
void assemble_steerer(std::vector<BenchStep>& steps, const Job& job, const Plan& plan) {
  steps.push_back({"Fork, rings and stem back in their order. " + paste(job)});
  steps.push_back(
      {"Confirm the gap, stack pressed down: from its top down to the end of the steerer" +
           (plan.steerer->gap ? "; planned " + gap_of(plan) + " mm." : "."),
       "mm"});
  if (is_carbon(job)) {
    steps.push_back(
        {"Expander in, behind the whole clamp; never a star nut. To its maker's torque:", "N·m"});
  } else {
    steps.push_back({"Star nut or expander in, well below the end, so that the cap can pull."});
  }
  steps.push_back(
      {"Cap on, preload: nothing knocks, the bar turns freely. Then the stem's bolts to "
       "the maker's torque:",
       "N·m"});
  steps.push_back({"Front brake on, push: no play."});
}

std::vector<BenchStep> steps_of_cut(const Job& job, const Plan& plan) {
  std::vector<BenchStep> steps;
  steps.push_back({take_out(job)});
  steps.push_back({"Measure twice: fill in the table. Too far apart: stop, no cut."});
  steps.push_back({"Wrap tape tight round the part where the line will be."});
  steps.push_back({mark_from_both_ends(job, plan) + " Draw one line round; shade the waste side."});
  if (is_carbon(job)) {
    saw_carbon(steps, job);
  } else {
    saw_metal(steps);
  }
  steps.push_back({inspect(job) + " Measure what is left and the offcut: boxes below."});
  if (plan.seatpost && plan.seatpost->new_mark) {
    steps.push_back({"Re-mark: new line " + mm(plan.seatpost->new_mark->from_lower_end) +
                     " above the new lower end, with tape or paint; never scratch. The old mark is "
                     "void: cover it."});
  }
  if (is_post(job)) {
    confirm_post(steps, plan);
    assemble_post(steps, job);
  } else {
    assemble_steerer(steps, job, plan);
  }
  steps.push_back({"Record below, sign, file this sheet with the job."});
  return steps;
}

std::vector<BenchStep> steps_of_keep(const Job& job, const Plan& plan) {
  std::vector<BenchStep> steps;
  if (is_post(job)) {
    steps.push_back({"Leave it whole: nothing is sawn off this post."});
    confirm_post(steps, plan);
    assemble_post(steps, job);
  } else {
    steps.push_back({"Leave it whole: nothing is sawn off this steerer."});
    assemble_steerer(steps, job, plan);
  }
  steps.push_back({"Record below, sign, file this sheet with the job."});
  return steps;
}

std::string warning(const Job& job) {
  return is_post(job)
             ? "Too little post in the frame breaks post or frame and throws the rider: death or "
               "serious injury. Confirm the insertion before the first ride and at each new saddle "
               "height."
             : "A stem that grips too little steerer, or a damaged steerer, can come apart: no "
               "steering, death or serious injury. Confirm gap and preload before the first ride.";
}

std::string dust(const Job& job) {
  return is_carbon(job) ? "Carbon dust itches, irritates eyes and lungs and conducts electricity. "
                          "Cut wet, masked and gloved; keep it off batteries, plugs and motors."
                        : "Chips and fresh edges cut skin and eyes, and chips conduct electricity. "
                          "Goggles and gloves; keep chips off batteries, plugs and motors.";
}

std::string scrap(Verdict verdict) {
  switch (verdict) {
    case Verdict::cut:
      return "A part that is cut too short is scrap, and no tool makes it longer. Measure twice, "
             "mark twice, cut once.";
    case Verdict::keep:
      return "What is sawn without need is insertion lost for good. This sheet asks for no cut.";
    case Verdict::hold:
    case Verdict::reject:
      return "Sawn now, the part is scrap. Nothing is cut by this sheet: settle what it asks, then "
             "plan again and print a new one.";
  }
  return {};
}

}  // namespace

std::vector<BenchStep> bench_steps(const Job& job, const Plan& plan) {
  switch (plan.verdict) {
    case Verdict::cut:
      return steps_of_cut(job, plan);
    case Verdict::keep:
      return steps_of_keep(job, plan);
    case Verdict::hold:
    case Verdict::reject:
      return {};
  }
  return {};
}

std::vector<SafetyNote> safety_notes(const Job& job, Verdict verdict) {
  std::vector<SafetyNote> notes;
  notes.push_back({Signal::warning, warning(job)});
  if (verdict == Verdict::cut) {
    notes.push_back({Signal::caution, dust(job)});
  }
  notes.push_back({Signal::notice, scrap(verdict)});
  return notes;
}

std::vector<BenchStep> sign_off(Kind kind, Verdict verdict) {
  std::vector<BenchStep> boxes = {{"Measured by"}, {"Checked by"}};
  if (verdict == Verdict::cut) {
    boxes.push_back({"Cut by"});
  }
  boxes.push_back({"Date"});
  if (verdict == Verdict::cut) {
    boxes.push_back({"Length left", "mm"});
    boxes.push_back({"Offcut", "mm"});
  } else if (verdict == Verdict::keep) {
    boxes.push_back({kind == Kind::seatpost ? "Insertion" : "Gap", "mm"});
  }
  return boxes;
}

}  // namespace kerfmark::sheet
