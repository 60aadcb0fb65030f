#include "commands.hpp"

#include <algorithm>

#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/sizes.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/rules.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {

void write_sheet(const std::string& path, const std::string& pdf) {
  if (path == standard) {
    print_as_it_is(pdf);
  } else {
    write_whole(path, pdf);
  }
}

void write_sheet(const std::string& path, const sheet::PrintedSheet& printed,
                 const std::string& about) {
  write_sheet(path, printed.pdf);
  say_cautions(about, printed.cautions);
}

ExitStatus status_of(plan::Verdict verdict) {
  return plan::is_yes(verdict) ? ExitStatus::yes : ExitStatus::no;
}

// Once a part is cut, only that counts which was measured afterwards.
ExitStatus status_of(const plan::Plan& plan) { return status_of(plan.now().verdict); }

namespace {

ExitStatus write_template(const NewRequest& request, const std::string& text,
                          const std::string& command) {
  if (request.file.empty() || request.file == standard) {
    print(text);
    return ExitStatus::yes;
  }
  create_whole(request.file, text);
  print("Wrote " + text::harmless(request.file) + ". Fill in every \"?\", then: kerfmark " +
        command + " " + text::harmless(request.file) + "\n");
  return ExitStatus::yes;
}

}  // namespace

ExitStatus new_job(const NewRequest& request) {
  return write_template(request,
                        job::job_template(request.kind, request.full ? job::TemplateKeys::all
                                                                     : job::TemplateKeys::usual),
                        "plan");
}

ExitStatus new_run(const NewRequest& request) {
  return write_template(request, job::run_template(), "sizes");
}

ExitStatus blank_form(const BlankRequest& request) {
  if (const std::string complaints = complaints_about(request.on_sheet, true);
      !complaints.empty()) {
    return usage(complaints);
  }
  const auto options = options_for(request.on_sheet);
  if (!options) {
    return ExitStatus::trouble;
  }
  refuse_unless_pdf_may_go_to(request.sheet, {request.on_sheet.shop});
  write_sheet(request.sheet, sheet::print_blank(request.kind, *options), request.sheet);
  const std::string wrote = "Wrote " + text::harmless(request.sheet) + ". ";
  print_beside(request.sheet, (request.sheet == standard ? "" : wrote) +
                                  "Print it, measure, then fill in a job file: kerfmark new " +
                                  std::string(plan::word(request.kind)) + "\n");
  return ExitStatus::yes;
}

ExitStatus rules(const RulesRequest& request) {
  const auto shop = find_shop(request.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  const text::Words words = text::words_in("en");
  const std::vector<plan::HouseValue> house = job::house_values(shop->text);
  print(request.json ? report::rules_json(house, shop->path, words) + "\n"
                     : report::rules_table(house, view_of_output(false), words));
  return ExitStatus::yes;
}

ExitStatus usage(const std::string& complaints) {
  std::size_t start = 0;
  while (start < complaints.size()) {
    const std::size_t end = std::min(complaints.find('\n', start), complaints.size());
    say("kerfmark: " + text::harmless(complaints.substr(start, end - start)) + "\n");
    start = end + 1;
  }
  return ExitStatus::trouble;
}

}  // namespace kerfmark::cli
