#include "commands.hpp"

#include <algorithm>
#include <charconv>
#include <optional>

#include "cores.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/finding.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/plan/trials.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/explain.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/text.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

void print_sheet_of(const PlanRequest& request, const plan::Job& job, const plan::Plan& plan,
                    sheet::SheetOptions options) {
  refuse_unless_pdf_may_go_to(request.sheet, request.files);
  options.digest = report::digest_of(job);
  const sheet::PrintedSheet printed = sheet::print_sheet(job, plan, options);
  write_sheet(request.sheet, printed, request.files.front());
}

std::vector<report::FindingLine> lines_of(const std::vector<job::Finding>& findings) {
  std::vector<report::FindingLine> lines;
  for (const job::Finding& finding : findings) {
    lines.push_back({finding.line, finding.column,
                     finding.key.empty() ? std::nullopt : std::optional(finding.key),
                     job::message(finding)});
  }
  return lines;
}

// How many trials are asked for; empty when that is no number, or none that is made.
std::optional<std::size_t> trials_in(const std::string& text) {
  std::size_t count = 0;
  const char* const stop = text.data() + text.size();
  const auto [end, error] = std::from_chars(text.data(), stop, count);
  const bool sound = error == std::errc{} && end == stop && count >= plan::fewest_trials &&
                     count <= plan::most_trials;
  return sound ? std::optional(count) : std::nullopt;
}

struct Answer {
  std::string text;
  ExitStatus status;
};

Answer bad_file(const PlanRequest& request, const std::string& file,
                const std::vector<report::FindingLine>& lines, std::size_t left_out = 0) {
  return {request.json ? report::json_line(file, lines, left_out) + "\n" : "", ExitStatus::trouble};
}

// The report as asked for: whole, the verdict only, or one limit as a sum.
std::string report_of(const PlanRequest& request, const plan::Job& job, const plan::Plan& plan,
                      const text::Words& words) {
  std::optional<plan::Trials> made;
  if (!request.trials.empty()) {
    ProgressLine line;
    // JSON gives the limits at the cut the plan is about, whatever the verdict.
    made = plan::run_trials(job, plan,
                            {.count = *trials_in(request.trials),
                             .uncut = !request.json && !plan::shown_at_the_cut(plan)},
                            on_all_cores,
                            [&](std::size_t done, std::size_t of) { line.tell(done, of); });
  }
  const plan::Trials* const trials = made ? &*made : nullptr;
  if (request.json) {
    return report::json_line(job, plan, words, trials) + "\n";
  }
  const report::View view = view_of_output(request.no_colour);
  if (request.quiet) {
    return report::verdict_line(job, plan, view, words);
  }
  if (!request.explain.empty()) {
    return report::explain(request.explain, job, plan, view, words).value_or("");
  }
  return report::text_report(job, plan, view, words,
                             request.full ? report::Extent::full : report::Extent::brief, trials);
}

// A limit that this plan does not have is a slip of the command line.
bool explains_nothing(const PlanRequest& request, const plan::Plan& plan) {
  const auto ids = report::limit_ids(plan);
  if (request.explain.empty() || std::ranges::find(ids, request.explain) != ids.end()) {
    return false;
  }
  std::string list;
  for (const std::string& id : ids) {
    list += (list.empty() ? "" : ", ") + id;
  }
  const std::vector<std::string_view> candidates(ids.begin(), ids.end());
  const auto near = job::nearest(request.explain, candidates);
  (void)usage("this job has no limit \"" + request.explain + "\"" +
              (near ? "; did you mean " + std::string(*near) + "?" : "") + " (limits: " + list +
              ")");
  return true;
}

// Reports are English. What a shop may say in other words are steps and notes, and no report has
// those, so the words of an English sheet do for both: reading a language takes a millisecond.
text::Words words_of_reports(const std::optional<sheet::SheetOptions>& options) {
  const std::string_view own = text::languages().front();
  return options && options->words.at("language.tag") == own ? options->words : text::words_in(own);
}

