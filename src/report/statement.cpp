#include "kerfmark/report/statement.hpp"

#include <algorithm>
#include <optional>

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
bool concluded(const Plan& plan) {
  return plan.verdict == Verdict::cut || plan.verdict == Verdict::keep;
}

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

const JudgedLimit& tightest(const Plan& plan) {
  return *std::ranges::min_element(plan.limits, {}, [](const JudgedLimit& l) {
    return l.dimension == measure::Dimension::length ? l.at.margin - l.at.guard : 1e9;
  });
}

std::string because_of_cut(const Job& job, const Plan& plan) {
  std::string text;
  if (const JudgedLimit* lower = governing(plan, Sense::helps);
      lower != nullptr && lower->uncut.status != Status::holds) {
    text = "Uncut, " + lower->id() + " is missed by " +
           one_decimal(-lower->uncut.margin, Rounding::up) + " mm: it asks for " +
           what(*lower, job) + ". ";
  }
  if (const JudgedLimit* upper = governing(plan, Sense::hurts)) {
    text += "After the cut every limit holds; the next is " + upper->id() + ", with " +
            spare(upper->at, "mm") + " to spare beyond its doubt.";
  }
  return text;
}

std::string because_of_reject(const Job& job, const Plan& plan) {
  std::string broken;
  for (const JudgedLimit& limit : plan.limits) {
    const plan::Standing& s = standing(limit, plan);
    const bool counts = limit.row().sense != Sense::helps || plan.wanted;
    if (plan::is_hard(limit.row().origin) && s.status == Status::broken && counts) {
      broken += (broken.empty() ? "" : " ") + limit.id() + " asks for " + what(limit, job) + ": " +
                one_decimal(-s.margin, Rounding::up) + " " + std::string(unit_of(limit)) +
                " is missing.";
    }
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
      s.headline = "Every limit holds with the " + words.part + " as it is: no cut is needed.";
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
      s.headline = plan.wanted ? std::string("The wanted cut breaks a limit.")
                               : "No cut can make this " + words.part + " fit as the job has it.";
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

std::string span(const std::optional<plan::Span>& span) {
  if (!span) {
    return "none";
  }
  const auto lo = span->lo ? one_decimal(span->lo->in_mm(), Rounding::up) : std::string();
  const auto hi = span->hi ? one_decimal(span->hi->in_mm(), Rounding::down) : std::string();
  if (lo.empty()) {
    return "up to " + hi + " mm";
  }
  return hi.empty() ? lo + " mm and up" : lo + " to " + hi + " mm";
}

std::string window(const Plan& plan) {
  return plan.window ? span(plan::Span{plan.window->lo, plan.window->hi})
                     : std::string("none: no cut keeps every limit");
}

std::string new_line(const Plan& plan) {
  const auto& mark = plan.seatpost->new_mark;
  return mark ? mm(mark->from_lower_end) + " above the new lower end, " + mm(mark->from_rails) +
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
  std::string text = span(figures.uncut_fit->length);
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
    add(figures, "Left", mm(*plan.remaining) + ", rail clamp centre to new lower end");
  }
  add(figures, "Cuts that hold", window(plan));
}

void add_post_after_cut(const Plan& plan, std::vector<Figure>& figures) {
  const plan::SeatpostFigures& post = *plan.seatpost;
  add_cut(plan, figures);
  add(figures, "New mark", new_line(plan));
  add(figures, "Insertion after", at_heights(post.insertion));
  add(figures, "Saddle can go", span(post.saddle_range_cut));
}

void add_post(const Plan& plan, Statement& s) {
  const plan::SeatpostFigures& post = *plan.seatpost;
  add(s.figures, "Post as it is", mm(*plan.remaining + plan.at));
  add(s.figures, "Extension", at_heights(post.extension));
  add(s.figures, "Insertion uncut", at_heights(post.insertion_uncut));
  add(s.figures, "Scale at collar", scale(post));
  if (plan.verdict == Verdict::cut) {
    add_post_after_cut(plan, s.figures);
  } else {
    add(s.figures, "Saddle can go", span(post.saddle_range_uncut));
  }
  add(s.figures, "Fits uncut", uncut_fit(post));
  if (!concluded(plan) && plan.at.in_mm() > 0.0) {
    add_post_after_cut(plan, s.if_settled);
  }
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
          ", with crown race and bearings pressed home and the stack snug by hand; all ways must "
          "meet before you saw");
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
  return gap.in_mm() < 0.0 ? one_decimal(-gap.in_mm()) +
                                 " mm the wrong way: the steerer stands proud of the stack"
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
  if (!concluded(plan) && plan.at.in_mm() > 0.0) {
    add_steerer_line(plan, s.if_settled);
  }
}

void add_figures(const Job& job, const Plan& plan, Statement& s) {
  s.if_settled_title = plan.verdict == Verdict::reject
                           ? "If the doubt is settled and what is broken is mended, the figures "
                             "would give"
                           : "If the doubt is settled, the figures would give";
  if (plan.seatpost) {
    add_post(plan, s);
  } else {
    add_steerer(job, plan, s);
  }
  if (plan.verdict == Verdict::keep && plan.window && plan.window->hi) {
    add(s.figures, "Room to spare",
        one_decimal(plan.window->hi->in_mm(), Rounding::down) +
            " mm could come off without breaking a limit; there is no need to");
  }
}

LimitLine line_of(const JudgedLimit& limit, const Job& job, const Plan& plan) {
  const plan::Standing& here = standing(limit, plan);
  const double has = judged_at_cut(plan) ? limit.has : limit.has_uncut;
  LimitLine line;
  line.id = limit.id();
  line.bound =
      (limit.row().bound == plan::Bound::at_least ? "min " : "max ") + one_decimal(limit.needs);
  line.has = one_decimal(has);
  line.margin = one_decimal(here.margin, Rounding::down);
  line.doubt = one_decimal(here.guard, Rounding::up);
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
  s.next.push_back({"The line must be the same from below, from above and by mock-up.",
                    "Mark it each way; if they differ, find out why before you saw.", false});
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
  for (const plan::Remedy& remedy : plan.remedies) {
    s.next.push_back({"", what_to_do(remedy, plan, job)});
  }
  if (plan.verdict == Verdict::hold && stock_fits) {
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
  add_limits(job, plan, s);
  add_next(job, plan, s);
  add_cautions(job, plan, s);
  return s;
}

}  // namespace kerfmark::report
