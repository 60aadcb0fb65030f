#include "kerfmark/report/statement.hpp"

#include <algorithm>
#include <optional>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

using measure::Status;
using plan::Job;
using plan::JudgedLimit;
using plan::Plan;
using plan::Sense;
using plan::Verdict;

// A hold or reject says nothing about a cut outside of "if the doubt is settled".
bool concluded(const Plan& plan) { return is_yes(plan.verdict); }

bool judged_at_cut(const Plan& plan) { return concluded(plan) || plan.wanted; }

const plan::Standing& standing(const JudgedLimit& limit, const Plan& plan) {
  return judged_at_cut(plan) ? limit.at : limit.uncut;
}

std::string spare(const plan::Standing& s, std::string_view unit) {
  return one_decimal(s.margin - s.guard, Rounding::down) + " " + std::string(unit);
}

const JudgedLimit* governing(const Plan& plan, Sense sense) {
  const auto found = std::ranges::find_if(
      plan.limits, [&](const JudgedLimit& l) { return l.governs && l.row().sense == sense; });
  return found == plan.limits.end() ? nullptr : &*found;
}

// The limit with the least to spare; a post whose head was not given has none to spare on it.
const JudgedLimit& tightest(const Plan& plan) {
  constexpr double never = 1e9;  // mm, beyond any bicycle
  return *std::ranges::min_element(plan.limits, {}, [](const JudgedLimit& l) {
    const bool counts = l.dimension == measure::Dimension::length &&
                        !(l.rule == plan::Rule::head && l.needs == 0.0);
    return counts ? l.at.margin - l.at.guard : never;
  });
}

// How far a post reaches past the blockage that governs, or a steerer stands above its stack.
std::string as_it_is(const JudgedLimit& lower, const Job& job, const Plan& plan) {
  if (plan.steerer && *plan.steerer->gap_uncut < plan::Length{}) {
    return "As it is, the steerer stands " +
           one_decimal(-plan.steerer->gap_uncut->in_mm(), Rounding::up) +
           " mm proud of the stack; the cap wants it " + mm(job.cap.gap->nominal) + " below. ";
  }
  const auto blockage = std::ranges::find_if(plan.limits, [&](const JudgedLimit& l) {
    return l.rule == plan::Rule::blockage && l.number == lower.number;
  });
  if (blockage != plan.limits.end() && blockage->uncut.status == Status::broken) {
    return "As it is, the post reaches " + one_decimal(-blockage->uncut.margin, Rounding::up) +
           " mm past " + blockage_name(blockage->number, job) + ". ";
  }
  if (lower.uncut.margin >= 0.0) {
    return "As it is, " + lower.id() + " has " + one_decimal(lower.uncut.margin, Rounding::down) +
           " mm to spare, but " + one_decimal(lower.uncut.guard, Rounding::up) + " mm of doubt. ";
  }
  return "As it is, " + lower.id() + " is missed by " +
         one_decimal(-lower.uncut.margin, Rounding::up) + " mm: it asks for " + what(lower, job) +
         ". ";
}

std::string because_of_cut(const Job& job, const Plan& plan) {
  std::string text;
  if (const JudgedLimit* lower = governing(plan, Sense::helps);
      lower != nullptr && lower->uncut.status != Status::holds) {
    text = as_it_is(*lower, job, plan);
  }
  if (const JudgedLimit* upper = governing(plan, Sense::hurts)) {
    text += "After the cut every limit holds. First to be reached by a longer cut: " + upper->id() +
            ", " + spare(upper->at, "mm") + " away.";
  }
  return text;
}

std::string because_of_reject(const Job& job, const Plan& plan) {
  std::string broken;
  for (const JudgedLimit* limit : in_the_way(plan)) {
    broken += (broken.empty() ? "" : " ") + limit->id() + " asks for " + what(*limit, job) + ": " +
              one_decimal(-as_judged(*limit, plan).margin, Rounding::up) + " " +
              std::string(unit_of(*limit)) + " is missing.";
  }
  if (!broken.empty() || !plan.conflict) {
    return broken;
  }
  const JudgedLimit& lower = plan.limits[plan.conflict->lower];
  const JudgedLimit& upper = plan.limits[plan.conflict->upper];
  return lower.id() + " asks for " + what(lower, job) + ", and " + upper.id() + " asks for " +
         what(upper, job) + ": they exclude each other by " +
         one_decimal(plan.conflict->short_by.in_mm(), Rounding::up) + " mm.";
}

