#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "json_parts.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/cut_line.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"
#include "kind_reports.hpp"
#include "sums.hpp"
#include "views.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Length;
using plan::Quantity;
using plan::RemedyKind;
using plan::Rule;
using plan::Verdict;
using text::Sentence;

// ---- the statement ----

std::string new_line(const LengthsToMark& marks, const text::Words& words) {
  return marks.mark_up.empty() ? std::string()
                               : words.say("report.value.new_mark",
                                           {{"up", marks.mark_up}, {"down", marks.mark_down}});
}

std::string scale(const Telling& telling) {
  const auto& reading = telling.now.seatpost->scale_reading;
  if (!reading) {
    return {};
  }
  const auto at = [&](std::size_t i) { return one_decimal(reading->at(i), telling.words); };
  return reading->at(0) == reading->at(2)
             ? at(1)
             : telling.words.say("report.value.at_heights",
                                 {{"here", at(1)}, {"lowest", at(0)}, {"highest", at(2)}});
}

std::string uncut_fit(const Telling& telling) {
  const auto& fit = telling.now.seatpost->uncut_fit;
  if (!fit) {
    return telling.words.at("report.value.fits_uncut_none");
  }
  std::string stock;
  for (const plan::Length length : fit->stock) {
    stock += (stock.empty() ? "" : ", ") + plain(length.in_mm(), telling.words);
  }
  return telling.words.say(
      stock.empty() ? "report.value.fits_uncut" : "report.value.fits_uncut_in_stock",
      {{"range", span(fit->length, telling.words)}, {"stock", stock}});
}

void add_post_after_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SeatpostFigures& post = *now.seatpost;
  const LengthsToMark marks = lengths_to_mark(telling);
  add_cut(telling, figures,
          *now.remaining > plan::Length{} ? words.say("report.value.left", {{"left", marks.left}})
                                          : words.at("report.value.left_nothing"));
  figures.add("report.label.new_mark", new_line(marks, words), OnSheet::second);
  figures.add_detail("report.label.window", window(telling));
  figures.add("report.label.insertion_after", insertion_in_words(post.insertion, words));
  figures.add("report.label.saddle_heights",
              saddle_heights_in_words(post.saddle_range_cut, telling));
}

void add_post(const Telling& telling, Figures& figures) {
  const Judgement& now = telling.now;
  const plan::SeatpostFigures& post = *now.seatpost;
  const bool cut = now.verdict == Verdict::cut;
  figures.add("report.label.post_length",
              as_written(*telling.job.post.length, telling.job, telling.words),
              OnSheet::not_of_a_cut);
  figures.add("report.label.extension", extension_in_words(post.extension, telling),
              OnSheet::not_of_a_cut);
  figures.add("report.label.insertion_uncut",
              insertion_in_words(post.insertion_uncut, telling.words), !cut);
  figures.add("report.label.scale", scale(telling));
  if (cut) {
    add_post_after_cut(telling, figures);
  } else {
    figures.add("report.label.saddle_heights",
                saddle_heights_in_words(post.saddle_range_uncut, telling));
  }
  figures.add("report.label.fits_uncut", uncut_fit(telling), !cut);
}

void add_post_once_cut(const Telling& telling, Figures& figures) {
  const auto& [job, plan, now, words] = telling;
  const plan::SeatpostFigures& post = *now.seatpost;
  figures.add("report.after.label.insertion", insertion_in_words(post.insertion, words));
  // A part for the bin gets no saddle height and no line to aim at.
  if (is_scrap(now)) {
    return;
  }
  figures.add("report.after.label.saddle",
              saddle_heights_in_words(post.saddle_range_uncut, telling));
  const auto& mark = post.new_mark;
  if (mark && mark->from_rails > Length{}) {
    figures.add("report.after.label.mark",
                words.say("report.after.value.mark", {{"up", mm(mark->from_lower_end, words)},
                                                      {"down", mm(mark->from_rails, words)}}),
                OnSheet::second);
  }
}

Step before_the_saw(const Telling& telling) {
  const text::Words& words = telling.words;
  return {words.at("report.next.mark_why"),
          words.say("report.next.mark", {{"label", words.at("report.label.new_mark")}}), false};
}

