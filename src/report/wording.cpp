#include "kerfmark/report/wording.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <span>

#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "statement_parts.hpp"

namespace kerfmark::report {
namespace {

using plan::HoldReason;
using plan::JudgedLimit;
using plan::RemedyKind;
using plan::Rule;
using text::Sentence;

// "-0.0" is no figure for people.
std::string without_minus_zero(const std::string& text) {
  const bool zero = text.find_first_not_of("-0.") == std::string::npos;
  return zero && text.starts_with('-') ? text.substr(1) : text;
}

std::string fixed(double value, int count) {
  std::array<char, 64> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, count)
                       .ptr;
  return {buffer.data(), end};
}

std::string in_language(std::string figure, const text::Words& words) {
  if (const auto point = figure.find('.'); point != std::string::npos) {
    figure.replace(point, 1, words.at("language.decimal_mark"));
  }
  return figure;
}

std::string percent(double part) { return std::to_string(std::lround(part * 100.0)) + " %"; }

std::string mm_up(double missing, const text::Words& words) {
  return rounded_mm(missing, Rounding::up, words);
}

// The sentence of a row: a table of the language file and the row's own name.
std::string key_of(std::string_view table, std::string_view row) {
  return std::string(table) + "." + std::string(row);
}

// "frame.blockage-2.depth" without its number, and the number.
struct Numbered {
  std::string bare;
  std::string number;
};

Numbered numbered(std::string_view key) {
  Numbered split;
  for (std::size_t i = 0; i < key.size(); ++i) {
    if (key[i] == '-') {
      while (i + 1 < key.size() && key[i + 1] >= '0' && key[i + 1] <= '9') {
        split.number += key[++i];
      }
    } else {
      split.bare += key[i];
    }
  }
  return split;
}

std::string_view dimension_key(measure::Dimension dimension) {
  switch (dimension) {
    case measure::Dimension::length:
      return "length";
    case measure::Dimension::angle:
      return "angle";
    case measure::Dimension::mass:
      return "mass";
    case measure::Dimension::ratio:
      return {};
  }
  return {};
}

std::string what_by_key(std::string_view key, std::string blockage, const text::Words& words) {
  return words.say(key_of("report.limit.what", key), {{"blockage", std::move(blockage)}});
}

// A post that does not fit its bore, by how much and which way.
std::string bore_misfit(std::string_view tight, std::string_view loose, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const double play = (job.frame.bore->nominal - job.post.diameter->nominal).in_mm();
  return words.say(play < 0.0 ? tight : loose,
                   {{"amount", mm(measure::millimetres(std::abs(play)), words)}});
}

// ---- remedies ----

// What a better reading would bring; a tenth of a millimetre or degree is the best to hope for
// (a caliper, common practice).
std::string_view key_of_better_reading(const plan::Remedy& remedy) {
  if (remedy.guard_now == 0.0) {
    return "report.remedy.measure_until_agreed";
  }
  return remedy.settles_within >= plan::finest_reading ? "report.remedy.measure_to_within"
                                                       : "report.remedy.measure_better";
}

// Where no measuring settles a limit: what doubt there is, is in the readings or in the saw alone.
std::string_view key_of_no_measuring(const plan::Remedy& remedy) {
  if (remedy.reading) {
    return "report.remedy.no_measuring";
  }
  return remedy.settles_within >= plan::finest_reading ? "report.remedy.no_measuring_but_saw"
                                                       : "report.remedy.no_measuring_nor_saw";
}

std::string_view key_of_question(const plan::Job& job) {
  return job.part.max_cut ? std::string_view("report.remedy.ask_maker_max_cut")
                          : KindSentence("report.remedy.ask_maker").of(job.kind).key();
}

// Rings take up a little; nobody stacks them by the handful (20 mm, common practice).
std::string_view key_of_ring(const plan::Remedy& remedy, std::string_view key) {
  constexpr double handful = 20.0;
  return remedy.amount > handful ? "report.remedy.too_many_rings" : key;
}

std::string_view key_of_measured_gap(const plan::Remedy& remedy) {
  return remedy.guard_now == 0.0 ? "report.after.do.measure_gap"
         : remedy.settles        ? "report.after.do.measure_gap_settles"
                                 : "report.after.do.measure_gap_helps";
}

// Too little insertion is mended from a height down, a lower end that rests on something from a
// height up; the other end of the range is said too.
std::string_view key_of_safe_heights(const plan::Judgement& judgement) {
  const bool down = std::ranges::any_of(judgement.limits, [](const JudgedLimit& limit) {
    const bool lowered = limit.row().sense() == plan::Sense::hurts ||
                         limit.row().family == plan::Family::lower_saddle;
    return lowered && is_hard_after(limit.row().origin) &&
           limit.at.status == measure::Status::broken;
  });
  return down ? "report.after.do.ride_down" : "report.after.do.ride_up";
}

// Remedies that are said in one sentence, whatever the case.
struct SaidAlways {
  RemedyKind kind;
  Sentence say;
};
constexpr auto said_always = std::to_array<SaidAlways>({
    {RemedyKind::measure_all, "report.remedy.measure_all"},
    {RemedyKind::check_reading, "report.remedy.check_reading"},
    {RemedyKind::measure_gap, "report.remedy.measure_gap"},
    {RemedyKind::file_or_more, "report.remedy.file_or_more"},
    {RemedyKind::read_twice, "report.remedy.read_twice"},
    {RemedyKind::compare_routes, "report.remedy.compare_routes"},
    {RemedyKind::find_mark, "report.remedy.find_mark"},
    {RemedyKind::check_diameter, "report.remedy.check_diameter"},
    {RemedyKind::respect_maker, "report.remedy.respect_maker"},
    {RemedyKind::move_above, "report.remedy.move_above"},
    {RemedyKind::move_below, "report.remedy.move_below"},
    {RemedyKind::rings_out, "report.remedy.rings_out"},
    {RemedyKind::longer_steerer, "report.remedy.longer_steerer"},
    {RemedyKind::fewer_above, "report.remedy.fewer_above"},
    {RemedyKind::lower_parts, "report.remedy.lower_parts"},
    {RemedyKind::approved_recess, "report.remedy.approved_recess"},
    {RemedyKind::longer_expander, "report.remedy.longer_expander"},
    {RemedyKind::stem_lowest_up, "report.remedy.stem_lowest_up"},
    {RemedyKind::narrow_range, "report.remedy.narrow_range"},
    {RemedyKind::stem_with_rise, "report.remedy.stem_with_rise"},
    {RemedyKind::find_the_middle, "report.remedy.find_the_middle"},
    {RemedyKind::measure_room, "report.remedy.measure_room"},
    {RemedyKind::wider_wish, "report.remedy.wider_wish"},
    {RemedyKind::narrower_wish, "report.remedy.narrower_wish"},
    {RemedyKind::narrower_controls, "report.remedy.narrower_controls"},
    {RemedyKind::other_bar, "report.remedy.other_bar"},
    {RemedyKind::check_sum, "report.after.do.check_sum"},
    {RemedyKind::look_for_loss, "report.after.do.look_for_loss"},
    {RemedyKind::gone_reading, "report.after.do.gone"},
    {RemedyKind::measure_what_is_left, "report.after.do.measure_what_is_left"},
    {RemedyKind::recall_length, "report.after.do.recall_length"},
    {RemedyKind::find_mark_and_add, "report.after.do.find_mark"},
    {RemedyKind::ask_topper_maker, "report.remedy.ask_topper_maker"},
    {RemedyKind::other_topper, "report.remedy.other_topper"},
    {RemedyKind::another_cut, "report.remedy.another_cut"},
    {RemedyKind::no_cut, "report.remedy.no_cut"},
    {RemedyKind::lower_inside, "report.remedy.lower_inside"},
    {RemedyKind::cut_again, "report.after.do.cut_again"},
    {RemedyKind::scrap, "report.after.do.scrap"},
});

// The others, and what their sentence hangs on.
struct SaidByCase {
  RemedyKind kind;
  std::string_view (*key)(const plan::Remedy&, const plan::Judgement&, const plan::Job&);
};
constexpr auto said_by_case = std::to_array<SaidByCase>({
    {RemedyKind::measure_again,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return key_of_better_reading(remedy);
     }},
    {RemedyKind::no_measuring,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return key_of_no_measuring(remedy);
     }},
    {RemedyKind::mock_up,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return remedy.settles ? "report.remedy.mock_up_settles" : "report.remedy.mock_up";
     }},
    {RemedyKind::raise_saddle,
     [](const plan::Remedy&, const plan::Judgement&, const plan::Job& job) -> std::string_view {
       return job.saddle.lowest == job.saddle.height ? "report.remedy.raise_saddle"
                                                     : "report.remedy.raise_lowest";
     }},
    {RemedyKind::lower_saddle,
     [](const plan::Remedy&, const plan::Judgement&, const plan::Job& job) -> std::string_view {
       return job.saddle.highest == job.saddle.height ? "report.remedy.lower_saddle"
                                                      : "report.remedy.lower_highest";
     }},
    {RemedyKind::ask_maker,
     [](const plan::Remedy&, const plan::Judgement&, const plan::Job& job) -> std::string_view {
       return key_of_question(job);
     }},
    {RemedyKind::other_part,
     [](const plan::Remedy&, const plan::Judgement&, const plan::Job& job) -> std::string_view {
       return KindSentence("report.remedy.other_part").of(job.kind).key();
     }},
    {RemedyKind::ring_above,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return key_of_ring(remedy, "report.remedy.ring_above");
     }},
    {RemedyKind::ring_below,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return key_of_ring(remedy, "report.remedy.ring_below");
     }},
    {RemedyKind::look_for_surplus,
     [](const plan::Remedy&, const plan::Judgement&, const plan::Job& job) -> std::string_view {
       return KindSentence("report.after.do.look_for_surplus").of(job.kind).key();
     }},
    {RemedyKind::measure_gap_again,
     [](const plan::Remedy& remedy, const plan::Judgement&, const plan::Job&) -> std::string_view {
       return key_of_measured_gap(remedy);
     }},
    {RemedyKind::ride_within,
     [](const plan::Remedy&, const plan::Judgement& judgement,
        const plan::Job&) -> std::string_view { return key_of_safe_heights(judgement); }},
});

