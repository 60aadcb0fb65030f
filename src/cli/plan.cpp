#include "kerfmark/plan/plan.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <utility>

#include "commands.hpp"
#include "cores.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/finding.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/sizes.hpp"
#include "kerfmark/plan/trials.hpp"
#include "kerfmark/report/csv.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/explain.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/text.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"
#include "known_words.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

// What all jobs of one run have in common.
struct Run {
  const PlanRequest& request;
  std::vector<std::string> files;
  const ShopFile& shop;
  const SheetChoice& choice;  // of a sheet
  const text::Words& words;
  report::View view;
  report::Owner owner;
};

struct FileOutcome {
  std::string printed;
  std::string said;  // to standard error
  ExitStatus status = ExitStatus::trouble;
};

// How many trials are asked for; empty when that is no number, or none that is made.
std::optional<std::size_t> trials_in(const std::string& text) {
  std::size_t count = 0;
  const char* const stop = text.data() + text.size();
  const auto [end, error] = std::from_chars(text.data(), stop, count);
  const bool sound = error == std::errc{} && end == stop && count >= plan::fewest_trials &&
                     count <= plan::most_trials;
  return sound ? std::optional(count) : std::nullopt;
}

// What is wrong with a file; `first` is the place of what is told where there is room for one.
struct BadFile {
  std::vector<text::FindingLine> lines;
  std::size_t first = 0;
  std::size_t left_out = 0;
};

BadFile bad_file_of(const job::Outcome& outcome) {
  const auto error =
      std::ranges::find(outcome.findings, job::Severity::error, &job::Finding::severity);
  return {job::lines_of(outcome.findings),
          static_cast<std::size_t>(error - outcome.findings.begin()), outcome.left_out};
}

std::string told(const Run& run, const std::string& file, const BadFile& bad) {
  if (run.request.csv) {
    return report::bad_file_row(file, bad.lines[bad.first], bad.lines.size() - 1 + bad.left_out,
                                run.owner);
  }
  return run.request.json ? report::json_line(file, bad.lines, bad.left_out) + "\n" : "";
}

std::optional<plan::Trials> trials_of(const Run& run, const plan::Job& job,
                                      const plan::Plan& plan) {
  if (run.request.trials.empty()) {
    return std::nullopt;
  }
  ProgressLine line("trials");
  // JSON gives the limits at the cut the plan is about, whatever the verdict.
  return plan::run_trials(job, plan,
                          {.count = *trials_in(run.request.trials),
                           .uncut = !run.request.json && !plan::shown_at_the_cut(plan.before)},
                          on_all_cores,
                          [&](std::size_t done, std::size_t of) { line.tell(done, of); });
}

// The report as asked for: whole, the verdict only, or one limit as a sum; or a line of a table.
std::string report_of(const Run& run, const plan::Job& job, const plan::Plan& plan,
                      const report::JobFile& file) {
  const PlanRequest& request = run.request;
  if (request.csv) {
    return report::plan_row(file.name, {job, plan, run.words}, run.owner);
  }
  if (request.quiet) {
    return report::verdict_line({job, plan, run.words}, run.view);
  }
  if (!request.explain.empty()) {
    return report::explain(request.explain, {job, plan, run.words}, run.view).value_or("");
  }
  const std::optional<plan::Trials> made = trials_of(run, job, plan);
  const plan::Trials* const trials = made ? &*made : nullptr;
  return request.json ? report::json_line({job, plan, run.words}, file, trials) + "\n"
                      : report::text_report(
                            {job, plan, run.words}, run.view,
                            request.full ? report::Extent::full : report::Extent::brief, trials);
}

// A limit that this plan does not have is a slip of the command line; empty: it has it.
std::string explains_nothing(const PlanRequest& request, const plan::Plan& plan) {
  const auto ids = report::limit_ids(plan);
  if (request.explain.empty() || std::ranges::find(ids, request.explain) != ids.end()) {
    return {};
  }
  return "this job has no limit \"" + request.explain + "\"" + suggestion(request.explain, ids) +
         " (limits: " + listed(ids) + ")";
}

// Prints the sheet; what could not be printed on it comes back.
std::vector<std::string> print_sheet_of(const Run& run, const std::string& file,
                                        const plan::Job& job, const plan::Plan& plan) {
  std::vector<std::string> cautions = texts_left_out(run.choice, run.shop);
  std::ranges::copy(texts_not_printable(run.shop), std::back_inserter(cautions));
  say_cautions(run.shop.path, cautions);
  refuse_unless_pdf_may_go_to(run.request.sheet, run.files);
  sheet::SheetOptions options = sheet_options(run.choice, run.shop.shop);
  options.digest = report::digest_of(job);
  const sheet::PrintedSheet printed = sheet::print_sheet(job, plan, options);
  write_sheet(run.request.sheet, printed, name_of_input(file));
  std::ranges::copy(printed.cautions, std::back_inserter(cautions));
  return cautions;
}

FileOutcome no_job(const Run& run, const std::string& file, const std::string& why) {
  return {told(run, file, {{{{}, {}, {}, why}}}), "kerfmark: " + text::harmless(why) + "\n"};
}

