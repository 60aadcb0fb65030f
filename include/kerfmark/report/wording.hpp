#pragma once

#include <string>
#include <string_view>

#include "kerfmark/report/telling.hpp"

/// Which sentence a person reads about what in a plan, and the one place where figures are rounded
/// for people. Nothing here is compared again: decisions were made on the unrounded values. The
/// sentences themselves stand in the file of the language, `words`.
namespace kerfmark::report {

enum class Rounding { nearest, down, up };

/// One decimal: "13.2". Margins are rounded down, guards and amounts still missing up, so that a
/// printed figure is never better than the real one.
[[nodiscard]] std::string one_decimal(double value, Rounding rounding, const text::Words& words);
[[nodiscard]] std::string one_decimal(double value, const text::Words& words);  ///< nearest
[[nodiscard]] std::string one_decimal(plan::Length length, const text::Words& words);

/// So many decimals, nearest: for sums to check on paper.
[[nodiscard]] std::string decimals(double value, int count, const text::Words& words);

/// As short as two decimals allow: "38", "37.5", "0.25"; for cuts on their grid and job figures.
[[nodiscard]] std::string plain(double value, const text::Words& words);

/// One decimal with the unit of a length: "13.2 mm".
[[nodiscard]] std::string rounded_mm(double value_mm, Rounding rounding, const text::Words& words);

[[nodiscard]] std::string rounded_mm(plan::Length length, const text::Words& words);  ///< nearest

/// `plain` with the unit of a length.
[[nodiscard]] std::string mm(plan::Length length, const text::Words& words);

/// "12.3 to 45.6 mm", each end rounded to its safe side; an end that is not there is not limited.
[[nodiscard]] std::string span(const plan::Span& span, const text::Words& words);

/// The contract's words, for programs: the same in every language.
[[nodiscard]] std::string_view word(plan::Verdict verdict);   ///< "cut", "fit", …
[[nodiscard]] std::string_view word(plan::Origin origin);     ///< "maker", "published", …
[[nodiscard]] std::string_view word(measure::Status status);  ///< "holds", "in_doubt", "broken"
[[nodiscard]] std::string_view unit_of(const plan::JudgedLimit& limit);  ///< "mm" or "kg"

/// The same for people: "maker", "in doubt".
[[nodiscard]] std::string spoken(plan::Origin origin, const text::Words& words);
[[nodiscard]] std::string spoken(measure::Status status, const text::Words& words);
/// The document and clause of a rule; empty without one.
[[nodiscard]] std::string source_of(const plan::RuleRow& row, const text::Words& words);

/// A unit alone, and behind its figure: "mm", "12.5 mm", "73.5 deg" or "73,5°".
[[nodiscard]] std::string unit_of(const measure::Reading& reading, const text::Words& words);
[[nodiscard]] std::string with_unit(std::string figure, measure::Dimension dimension,
                                    const text::Words& words);

/// One decimal with the unit of a limit: "13.2 mm", "80.0 kg".
[[nodiscard]] std::string amount_of(const plan::JudgedLimit& limit, double value, Rounding rounding,
                                    const text::Words& words);

/// How a limit is called: in English by its id, "mark", "blockage-2".
[[nodiscard]] std::string name_of_limit(const plan::JudgedLimit& limit, const text::Words& words);

/// What a limit asks for, as a noun phrase: "insertion up to the printed mark, saddle at its
/// highest".
[[nodiscard]] std::string requirement(const plan::JudgedLimit& limit, const Telling& telling);
/// The same for the table of rules, without a job.
[[nodiscard]] std::string requirement(plan::Rule rule, const text::Words& words);
/// The built-in figure of a rule in words: "2 mm", "2 x diameter"; "the job's" without one.
[[nodiscard]] std::string built_in(const plan::RuleRow& row, const text::Words& words);

/// How a blockage of the job is called: "blockage 2 (lip)".
[[nodiscard]] std::string blockage_name(std::size_t number, const Telling& telling);

/// A reading by its name in the trade: "the saddle height", "ring 2 of the rings above the stem".
/// Every key of the table that can be read has one.
[[nodiscard]] std::string bench_name(std::string_view key, const text::Words& words);
/// The same with its key where the language has English keys: "the saddle height (saddle.height)".
[[nodiscard]] std::string name_of_reading(std::string_view key, const text::Words& words);

/// Two limits that no cut can satisfy together, and by how much.
[[nodiscard]] std::string exclusion(const plan::JudgedLimit& limit, const plan::JudgedLimit& other,
                                    double missing_mm, const Telling& telling);

[[nodiscard]] std::string why(const plan::Hold& hold, const Telling& telling);
[[nodiscard]] std::string what_to_do(const plan::Remedy& remedy, const Telling& telling);
[[nodiscard]] std::string caution(plan::Caution caution, const Telling& telling);

}  // namespace kerfmark::report
