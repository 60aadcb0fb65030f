#include "kerfmark/job/misread.hpp"

#include <array>
#include <string>
#include <vector>

namespace kerfmark::job {
namespace {

using measure::Dimension;
using measure::Flaw;
using text::Phrase;

struct Row {
  Flaw flaw;
  text::Sentence sentence;
};

// In the order of the enumeration.
constexpr auto flaw_table = std::to_array<Row>({
    {Flaw::empty, "finding.flaw.empty"},
    {Flaw::no_number, "finding.flaw.no_number"},
    {Flaw::odd_signs, "finding.flaw.odd_signs"},
    {Flaw::decimal_comma, "finding.flaw.decimal_comma"},
    {Flaw::no_unit, "finding.flaw.no_unit"},
    {Flaw::other_unit, "finding.flaw.other_unit"},
    {Flaw::unknown_unit, "finding.flaw.unknown_unit"},
    {Flaw::point_beside_fraction, "finding.flaw.point_beside_fraction"},
    {Flaw::odd_denominator, "finding.flaw.odd_denominator"},
    {Flaw::improper_fraction, "finding.flaw.improper_fraction"},
    {Flaw::too_large, "finding.flaw.too_large"},
});

std::string in_quotes(const std::string& text) { return "\"" + text + "\""; }

Phrase one_of_texts(const std::vector<std::string>& texts) { return text::one_of(texts); }

Phrase examples(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return one_of_texts({in_quotes("212 mm"), in_quotes("21.2 cm"), in_quotes("8 3/8 in")});
    case Dimension::angle:
      return in_quotes("73.5 deg");
    case Dimension::mass:
      return one_of_texts({in_quotes("80 kg"), in_quotes("176 lb")});
    case Dimension::ratio:
      break;
  }
  return {"finding.thing.ratio"};
}

}  // namespace

Phrase name_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return {"finding.thing.length"};
    case Dimension::angle:
      return {"finding.thing.angle"};
    case Dimension::mass:
      return {"finding.thing.mass"};
    case Dimension::ratio:
      break;
  }
  return {"finding.thing.ratio"};
}

Phrase what_is_wrong(const measure::Misread& misread) {
  return {flaw_table.at(static_cast<std::size_t>(misread.flaw)).sentence,
          {{"found", name_of(misread.found)},
           {"wanted", name_of(misread.wanted)},
           {"figure", misread.denominator}}};
}

Phrase to_write(const measure::Misread& misread) {
  if (misread.choices.empty()) {
    return {"finding.do.for_example", {{"what", examples(misread.wanted)}}};
  }
  std::vector<std::string> choices;
  for (const std::string& choice : misread.choices) {
    choices.push_back(in_quotes(choice));
  }
  const text::Sentence sentence = choices.size() > 1    ? "finding.do.write_measured"
                                  : misread.measured_so ? text::Sentence("finding.do.write")
                                                        : "finding.do.write_if_measured";
  return {sentence, {{"what", text::one_of(choices)}}};
}

}  // namespace kerfmark::job
