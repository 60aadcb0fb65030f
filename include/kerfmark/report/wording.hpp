#pragma once

#include <string>
#include <string_view>

#include "kerfmark/plan/plan.hpp"

/// Every sentence that a person reads about a plan, and the one place where figures are rounded for
/// people. Nothing here is compared again: decisions were made on the unrounded values.
namespace kerfmark::report {

enum class Rounding { nearest, down, up };

/// One decimal: "13.2". Margins are rounded down, guards and amounts still missing up, so that a
/// printed figure is never better than the real one.
[[nodiscard]] std::string one_decimal(double value, Rounding rounding = Rounding::nearest);

/// So many decimals, nearest: for sums to check on paper.
[[nodiscard]] std::string decimals(double value, int count);

/// As short as two decimals allow: "38", "37.5", "0.25"; for cuts on their grid and job figures.
[[nodiscard]] std::string plain(double value);

/// `plain` with the unit of a length.
[[nodiscard]] std::string mm(plan::Length length);

/// "12.3 to 45.6 mm", each end rounded to its safe side; an end that is not there is not limited.
[[nodiscard]] std::string span(const plan::Span& span);

[[nodiscard]] std::string_view word(plan::Verdict verdict);     ///< "cut", "keep", …
[[nodiscard]] std::string_view word(plan::Origin origin);       ///< "maker", "published", …
[[nodiscard]] std::string_view word(measure::Status status);    ///< "holds", "in_doubt", "broken"
[[nodiscard]] std::string_view spoken(measure::Status status);  ///< "holds", "in doubt", "broken"
[[nodiscard]] std::string_view unit_of(const plan::JudgedLimit& limit);  ///< "mm" or "kg"

[[nodiscard]] std::string_view unit_of(const measure::Reading& reading);  ///< "mm", "deg", "kg"

/// What a limit asks for, as a noun phrase: "insertion up to the printed mark, saddle at its
/// highest".
[[nodiscard]] std::string what(const plan::JudgedLimit& limit, const plan::Job& job);
/// The same for the table of rules, without a job.
[[nodiscard]] std::string what(plan::Rule rule);
/// The built-in figure of a rule in words: "2 mm", "2 x diameter"; "the job's" without one.
[[nodiscard]] std::string built_in(const plan::RuleRow& row);

/// How a blockage of the job is called: "blockage 2 (lip)".
[[nodiscard]] std::string blockage_name(std::size_t number, const plan::Job& job);

/// A reading by its name in the trade, with its key: "the saddle height (saddle.height)".
[[nodiscard]] std::string name_of_reading(std::string_view key);

[[nodiscard]] std::string why(const plan::Hold& hold, const plan::Plan& plan, const plan::Job& job);
[[nodiscard]] std::string what_to_do(const plan::Remedy& remedy, const plan::Plan& plan,
                                     const plan::Job& job);
[[nodiscard]] std::string caution(plan::Caution caution);

}  // namespace kerfmark::report
