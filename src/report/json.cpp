#include "kerfmark/report/json.hpp"

#include <nlohmann/json.hpp>

#include "kerfmark/report/wording.hpp"

namespace kerfmark::report {
namespace {

using Json = nlohmann::ordered_json;
using plan::Job;
using plan::JudgedLimit;
using plan::Plan;

constexpr int schema = 1;

// JSON knows −0; a length of the trade does not.
Json number(double value) { return value == 0.0 ? 0.0 : value; }
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

Json limit_of(const JudgedLimit& limit, const Job& job) {
  Json doubt = Json::array();
  for (const measure::Share& part : limit.doubt) {
    const measure::Reading& reading = job.readings[part.reading];
    doubt.push_back({{"reading", reading.key},
                     {"within", number(reading.half_width_base)},
                     {"share", number(part.of_variance)}});
  }
  const plan::RuleRow& row = limit.row();
  return {{"id", limit.id()},
          {"what", what(limit, job)},
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
          {"governs", limit.governs},
          {"doubt", doubt}};
}

Json limits_of(const Job& job, const Plan& plan) {
  Json limits = Json::array();
  for (const JudgedLimit& limit : plan.limits) {
    limits.push_back(limit_of(limit, job));
  }
  return limits;
}

Json holds_of(const Job& job, const Plan& plan) {
  Json holds = Json::array();
  for (const plan::Hold& hold : plan.holds) {
    for (const plan::Remedy& remedy : hold.remedies) {
      holds.push_back({{"why", why(hold, plan, job)}, {"do", what_to_do(remedy, plan, job)}});
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

Json cautions_of(const Plan& plan) {
  Json cautions = Json::array();
  for (const plan::Caution one : plan.cautions) {
    cautions.push_back(caution(one));
  }
  return cautions;
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
  out["new_mark_mm"] = nullptr;
  if (const auto& mark = post.new_mark) {
    out["new_mark_mm"] = {{"from_lower_end", number(mark->from_lower_end)},
                          {"from_rails", number(mark->from_rails)}};
  }
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

// Escapes everything outside ASCII, so that no text of a job can steer a terminal; a file name that
// is no UTF-8 gets replacement characters.
std::string one_line(const Json& json) {
  return json.dump(-1, ' ', true, Json::error_handler_t::replace);
}

}  // namespace

std::string json_line(const Job& job, const Plan& plan) {
  Json out = {{"schema", schema},
              {"kind", plan.seatpost ? "seatpost" : "steerer"},
              {"number", text_or_null(job.paperwork.number)},
              {"verdict", word(plan.verdict)},
              {"cut", cut_of(plan)},
              {"limits", limits_of(job, plan)},
              {"holds", holds_of(job, plan)},
              {"conflict", conflict_of(plan)},
              {"cautions", cautions_of(plan)}};
  if (plan.seatpost) {
    add_seatpost(*plan.seatpost, out);
  }
  if (plan.steerer) {
    add_steerer(*plan.steerer, out);
  }
  out["after"] = nullptr;
  return one_line(out);
}

std::string json_line(std::string_view file, std::span<const FindingLine> findings) {
  Json list = Json::array();
  const auto or_null = [](const auto& value) { return value ? Json(*value) : Json(nullptr); };
  for (const FindingLine& finding : findings) {
    list.push_back({{"line", or_null(finding.line)},
                    {"column", or_null(finding.column)},
                    {"key", or_null(finding.key)},
                    {"message", finding.message}});
  }
  return one_line({{"schema", schema}, {"file", file}, {"findings", list}});
}

}  // namespace kerfmark::report
