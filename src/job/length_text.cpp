#include "kerfmark/job/length_text.hpp"

#include <charconv>

#include "kerfmark/job/misread.hpp"

namespace kerfmark::job {
namespace {

using plan::Length;
using text::Phrase;

bool is_plain_number(std::string_view text) {
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  return error == std::errc{} && end == text.data() + text.size();
}

// A plain number that fits in another unit was likely read in it.
Phrase implausible(const std::string& text, Length length, plan::Range plausible) {
  std::vector<Phrase> said = {Phrase(
      "finding.flaw.not_plausible",
      {{"from", measure::shortest(plausible.least)}, {"to", measure::shortest(plausible.most)}})};
  const auto add = [&](text::Sentence first, text::Sentence further, double mm, const char* unit) {
    if (is_plain_number(text) && mm >= plausible.least && mm <= plausible.most) {
      said.push_back({said.size() == 1 ? first : further, {{"what", "\"" + text + unit + "\""}}});
    }
  };
  add("finding.do.if_inches", "finding.do.or_if_inches", measure::inches(length.in_mm()).in_mm(),
      " in");
  add("finding.do.if_centimetres", "finding.do.or_if_centimetres", length.in_mm() * 10, " cm");
  return Phrase::joined(std::move(said), "; ");
}

}  // namespace

std::variant<Length, Phrase> length_in(std::string_view text, plan::Range plausible) {
  const std::string said(text);
  const auto read = measure::read_quantity<measure::Dimension::length>(
      is_plain_number(said) ? said + " mm" : said);
  if (const auto* misread = std::get_if<measure::Misread>(&read)) {
    return Phrase("finding.line", {{"wrong", what_is_wrong(*misread)}, {"do", to_write(*misread)}});
  }
  const Length length = std::get<Length>(read);
  if (length.in_mm() < plausible.least || length.in_mm() > plausible.most) {
    return implausible(said, length, plausible);
  }
  return length;
}

}  // namespace kerfmark::job
