#include "kerfmark/report/inches.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

using plan::Length;

// The finest marks of a common inch rule (common practice).
constexpr int marks_an_inch = 32;
constexpr double mm_a_mark = measure::mm_per_inch / marks_an_inch;
// A length that is a whole number of marks stays one, whatever its last binary digits.
constexpr double slack_mm = 1e-6;

double mm_of(int marks) { return marks * mm_a_mark; }

/// What a length to mark may be, in millimetres.
struct Room {
  double least, most;
};

/// Lengths in both units; millimetres alone where the job is metric or no mark of the rule will do.
class Marked {
 public:
  Marked(bool inches, const text::Words& words) : inches_(inches), words_(words) {}

  [[nodiscard]] std::optional<int> marks(double mm, Room room) const {
    return inches_ ? thirty_seconds(mm, room.least, room.most) : std::nullopt;
  }
  [[nodiscard]] std::string text(std::string in_mm, std::optional<int> marks) const {
    return marks ? words_.say("language.with_inches", {{"figure", std::move(in_mm)},
                                                       {"inches", inches_text(*marks, words_)}})
                 : std::move(in_mm);
  }

 private:
  bool inches_;
  const text::Words& words_;
};

// The cuts that hold, least cut included; a window that is open above ends where the part does.
Room cuts_that_hold(const plan::Plan& plan) {
  const double least = plan.kerf.in_mm() + plan::least_beyond_kerf_mm;
  const double lo = std::max(plan.window->lo.in_mm(), least);
  const double all = plan.before.remaining ? (*plan.before.remaining + plan.before.at).in_mm()
                                           : plan.before.at.in_mm();
  return {lo, plan.window->hi ? plan.window->hi->in_mm() : all};
}

// How much further up the new line may go before the highest saddle would draw the post above it.
double room_above_line(const plan::Judgement& now) {
  double room = now.remaining->in_mm();
  for (const plan::JudgedLimit& limit : now.limits) {
    if (limit.rule == plan::Rule::mark || limit.rule == plan::Rule::post_minimum) {
      room = std::min(room, limit.at.margin - limit.at.guard);
    }
  }
  return room;
}

// A line too low is a danger, one too high asks for more than need be: it is rounded up, and from
// above down, from whichever end of the post comes out if one marks in inches or in millimetres.
void add_new_mark(const Telling& telling, std::optional<int> left, const Marked& marked,
                  LengthsToMark& out) {
  const auto& [job, plan, now, words] = telling;
  const auto mark = now.new_mark();
  if (!mark || mark->from_rails <= Length{}) {
    return;
  }
  const double up = mark->from_lower_end.in_mm();
  const double room = std::max(0.0, room_above_line(now));
  const double in_mm = now.remaining->in_mm();
  const double in_inches = left ? mm_of(*left) : in_mm;
  const double highest_end = std::min(in_mm, in_inches);
  const double lowest_end = std::max(in_mm, in_inches);
  out.mark_up = marked.text(mm(mark->from_lower_end, words), marked.marks(up, {up, up + room}));
  out.mark_down =
      marked.text(mm(mark->from_rails, words),
                  marked.marks(highest_end - up, {lowest_end - up - room, highest_end - up}));
}

}  // namespace

bool in_inches(const plan::Job& job) {
  return std::ranges::any_of(job.readings, [](const measure::Reading& reading) {
    return !reading.inches.empty() && reading.half_width_base > 0.0;
  });
}

std::string as_written(const plan::Measured<Length>& value, const plan::Job& job,
                       const text::Words& words) {
  const std::string written =
      value.reading ? text::harmless(job.readings[*value.reading].inches) : std::string();
  return written.empty()
             ? mm(value.nominal, words)
             : words.say("language.with_mm",
                         {{"inches", written},
                          {"figure", rounded_mm(value.nominal.in_mm(), Rounding::nearest, words)}});
}

std::optional<int> thirty_seconds(double wanted_mm, double least_mm, double most_mm) {
  const double marks = wanted_mm / mm_a_mark;
  const int below = static_cast<int>(std::floor(marks + slack_mm / mm_a_mark));
  const bool exact = std::abs(mm_of(below) - wanted_mm) <= slack_mm;
  std::optional<int> found;
  for (const int one : {below, exact ? below : below + 1}) {
    const double at = mm_of(one);
    const bool harmless = one > 0 && at >= least_mm - slack_mm && at <= most_mm + slack_mm;
    const bool nearer = !found || std::abs(at - wanted_mm) < std::abs(mm_of(*found) - wanted_mm);
    if (harmless && nearer) {
      found = one;
    }
  }
  return found;
}

std::string inches_text(int thirty_seconds, const text::Words& words) {
  const int whole = thirty_seconds / marks_an_inch;
  const int rest = thirty_seconds % marks_an_inch;
  const int common = std::gcd(rest, marks_an_inch);
  std::string figure = whole > 0 || rest == 0 ? std::to_string(whole) : "";
  if (rest != 0) {
    figure += (figure.empty() ? "" : " ") + std::to_string(rest / common) + "/" +
              std::to_string(marks_an_inch / common);
  }
  return words.say("language.inches", {{"figure", figure}});
}

LengthsToMark lengths_to_mark(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const bool by_window = plan.window && !now.is_after();
  const Marked marked(in_inches(job) && by_window, words);
  const double at = now.at.in_mm();
  const Room cuts = by_window ? cuts_that_hold(plan) : Room{at, at};
  LengthsToMark out;
  out.cut = marked.text(mm(now.at, words), marked.marks(at, cuts));
  std::optional<int> left;
  if (now.remaining) {
    const double ends = plan::kind_of_part(job.kind).ends;
    const double whole = now.remaining->in_mm() + ends * at;
    left =
        marked.marks(now.remaining->in_mm(), {whole - ends * cuts.most, whole - ends * cuts.least});
    out.left = marked.text(mm(*now.remaining, words), left);
  }
  add_new_mark(telling, left, marked, out);
  if (now.gap()) {
    const double gap = now.gap()->in_mm();
    out.gap = marked.text(rounded_mm(gap, Rounding::nearest, words),
                          marked.marks(gap, {gap + cuts.least - at, gap + cuts.most - at}));
  }
  return out;
}

}  // namespace kerfmark::report