Sentence headline_of_keep(const Telling& telling) {
  return telling.now.seatpost->blockage_known ? Sentence("report.headline.keep_post")
                                              : Sentence("report.headline.keep_post_unprobed");
}

Sentence when_fit(const Telling& telling) {
  return telling.now.seatpost->new_mark ? Sentence("report.after.do.fit_post")
                                        : Sentence("report.after.do.fit_post_unmarked");
}

std::optional<Step> another_post(const Telling& telling) {
  const auto& fit = telling.now.seatpost->uncut_fit;
  if (!fit || fit->stock.empty()) {
    return std::nullopt;
  }
  return Step{telling.words.at("report.next.exchange_why"),
              what_to_do({RemedyKind::exchange_post, {}, 0.0, 0.0}, telling)};
}

// ---- remedies ----

// Posts from stock before posts of a length.
Sentence of_exchange(const Judgement& now, Sentence stock, Sentence length) {
  const auto& fit = now.seatpost->uncut_fit;
  if (!fit) {
    return "report.remedy.no_length_fits";
  }
  return fit->stock.empty() ? length : stock;
}

std::optional<Sentence> remedy_of_post(RemedyKind kind, const Judgement& now) {
  if (kind == RemedyKind::exchange_post) {
    return of_exchange(now, "report.remedy.exchange_for_stock",
                       "report.remedy.exchange_for_length");
  }
  if (kind == RemedyKind::longer_post) {
    return of_exchange(now, "report.remedy.longer_from_stock", "report.remedy.longer_of_length");
  }
  return std::nullopt;
}

void add_fitting(const Telling& telling, RemedyTexts& texts) {
  const auto& [job, plan, now, words] = telling;
  const auto& fit = now.seatpost->uncut_fit;
  if (!fit) {
    return;
  }
  texts.range = span(fit->length, words);
  for (const Length length : fit->stock) {
    const std::string one = plain(length.in_mm(), words);
    texts.stock = texts.stock.empty()
                      ? one
                      : words.say("language.or", {{"one", texts.stock}, {"other", one}});
  }
}

void add_safe_heights(const Telling& telling, RemedyTexts& texts) {
  const plan::Span& range = *telling.now.seatpost->saddle_range_uncut;
  const auto end = [&](const std::optional<Length>& at, Rounding rounding) {
    return at ? rounded_mm(at->in_mm(), rounding, telling.words) : std::string();
  };
  texts.lo = end(range.lo, Rounding::up);
  texts.hi = end(range.hi, Rounding::down);
  texts.heights = saddle_heights_in_words(range, telling);
}

RemedyTexts texts_of_remedy(const plan::Remedy& remedy, const Telling& telling) {
  RemedyTexts texts;
  add_fitting(telling, texts);
  if (remedy.kind == RemedyKind::ride_within) {
    add_safe_heights(telling, texts);
  }
  return texts;
}

// ---- sums ----

std::vector<std::string> insertion_lines(const Telling& telling, End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, plan.before.seatpost->extension, end);
  const auto& I = plan.before.seatpost->insertion;
  const Length insertion = end == End::lowest ? I.lowest : I.highest;
  lines.push_back("insertion I = post.length " + value_in_words(job.post.length, words) +
                  " - cut " + plain(plan.before.at.in_mm(), words) +
                  " - E = " + exact(insertion.in_mm(), words));
  return lines;
}

std::vector<std::string> blockage_lines(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = insertion_lines(telling, End::lowest);
  lines.push_back("lowest point = I + post.hang " + value_in_words(job.post.hang, words) + " = " +
                  exact(limit.has, words));
  // A blockage needs its depth, a clearance that depth less some air.
  const auto blockage = std::ranges::find_if(plan.before.limits, [&](const JudgedLimit& l) {
    return l.rule == Rule::blockage && l.number == limit.number;
  });
  const std::string depth = " = " + exact(blockage->needs, words);
  if (plan.before.seatpost->by_mock_up == limit.number) {
    lines.push_back(
        "depth by mock-up = post.length " + value_in_words(job.post.length, words) +
        " - mock_up.exposed_bottomed " + value_in_words(job.mock_up.exposed_bottomed, words) +
        (job.mock_up.hang_fitted ? " + post.hang " + value_in_words(job.post.hang, words) : "") +
        depth);
  } else {
    lines.push_back("depth by probe, frame.blockage-" + std::to_string(limit.number) + ".depth" +
                    depth);
  }
  return lines;
}

