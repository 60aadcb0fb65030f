#include "kerfmark/report/insertion.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string_view>

#include "kerfmark/report/wording.hpp"
#include "lines.hpp"
#include "text_parts.hpp"

namespace kerfmark::report {
namespace {

using plan::InsertionCheck;
using plan::JudgedLimit;
using plan::Verdict;
using text::Words;

std::string in_mm(double value, Rounding rounding, const Words& words) {
  return with_unit(one_decimal(value, rounding, words), measure::Dimension::length, words);
}
std::string in_mm(plan::Length length, const Words& words) {
  return in_mm(length.in_mm(), Rounding::nearest, words);
}

// The three answers of this check, and why there is no other.
std::string_view answer_of(const InsertionCheck& check) {
  if (plan::is_yes(check.verdict)) {
    return "keep";
  }
  if (check.verdict == Verdict::hold) {
    return plan::is_line_known(check) ? "hold" : "unknown";
  }
  return check.post.line == plan::LineSeen::above ? "above"
         : plan::is_line_known(check)             ? "reject"
                                                  : "floor";
}

std::string key(std::string_view group, std::string_view name) {
  return "report.insertion." + std::string(group) + "." + std::string(name);
}

std::string_view kind_of(const JudgedLimit& limit) {
  return limit.rule == plan::Rule::mark           ? "mark"
         : limit.rule == plan::Rule::post_minimum ? "minimum"
                                                  : "diameter";
}

std::string what_of(const JudgedLimit& limit, const Words& words) {
  return words.say(key("what", kind_of(limit)));
}

std::string inserted_of(const InsertionCheck& check, const Words& words) {
  return check.inserted ? in_mm(*check.inserted, words) : std::string();
}

std::string needs_of(const InsertionCheck& check, const Words& words) {
  return check.decides ? in_mm(check.limits[*check.decides].needs, Rounding::nearest, words)
                       : std::string();
}

std::string action_of(const InsertionCheck& check, const Words& words) {
  const std::string lower = in_mm(-check.spare.in_mm(), Rounding::up, words);
  const bool yes = plan::is_yes(check.verdict);
  if (!yes && is_too_short(check)) {
    return words.say(key("do", "too_short"),
                     {{"lower", lower}, {"exposed", in_mm(*check.post.exposed, words)}});
  }
  const std::string_view answer = answer_of(check);
  if (answer == "above" && plan::has_target(check) && check.spare.in_mm() < 0) {
    return words.say(key("do", "above_by"), {{"lower", lower}});
  }
  if (check.post.line == plan::LineSeen::none && (answer == "unknown" || answer == "floor")) {
    return words.say(key("do", answer == "floor" ? "floor_no_line" : "no_line"));
  }
  return words.say(key("do", answer), {{"lower", lower}});
}

// Under which options what is asked for is given; empty: nothing is.
std::string options_of(const InsertionCheck& check, const Words& words) {
  if (plan::is_line_known(check) || check.post.line == plan::LineSeen::above) {
    return {};
  }
  if (check.post.line == plan::LineSeen::none) {
    return words.say(key("options", "no_line"), {{"minimum", "--minimum"}});
  }
  return words.say(key("options", "line_unknown"), {{"mark", "--mark"}, {"minimum", "--minimum"}});
}

std::string_view line_word(const InsertionCheck& check) {
  return plan::line_words()[static_cast<std::size_t>(*check.post.line)];
}

std::vector<Figure> figures_of(const InsertionCheck& check, const Words& words) {
  std::vector<Figure> figures;
  if (check.post.line) {
    figures.push_back({words.say(key("label", "line")), words.say(key("line", line_word(check)))});
  }
  if (check.inserted) {
    figures.push_back({words.say(key("label", "inserted")),
                       words.say(key("value", "inserted"),
                                 {{"inserted", inserted_of(check, words)},
                                  {"within", in_mm(check.within_mm, Rounding::up, words)}})});
  }
  if (!plan::has_target(check)) {
    return figures;
  }
  figures.push_back(
      {words.say(key("label", "needs")),
       words.say(key("value", "needs"), {{"needs", needs_of(check, words)},
                                         {"what", what_of(check.limits[*check.decides], words)}})});
  const double spare = check.spare.in_mm();
  const bool enough = plan::is_yes(check.verdict);
  // A line that shows leaves nothing to spare, whatever the figures say.
  if (enough || spare < 0) {
    figures.push_back(
        {words.say(key("label", enough ? "spare" : "missing")),
         words.say(key("value", "spare"),
                   {{"spare", enough ? in_mm(std::max(spare, 0.0), Rounding::down, words)
                                     : in_mm(-spare, Rounding::up, words)}})});
  }
  return figures;
}

LimitLine line_of(const JudgedLimit& limit, const Words& words) {
  LimitLine line;
  line.name = name_of_limit(limit, words);
  line.bound = words.say("report.bound.at_least", {{"needs", one_decimal(limit.needs, words)}});
  line.has = one_decimal(limit.has, words);
  line.margin = one_decimal(limit.at.margin, Rounding::down, words);
  line.doubt = one_decimal(limit.at.guard, Rounding::up, words);
  line.status = spoken(limit.at.status, words);
  line.origin = spoken(limit.row().origin, words);
  line.source = source_of(limit.row(), words);
  line.what = what_of(limit, words);
  line.governs = limit.governs;
  return line;
}

// Empty: nothing was measured.
std::string how_of(const InsertionCheck& check, const Words& words) {
  if (!check.inserted) {
    return {};
  }
  const std::string instrument =
      words.at("sheet.work.instrument." + std::string(check.post.instrument));
  if (check.post.inserted) {
    return words.say(key("how", "inserted"), {{"instrument", instrument}});
  }
  return words.say(key("how", "parts"), {{"instrument", instrument},
                                         {"length", in_mm(*check.post.length, words)},
                                         {"exposed", in_mm(*check.post.exposed, words)}});
}

std::vector<std::string> cautions_of(const InsertionCheck& check, const Words& words) {
  std::vector<std::string> cautions;
  if (plan::contradicts_itself(check)) {
    cautions.push_back(words.say(key("contradiction", line_word(check))));
  }
  for (const std::string_view name : {"both", "line", "maker"}) {
    cautions.push_back(words.say(key("caution", name)));
  }
  return cautions;
}

// ---- the picture ----

// One row of it: the walls of tube and post, and what stands beside them.
struct Row {
  std::string_view ascii, utf8;
};
constexpr Row post_alone{"    |     |", "    ║     ║"};
constexpr Row collar_row{"  --|     |--", "  ──║     ║──"};
constexpr Row in_tube{"   :|     |:", "   │║     ║│"};
constexpr Row line_in_tube{"   :|-----|:", "   │║─────║│"};
constexpr Row line_alone{"    |-----|", "    ║─────║"};
constexpr Row line_at_collar{"  --|-----|--", "  ──║─────║──"};
constexpr Row end_in_tube{"   :+-----+:", "   │╚═════╝│"};
constexpr Row end_at_collar{"  --+-----+--", "  ──╚═════╝──"};
constexpr Row tube_alone{"   :       :", "   │       │"};

// Millimetres a row; the last covers anything that may be entered.
constexpr auto scales = std::to_array<double>({5, 10, 15, 20, 25, 50, 100});
constexpr double most_rows = 16;  // a picture, not a page (common practice)

double scale_for(double length_mm) {
  return *std::ranges::find_if(
      scales, [&](double s) { return length_mm / s <= most_rows || s == scales.back(); });
}

std::string picture(const InsertionCheck& check, const View& view, const Words& words) {
  const InsertionPlaces places = places_of(check);
  const double top = std::min(0.0, places.line.value_or(0.0));
  const double scale = scale_for(places.lower_end - top);
  const auto row_of = [&](double mm) { return std::lround(mm / scale); };
  const long line = row_of(places.line.value_or(0.0));
  const auto is_line = [&](long row) { return places.line && row == line; };
  const long end = row_of(places.lower_end);
  std::string out =
      wrapped("", words.say(key("picture", "scale"), {{"scale", plain(scale, words)}}), view.width);
  for (long row = std::min(0L, line) - 2; row <= end + 1; ++row) {
    const Row& drawn = row == end && row == 0     ? end_at_collar
                       : row == end               ? end_in_tube
                       : is_line(row) && row == 0 ? line_at_collar
                       : is_line(row)             ? (row < 0 ? line_alone : line_in_tube)
                       : row == 0                 ? collar_row
                       : row < 0                  ? post_alone
                       : row < end                ? in_tube
                                                  : tube_alone;
    std::string beside;
    const auto say = [&](std::string_view name) {
      beside += (beside.empty() ? "   " : "; ") +
                words.say(key("picture", name), {{"needs", needs_of(check, words)},
                                                 {"inserted", inserted_of(check, words)}});
    };
    if (row == 0) {
      say("collar");
    }
    if (is_line(row)) {
      say("line");
    }
    if (row == end) {
      say("lower_end");
    }
    out += std::string(view.utf8 ? drawn.utf8 : drawn.ascii) + beside + "\n";
  }
  return out;
}

std::string limit_rows(const std::vector<LimitLine>& limits) {
  std::vector<std::vector<std::string>> rows;
  rows.reserve(limits.size());
  for (const LimitLine& limit : limits) {
    rows.push_back({limit.name, limit.bound, limit.margin, limit.doubt, limit.status, limit.origin,
                    limit.source});
  }
  return table(
      {{"limit"}, {"needs"}, {"margin", true}, {"doubt", true}, {"status"}, {"origin"}, {"source"}},
      rows);
}

std::string_view first_word(Verdict verdict) {
  return verdict == Verdict::keep ? "KEEP" : verdict == Verdict::hold ? "HOLD" : "REJECT";
}

}  // namespace

InsertionPlaces places_of(const InsertionCheck& check) {
  const double lower_end = check.inserted->in_mm();
  return {lower_end, plan::has_target(check)
                         ? std::optional(lower_end - check.limits[*check.decides].needs)
                         : std::nullopt};
}

InsertionStatement insertion_statement(const InsertionCheck& check, const Words& words) {
  InsertionStatement says;
  const std::string_view answer = answer_of(check);
  says.look = check.post.line ? std::string() : words.say("report.insertion.look");
  says.verdict = words.say(key("verdict", answer));
  says.headline = words.say(key("headline", answer), {{"inserted", inserted_of(check, words)},
                                                      {"needs", needs_of(check, words)}});
  says.action = action_of(check, words);
  says.figures = figures_of(check, words);
  for (const JudgedLimit& limit : check.limits) {
    says.limits.push_back(line_of(limit, words));
  }
  // A floor that holds is no figure to aim at where nobody knows the line.
  says.shows_limits =
      plan::has_target(check) || std::ranges::any_of(check.limits, [](const JudgedLimit& limit) {
        return limit.at.status == measure::Status::broken;
      });
  says.how = how_of(check, words);
  says.cautions = cautions_of(check, words);
  return says;
}

std::string insertion_report(const InsertionCheck& check, const View& as_is, const Words& words) {
  const View view = usable(as_is);
  const InsertionStatement says = insertion_statement(check, words);
  const std::string_view first = first_word(check.verdict);
  std::string answer = wrapped("", std::string(first) + ". " + says.headline, view.width);
  answer.replace(0, first.size(), coloured(first, check.verdict, view));
  std::string out = says.look.empty() ? answer : wrapped("", says.look, view.width) + "\n" + answer;
  const std::string options = options_of(check, words);
  out += wrapped("", says.action + (options.empty() ? "" : " " + options), view.width);
  out += "\n" + figure_lines(says.figures, view);
  if (check.inserted) {
    out += wrapped("  ", says.how, view.width) + "\n" + picture(check, view, words);
  }
  if (says.shows_limits) {
    out += section("Limits (mm)", view) + limit_rows(says.limits);
  }
  out += section("Cautions", view);
  for (const std::string& caution : says.cautions) {
    out += wrapped("  - ", caution, view.width);
  }
  return finished(out, view);
}

}  // namespace kerfmark::report
