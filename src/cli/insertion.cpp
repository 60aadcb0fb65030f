#include "kerfmark/plan/insertion.hpp"

#include <array>
#include <charconv>
#include <iostream>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/words.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

using plan::Length;

// A length as an option has it: a number in millimetres, or a text with its unit.
class Lengths {
 public:
  explicit Lengths(const text::Words& words) : words_(words) {}

  std::optional<Length> read(const std::string& option, const std::string& text,
                             plan::Range plausible) {
    if (text.empty()) {
      return std::nullopt;
    }
    const std::string with_unit = is_plain_number(text) ? text + " mm" : text;
    const auto read = measure::read_quantity<measure::Dimension::length>(with_unit);
    if (const auto* misread = std::get_if<measure::Misread>(&read)) {
      complain(option, text, misread->wrong + "; " + measure::to_write(*misread));
      return std::nullopt;
    }
    const Length length = std::get<Length>(read);
    if (length.in_mm() < plausible.least || length.in_mm() > plausible.most) {
      complain(option, text, implausible(text, length, plausible));
      return std::nullopt;
    }
    return length;
  }
  [[nodiscard]] const std::string& complaints() const { return complaints_; }

 private:
  static bool is_plain_number(std::string_view text) {
    double value = 0.0;
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    return error == std::errc{} && end == text.data() + text.size();
  }

  // A plain number that fits in another unit was likely read in it.
  std::string implausible(const std::string& text, Length length, plan::Range plausible) const {
    std::string hint;
    const auto add = [&](const char* name, double mm, const char* unit) {
      if (is_plain_number(text) && mm >= plausible.least && mm <= plausible.most) {
        hint += std::string(hint.empty() ? "; if these are " : "; if ") + name + ", write \"" +
                text + " " + unit + "\"";
      }
    };
    add("inches", measure::inches(length.in_mm()).in_mm(), "in");
    add("centimetres", length.in_mm() * 10, "cm");
    return "is not plausible; " + report::plain(plausible.least, words_) + " to " +
           report::plain(plausible.most, words_) + " mm is" + hint;
  }

  void complain(const std::string& option, const std::string& text, const std::string& what) {
    complaints_ += option + " " + text + ": " + what + "\n";
  }

  const text::Words& words_;
  std::string complaints_;
};

plan::Range range_of(std::string_view path) { return *plan::key_at(path).facts.range; }

// What does not belong together or is missing, whatever the figures are.
std::string complaints_about(const InsertionRequest& request) {
  const bool inserted = !request.inserted.empty();
  const bool length = !request.length.empty();
  const bool exposed = !request.exposed.empty();
  std::string complaints;
  if (inserted && (length || exposed)) {
    complaints += "give --inserted, or --length and --exposed, not both\n";
  } else if (!inserted && !(length && exposed)) {
    complaints +=
        "give --inserted, or --length and --exposed; from a saddle height, write a job file: "
        "kerfmark new seatpost\n";
  }
  if (request.mark.empty() && request.minimum.empty() && request.diameter.empty()) {
    complaints +=
        "give what the insertion is held against: --mark (printed on the post; measure from the "
        "lower end up to it), --minimum (from its maker) or --diameter\n";
  }
  return complaints + complaints_about(request.on_sheet, !request.sheet.empty());
}

}  // namespace

ExitStatus insertion(const InsertionRequest& request) {
  const text::Words words = job::words_in("en");
  Lengths lengths(words);
  const plan::Range line = range_of("post.mark");
  const plan::PostAsItStands post{
      .length = lengths.read("--length", request.length, range_of("post.length")),
      .exposed = lengths.read("--exposed", request.exposed, range_of("mock_up.exposed_bottomed")),
      .inserted = lengths.read("--inserted", request.inserted, {0.0, range_of("post.length").most}),
      .mark = lengths.read("--mark", request.mark, line),
      .minimum = lengths.read("--minimum", request.minimum, line),
      .diameter = lengths.read("--diameter", request.diameter, range_of("post.diameter"))};
  std::string complaints = lengths.complaints() + complaints_about(request);
  if (post.length && post.exposed && *post.exposed > *post.length) {
    complaints += "--exposed: more shows than the post is long; measure both again\n";
  }
  if (!complaints.empty()) {
    return usage(complaints);
  }
  const plan::InsertionCheck check = plan::check_insertion(post);
  if (!request.sheet.empty()) {
    const auto options = options_for(request.on_sheet);
    if (!options) {
      return ExitStatus::trouble;
    }
    refuse_unless_pdf_may_go_to(request.sheet, {request.on_sheet.shop});
    write_sheet(request.sheet, sheet::print_insertion(check, *options), "insertion");
  }
  print(request.json ? report::json_line(check, words) + "\n"
                     : report::insertion_report(check, view_of_output(false), words));
  return status_of(check.verdict);
}

}  // namespace kerfmark::cli
