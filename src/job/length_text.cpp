#include "kerfmark/job/length_text.hpp"

#include <charconv>

#include "kerfmark/measure/quantity_text.hpp"

namespace kerfmark::job {
namespace {

using plan::Length;

bool is_plain_number(std::string_view text) {
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  return error == std::errc{} && end == text.data() + text.size();
}

// A plain number that fits in another unit was likely read in it.
std::string implausible(const std::string& text, Length length, plan::Range plausible) {
  std::string hint;
  const auto add = [&](const char* name, double mm, const char* unit) {
    if (is_plain_number(text) && mm >= plausible.least && mm <= plausible.most) {
      hint += std::string(hint.empty() ? "; if these are " : "; if ") + name + ", write \"" + text +
              " " + unit + "\"";
    }
  };
  add("inches", measure::inches(length.in_mm()).in_mm(), "in");
  add("centimetres", length.in_mm() * 10, "cm");
  return "is not plausible; " + measure::shortest(plausible.least) + " to " +
         measure::shortest(plausible.most) + " mm is" + hint;
}

}  // namespace

std::variant<Length, std::string> length_in(std::string_view text, plan::Range plausible) {
  const std::string said(text);
  const auto read = measure::read_quantity<measure::Dimension::length>(
      is_plain_number(said) ? said + " mm" : said);
  if (const auto* misread = std::get_if<measure::Misread>(&read)) {
    return misread->wrong + "; " + measure::to_write(*misread);
  }
  const Length length = std::get<Length>(read);
  if (length.in_mm() < plausible.least || length.in_mm() > plausible.most) {
    return implausible(said, length, plausible);
  }
  return length;
}

}  // namespace kerfmark::job
