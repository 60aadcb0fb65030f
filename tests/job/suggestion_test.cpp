#include <algorithm>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"
#include "sample.hpp"

using namespace kerfmark;

// Whatever a finding says to write is written in its place, and the finding must be gone: advice
// that is refused in its turn is worse than none.

namespace {

using Texts = std::vector<std::string>;

Texts lines_of(const std::string& text) {
  Texts lines;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    lines.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  return lines;
}

std::string joined(const Texts& lines) {
  std::string text;
  for (const std::string& line : lines) {
    text += line + "\n";
  }
  return text;
}

// What may be written: each text in quotes behind "write", or the rest where there are no quotes.
std::string hint_of(const job::Finding& finding) {
  return finding.hint.in(kerfmark::text::Words());
}

Texts choices_in(std::string hint) {
  const std::string_view write = "write ";
  const auto at = hint.find(write);
  if (at == std::string::npos || hint.find("…") != std::string::npos) {
    return {};
  }
  hint = hint.substr(at + write.size());
  for (const std::string_view end : {", whichever", ", if that", " if there", " with plain",
                                     "; if ", ", or add", ", or take", " on a line of its own"}) {
    hint = hint.substr(0, hint.find(end));
  }
  if (hint.find('=') != std::string::npos) {
    return {hint};
  }
  const bool lists = hint.starts_with('[');  // whose commas part no choices
  Texts choices;
  for (std::size_t start = 0; start <= hint.size();) {
    const std::size_t end = std::min(
        {hint.find(" or ", start), lists ? hint.size() : hint.find(", ", start), hint.size()});
    choices.push_back(hint.substr(start, end - start));
    start = end + (hint.substr(end).starts_with(", ") ? 2 : 4);
  }
  return choices;
}

bool is_key(const std::string& text) {
  return text.find_first_not_of("abcdefghijklmnopqrstuvwxyz_") == std::string::npos;
}

// The line with the choice where it belongs: a header or whole line, a key, or a value.
std::string followed(const std::string& line, const std::string& choice) {
  const auto equals = line.find('=');
  if (choice.starts_with("[[") || (choice.starts_with("[") && equals == std::string::npos) ||
      choice.find(" = ") != std::string::npos) {
    return choice;
  }
  if (is_key(choice) && choice != "true" && choice != "false" && choice != "unknown") {
    return choice + " " + line.substr(equals);
  }
  return line.substr(0, equals) + "= " + choice;
}

// The lines with a key moved below the header that the choice names, "kerf under [saw]".
Texts moved(Texts lines, std::size_t at, const std::string& choice) {
  const auto under = choice.find(" under ");
  const std::string header = choice.substr(under + 7);
  const std::string key =
      choice.substr(0, under) + " " + lines.at(at).substr(lines.at(at).find('='));
  lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
  auto place = std::ranges::find(lines, header);
  if (place == lines.end()) {
    lines.push_back(header);
    place = lines.end() - 1;
  }
  lines.insert(place + 1, key);
  return lines;
}

struct Slip {
  std::string_view from, to;
  std::size_t choices;  ///< how many ways out are offered, counted by hand
};

}  // namespace

