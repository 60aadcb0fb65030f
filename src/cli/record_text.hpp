#pragma once

#include <span>
#include <string>

#include "kerfmark/register/register.hpp"
#include "kerfmark/report/view.hpp"

/// Records as people and other programs read them.
namespace kerfmark::cli {

/// Two or three lines for each.
[[nodiscard]] std::string list_text(std::span<const records::Record> found,
                                    const report::View& view);

/// What stands above the report of a record.
[[nodiscard]] std::string head_text(const records::Record& record,
                                    const records::Documents& documents, const report::View& view);

/// On one line, without the line's end.
[[nodiscard]] std::string json_of(const records::Record& record);
[[nodiscard]] std::string json_of(const records::Record& record,
                                  const records::Documents& documents);

/// Comma-separated values by RFC 4180; lines end in CR LF. A text that a spreadsheet would take for
/// a formula has an apostrophe in front.
[[nodiscard]] std::string csv_header();
[[nodiscard]] std::string csv_line(const records::Record& record,
                                   const records::Documents& documents);

}  // namespace kerfmark::cli
