#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>

#include "kerfmark/report/json.hpp"
#include "kerfmark/report/telling.hpp"
#include "kerfmark/text/finding_line.hpp"

/// Comma-separated values by RFC 4180, for spreadsheets: lines end in CR LF.
namespace kerfmark::report {

/// A text as a cell, in quotes where it needs them. What could steer a terminal is made harmless; a
/// text that a spreadsheet would take for a formula has an apostrophe in front.
[[nodiscard]] std::string csv_cell(std::string_view text);

/// A line of cells that are ready.
[[nodiscard]] std::string csv_row(std::span<const std::string> cells);

/// Whose bicycle a job is about stays out of a table unless it is asked for.
enum class Owner { left_out, shown };

/// The names of the columns of a table of jobs.
[[nodiscard]] std::string plans_header(Owner owner);

/// A job as a row of it. A hold or reject has no figure in it that could be sawn by; once the part
/// is cut, the figures are those that were measured.
[[nodiscard]] std::string plan_row(std::string_view file, const Telling& telling, Owner owner);

/// A file that is no job: its first finding, and how many there are besides.
[[nodiscard]] std::string bad_file_row(std::string_view file, const text::FindingLine& first,
                                       std::size_t more, Owner owner);

}  // namespace kerfmark::report