// The sentence of a remedy.
std::string_view key_of(const plan::Remedy& remedy, const plan::Judgement& judgement,
                        const plan::Job& job) {
  const std::span<const SaidAlways> plainly(said_always);
  const auto always = std::ranges::find(plainly, remedy.kind, &SaidAlways::kind);
  if (always != plainly.end()) {
    return always->say.key();
  }
  const std::span<const SaidByCase> cases(said_by_case);
  const auto by_case = std::ranges::find(cases, remedy.kind, &SaidByCase::kind);
  if (by_case != cases.end()) {
    return by_case->key(remedy, judgement, job);
  }
  const auto of_kind = report_of(job.kind).remedy;
  const auto own = of_kind != nullptr ? of_kind(remedy.kind, judgement) : std::nullopt;
  require(own.has_value(), "a remedy without a sentence");
  return own->key();
}

// From the least to the most, rounded inwards. Nobody moves a saddle by decimetres: there the most
// is a bound, not a choice (common practice: a centimetre).
std::string amount_in_words(const plan::Remedy& remedy, const text::Words& words) {
  constexpr double a_choice = 10.0;
  const std::string least = one_decimal(remedy.amount, Rounding::up, words);
  const std::string most = one_decimal(remedy.most, Rounding::down, words);
  const std::string amount = mm_up(remedy.amount, words);
  const bool saddle = remedy.kind == RemedyKind::raise_saddle ||
                      remedy.kind == RemedyKind::lower_saddle ||
                      remedy.kind == RemedyKind::narrow_range;
  if (remedy.most == 0.0) {
    return words.say("report.remedy.or_more", {{"amount", amount}});
  }
  if (saddle && remedy.most - remedy.amount > a_choice) {
    return words.say(
        "report.remedy.no_more_than",
        {{"amount", amount}, {"most", rounded_mm(remedy.most, Rounding::down, words)}});
  }
  return least == most ? amount : words.say("report.range.from_to", {{"lo", least}, {"hi", most}});
}

