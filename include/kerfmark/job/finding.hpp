#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/text/finding_line.hpp"
#include "kerfmark/text/phrase.hpp"

namespace kerfmark::job {

enum class Severity {
  error,    ///< nothing is planned from this file
  caution,  ///< the job can be planned; somebody should look
};

/// One for each kind of trouble that a job file or a shop file can have; finding.cpp has their
/// sentences.
enum class FindingCode {
  file_too_large,
  line_too_long,
  not_text,
  not_toml,
  unknown_key,
  unknown_table,
  of_other_kind,
  missing_key,
  not_filled_in,
  wrong_type,
  out_of_range,
  unknown_word,
  not_finite,
  bad_quantity,
  unknown_instrument,
  wrong_instrument,
  nameless_instrument,
  empty_readings,
  text_too_long,
  nul_character,
  not_a_pair,
  pair_reversed,
  too_many,
  single_table,
  out_of_order,
  axle_with_extension,
  threaded_steerer,
  no_cut_wanted,
  impossible_triangle,
  crank_not_used,
  empty_text,
  text_too_short,
  wrong_places,
};

/// What is wrong with a file, and what to write instead.
struct Finding {
  Severity severity = Severity::error;
  FindingCode code = FindingCode::not_toml;
  std::string file;
  int line = 1;         ///< from 1
  int column = 1;       ///< from 1, in characters
  std::string key;      ///< "post.length", "frame.blockage-2.depth"; empty: the file as a whole
  text::Phrase said;    ///< what stands there
  text::Phrase wanted;  ///< what belongs there
  text::Phrase hint;    ///< what to write

  bool operator==(const Finding&) const = default;
};

/// No more are told of one file (common practice: more than anybody mends at a time).
inline constexpr std::size_t most_findings = 100;

struct CodeRow {
  FindingCode code;
  std::string_view name;
  Severity severity;
};
/// All codes, in the order of the enumeration.
[[nodiscard]] std::span<const CodeRow> finding_codes();

/// "what is wrong; what to write", on one line and without control characters.
[[nodiscard]] std::string message(const Finding& finding, const text::Words& words = {});

/// Each with its place and message, as results for other programs have them.
[[nodiscard]] std::vector<text::FindingLine> lines_of(std::span<const Finding> findings);

/// "key: what is wrong; what to write" of those that leave the job a job.
[[nodiscard]] std::vector<std::string> cautions_of(std::span<const Finding> findings);

/// "file:line:column: key: what is wrong; what to write".
[[nodiscard]] std::string one_line(const Finding& finding);

/// The same, then the line of `text`, the whole file, that it is about, and a caret below the
/// place; lines end with a line feed. A long line is cut around the place, with … where it is cut.
[[nodiscard]] std::string with_source_line(const Finding& finding, std::string_view text);

/// All of them so, then a line with how many were left out, if any.
[[nodiscard]] std::string with_source_lines(std::span<const Finding> findings, std::size_t left_out,
                                            std::string_view text);

}  // namespace kerfmark::job