FileOutcome plan_one(const Run& run, const std::string& file) {
  std::string text;
  try {
    refuse_folder(file);
    text = read_input(file, job::most_bytes);
  } catch (const Trouble& trouble) {
    return no_job(run, file, trouble.what());
  }
  const job::Outcome outcome = job::read_job(text, name_of_input(file), run.shop.text);
  if (!outcome.job && job::has_lists_of_a_run(text)) {
    return no_job(run, file,
                  name_of_input(file) +
                      " is a run file of many sizes, not a job; to plan it: kerfmark sizes");
  }
  FileOutcome result;
  result.said = job::with_source_lines(outcome.findings, outcome.left_out, text);
  if (!outcome.job) {
    result.printed = told(run, file, bad_file_of(outcome));
    return result;
  }
  const plan::Plan plan = plan::plan_cut(*outcome.job);
  if (const std::string slip = explains_nothing(run.request, plan); !slip.empty()) {
    result.said += "kerfmark: " + text::harmless(slip) + "\n";
    return result;
  }
  report::JobFile about{file, job::cautions_of(outcome.findings)};
  if (!run.request.sheet.empty()) {
    std::ranges::copy(print_sheet_of(run, file, *outcome.job, plan),
                      std::back_inserter(about.cautions));
  }
  result.printed = report_of(run, *outcome.job, plan, about);
  result.status = status_of(plan);
  return result;
}

// Reports of several jobs stand under the names of their files.
std::string under_its_name(const Run& run, std::size_t number, const std::string& printed) {
  const PlanRequest& request = run.request;
  if (request.json || request.csv || run.files.size() == 1 || printed.empty()) {
    return printed;
  }
  const std::string name = text::harmless(name_of_input(run.files[number]));
  return request.quiet ? name + ": " + printed : (number == 0 ? "" : "\n") + name + "\n" + printed;
}

void deliver(const Run& run, const std::string& printed) {
  if (run.request.csv) {
    print_as_it_is(printed);
  } else {
    print_beside(run.request.sheet, printed);
  }
}

// What is said of a file comes before what is printed of it, and after all of the files before.
ExitStatus tell_in_order(const Run& run, std::size_t first,
                         const std::vector<FileOutcome>& results) {
  ExitStatus worst = ExitStatus::yes;
  std::string printed;
  for (std::size_t i = 0; i < results.size(); ++i) {
    if (!results[i].said.empty()) {
      deliver(run, std::exchange(printed, {}));
      say(results[i].said);
    }
    printed += under_its_name(run, first + i, results[i].printed);
    worst = std::max(worst, results[i].status);
  }
  deliver(run, printed);
  return worst;
}

// So many at a time that every core has work, and that their answers take little memory. Trials
// use all the cores for one job.
ExitStatus plan_all(const Run& run) {
  const std::size_t at_a_time = run.request.trials.empty() ? 256 : 1;
  ProgressLine progress("planned");
  ExitStatus worst = ExitStatus::yes;
  if (run.request.csv) {
    deliver(run, report::plans_header(run.owner));
  }
  for (std::size_t first = 0; first < run.files.size(); first += at_a_time) {
    std::vector<FileOutcome> results(std::min(at_a_time, run.files.size() - first));
    on_all_cores(results.size(), [&](std::size_t i) {
      results[i] = plan_one(run, run.files[first + i]);
      if (run.files.size() > 1) {
        progress.tell(first + i, run.files.size());
      }
    });
    progress.clear();
    worst = std::max(worst, tell_in_order(run, first, results));
  }
  return worst;
}

// What is wrong with the options of plan; empty when nothing is.
std::string complaints_about(const PlanRequest& request, std::size_t files) {
  if (!request.sheet.empty() && files > 1) {
    return "--sheet takes one job; plan the files one by one";
  }
  if (std::ranges::count(request.files, standard) > 1) {
    return "- is standard input, which can be read only once";
  }
  if ((request.json ? 1 : 0) + (request.csv ? 1 : 0) + (request.quiet ? 1 : 0) +
          (request.explain.empty() ? 0 : 1) >
      1) {
    return "give only one of --json, --csv, --quiet and --explain";
  }
  if (request.full && (request.json || request.csv || request.quiet || !request.explain.empty())) {
    return "--full goes with the report only";
  }
  if (request.owner && !request.csv) {
    return "--owner goes with --csv only";
  }
  if (request.sheet == standard && (request.json || request.csv)) {
    return request.json ? two_on_standard_output
                        : "--sheet - and --csv would both go to standard output; name a file for "
                          "the sheet";
  }
  if (!request.trials.empty() && (request.csv || request.quiet || !request.explain.empty())) {
    return "--trials goes with the report and with --json only";
  }
  if (!request.trials.empty() && !trials_in(request.trials)) {
    return "--trials " + request.trials + ": give a whole number from " +
           std::to_string(plan::fewest_trials) + " to " + std::to_string(plan::most_trials);
  }
  SheetFlags about_the_sheet = request.on_sheet;
  about_the_sheet.shop.clear();  // its instruments and its saw count without a sheet too
  return complaints_about(about_the_sheet, !request.sheet.empty());
}

// Reports are English. What a shop may say in other words are steps and notes, and no report has
// those.
text::Words words_of_reports() { return text::words_in(text::languages().front()); }

}  // namespace

ExitStatus plan_files(const PlanRequest& request) {
  std::vector<std::string> files = with_folders_opened(request.files);
  if (const std::string wrong = complaints_about(request, files.size()); !wrong.empty()) {
    return usage(wrong);
  }
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  const SheetChoice choice = sheet_choice(request.on_sheet, shop->shop);
  const text::Words words = words_of_reports();
  return plan_all({request, std::move(files), *shop, choice, words,
                   view_of_output(request.no_colour),
                   request.owner ? report::Owner::shown : report::Owner::left_out});
}

}  // namespace kerfmark::cli