// "the 10 and the 5"
std::string named(const std::vector<plan::Length>& rings, const text::Words& words) {
  std::string text;
  for (std::size_t i = 0; i < rings.size(); ++i) {
    const std::string ring =
        words.say("language.ring", {{"height", plain(rings[i].in_mm(), words)}});
    text = text.empty()            ? ring
           : i + 1 == rings.size() ? words.say("language.and", {{"one", text}, {"other", ring}})
                                   : words.say("language.then", {{"one", text}, {"other", ring}});
  }
  return text;
}

// Which rings do it, where that is known, as a sentence of its own behind a space.
std::string which_rings(const plan::Remedy& remedy, const text::Words& words) {
  const bool move = remedy.kind == RemedyKind::move_above || remedy.kind == RemedyKind::move_below;
  const bool out = !remedy.take_out.empty();
  const bool in = !remedy.put_in.empty();
  if (remedy.kind == RemedyKind::stem_with_rise || (!out && !in && !remedy.none_on_hand)) {
    return {};
  }
  const std::string_view key = remedy.none_on_hand                         ? "none_on_hand"
                               : remedy.kind == RemedyKind::stem_lowest_up ? "rings_stay"
                               : move                                      ? "rings_move"
                               : out && in                                 ? "rings_swap"
                               : out                                       ? "rings_go"
                                                                           : "rings_come";
  return " " + words.say(key_of("report.remedy", key), {{"out", named(remedy.take_out, words)},
                                                        {"in", named(remedy.put_in, words)}});
}

