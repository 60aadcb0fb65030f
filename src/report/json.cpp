#include "kerfmark/report/json.hpp"

#include <nlohmann/json.hpp>

#include "kerfmark/plan/after.hpp"
#include "kerfmark/report/after.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/json_object.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::report {
namespace {

using Json = nlohmann::ordered_json;
using plan::Job;
using plan::JudgedLimit;
using plan::Plan;

constexpr int schema = 1;

Json number(double value) { return value; }
Json number(plan::Length length) { return number(length.in_mm()); }

template <class T>
Json number(const std::optional<T>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json text_or_null(std::string_view text) { return text.empty() ? Json(nullptr) : Json(text); }

Json span(const std::optional<plan::Span>& span) {
  return span ? Json::array({number(span->lo), number(span->hi)}) : Json(nullptr);
}

Json at_heights(const plan::AtHeights& at) {
  return {{"lowest", number(at.lowest)},
          {"height", number(at.height)},
          {"highest", number(at.highest)}};
}

Json cut_of(const Plan& plan) {
  Json window = nullptr;
  if (plan.window) {
    window = Json::array({number(plan.window->lo), number(plan.window->hi)});
  }
  return {{"at_mm", number(plan.at)},
          {"planned_mm", number(plan.planned)},
          {"wanted_mm", number(plan.wanted)},
          {"window_mm", window},
          {"kerf_mm", number(plan.kerf)},
          {"remaining_mm", number(plan.remaining)},
          {"end", plan.seatpost ? "lower" : "top"}};
}

Json limit_of(const JudgedLimit& limit, const Job& job, const text::Words& words) {
  Json doubt = Json::array();
  for (const measure::Share& part : limit.doubt) {
    const measure::Reading& reading = job.readings[part.reading];
    doubt.push_back({{"reading", reading.key},
                     {"within", number(reading.half_width_base)},
                     {"share", number(part.of_variance)}});
  }
  const plan::RuleRow& row = limit.row();
  return {{"id", limit.id()},
          {"what", what(limit, job, words)},
          {"origin", word(row.origin)},
          {"source", text_or_null(row.source)},
          {"sense", static_cast<int>(row.sense)},
          {"bound", row.bound == plan::Bound::at_least ? "at_least" : "at_most"},
          {"needs", number(limit.needs)},
          {"has", number(limit.has)},
          {"unit", unit_of(limit)},
          {"margin", number(limit.at.margin)},
          {"guard", number(limit.at.guard)},
          {"status", word(limit.at.status)},
          {"odds", number(limit.at.odds)},
          {"governs", limit.governs},
          {"doubt", doubt}};
}

Json limits_of(const Job& job, const Plan& plan, const text::Words& words) {
  Json limits = Json::array();
  for (const JudgedLimit& limit : plan.limits) {
    limits.push_back(limit_of(limit, job, words));
  }
  return limits;
}

Json holds_of(const Job& job, const Plan& plan, const text::Words& words) {
  Json holds = Json::array();
  for (const plan::Hold& hold : plan.holds) {
    for (const plan::Remedy& remedy : hold.remedies) {
      holds.push_back(
          {{"why", why(hold, plan, job, words)}, {"do", what_to_do(remedy, plan, job, words)}});
    }
  }
  return holds;
}

Json conflict_of(const Plan& plan) {
  if (!plan.conflict) {
    return nullptr;
  }
  return {{"lower", plan.limits[plan.conflict->lower].id()},
          {"upper", plan.limits[plan.conflict->upper].id()},
          {"short_mm", number(plan.conflict->short_by)}};
}

Json cautions_of(const Plan& plan, const text::Words& words) {
  Json cautions = Json::array();
  for (const plan::Caution one : plan.cautions) {
    cautions.push_back(caution(one, plan, words));
  }
  return cautions;
}

Json mark_of(const std::optional<plan::NewMark>& mark) {
  return mark ? Json{{"from_lower_end", number(mark->from_lower_end)},
                     {"from_rails", number(mark->from_rails)}}
              : Json(nullptr);
}

void add_seatpost(const plan::SeatpostFigures& post, Json& out) {
  out["insertion_mm"] = at_heights(post.insertion);
  out["extension_mm"] = at_heights(post.extension);
  out["scale_reading"] = nullptr;
  if (const auto& at = post.scale_reading) {
    out["scale_reading"] = {
        {"lowest", number((*at)[0])}, {"height", number((*at)[1])}, {"highest", number((*at)[2])}};
  }
  out["saddle_range_mm"] = {{"uncut", span(post.saddle_range_uncut)},
                            {"cut", span(post.saddle_range_cut)}};
  out["uncut_fit"] = nullptr;
  if (const auto& fit = post.uncut_fit) {
    Json stock = Json::array();
    for (const plan::Length length : fit->stock) {
      stock.push_back(number(length));
    }
    out["uncut_fit"] = {{"length_mm", span(fit->length)}, {"stock_mm", stock}};
  }
  out["new_mark_mm"] = mark_of(post.new_mark);
}

void add_steerer(const plan::SteererFigures& steerer, Json& out) {
  out["gap_mm"] = {{"uncut", number(steerer.gap_uncut)}, {"cut", number(steerer.gap)}};
  Json positions = Json::array();
  for (const plan::StemPosition& position : steerer.positions) {
    positions.push_back({{"below", number(position.below)},
                         {"above", number(position.above)},
                         {"height_mm", number(position.bar_height)},
                         {"reach_mm", number(position.bar_reach)}});
  }
  out["positions"] = positions;
}

Json after_of(const Job& job, const Plan& plan, const text::Words& words) {
  if (!plan.after) {
    return nullptr;
  }
  const plan::After& after = *plan.after;
  const Plan now = plan::as_it_stands(plan);
  Json out = {{"verdict", word(after.verdict)},     {"remaining_mm", number(after.remaining)},
              {"cut_mm", number(after.cut)},        {"closure_mm", nullptr},
              {"closure_guard_mm", nullptr},        {"limits", limits_of(job, now, words)},
              {"holds", holds_of(job, now, words)}, {"remedies", Json::array()}};
  if (after.closure) {
    out["closure_mm"] = number(after.closure->off);
    out["closure_guard_mm"] = number(after.closure->guard_mm);
  }
  for (const plan::Remedy& remedy : after.remedies) {
    out["remedies"].push_back(what_to_do(remedy, now, job, words));
  }
  if (after.insertion) {
    out["insertion_mm"] = at_heights(*after.insertion);
    out["saddle_range_mm"] = span(after.saddle_range);
    out["new_mark_mm"] = mark_of(after.new_mark);
  } else {
    out["gap_mm"] = number(after.gap);
  }
  return out;
}

Json trials_of(const Plan& plan, const plan::Trials& trials) {
  Json limits = Json::array();
  for (std::size_t i = 0; i < trials.limits.size(); ++i) {
    const plan::LimitTrials& one = trials.limits[i];
    limits.push_back(
        {{"id", plan.limits[i].id()},
         {"unit", unit_of(plan.limits[i])},
         {"low", number(one.margin.interval.low)},
         {"high", number(one.margin.interval.high)},
         {"mean", number(one.margin.mean)},
         {"sd", number(one.margin.standard_deviation)},
         {"holds", number(one.holds)},
         {"beyond_guard", number(one.beyond_guard)},
         {"first_order", Json::array({number(one.first_order.low), number(one.first_order.high)})},
         {"tolerance", number(one.tolerance)},
         {"validates", one.validates ? Json(*one.validates) : Json(nullptr)}});
  }
  return {{"n", trials.count},
          {"seed", trials.seed},
          {"at_mm", number(trials.at)},
          {"impossible", trials.impossible},
          {"limits", limits}};
}

// Escapes everything outside ASCII, so that no text of a job can steer a terminal; a file name that
// is no UTF-8 gets replacement characters.
std::string one_line(const Json& json) {
  return with_nine_decimals(json.dump(-1, ' ', true, Json::error_handler_t::replace));
}

}  // namespace

std::string json_line(const Job& job, const Plan& plan, const text::Words& words,
                      const plan::Trials* trials) {
  Json out = {{"schema", schema},
              {"kind", plan.seatpost ? "seatpost" : "steerer"},
              {"number", text_or_null(job.paperwork.number)},
              {"digest", digest_of(job)},
              {"verdict", word(plan.verdict)},
              {"cut", cut_of(plan)},
              {"limits", limits_of(job, plan, words)},
              {"holds", holds_of(job, plan, words)},
              {"conflict", conflict_of(plan)},
              {"cautions", cautions_of(plan, words)}};
  if (plan.seatpost) {
    add_seatpost(*plan.seatpost, out);
  }
  if (plan.steerer) {
    add_steerer(*plan.steerer, out);
  }
  out["after"] = after_of(job, plan, words);
  out["trials"] = trials != nullptr ? trials_of(plan, *trials) : Json(nullptr);
  if (!job.from_shop.empty()) {
    out["from_shop"] = job.from_shop;
  }
  return one_line(out);
}

std::string json_line(const plan::InsertionCheck& check, const text::Words& words) {
  Job job;  // limits name their readings by its rows
  job.readings = check.readings;
  const InsertionStatement says = insertion_statement(check, words);
  Json limits = Json::array();
  for (std::size_t i = 0; i < check.limits.size(); ++i) {
    limits.push_back(limit_of(check.limits[i], job, words));
    limits.back()["what"] = says.limits[i].what;
  }
  std::optional<double> lower_mm;
  if (plan::has_target(check) && !plan::is_yes(check.verdict) && check.spare.in_mm() < 0) {
    lower_mm = -check.spare.in_mm();
  }
  const auto& line = check.post.line;
  return one_line(
      {{"schema", schema},
       {"kind", "insertion"},
       {"verdict", word(check.verdict)},
       {"line", text_or_null(line ? plan::line_words()[static_cast<std::size_t>(*line)] : "")},
       {"with", check.post.instrument},
       {"inserted_mm", number(check.inserted)},
       {"within_mm", check.inserted ? number(check.within_mm) : Json()},
       {"lower_by_mm", number(lower_mm)},
       {"limits", limits},
       {"cautions", says.cautions}});
}

std::string json_line(std::string_view file, std::span<const FindingLine> findings,
                      std::size_t left_out) {
  Json list = Json::array();
  const auto or_null = [](const auto& value) { return value ? Json(*value) : Json(nullptr); };
  for (const FindingLine& finding : findings) {
    list.push_back({{"line", or_null(finding.line)},
                    {"column", or_null(finding.column)},
                    {"key", or_null(finding.key)},
                    {"message", finding.message}});
  }
  Json out = {{"schema", schema}, {"file", file}, {"findings", list}};
  if (left_out > 0) {
    out["findings_left_out"] = left_out;
  }
  return one_line(out);
}

}  // namespace kerfmark::report