// How the parts of the two kinds are called.
struct Words {
  std::string part;
  std::string end;
};

Words words_for(const Plan& plan) {
  return plan.seatpost ? Words{"post", "lower end"} : Words{"steerer", "top"};
}

std::string left(const Plan& plan) {
  return plan.remaining ? mm(*plan.remaining) + " of the " + words_for(plan).part + " is left"
                        : "the gap below the cap is then " + mm(*plan.steerer->gap);
}

// A reject in one sentence: what kind of thing stands in the way.
std::string why_not(const Plan& plan) {
  const auto limits = in_the_way(plan);
  const auto broken = [&](Sense sense) {
    return std::ranges::any_of(limits,
                               [&](const JudgedLimit* l) { return l->row().sense == sense; });
  };
  const std::string part = words_for(plan).part;
  if (plan.wanted) {
    return "The wanted cut breaks a limit.";
  }
  if (broken(Sense::hurts)) {
    return "The " + part + " is too short already; a saw only makes it worse.";
  }
  if (broken(Sense::fixed)) {
    return "The " + part + " does not fit as it stands, and no saw mends that.";
  }
  return "No cut can make this " + part + " fit as it stands.";
}

void head(const Job& job, const Plan& plan, Statement& s) {
  const Words words = words_for(plan);
  switch (plan.verdict) {
    case Verdict::cut:
      s.verdict = "CUT";
      s.headline = "Cut " + mm(plan.at) + " off the " + words.end + "; " + left(plan) + ".";
      s.because = because_of_cut(job, plan);
      return;
    case Verdict::keep: {
      const JudgedLimit& next = tightest(plan);
      s.verdict = "LEAVE IT WHOLE";
      s.headline = "Every limit holds with the " + words.part + " as it is: no cut is needed." +
                   (plan.seatpost && !plan.seatpost->probed ? " Nobody has probed the tube." : "");
      s.because = "The nearest limit, " + next.id() + ", has " + spare(next.at, "mm") +
                  " to spare beyond its doubt; it asks for " + what(next, job) + ".";
      return;
    }
    case Verdict::hold:
      s.verdict = "HOLD";
      s.headline = "Do not saw yet: something must be settled first.";
      s.because = why(plan.holds.front(), plan, job);
      return;
    case Verdict::reject:
      s.verdict = "DO NOT CUT";
      s.headline = why_not(plan);
      s.because = because_of_reject(job, plan);
      return;
  }
}

void add(std::vector<Figure>& figures, std::string label, std::string value) {
  if (!value.empty()) {
    figures.push_back({std::move(label), std::move(value)});
  }
}

void add_job(const Job& job, Statement& s) {
  const plan::Paperwork& p = job.paperwork;
  add(s.job, "Job", text::harmless(p.number));
  add(s.job, "Bike", text::harmless(p.bike));
  add(s.job, "Owner", text::harmless(p.owner));
  add(s.job, "By", text::harmless(p.by));
  add(s.job, "Checked by", text::harmless(p.checked_by));
  add(s.job, "Date", text::harmless(p.date));
  std::size_t start = 0;
  while (start < p.notes.size()) {
    const std::size_t end = std::min(p.notes.find('\n', start), p.notes.size());
    add(s.job, start == 0 ? "Notes" : "", text::harmless(p.notes.substr(start, end - start)));
    start = end + 1;
  }
}

std::string at_heights(const plan::AtHeights& at) {
  const std::string here = one_decimal(at.height.in_mm()) + " mm";
  if (at.lowest == at.height && at.highest == at.height) {
    return here;
  }
  return here + " (saddle lowest " + one_decimal(at.lowest.in_mm()) + ", highest " +
         one_decimal(at.highest.in_mm()) + ")";
}

// Saddle heights, with the way they are measured.
std::string reach(const std::optional<plan::Span>& heights, const Job& job) {
  if (!heights) {
    return "none";
  }
  const auto& words = std::get<plan::ChoiceSlot>(plan::key_at("saddle.measured").slot).words;
  const auto measured = words[static_cast<std::size_t>(job.saddle.measured)];
  const bool axle = job.saddle.from == plan::HeightFrom::pedal_axle;
  return span(*heights) + ", measured \"" + std::string(measured) + "\"" +
         (axle ? " from the pedal axle" : "");
}