RemedyTexts texts_of_kind(const plan::Remedy& remedy, const Telling& telling) {
  const auto texts = report_of(telling.job.kind).remedy_texts;
  return texts != nullptr ? texts(remedy, telling) : RemedyTexts{};
}

struct ReadingText {
  std::string name, now, within;
};

ReadingText reading_of(const plan::Remedy& remedy, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const bool saw_alone = remedy.kind == RemedyKind::no_measuring && !remedy.reading;
  if (!remedy.reading && !saw_alone) {
    return {};
  }
  const measure::Reading& reading = job.readings[remedy.reading.value_or(plan::Job::saw_row)];
  return {name_of_reading(reading.key, words),
          with_unit(plain(reading.half_width_base, words), reading.dimension, words),
          with_unit(one_decimal(remedy.settles_within, Rounding::down, words), reading.dimension,
                    words)};
}

// ---- holds ----

// A limit that a hold is about, and what is the matter with it.
std::string about_limit(std::string_view key, const JudgedLimit& limit, const plan::Standing& s,
                        const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  return words.say(key, {{"limit", name_of_limit(limit, words)},
                         {"what", requirement(limit, telling)},
                         {"margin", amount_of(limit, s.margin, Rounding::down, words)},
                         {"missing", amount_of(limit, -s.margin, Rounding::up, words)},
                         {"guard", amount_of(limit, s.guard, Rounding::up, words)}});
}

std::string two_limits(std::string_view key, const JudgedLimit& limit, const JudgedLimit& other,
                       double missing_mm, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  return words.say(key, {{"limit", name_of_limit(limit, words)},
                         {"what", requirement(limit, telling)},
                         {"other", name_of_limit(other, words)},
                         {"other_what", requirement(other, telling)},
                         {"missing", mm_up(missing_mm, words)}});
}

std::string in_doubt(const JudgedLimit& limit, const plan::Standing& s, const Telling& telling) {
  return about_limit(
      s.margin >= 0.0 ? "report.hold.in_doubt_with_margin" : "report.hold.in_doubt_short", limit, s,
      telling);
}

std::string collision(const plan::Hold& hold, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  if (!hold.limit || !hold.second) {
    return words.at("report.hold.no_cut_keeps_all");
  }
  const JudgedLimit& limit = now.limits[*hold.limit];
  const JudgedLimit& other = now.limits[*hold.second];
  return hold.collides
             ? exclusion(limit, other, hold.apart, telling)
             : two_limits("report.hold.no_room_for_doubt", limit, other, hold.apart, telling);
}

std::string routes(const plan::Hold& hold, const Telling& telling) {
  return telling.words.say(
      hold.limit ? "report.hold.routes_to_depth_disagree" : "report.hold.routes_to_gap_disagree",
      {{"blockage", hold.limit ? blockage_name(*hold.limit + 1, telling) : ""},
       {"apart", mm_up(hold.apart, telling.words)},
       {"allowed", rounded_mm(hold.allowed, Rounding::down, telling.words)}});
}

std::string readings_apart(const plan::Hold& hold, const measure::Reading& reading,
                           const text::Words& words) {
  const auto figure = [&](double value, Rounding rounding) {
    return with_unit(one_decimal(value, rounding, words), reading.dimension, words);
  };
  return words.say("report.hold.readings_disagree",
                   {{"reading", name_of_reading(reading.key, words)},
                    {"apart", figure(hold.apart, Rounding::up)},
                    {"allowed", figure(hold.allowed, Rounding::down)}});
}

