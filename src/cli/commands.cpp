#include "commands.hpp"

#include <algorithm>
#include <charconv>
#include <iostream>
#include <optional>

#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/finding.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/explain.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/text.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

using plan::Length;

ExitStatus status_of(plan::Verdict verdict) {
  return plan::is_yes(verdict) ? ExitStatus::yes : ExitStatus::no;
}

void print_sheet_of(const PlanRequest& request, const plan::Job& job, const plan::Plan& plan) {
  refuse_unless_pdf_may_go_to(request.sheet, request.files.front());
  const sheet::PrintedSheet printed = sheet::print_sheet(job, plan);
  write_whole(request.sheet, printed.pdf);
  for (const std::string& caution : printed.cautions) {
    std::cerr << text::harmless(request.files.front()) << ": caution: " << caution << "\n";
  }
}

void print_findings(const job::Outcome& outcome, std::string_view source) {
  for (const job::Finding& finding : outcome.findings) {
    std::cerr << job::with_source_line(finding, source);
  }
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

struct Answer {
  std::string text;
  ExitStatus status;
};

Answer bad_file(const PlanRequest& request, const std::string& file,
                const std::vector<report::FindingLine>& lines) {
  return {request.json ? report::json_line(file, lines) + "\n" : "", ExitStatus::trouble};
}

// The report as asked for: whole, the verdict only, or one limit as a sum.
std::string report_of(const PlanRequest& request, const plan::Job& job, const plan::Plan& plan) {
  if (request.json) {
    return report::json_line(job, plan) + "\n";
  }
  const report::View view = view_of_output(request.no_colour);
  if (request.quiet) {
    return report::verdict_line(job, plan, view);
  }
  if (!request.explain.empty()) {
    return report::explain(request.explain, job, plan, view).value_or("");
  }
  return report::text_report(job, plan, view);
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

Answer plan_one(const PlanRequest& request, const std::string& file) {
  std::string text;
  try {
    text = read_whole(file, job::most_bytes);
  } catch (const Trouble& trouble) {
    std::cerr << "kerfmark: " << text::harmless(trouble.what()) << "\n";
    return bad_file(request, file, {{{}, {}, {}, trouble.what()}});
  }
  const job::Outcome outcome = job::read_job(text, file);
  print_findings(outcome, text);
  if (!outcome.job) {
    return bad_file(request, file, lines_of(outcome.findings));
  }
  const plan::Plan plan = plan::plan_cut(*outcome.job);
  if (explains_nothing(request, plan)) {
    return {"", ExitStatus::trouble};
  }
  if (!request.sheet.empty()) {
    print_sheet_of(request, *outcome.job, plan);
  }
  return {report_of(request, *outcome.job, plan), status_of(plan.verdict)};
}

// A length as an option has it: a number in millimetres, or a text with its unit.
class Lengths {
 public:
  std::optional<Length> read(const std::string& option, const std::string& text,
                             plan::Range plausible) {
    if (text.empty()) {
      return std::nullopt;
    }
    const std::string with_unit = is_plain_number(text) ? text + " mm" : text;
    const auto read = measure::read_quantity<measure::Dimension::length>(with_unit);
    if (const auto* misread = std::get_if<measure::Misread>(&read)) {
      complain(option, text, misread->wrong + "; write " + misread->write);
      return std::nullopt;
    }
    const Length length = std::get<Length>(read);
    if (length.in_mm() < plausible.least || length.in_mm() > plausible.most) {
      complain(option, text,
               "is not plausible; " + report::plain(plausible.least) + " to " +
                   report::plain(plausible.most) + " mm is");
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

  void complain(const std::string& option, const std::string& text, const std::string& what) {
    complaints_ += (complaints_.empty() ? "" : "\n") + option + " " + text + ": " + what;
  }

  std::string complaints_;
};

plan::Range range_of(std::string_view path) { return *plan::key_at(path).facts.range; }

}  // namespace

ExitStatus plan_files(const PlanRequest& request) {
  if (!request.sheet.empty() && request.files.size() > 1) {
    return usage("--sheet takes one job; plan the files one by one");
  }
  if ((request.json ? 1 : 0) + (request.quiet ? 1 : 0) + (request.explain.empty() ? 0 : 1) > 1) {
    return usage("--json, --quiet and --explain exclude each other");
  }
  ExitStatus worst = ExitStatus::yes;
  for (std::size_t i = 0; i < request.files.size(); ++i) {
    Answer answer = plan_one(request, request.files[i]);
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
  const std::string text = job::job_template(request.kind);
  if (request.file.empty()) {
    print(text);
    return ExitStatus::yes;
  }
  create_whole(request.file, text);
  print("Wrote " + text::harmless(request.file) + ". Fill in what is marked, then: kerfmark plan " +
        text::harmless(request.file) + "\n");
  return ExitStatus::yes;
}

ExitStatus insertion(const InsertionRequest& request) {
  Lengths lengths;
  const plan::Range inserted_range{0.0, range_of("post.length").most};
  const plan::PostAsItStands post{
      .length = lengths.read("--length", request.length, range_of("post.length")),
      .exposed = lengths.read("--exposed", request.exposed, range_of("mock_up.exposed_bottomed")),
      .inserted = lengths.read("--inserted", request.inserted, inserted_range),
      .mark = lengths.read("--mark", request.mark, range_of("post.mark")),
      .minimum = lengths.read("--minimum", request.minimum, range_of("post.min_insertion")),
      .diameter = lengths.read("--diameter", request.diameter, range_of("post.diameter"))};
  if (!lengths.complaints().empty()) {
    return usage(lengths.complaints());
  }
  const bool both_ways = post.inserted && (post.length || post.exposed);
  if (both_ways || !(post.inserted || (post.length && post.exposed))) {
    return usage(both_ways ? "give --inserted, or --length and --exposed, not both"
                           : "give --inserted, or --length and --exposed");
  }
  if (post.length && post.exposed && *post.exposed > *post.length) {
    return usage("--exposed: more shows than the post is long; measure both again");
  }
  if (!post.mark && !post.minimum && !post.diameter) {
    return usage(
        "give what the insertion is held against: --mark (printed on the post; measure from the "
        "lower "
        "end up to it), --minimum (from its maker) or --diameter");
  }
  const plan::InsertionCheck check = plan::check_insertion(post);
  print(report::insertion_report(check, view_of_output(false)));
  return status_of(check.verdict);
}

ExitStatus rules() {
  print(report::rules_table(view_of_output(false)));
  return ExitStatus::yes;
}

ExitStatus usage(const std::string& complaints) {
  std::size_t start = 0;
  while (start < complaints.size()) {
    const std::size_t end = std::min(complaints.find('\n', start), complaints.size());
    std::cerr << "kerfmark: " << text::harmless(complaints.substr(start, end - start)) << "\n";
    start = end + 1;
  }
  return ExitStatus::trouble;
}

}  // namespace kerfmark::cli