TEST_CASE("what a finding says to write is taken when it is written") {
  const std::vector<Slip> slips = {
      {"mark = 100", "mark = \"3 3/4\"", 1},
      {"length = 400", "length = \"31/2 in\"", 2},
      {"length = 400", "length = 31/2 in", 2},
      {"mark = 100", "mark = 3 3/4", 1},
      {"mark = 100", "mark = 3 3/4\"", 1},
      {"mark = 100", "mark = \"3 3/4\"\"", 1},
      {"mark = 100", "mark = \"100,5 mm\"", 1},
      {"mark = 100", "mark = 100,5", 1},
      {"mark = 100", "mark = 100;", 1},
      {"mark = 100", "mark = “100 mm”", 1},
      {"mark = 100", "mark = no", 1},
      {"mark = 100", "mark = none", 1},
      {"mark = 100", "mark = 100\u00a0", 1},
      {"mark = 100", "\u00a0mark = 100", 1},
      {"mark = 100", "mark =\u202f100", 1},
      {"mark = 100", "mark = １００", 1},
      {"mark = 100", "mark = \"１００ mm\"", 1},
      {"mark = 100", "mark = \"100\"", 1},
      {"mark = 100", "mark = 4", 2},  // inches, centimetres: only one is in quotes at a time
      {"mark = 100", "mrak = 100", 1},
      {"material = \"aluminium\"", "material = \"aluminium\" // alloy", 1},
      {"material = \"aluminium\"", "material = aluminium -- alloy", 1},
      {"material = \"aluminium\"", "material = aluminium", 1},
      {"material = \"aluminium\"", "material = \"alloy\"", 4},
      {"material = \"aluminium\"", "material = ‘aluminium’", 1},
      {"[saddle]", "[job]\ndate = 20/11/2026\n[saddle]", 1},
      {"[saddle]", "[job]\ndate = 5.11.2026\n[saddle]", 2},
      {"[saddle]", "[job]\nnumber = 2031\n[saddle]", 1},
      {"[post]", "[post]\nshim = Yes", 1},
      {"[saddle]", "[sadle]", 1},
      {"[saddle]", "{saddle}", 1},
      {"[post]", "<post>", 1},
      {"mark = 100", "mark: 100", 1},
      {"mark = 100", "mark : \"100 mm\"", 1},
      {"mark = 100", "mark 100", 1},
      {"[post]", "[stock]\nlengths = (350, 400)\n[post]", 1},
      {"[post]", "[stock]\nlengths = 350, 400\n[post]", 1},
      {"[post]", "[stock]\nlengths = [350 400]\n[post]", 1},
      {"[post]", "[stock]\nlengths = 350,400\n[post]", 2},
      {"[post]", "[stock]\nlengths = 350,400,410\n[post]", 1},
      {"[saddle]", "[job]\nnotes = 'it's fine'\n[saddle]", 1},
      {"[post]", "[saw]\nkerf = 1; step = 2\n[post]", 1},
      {"[post]", "[saw]\nkerf = 1, step = 2\n[post]", 1},
      {"[post]", "[post]\nsaw.kerf = 1", 1},
      {"[post]", "[post]\nstep = 0.5", 1},
      {"[post]", "[post]\nlowest = 139", 1},
      {"[post]", "[pots]", 1},
  };
  for (const Slip& slip : slips) {
    CAPTURE(slip.to);
    const std::string text =
        sample::replaced(std::string(sample::extension_job), slip.from, slip.to);
    const auto findings = job::read_job(text, "j").findings;
    REQUIRE_FALSE(findings.empty());
    const auto told = std::ranges::find_if(
        findings, [](const job::Finding& f) { return !choices_in(hint_of(f)).empty(); });
    REQUIRE(told != findings.end());
    const job::Finding& finding = *told;
    const std::string hint = hint_of(finding);
    CAPTURE(hint);
    Texts choices = choices_in(hint);
    if (finding.code == job::FindingCode::out_of_range) {
      choices = {"\"4 in\"", "\"4 cm\""};
      CHECK(hint.find("\"4 in\"") != std::string::npos);
      CHECK(hint.find("\"4 cm\"") != std::string::npos);
    }
    CHECK(choices.size() == slip.choices);
    for (const std::string& choice : choices) {
      CAPTURE(choice);
      Texts lines = lines_of(text);
      const auto at = static_cast<std::size_t>(finding.line - 1);
      if (choice.find(" under [") != std::string::npos) {
        lines = moved(std::move(lines), at, choice);
      } else {
        lines.at(at) = followed(lines.at(at), choice);
      }
      CAPTURE(joined(lines));
      const auto after = job::read_job(joined(lines), "j");
      for (const job::Finding& left : after.findings) {
        CHECK_MESSAGE(left.line != finding.line, job::one_line(left));
      }
    }
  }
}