std::string window(const Plan& plan) {
  return plan.window ? span(plan::Span{plan.window->lo, plan.window->hi})
                     : std::string("none: no cut keeps every limit");
}

std::string new_line(const Plan& plan) {
  const auto& mark = plan.seatpost->new_mark;
  return mark && mark->from_rails > plan::Length{}
             ? mm(mark->from_lower_end) + " above the new lower end, " + mm(mark->from_rails) +
                   " below the rail clamp centre; the printed mark is void"
             : std::string();
}

std::string scale(const plan::SeatpostFigures& figures) {
  if (!figures.scale_reading) {
    return {};
  }
  const auto& at = *figures.scale_reading;
  const std::string here = one_decimal(at[1]);
  return at[0] == at[2] ? here
                        : here + " (saddle lowest " + one_decimal(at[0]) + ", highest " +
                              one_decimal(at[2]) + ")";
}

std::string uncut_fit(const plan::SeatpostFigures& figures) {
  if (!figures.uncut_fit) {
    return "none";
  }
  std::string text = "posts of " + span(figures.uncut_fit->length);
  for (std::size_t i = 0; i < figures.uncut_fit->stock.size(); ++i) {
    text += (i == 0 ? "; in stock: " : ", ") + plain(figures.uncut_fit->stock[i].in_mm());
  }
  return text;
}

void add_cut(const Plan& plan, std::vector<Figure>& figures) {
  const Words words = words_for(plan);
  add(figures, "Cut",
      mm(plan.at) + " off the " + words.end + ", the kerf of " + mm(plan.kerf) +
          " being part of it");
  if (plan.seatpost) {
    add(figures, "Left",
        *plan.remaining > plan::Length{}
            ? mm(*plan.remaining) + ", rail clamp centre to new lower end"
            : std::string("nothing: the cut is longer than the post"));
  }
  add(figures, "Cuts that hold", window(plan));
}

void add_post_after_cut(const Job& job, const Plan& plan, std::vector<Figure>& figures) {
  const plan::SeatpostFigures& post = *plan.seatpost;
  add_cut(plan, figures);
  add(figures, "New mark", new_line(plan));
  add(figures, "Insertion after", at_heights(post.insertion));
  add(figures, "Saddle heights", reach(post.saddle_range_cut, job));
}

void add_post(const Job& job, const Plan& plan, Statement& s) {
  const plan::SeatpostFigures& post = *plan.seatpost;
  add(s.figures, "Post as it is", mm(*plan.remaining + plan.at));
  add(s.figures, "Extension", at_heights(post.extension));
  add(s.figures, "Insertion uncut", at_heights(post.insertion_uncut));
  add(s.figures, "Scale at collar", scale(post));
  if (plan.verdict == Verdict::cut) {
    add_post_after_cut(job, plan, s.figures);
  } else {
    add(s.figures, "Saddle heights", reach(post.saddle_range_uncut, job));
  }
  add(s.figures, "Fits uncut", uncut_fit(post));
}

// Where the line goes, by both ways of finding it; they must meet before anybody saws.
void add_steerer_line(const Plan& plan, std::vector<Figure>& figures) {
  const plan::SteererFigures& steerer = *plan.steerer;
  add_cut(plan, figures);
  if (plan.remaining) {
    add(figures, "Line from below",
        mm(*plan.remaining) + " above the crown race seat, which is what is left");
  }
  add(figures, "Line from above", mm(plan.at) + " below the top of the steerer");
  const std::string top = steerer.above.in_mm() > 0.0 ? "the topmost ring" : "the stem";
  add(figures, "Line by mock-up",
      one_decimal(steerer.gap->in_mm()) + " mm below the top of " + top +
          ", with crown race and bearings pressed home and the stack snug by hand; " +
          (plan.remaining ? "all three" : "both") + " must meet before you saw");
  add(figures, "Gap after", one_decimal(steerer.gap->in_mm()) + " mm below the top of the stack");
}

std::string position(const plan::StemPosition& p) {
  std::string text = plain(p.below.in_mm()) + " mm below, " + plain(p.above.in_mm()) + " above";
  if (p.bar_height) {
    text += "; bar " + one_decimal(p.bar_height->in_mm()) + " mm high";
  }
  if (p.bar_reach) {
    text += ", " + one_decimal(p.bar_reach->in_mm()) + " in front";
  }
  return text;
}