std::string apart(std::string_view key, const plan::Hold& hold, const text::Words& words) {
  return words.say(key, {{"apart", mm_up(hold.apart, words)},
                         {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
}

std::string sum_open(const plan::Hold& hold, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::Length original = job.length()->nominal;
  return words.say("report.after.why.sum_open",
                   {{"sum", mm(plan::Length::from_base(original.in_mm() - hold.apart), words)},
                    {"original", mm(original, words)},
                    {"apart", mm_up(std::abs(hold.apart), words)},
                    {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
}

}  // namespace

std::string decimals(double value, int count, const text::Words& words) {
  return in_language(fixed(value, count), words);
}

std::string one_decimal(double value, Rounding rounding, const text::Words& words) {
  // A figure that stands exactly on its decimal must stay there, whatever its last binary digits.
  constexpr double slack = 1e-6;
  double tenths = value * 10.0;
  switch (rounding) {
    case Rounding::nearest:
      tenths = std::round(tenths + std::copysign(slack, tenths));
      break;
    case Rounding::down:
      tenths = std::floor(tenths + slack);
      break;
    case Rounding::up:
      tenths = std::ceil(tenths - slack);
      break;
  }
  return in_language(without_minus_zero(fixed(tenths / 10.0, 1)), words);
}

std::string one_decimal(double value, const text::Words& words) {
  return one_decimal(value, Rounding::nearest, words);
}

std::string one_decimal(plan::Length length, const text::Words& words) {
  return one_decimal(length.in_mm(), Rounding::nearest, words);
}

std::string plain(double value, const text::Words& words) {
  std::string text = fixed(value, 2);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with('.')) {
    text.pop_back();
  }
  return in_language(without_minus_zero(text), words);
}

std::string rounded_mm(double value_mm, Rounding rounding, const text::Words& words) {
  return with_unit(one_decimal(value_mm, rounding, words), measure::Dimension::length, words);
}

std::string rounded_mm(plan::Length length, const text::Words& words) {
  return rounded_mm(length.in_mm(), Rounding::nearest, words);
}

std::string mm(plan::Length length, const text::Words& words) {
  return with_unit(plain(length.in_mm(), words), measure::Dimension::length, words);
}

std::string span(const plan::Span& span, const text::Words& words) {
  if (!span.lo) {
    return words.say("report.range.up_to",
                     {{"hi", rounded_mm(span.hi->in_mm(), Rounding::down, words)}});
  }
  if (!span.hi) {
    return words.say("report.range.from",
                     {{"lo", rounded_mm(span.lo->in_mm(), Rounding::up, words)}});
  }
  // Ends less than a tenth apart would cross when each is rounded to its safe side.
  constexpr double tenth = 0.1;
  const bool near = (*span.hi - *span.lo).in_mm() < tenth;
  const auto end = [&](plan::Length at, Rounding rounding) {
    return near ? decimals(at.in_mm(), 2, words) : one_decimal(at.in_mm(), rounding, words);
  };
  return words.say("report.range.from_to",
                   {{"lo", end(*span.lo, Rounding::up)}, {"hi", end(*span.hi, Rounding::down)}});
}

std::string_view word(plan::Verdict verdict) {
  switch (verdict) {
    case plan::Verdict::cut:
      return "cut";
    case plan::Verdict::keep:
      return "keep";
    case plan::Verdict::hold:
      return "hold";
    case plan::Verdict::reject:
      return "reject";
    case plan::Verdict::fit:
      return "fit";
    case plan::Verdict::unfit:
      return "unfit";
  }
  return {};
}

std::string_view word(plan::Origin origin) {
  switch (origin) {
    case plan::Origin::maker:
      return "maker";
    case plan::Origin::published:
      return "published";
    case plan::Origin::measured:
      return "measured";
    case plan::Origin::practice:
      return "practice";
    case plan::Origin::wish:
      return "wish";
  }
  return {};
}

std::string_view word(measure::Status status) {
  switch (status) {
    case measure::Status::holds:
      return "holds";
    case measure::Status::in_doubt:
      return "in_doubt";
    case measure::Status::broken:
      return "broken";
  }
  return {};
}

std::string spoken(plan::Origin origin, const text::Words& words) {
  return words.at(key_of("report.origin", word(origin)));
}

std::string spoken(measure::Status status, const text::Words& words) {
  return words.at(key_of("report.status", word(status)));
}

std::string source_of(const plan::RuleRow& row, const text::Words& words) {
  return row.source.empty() ? std::string() : words.at(key_of("report.source", row.name));
}

std::string_view unit_of(const JudgedLimit& limit) {
  return limit.dimension == measure::Dimension::mass ? "kg" : "mm";
}

std::string unit_of(const measure::Reading& reading, const text::Words& words) {
  const std::string_view unit = dimension_key(reading.dimension);
  return unit.empty() ? std::string() : words.at(key_of("language.unit", unit));
}

std::string with_unit(std::string figure, measure::Dimension dimension, const text::Words& words) {
  const std::string_view unit = dimension_key(dimension);
  return unit.empty()
             ? figure
             : words.say(key_of("language.with_unit", unit), {{"figure", std::move(figure)}});
}

std::string amount_of(const JudgedLimit& limit, double value, Rounding rounding,
                      const text::Words& words) {
  return with_unit(one_decimal(value, rounding, words), limit.dimension, words);
}

std::string name_of_limit(const JudgedLimit& limit, const text::Words& words) {
  return words.say(key_of("report.limit.name", limit.row().id),
                   {{"number", std::to_string(limit.number)}});
}

std::string requirement(Rule rule, const text::Words& words) {
  const bool clearance = rule == Rule::clearance;
  return what_by_key(clearance ? "clearance-any" : plan::row_of(rule).name,
                     words.at("report.blockage.any"), words);
}

std::string requirement(const JudgedLimit& limit, const Telling& telling) {
  if (limit.rule == Rule::bore_fit && limit.uncut.status == measure::Status::broken) {
    return bore_misfit("report.limit.what.bore-fit-tight", "report.limit.what.bore-fit-loose",
                       telling);
  }
  const bool none = limit.rule == Rule::max_cut && limit.needs == 0.0;
  return what_by_key(none ? "max-cut-none" : limit.row().name,
                     limit.row().numbered ? blockage_name(limit.number, telling) : "",
                     telling.words);
}

std::string built_in(const plan::RuleRow& row, const text::Words& words) {
  if (!row.figure) {
    return words.at("report.built_in.job");
  }
  const std::string figure = plain(*row.figure, words);
  return row.rule == Rule::floor_round
             ? words.say("report.built_in.diameters", {{"figure", figure}})
             : with_unit(figure, measure::Dimension::length, words);
}

std::string blockage_name(std::size_t number, const Telling& telling) {
  const auto& blockages = telling.job.frame.blockages;
  const bool known = number >= 1 && number <= blockages.size();
  const std::string called = known ? text::harmless(blockages[number - 1].what) : std::string();
  return telling.words.say(called.empty() ? "report.blockage.numbered" : "report.blockage.called",
                           {{"number", std::to_string(number)}, {"what", called}});
}

std::string bench_name(std::string_view key, const text::Words& words) {
  const Numbered split = numbered(key);
  return split.number.empty()
             ? words.at(key_of("report.reading", split.bare))
             : words.say(key_of("report.reading_numbered", split.bare), {{"number", split.number}});
}

std::string name_of_reading(std::string_view key, const text::Words& words) {
  return words.say("report.reading_with_key",
                   {{"name", bench_name(key, words)}, {"key", std::string(key)}});
}

std::string exclusion(const JudgedLimit& limit, const JudgedLimit& other, double missing_mm,
                      const Telling& telling) {
  return two_limits("report.because.exclude", limit, other, missing_mm, telling);
}

std::string why(const plan::Hold& hold, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const JudgedLimit* limit = hold.limit ? &now.limits[*hold.limit] : nullptr;
  switch (hold.reason) {
    case HoldReason::readings_disagree:
      return readings_apart(hold, job.readings[*hold.reading], words);
    case HoldReason::routes_disagree:
      return routes(hold, telling);
    case HoldReason::no_room_for_stack:
      return words.say("report.hold.no_room_for_stack", {{"missing", mm_up(hold.apart, words)}});
    case HoldReason::halves_against_width:
      return words.say("report.hold.halves_against_width",
                       {{"apart", mm_up(hold.apart, words)},
                        {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
    case HoldReason::off_centre:
    case HoldReason::off_centre_now:
      return words.say("report.hold.off_centre",
                       {{"apart", mm_up(hold.apart, words)},
                        {"allowed", rounded_mm(hold.allowed, Rounding::down, words)}});
    case HoldReason::room_unknown:
      return words.at("report.hold.room_unknown");
    case HoldReason::spacers_unknown:
      return words.at("report.hold.spacers_unknown");
    case HoldReason::mark_unknown:
      return words.at("report.hold.mark_unknown");
    case HoldReason::gap_unknown:
      return words.say("report.hold.gap_unknown",
                       {{"missing", texts_of_kind({}, telling).missing}});
    case HoldReason::second_reading_missing:
      return words.say("report.hold.second_reading_missing",
                       {{"reading", name_of_reading(job.readings[*hold.reading].key, words)}});
    case HoldReason::limit_in_doubt:
      return in_doubt(*limit, hold.at_the_cut ? limit->at : limit->uncut, telling);
    case HoldReason::rule_of_thumb_broken:
      if (limit->rule == Rule::bore_fit) {
        return bore_misfit("report.hold.bore_tight", "report.hold.bore_loose", telling);
      }
      return about_limit("report.hold.rule_of_thumb_broken", *limit,
                         hold.at_the_cut ? limit->at : limit->uncut, telling);
    case HoldReason::wanted_below_least:
      return words.say("report.hold.wanted_below_least",
                       {{"wanted", mm(*now.wanted, words)},
                        {"beyond", mm(measure::millimetres(plan::least_beyond_kerf_mm), words)}});
    case HoldReason::window_empty:
      return collision(hold, telling);
    case HoldReason::window_too_narrow:
      return words.at("report.hold.window_too_narrow");
    case HoldReason::maker_not_asked:
      return words.at(telling.own("report.hold.maker_not_asked"));
    case HoldReason::sum_open:
      return sum_open(hold, telling);
    case HoldReason::longer_than_before:
      return apart("report.after.why.longer_than_before", hold, words);
    case HoldReason::gap_against_parts:
      return apart("report.after.why.gap_against_parts", hold, words);
    case HoldReason::gap_against_mock_up:
      return apart("report.after.why.gap_against_mock_up", hold, words);
    case HoldReason::lengths_unknown:
      return words.at("report.after.why.lengths_unknown");
    case HoldReason::measured_gap_unknown:
      return words.at("report.after.why.gap_unknown");
    case HoldReason::practice_missed:
      return about_limit(limit->row().origin == plan::Origin::wish
                             ? "report.after.why.wish_missed"
                             : "report.after.why.practice_missed",
                         *limit, limit->at, telling);
  }
  return {};
}

std::string what_to_do(const plan::Remedy& remedy, const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const ReadingText reading = reading_of(remedy, telling);
  const RemedyTexts own = texts_of_kind(remedy, telling);
  return words.say(key_of(remedy, now, job),
                   {{"reading", reading.name},
                    {"now", reading.now},
                    {"within", reading.within},
                    {"share", percent(remedy.share)},
                    {"finest", plain(plan::finest_reading, words)},
                    {"each", one_decimal(remedy.settles_within, Rounding::down, words)},
                    {"from", one_decimal(remedy.guard_now, Rounding::up, words)},
                    {"to", one_decimal(remedy.guard_then, Rounding::up, words)},
                    {"amount", mm_up(remedy.amount, words)},
                    {"width", own.width},
                    {"by", amount_in_words(remedy, words)},
                    {"angle", with_unit(one_decimal(remedy.angle_deg, words),
                                        measure::Dimension::angle, words)},
                    {"missing", own.missing},
                    {"range", own.range},
                    {"stock", own.stock},
                    {"from_mm", mm_up(remedy.guard_now, words)},
                    {"to_mm", mm_up(remedy.guard_then, words)},
                    {"lo", own.lo},
                    {"hi", own.hi},
                    {"heights", own.heights}}) +
         which_rings(remedy, words);
}

std::string caution(plan::Caution caution, const Telling& telling) {
  const text::Words& words = telling.words;
  if (caution == plan::Caution::more_is_wished) {
    return words.at(telling.own("report.caution.more_is_wished"));
  }
  const auto row = std::ranges::find(plan::caution_rows(), caution, &plan::CautionRow::caution);
  return row->name.empty() ? report_of(telling.job.kind).own_caution(caution, telling)
                           : words.at("report.caution." + std::string(row->name));
}

}  // namespace kerfmark::report
