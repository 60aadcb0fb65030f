#include "kerfmark/job/finding.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/text/printable.hpp"
#include "source_line.hpp"

namespace kerfmark::job {
namespace {

struct Said {
  CodeRow row;
  text::Sentence sentence;
};

constexpr auto said_table = std::to_array<Said>({
    {{FindingCode::file_too_large, "file_too_large", Severity::error}, "finding.file_too_large"},
    {{FindingCode::line_too_long, "line_too_long", Severity::error}, "finding.line_too_long"},
    {{FindingCode::not_text, "not_text", Severity::error}, "finding.not_text"},
    {{FindingCode::not_toml, "not_toml", Severity::error}, "finding.not_toml"},
    {{FindingCode::unknown_key, "unknown_key", Severity::error}, "finding.unknown_key"},
    {{FindingCode::unknown_table, "unknown_table", Severity::error}, "finding.unknown_table"},
    {{FindingCode::of_other_kind, "of_other_kind", Severity::error}, "finding.of_other_kind"},
    {{FindingCode::missing_key, "missing_key", Severity::error}, "finding.missing_key"},
    {{FindingCode::not_filled_in, "not_filled_in", Severity::error}, "finding.not_filled_in"},
    {{FindingCode::wrong_type, "wrong_type", Severity::error}, "finding.wrong_type"},
    {{FindingCode::out_of_range, "out_of_range", Severity::error}, "finding.out_of_range"},
    {{FindingCode::unknown_word, "unknown_word", Severity::error}, "finding.unknown_word"},
    {{FindingCode::not_finite, "not_finite", Severity::error}, "finding.not_finite"},
    {{FindingCode::bad_quantity, "bad_quantity", Severity::error}, "finding.bad_quantity"},
    {{FindingCode::unknown_instrument, "unknown_instrument", Severity::error},
     "finding.unknown_instrument"},
    {{FindingCode::wrong_instrument, "wrong_instrument", Severity::error},
     "finding.wrong_instrument"},
    {{FindingCode::nameless_instrument, "nameless_instrument", Severity::error},
     "finding.nameless_instrument"},
    {{FindingCode::empty_readings, "empty_readings", Severity::error}, "finding.empty_readings"},
    {{FindingCode::text_too_long, "text_too_long", Severity::error}, "finding.text_too_long"},
    {{FindingCode::nul_character, "nul_character", Severity::error}, "finding.nul_character"},
    {{FindingCode::not_a_pair, "not_a_pair", Severity::error}, "finding.not_a_pair"},
    {{FindingCode::pair_reversed, "pair_reversed", Severity::error}, "finding.pair_reversed"},
    {{FindingCode::too_many, "too_many", Severity::error}, "finding.too_many"},
    {{FindingCode::single_table, "single_table", Severity::error}, "finding.single_table"},
    {{FindingCode::out_of_order, "out_of_order", Severity::error}, "finding.out_of_order"},
    {{FindingCode::axle_with_extension, "axle_with_extension", Severity::error},
     "finding.axle_with_extension"},
    {{FindingCode::threaded_steerer, "threaded_steerer", Severity::error},
     "finding.threaded_steerer"},
    {{FindingCode::no_cut_wanted, "no_cut_wanted", Severity::error}, "finding.no_cut_wanted"},
    {{FindingCode::impossible_triangle, "impossible_triangle", Severity::error},
     "finding.impossible_triangle"},
    {{FindingCode::crank_not_used, "crank_not_used", Severity::caution}, "finding.crank_not_used"},
    {{FindingCode::empty_text, "empty_text", Severity::error}, "finding.empty_text"},
    {{FindingCode::text_too_short, "text_too_short", Severity::error}, "finding.text_too_short"},
    {{FindingCode::wrong_places, "wrong_places", Severity::error}, "finding.wrong_places"},
});

constexpr auto code_table = [] {
  std::array<CodeRow, said_table.size()> rows{};
  std::ranges::transform(said_table, rows.begin(), &Said::row);
  return rows;
}();

text::Phrase what_is_wrong(const Finding& finding) {
  const auto known =
      std::ranges::find(said_table, finding.code, [](const Said& said) { return said.row.code; });
  const bool because = finding.code == FindingCode::missing_key && !finding.wanted.empty();
  return {because ? text::Sentence("finding.missing_because") : known->sentence,
          {{"said", finding.said}, {"wanted", finding.wanted}}};
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

std::string message(const Finding& finding, const text::Words& words) {
  const text::Phrase line("finding.line",
                          {{"wrong", what_is_wrong(finding)}, {"do", finding.hint}});
  return text::harmless(line.in(words));
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
    const text::Words words;
    shown += words.say("finding.left_out", {{"file", text::harmless(findings.front().file)},
                                            {"count", std::to_string(left_out)}}) +
             "\n";
  }
  return shown;
}

}  // namespace kerfmark::job