std::string ring_list(const std::vector<plan::Length>& rings) {
  std::string list;
  for (const plan::Length ring : rings) {
    list += (list.empty() ? "" : " + ") + plain(ring.in_mm());
  }
  return list.empty() ? "none" : list;
}

std::string gap_in_words(plan::Length gap) {
  return gap.in_mm() < 0.0 ? one_decimal(-gap.in_mm()) + " mm proud of the stack: no gap yet"
                           : one_decimal(gap.in_mm()) + " mm below the top of the stack";
}

void add_steerer(const Job& job, const Plan& plan, Statement& s) {
  const auto bar_wished =
      job.bar.height ? std::optional(job.bar.height->nominal) : std::optional<plan::Length>{};
  const plan::SteererFigures& steerer = *plan.steerer;
  if (plan.remaining) {
    add(s.figures, "Steerer as it is", mm(*plan.remaining + plan.at));
  }
  if (steerer.gap_uncut) {
    add(s.figures, "Gap uncut",
        gap_in_words(*steerer.gap_uncut) +
            (steerer.by_mock_up ? " (by mock-up)" : " (by the parts)"));
  }
  if (plan.verdict == Verdict::cut) {
    add_steerer_line(plan, s.figures);
  }
  if (bar_wished) {
    add(s.figures, "Bar wished", mm(*bar_wished) + " high; the rings on hand come nearest with:");
  }
  if (steerer.target) {
    add(s.figures, "Stem stands", position(*steerer.target));
  }
  if (steerer.rings) {
    add(s.figures, "Rings for it",
        "below " + ring_list(steerer.rings->below) + "; above " + ring_list(steerer.rings->above));
  }
  for (std::size_t i = 0; i < steerer.positions.size(); ++i) {
    add(s.figures, i == 0 ? "Stem can stand" : "", position(steerer.positions[i]));
  }
}

void add_figures(const Job& job, const Plan& plan, Statement& s) {
  if (plan.seatpost) {
    add_post(job, plan, s);
  } else {
    add_steerer(job, plan, s);
  }
  if (plan.verdict == Verdict::keep && plan.window && plan.window->hi) {
    add(s.figures, "Room to spare",
        one_decimal(plan.window->hi->in_mm(), Rounding::down) +
            " mm could come off without breaking a limit; there is no need to");
  }
}

// What the figures would give once everything open is settled. A wanted cut that breaks a limit is
// not repeated: the cuts that hold are.
void add_if_settled(const Job& job, const Plan& plan, Statement& s) {
  const bool reject = plan.verdict == Verdict::reject;
  s.if_settled_title =
      reject ? "If the doubt is settled and nothing else changes, the figures would give"
             : "If the doubt is settled, the figures would give";
  if (concluded(plan) || plan.at.in_mm() <= 0.0) {
    return;
  }
  if (plan.wanted && reject) {
    add(s.if_settled, "Cuts that hold", window(plan));
    add(s.if_settled, "Planned instead", plan.planned ? mm(*plan.planned) : "");
  } else if (plan.seatpost) {
    add_post_after_cut(job, plan, s.if_settled);
  } else if (plan.steerer->gap) {
    add_steerer_line(plan, s.if_settled);
  }
}

LimitLine line_of(const JudgedLimit& limit, const Job& job, const Plan& plan) {
  const plan::Standing& here = standing(limit, plan);
  const double has = judged_at_cut(plan) ? limit.has : limit.has_uncut;
  LimitLine line;
  line.id = limit.id();
  line.bound =
      (limit.row().bound == plan::Bound::at_least ? "min " : "max ") + one_decimal(limit.needs);
  // At a wanted cut this is a length to cut by, and a hold or reject has none.
  const bool tells_the_cut =
      limit.rule == plan::Rule::max_cut || limit.rule == plan::Rule::min_length;
  line.has = tells_the_cut && plan.wanted && !concluded(plan) ? "-" : one_decimal(has);
  line.margin = one_decimal(here.margin, Rounding::down);
  line.doubt = plan::is_guarded(limit.row()) ? one_decimal(here.guard, Rounding::up) : "-";
  line.status = spoken(here.status);
  line.origin = word(limit.row().origin);
  line.source = limit.row().source;
  line.what = what(limit, job);
  line.governs = limit.governs;
  line.stands_out = limit.governs || here.status != Status::holds;
  return line;
}

