#include "kerfmark/job/finding.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/text/printable.hpp"
#include "source_line.hpp"

namespace kerfmark::job {
namespace {

constexpr auto code_table = std::to_array<CodeRow>({
    {FindingCode::file_too_large, "file_too_large", Severity::error},
    {FindingCode::line_too_long, "line_too_long", Severity::error},
    {FindingCode::not_text, "not_text", Severity::error},
    {FindingCode::not_toml, "not_toml", Severity::error},
    {FindingCode::unknown_key, "unknown_key", Severity::error},
    {FindingCode::unknown_table, "unknown_table", Severity::error},
    {FindingCode::of_other_kind, "of_other_kind", Severity::error},
    {FindingCode::missing_key, "missing_key", Severity::error},
    {FindingCode::not_filled_in, "not_filled_in", Severity::error},
    {FindingCode::wrong_type, "wrong_type", Severity::error},
    {FindingCode::out_of_range, "out_of_range", Severity::error},
    {FindingCode::unknown_word, "unknown_word", Severity::error},
    {FindingCode::not_finite, "not_finite", Severity::error},
    {FindingCode::bad_quantity, "bad_quantity", Severity::error},
    {FindingCode::unknown_instrument, "unknown_instrument", Severity::error},
    {FindingCode::wrong_instrument, "wrong_instrument", Severity::error},
    {FindingCode::nameless_instrument, "nameless_instrument", Severity::error},
    {FindingCode::empty_readings, "empty_readings", Severity::error},
    {FindingCode::text_too_long, "text_too_long", Severity::error},
    {FindingCode::nul_character, "nul_character", Severity::error},
    {FindingCode::not_a_pair, "not_a_pair", Severity::error},
    {FindingCode::pair_reversed, "pair_reversed", Severity::error},
    {FindingCode::too_many, "too_many", Severity::error},
    {FindingCode::single_table, "single_table", Severity::error},
    {FindingCode::out_of_order, "out_of_order", Severity::error},
    {FindingCode::axle_with_extension, "axle_with_extension", Severity::error},
    {FindingCode::threaded_steerer, "threaded_steerer", Severity::error},
    {FindingCode::no_cut_wanted, "no_cut_wanted", Severity::error},
    {FindingCode::impossible_triangle, "impossible_triangle", Severity::error},
    {FindingCode::crank_not_used, "crank_not_used", Severity::caution},
    {FindingCode::empty_text, "empty_text", Severity::error},
    {FindingCode::text_too_short, "text_too_short", Severity::error},
    {FindingCode::wrong_places, "wrong_places", Severity::error},
});

// What is wrong, in words; what to write is the finding's hint.
std::string what_is_wrong(const Finding& f) {
  switch (f.code) {
    case FindingCode::file_too_large:
      return "the file is larger than 1 MiB, and no " + f.wanted + " is";
    case FindingCode::line_too_long:
      return "the line is longer than 4096 bytes";
    case FindingCode::not_text:
      return "this is not UTF-8 text";
    case FindingCode::not_toml:
      return f.said;
    case FindingCode::unknown_key:
      return "there is no key " + f.said + " " + f.wanted;
    case FindingCode::unknown_table:
      return "there is no table [" + f.said + "] in " + f.wanted;
    case FindingCode::of_other_kind:
      return "belongs to a " + f.wanted + " job, and this is a " + f.said + " job";
    case FindingCode::missing_key:
      return f.wanted.empty() ? "is missing" : "is missing, needed " + f.wanted;
    case FindingCode::not_filled_in:
      return "is not filled in yet";
    case FindingCode::wrong_type:
      return f.said + " is not " + f.wanted;
    case FindingCode::out_of_range:
      return f.said + " is not between " + f.wanted;
    case FindingCode::unknown_word:
      return f.said + " is not one of the words to choose from";
    case FindingCode::not_finite:
      return f.said + " is not a measurement";
    case FindingCode::bad_quantity:
      return f.said + " " + f.wanted;
    case FindingCode::unknown_instrument:
      return "there is no instrument " + f.said + " for " + f.wanted;
    case FindingCode::wrong_instrument:
      return f.said + ", and " + f.wanted + " belongs here";
    case FindingCode::nameless_instrument:
      return "an instrument without a name";
    case FindingCode::empty_readings:
      return "the list has no reading in it";
    case FindingCode::text_too_long:
      return "the text has " + f.said + " characters, more than the " + f.wanted + " allowed";
    case FindingCode::nul_character:
      return "there is a NUL character in the text";
    case FindingCode::not_a_pair:
      return f.said + " where two values belong";
    case FindingCode::pair_reversed:
      return f.said + " comes before " + f.wanted;
    case FindingCode::too_many:
      return f.said + ", more than the " + f.wanted + " allowed";
    case FindingCode::single_table:
      return "is written as one table, but there may be several";
    case FindingCode::out_of_order:
      return f.said + " is " + f.wanted;
    case FindingCode::threaded_steerer:
      return "a threaded steerer is not cut by this plan: its headset is held by nuts";
    case FindingCode::axle_with_extension:
      return "an extension is read off the post, not from an axle";
    case FindingCode::no_cut_wanted:
      return f.said + " is not a cut";
    case FindingCode::impossible_triangle:
      return f.said + " is not possible with " + f.wanted;
    case FindingCode::crank_not_used:
      return "is not used, as the heights are taken from the BB centre";
    case FindingCode::empty_text:
      return "the text is empty";
    case FindingCode::text_too_short:
      return "the text has " + f.said + " characters, and a safety note has " + f.wanted +
             " or more";
    case FindingCode::wrong_places:
      return f.said;
  }
  return {};
}

std::string caret_below(std::string_view line, int column) {
  constexpr std::size_t widest = 90;  // characters of the line that are shown
  const std::vector<text::Character> cells = text::characters_of(line);
  const std::size_t place =
      std::min(static_cast<std::size_t>(std::max(column, 1) - 1), cells.size());
  std::size_t first = 0;
  std::size_t end = cells.size();
  if (cells.size() > widest) {
    first = place > widest / 2 ? place - widest / 2 : 0;
    end = std::min(first + widest, cells.size());
  }
  std::string shown = first > 0 ? "  …" : "  ";
  std::string below = first > 0 ? "   " : "  ";
  for (std::size_t i = first; i < end; ++i) {
    shown += cells[i].shown;
    if (i < place) {
      // A tab below a tab keeps the caret in line whatever the terminal makes of it.
      below += cells[i].shown == "\t" ? std::string("\t") : std::string(cells[i].cells, ' ');
    }
  }
  return shown + (end < cells.size() ? "…\n" : "\n") + below + "^\n";
}

}  // namespace

std::span<const CodeRow> finding_codes() { return code_table; }

std::string message(const Finding& finding) {
  return text::harmless(what_is_wrong(finding) + "; " + finding.hint);
}

std::vector<text::FindingLine> lines_of(std::span<const Finding> findings) {
  std::vector<text::FindingLine> lines;
  for (const Finding& finding : findings) {
    lines.push_back({finding.line, finding.column,
                     finding.key.empty() ? std::nullopt : std::optional(finding.key),
                     message(finding)});
  }
  return lines;
}

std::vector<std::string> cautions_of(std::span<const Finding> findings) {
  std::vector<std::string> cautions;
  for (const Finding& finding : findings) {
    if (finding.severity == Severity::caution) {
      cautions.push_back(finding.key + ": " + message(finding));
    }
  }
  return cautions;
}

std::string one_line(const Finding& finding) {
  std::string line = text::harmless(finding.file) + ":" + std::to_string(finding.line) + ":" +
                     std::to_string(finding.column) + ": ";
  if (!finding.key.empty()) {
    line += text::harmless(finding.key) + ": ";
  }
  return line + message(finding);
}

std::string with_source_line(const Finding& finding, std::string_view text) {
  const std::string_view line = source_line(text, finding.line);
  std::string shown = one_line(finding) + "\n";
  if (!trimmed(line).empty()) {
    shown += caret_below(line, finding.column);
  }
  return shown;
}

std::string with_source_lines(std::span<const Finding> findings, std::size_t left_out,
                              std::string_view text) {
  std::string shown;
  for (const Finding& finding : findings) {
    shown += with_source_line(finding, text);
  }
  if (left_out > 0 && !findings.empty()) {
    shown += text::harmless(findings.front().file) + ": " + std::to_string(left_out) +
             " more findings are not shown; mend these first\n";
  }
  return shown;
}

}  // namespace kerfmark::job
