#include "kerfmark/report/odds.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

// Smaller probabilities are not spoken of (our own practice, see the header).
constexpr double least_spoken = 1e-3;
// From here on "1 in 2" is as good as it gets either way, and two in five are worth telling.
constexpr double evens_from = 0.4;
constexpr double third = 1.0 / 3.0;

// "1 in N" of a probability, N to two digits: down for what one fears, up for what one hopes.
std::string one_in(double probability, bool feared) {
  constexpr double slack = 1e-9;  // 1/48 must stay 48
  constexpr double two_digits = 100.0;
  constexpr double ten = 10.0;
  const double n = 1.0 / probability;
  const double grid = n >= two_digits ? ten : 1.0;
  const double whole = feared ? std::floor(n / grid + slack) : std::ceil(n / grid - slack);
  return std::to_string(static_cast<std::int64_t>(whole * grid));
}

std::string in_words(double holds, const text::Words& words) {
  const double fails = 1.0 - holds;
  if (fails < least_spoken) {
    return words.at("report.odds.better");
  }
  if (fails <= third) {
    return words.say("report.odds.fails", {{"number", one_in(fails, true)}});
  }
  if (fails <= evens_from) {
    return words.at("report.odds.fails_two_in_five");
  }
  if (holds > evens_from) {
    return words.at("report.odds.evens");
  }
  return holds < least_spoken ? words.at("report.odds.worse")
                              : words.say("report.odds.holds", {{"number", one_in(holds, false)}});
}

// 1000000 as "1,000,000".
std::string grouped(std::size_t number, const text::Words& words) {
  constexpr std::size_t group = 3;
  std::string digits = std::to_string(number);
  for (std::size_t i = digits.size(); i > group; i -= group) {
    digits.insert(i - group, words.at("report.trials.thousands"));
  }
  return digits;
}

// A part of 1 in per cent: what one hopes rounded down, what one fears up.
std::string per_cent(double part, Rounding rounding, const text::Words& words) {
  return one_decimal(part * 100.0, rounding, words) + " %";
}

// What first order is worth for one limit. It may be off on the safe side: its interval reaches
// lower than what the trials gave.
std::string first_order(const plan::LimitTrials& trials, const text::Words& words) {
  if (!trials.validates) {
    return words.at("report.trials.unknown");
  }
  if (*trials.validates) {
    return words.at("report.trials.agrees");
  }
  return words.say(trials.first_order.low <= trials.margin.interval.low ? "report.trials.safe"
                                                                        : "report.trials.short");
}

// `all`: with the columns that few need.
std::string trials_table(const plan::Plan& plan, const plan::Trials& trials, bool all,
                         const text::Words& words) {
  std::vector<Column> columns = {{words.at("report.trials.limit")},
                                 {words.at("report.trials.from"), true},
                                 {words.at("report.trials.to"), true},
                                 {words.at("report.trials.holds"), true}};
  if (all) {
    columns.insert(columns.end(), {{words.at("report.trials.beyond"), true},
                                   {words.at("report.trials.first_order")}});
  }
  std::vector<std::vector<std::string>> rows;
  for (std::size_t i = 0; i < trials.limits.size(); ++i) {
    const plan::JudgedLimit& limit = plan.before.limits[i];
    const plan::LimitTrials& one = trials.limits[i];
    std::vector<std::string> row = {name_of_limit(limit, words),
                                    one_decimal(one.margin.interval.low, Rounding::down, words),
                                    one_decimal(one.margin.interval.high, Rounding::up, words),
                                    per_cent(one.holds, Rounding::down, words)};
    if (all) {
      row.push_back(one.beyond_guard ? per_cent(*one.beyond_guard, Rounding::up, words) : "-");
      row.push_back(first_order(one, words));
    }
    rows.push_back(std::move(row));
  }
  return table(columns, rows);
}

}  // namespace

bool has_odds(const plan::JudgedLimit& limit) {
  return plan::is_guarded(limit.row()) && !limit.doubt.empty();
}

std::string spoken_odds(const plan::JudgedLimit& limit, const plan::Standing& standing,
                        const text::Words& words) {
  if (!plan::is_guarded(limit.row())) {
    return words.at("report.odds.as_marked");
  }
  return has_odds(limit) ? in_words(standing.odds, words) : words.at("report.odds.exact");
}

std::string trials_report(const plan::Plan& plan, const plan::Trials& trials, const View& as_is,
                          const text::Words& words) {
  const View view = usable(as_is);
  std::string out = section(
      words.say("report.trials.title",
                {{"count", grouped(trials.count, words)}, {"seed", std::to_string(trials.seed)}}),
      view);
  std::string lines = trials_table(plan, trials, true, words);
  if (widest_line(lines) > view.width) {
    lines = trials_table(plan, trials, false, words);
  }
  out += lines + wrapped("  ", words.at("report.trials.note"), view.width);
  if (trials.impossible > 0) {
    out += wrapped(
        "  ",
        words.say("report.trials.impossible", {{"number", grouped(trials.impossible, words)}}),
        view.width);
  }
  return finished(out, view);
}

}  // namespace kerfmark::report