void add_limits(const Job& job, const Plan& plan, Statement& s) {
  if (plan.verdict == Verdict::cut) {
    s.limits_title = "Limits after a cut of " + mm(plan.at);
  } else if (plan.wanted) {
    s.limits_title = "Limits at the wanted cut";
  } else {
    s.limits_title = "Limits with the " + words_for(plan).part + " uncut";
  }
  for (const JudgedLimit& limit : plan.limits) {
    s.limits.push_back(line_of(limit, job, plan));
  }
}

void add_cut_steps(const Plan& plan, Statement& s) {
  if (plan.seatpost) {
    s.next.push_back({"The printed mark tells the truth no longer.",
                      "Mark the new line where \"New mark\" says, with tape or paint; never "
                      "scratch or scribe it.",
                      false});
    return;
  }
  s.next.push_back({plan.remaining
                        ? "The line must be the same from below, from above and by mock-up."
                        : "The line must be the same from above and by mock-up.",
                    "Mark it each way; if they differ, find out why before you saw.", false});
}

// Nothing is concluded from figures that contradict each other.
bool contradicts_itself(const Plan& plan) {
  return std::ranges::any_of(plan.holds, [](const plan::Hold& hold) {
    return hold.reason == plan::HoldReason::readings_disagree ||
           hold.reason == plan::HoldReason::routes_disagree;
  });
}

void add_next(const Job& job, const Plan& plan, Statement& s) {
  const bool stock_fits =
      plan.seatpost && plan.seatpost->uncut_fit && !plan.seatpost->uncut_fit->stock.empty();
  if (plan.verdict == Verdict::cut) {
    if (stock_fits) {
      s.next.push_back({"An exchange comes before a saw.",
                        what_to_do({plan::RemedyKind::exchange_post, {}, 0.0, 0.0}, plan, job)});
    }
    s.next.push_back({"One cut, no way back.",
                      "Measure everything a second time, print the cut sheet (--sheet) and follow "
                      "its steps.",
                      false});
    add_cut_steps(plan, s);
  }
  for (const plan::Hold& hold : plan.holds) {
    const std::string reason = why(hold, plan, job);
    for (const plan::Remedy& remedy : hold.remedies) {
      s.next.push_back({reason, what_to_do(remedy, plan, job)});
    }
  }
  if (plan.verdict == Verdict::reject && plan.wanted && plan.window) {
    s.next.push_back({"", "Choose a cut that holds, or none: take saw.wanted out and plan again."});
  }
  for (const plan::Remedy& remedy : plan.remedies) {
    s.next.push_back({"", what_to_do(remedy, plan, job)});
  }
  if (plan.verdict == Verdict::hold && stock_fits && !contradicts_itself(plan)) {
    s.next.push_back({"An exchange comes before a saw.",
                      what_to_do({plan::RemedyKind::exchange_post, {}, 0.0, 0.0}, plan, job)});
  }
  if (plan.verdict == Verdict::keep && plan.steerer) {
    s.next.push_back({"",
                      "Leave it whole; set the preload with the cap, then clamp the stem to the "
                      "maker's torque.",
                      false});
  }
  if (plan.verdict == Verdict::keep && plan.seatpost) {
    s.next.push_back({"",
                      "Clamp it to the maker's torque and check the insertion once more: tape "
                      "at the collar, pull the post, measure from tape to lower end.",
                      false});
  }
}

void add_cautions(const Job& job, const Plan& plan, Statement& s) {
  const bool carbon = job.part.material == plan::Material::carbon;
  for (const plan::Caution one : plan.cautions) {
    s.cautions.push_back(caution(one));
  }
  if (plan.seatpost) {
    s.cautions.emplace_back("Never ride a post that is raised above its minimum-insertion line.");
  } else if (carbon) {
    s.cautions.emplace_back("Carbon steerer: never a star nut, never a pipe cutter.");
  }
  s.cautions.emplace_back(
      "The maker's instructions come first, then local rules. If they say otherwise, or anything "
      "is unclear, ask a qualified mechanic.");
}

}  // namespace

Statement statement_of(const Job& job, const Plan& plan) {
  Statement s;
  head(job, plan, s);
  add_job(job, s);
  add_figures(job, plan, s);
  add_if_settled(job, plan, s);
  add_limits(job, plan, s);
  add_next(job, plan, s);
  add_cautions(job, plan, s);
  return s;
}

}  // namespace kerfmark::report