Answer plan_one(const PlanRequest& request, const std::string& file, const ShopFile& shop,
                const text::Words& words, const std::optional<sheet::SheetOptions>& options) {
  std::string text;
  try {
    text = read_whole(file, job::most_bytes);
  } catch (const Trouble& trouble) {
    say("kerfmark: " + text::harmless(trouble.what()) + "\n");
    return bad_file(request, file, {{{}, {}, {}, trouble.what()}});
  }
  const job::Outcome outcome = job::read_job(text, file, shop.text);
  say(job::with_source_lines(outcome.findings, outcome.left_out, text));
  if (!outcome.job) {
    return bad_file(request, file, lines_of(outcome.findings), outcome.left_out);
  }
  const plan::Plan plan = plan::plan_cut(*outcome.job);
  if (explains_nothing(request, plan)) {
    return {"", ExitStatus::trouble};
  }
  if (options) {
    print_sheet_of(request, *outcome.job, plan, *options);
  }
  return {report_of(request, *outcome.job, plan, words), status_of(plan)};
}

// What is wrong with the options of plan; empty when nothing is.
std::string complaints_about(const PlanRequest& request) {
  if (!request.sheet.empty() && request.files.size() > 1) {
    return "--sheet takes one job; plan the files one by one";
  }
  if ((request.json ? 1 : 0) + (request.quiet ? 1 : 0) + (request.explain.empty() ? 0 : 1) > 1) {
    return "give only one of --json, --quiet and --explain";
  }
  if (request.full && (request.json || request.quiet || !request.explain.empty())) {
    return "--full goes with the report only";
  }
  if (!request.trials.empty() && (request.quiet || !request.explain.empty())) {
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

}  // namespace

void write_sheet(const std::string& path, const sheet::PrintedSheet& printed,
                 const std::string& about) {
  write_whole(path, printed.pdf);
  for (const std::string& caution : printed.cautions) {
    say(text::harmless(about) + ": caution: " + caution + "\n");
  }
}

ExitStatus status_of(plan::Verdict verdict) {
  return plan::is_yes(verdict) ? ExitStatus::yes : ExitStatus::no;
}

// Once a part is cut, only that counts which was measured afterwards.
ExitStatus status_of(const plan::Plan& plan) {
  if (!plan.after) {
    return status_of(plan.verdict);
  }
  return plan.after->verdict == plan::AfterVerdict::fit ? ExitStatus::yes : ExitStatus::no;
}

ExitStatus plan_files(const PlanRequest& request) {
  if (const std::string complaints = complaints_about(request); !complaints.empty()) {
    return usage(complaints);
  }
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  std::optional<sheet::SheetOptions> options;
  if (!request.sheet.empty()) {
    options = options_for(request.on_sheet, *shop);
  }
  const text::Words words = words_of_reports(options);
  ExitStatus worst = ExitStatus::yes;
  for (std::size_t i = 0; i < request.files.size(); ++i) {
    Answer answer = plan_one(request, request.files[i], *shop, words, options);
    if (!request.json && request.files.size() > 1 && !answer.text.empty()) {
      const std::string name = text::harmless(request.files[i]);
      answer.text = request.quiet ? name + ": " + answer.text
                                  : (i == 0 ? "" : "\n") + name + "\n" + answer.text;
    }
    print(answer.text);
    worst = std::max(worst, answer.status);
  }
  return worst;
}

ExitStatus new_job(const NewRequest& request) {
  const std::string text = job::job_template(
      request.kind, request.full ? job::TemplateKeys::all : job::TemplateKeys::usual);
  if (request.file.empty()) {
    print(text);
    return ExitStatus::yes;
  }
  create_whole(request.file, text);
  print("Wrote " + text::harmless(request.file) + ". Fill in every \"?\", then: kerfmark plan " +
        text::harmless(request.file) + "\n");
  return ExitStatus::yes;
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
  print("Wrote " + text::harmless(request.sheet) +
        ". Print it, measure, then fill in a job file: kerfmark new " +
        (request.kind == plan::Kind::seatpost ? "seatpost" : "steerer") + "\n");
  return ExitStatus::yes;
}

ExitStatus rules() {
  print(report::rules_table(view_of_output(false), text::words_in("en")));
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