// The extension, and for what counts from where the post is gripped, where the part that clamps
// grips it.
std::vector<std::string> extension_to_clamp(const JudgedLimit& limit, const Telling& telling,
                                            End end) {
  const auto& [job, plan, now, words] = telling;
  std::vector<std::string> lines = extension_of(telling, plan.before.seatpost->extension, end);
  if (limit.rule != Rule::head && job.frame.clamp_below->nominal > Length{}) {
    lines.push_back("has = E + frame.clamp_below " + value_in_words(job.frame.clamp_below, words) +
                    " = " + exact(limit.has, words));
  }
  return lines;
}

std::vector<std::string> made_from(const JudgedLimit& limit, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const Quantity quantity = limit.row().quantity;
  if (quantity == Quantity::lowest_point) {
    return blockage_lines(limit, telling);
  }
  if (quantity == Quantity::insertion) {
    return insertion_lines(telling, End::highest);
  }
  if (quantity == Quantity::extension_lowest) {
    return extension_to_clamp(limit, telling, End::lowest);
  }
  if (quantity == Quantity::extension_highest) {
    return extension_to_clamp(limit, telling, End::highest);
  }
  if (quantity == Quantity::play) {
    return {"difference of frame.bore " + value_in_words(job.frame.bore, words) +
            " and post.diameter " + value_in_words(job.post.diameter, words)};
  }
  return {};
}

// ---- JSON ----

void put(JsonLine& out, const std::optional<plan::NewMark>& mark) {
  if (!mark) {
    out.put(std::nullopt);
    return;
  }
  out.object([&] {
    out.field("from_lower_end", mark->from_lower_end);
    out.field("from_rails", mark->from_rails);
  });
}

void put(JsonLine& out, const std::optional<plan::UncutFit>& fit) {
  if (!fit) {
    out.put(std::nullopt);
    return;
  }
  out.object([&] {
    out.name("length_mm");
    put(out, std::optional(fit->length));
    out.name("stock_mm");
    out.list([&] {
      for (const plan::Length length : fit->stock) {
        out.put(length);
      }
    });
  });
}

void add_scale_reading(JsonLine& out, const plan::SeatpostFigures& post) {
  out.name("scale_reading");
  if (!post.scale_reading) {
    out.put(std::nullopt);
    return;
  }
  const auto& at = *post.scale_reading;
  out.object([&] {
    out.field("lowest", at[0]);
    out.field("height", at[1]);
    out.field("highest", at[2]);
  });
}

void add_seatpost(JsonLine& out, const plan::SeatpostFigures& post) {
  out.name("insertion_mm");
  put(out, post.insertion);
  out.name("extension_mm");
  put(out, post.extension);
  add_scale_reading(out, post);
  add_saddle_range(out, post.saddle_range_uncut, post.saddle_range_cut);
  out.name("uncut_fit");
  put(out, post.uncut_fit);
  out.name("new_mark_mm");
  put(out, post.new_mark);
}

void add_seatpost_after(JsonLine& out, const plan::SeatpostFigures& post) {
  out.name("insertion_mm");
  put(out, post.insertion);
  out.name("saddle_range_mm");
  put(out, post.saddle_range_uncut);
  out.name("new_mark_mm");
  put(out, post.new_mark);
}

}  // namespace

constinit const KindReport seatpost_report = {
    .kind = plan::Kind::seatpost,
    .figures = add_post,
    .figures_of_cut = add_post_after_cut,
    .figures_after = add_post_once_cut,
    .before_the_saw = before_the_saw,
    .caution = [](const Job&) -> std::optional<Sentence> {
      return Sentence("report.caution.raised_post");
    },
    .made_from = made_from,
    .json = [](JsonLine& out, const Judgement& before) { add_seatpost(out, *before.seatpost); },
    .json_after = [](JsonLine& out,
                     const Judgement& after) { add_seatpost_after(out, *after.seatpost); },
    .side_view = view_of_seatpost,
    .headline_of_keep = headline_of_keep,
    .when_fit = when_fit,
    .instead = another_post,
    .remedy = remedy_of_post,
    .remedy_texts = texts_of_remedy,
};

}  // namespace kerfmark::report
