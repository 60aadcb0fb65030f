#include "kerfmark/plan/insertion.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/length_text.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "known_words.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

using plan::Length;

// Lengths as options have them; what is wrong with any of them comes in one text.
class Lengths {
 public:
  std::optional<Length> read(const std::string& option, const std::string& text,
                             plan::Range plausible) {
    if (text.empty()) {
      return std::nullopt;
    }
    const auto read = job::length_in(text, plausible);
    if (const auto* wrong = std::get_if<text::Phrase>(&read)) {
      complaints_ += option + " " + text + ": " + wrong->in(text::Words()) + "\n";
      return std::nullopt;
    }
    return std::get<Length>(read);
  }
  [[nodiscard]] const std::string& complaints() const { return complaints_; }

 private:
  std::string complaints_;
};

plan::Range range_of(std::string_view path) { return *plan::key_at(path).spec.range; }

std::string in_quotes(const std::vector<std::string_view>& words) {
  std::string list;
  for (const std::string_view word : words) {
    list += (list.empty() ? "\"" : ", \"") + std::string(word) + "\"";
  }
  return list;
}

// One of the words to choose from; a complaint where it is none of them.
std::optional<std::string_view> chosen(const std::string& option, const std::string& text,
                                       const std::vector<std::string_view>& words,
                                       std::string& complaints) {
  const auto place = job::place_of_word(text, words);
  if (text.empty() || place) {
    return place ? std::optional(words[*place]) : std::nullopt;
  }
  complaints += option + " " + text + ": is not one of " + in_quotes(words) +
                suggestion(text, words, "\"") + "\n";
  return std::nullopt;
}

void read_words(const InsertionRequest& request, plan::PostAsItStands& post,
                std::string& complaints) {
  const std::vector<std::string_view> seen(plan::line_words().begin(), plan::line_words().end());
  if (const auto word = chosen("--line", request.line, seen, complaints)) {
    post.line = static_cast<plan::LineSeen>(*job::place_of_word(*word, seen));
  }
  if (const auto name = chosen("--with", request.with,
                               plan::instruments_for(measure::Dimension::length), complaints)) {
    post.instrument = *name;
  }
}

// What does not belong together or is missing, whatever the figures are. A line that is seen above
// the collar needs no figure for its answer.
std::string complaints_about(const InsertionRequest& request, const plan::PostAsItStands& post) {
  const bool inserted = !request.inserted.empty();
  const bool length = !request.length.empty();
  const bool exposed = !request.exposed.empty();
  std::string complaints;
  if (inserted && (length || exposed)) {
    complaints += "give --inserted, or --length and --exposed, not both\n";
  } else if (length != exposed) {
    complaints += std::string(length ? "--length needs --exposed" : "--exposed needs --length") +
                  " too: what is inserted is the one less the other\n";
  } else if (!inserted && !length && post.line != plan::LineSeen::above) {
    complaints +=
        "look at the post: if its line shows above the collar, give --line above; else give "
        "--inserted, or --length and --exposed; from a saddle height, write a job file: kerfmark "
        "new seatpost\n";
  }
  if (post.line == plan::LineSeen::none && !request.mark.empty()) {
    complaints +=
        "--mark is where the line is, and --line none says that there is none: give the "
        "one that is true\n";
  }
  if (request.json && request.sheet == standard) {
    complaints += std::string(two_on_standard_output) + "\n";
  }
  return complaints + complaints_about(request.on_sheet, !request.sheet.empty());
}

}  // namespace

ExitStatus insertion(const InsertionRequest& request) {
  const text::Words words = text::words_in("en");
  Lengths lengths;
  const plan::Range line = range_of("post.mark");
  plan::PostAsItStands post{
      .length = lengths.read("--length", request.length, range_of("post.length")),
      .exposed = lengths.read("--exposed", request.exposed, range_of("mock_up.exposed_bottomed")),
      .inserted = lengths.read("--inserted", request.inserted, {0.0, range_of("post.length").most}),
      .mark = lengths.read("--mark", request.mark, line),
      .minimum = lengths.read("--minimum", request.minimum, line),
      .diameter = lengths.read("--diameter", request.diameter, range_of("post.diameter"))};
  std::string complaints = lengths.complaints();
  read_words(request, post, complaints);
  complaints += complaints_about(request, post);
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
  print_beside(request.sheet, request.json
                                  ? report::json_line(check, words) + "\n"
                                  : report::insertion_report(check, view_of_output(false), words));
  return status_of(check.verdict);
}

}  // namespace kerfmark::cli
