#include "kerfmark/job/sizes.hpp"

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <mutex>
#include <utility>

#include "commands.hpp"
#include "cores.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/plan/sizes.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/sizes.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/words.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

using job::Finding;
using job::Severity;

// Every cell of a row may say the same of what its row has, and every row the same of a part.
void keep_one_of_each(std::vector<Finding>& findings) {
  const auto place = [](const Finding& one) {
    return std::tuple(one.file, one.line, one.column, one.key, job::message(one));
  };
  std::ranges::sort(findings, {}, place);
  const auto rest = std::ranges::unique(findings, {}, place);
  findings.erase(rest.begin(), rest.end());
}

// By the file they are in, each with its line.
bool say_all(std::vector<Finding> findings, const std::string& text, const job::RunOutcome& run) {
  keep_one_of_each(findings);
  const auto in_geometry = [&](const Finding& one) { return one.file == run.geometry_file; };
  const auto middle = std::ranges::stable_partition(findings, in_geometry).begin();
  const std::span<const Finding> geometry(findings.begin(), middle);
  const std::span<const Finding> own(middle, findings.end());
  const auto told = [](std::span<const Finding> some, const std::string& source) {
    const std::size_t shown = std::min(some.size(), job::most_findings);
    say(job::with_source_lines(some.first(shown), some.size() - shown, source));
  };
  told(geometry, run.geometry);
  told(own, text);
  return std::ranges::none_of(findings,
                              [](const Finding& one) { return one.severity == Severity::error; });
}

struct Planned {
  plan::SizeMatrix matrix;
  std::vector<Finding> findings;
};

Planned plan_all(const job::SizeRun& run, const std::string& shop) {
  Planned planned;
  planned.matrix.parts = run.parts().size();
  const std::size_t rows = run.sizes().size() * run.ranges().size();
  planned.matrix.cells.resize(rows * planned.matrix.parts);
  ProgressLine progress("sizes");
  std::mutex adding;
  std::atomic<std::size_t> done = 0;
  on_all_cores(rows, [&](std::size_t row) {
    auto said = run.each_of_row({row / run.ranges().size(), row % run.ranges().size(), 0}, shop,
                                [&](std::size_t part, const plan::Job& job) {
                                  planned.matrix.cells[row * planned.matrix.parts + part] =
                                      plan::cell_of(job);
                                });
    progress.tell(++done, rows);
    const std::scoped_lock one(adding);
    planned.findings.insert(planned.findings.end(), said.begin(), said.end());
  });
  return planned;
}

std::string in_the_folder_of(const std::string& run, const std::string& name) {
  return (std::filesystem::path(run == standard ? "" : run).parent_path() / name).string();
}

job::CellPlace place_of(const job::SizeRun& run, std::size_t row, std::size_t part) {
  return {row / run.ranges().size(), row % run.ranges().size(), part};
}

// ---- the sheet ----

// What has to be thought of with the parts that serve, each sentence once.
std::vector<std::string> cautions_of(const job::SizeRun& run, const report::SizesTelling& telling,
                                     const std::string& shop, const text::Words& words) {
  std::vector<std::string> cautions;
  const auto add_those_of = [&](std::size_t row, std::size_t part) {
    const job::Outcome outcome = job::read_job(run.job_of(place_of(run, row, part)), {}, shop);
    const plan::Plan plan = plan::plan_cut(*outcome.job);
    for (const plan::Caution caution : plan.cautions) {
      std::string sentence = report::caution(caution, {*outcome.job, plan, words});
      if (std::ranges::find(cautions, sentence) == cautions.end()) {
        cautions.push_back(std::move(sentence));
      }
    }
  };
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    for (const plan::LeastSet* set : {&telling.least, &telling.whole}) {
      if (const auto part = set->serves[row]) {
        add_those_of(row, *part);
      }
    }
  }
  return cautions;
}

// Of the figures of all jobs under their names, in their order.
std::string digest_of(const job::SizeRun& run, const report::SizesTelling& telling,
                      const std::string& shop) {
  std::string figures;
  for (std::size_t row = 0; row < telling.matrix.rows(); ++row) {
    for (std::size_t part = 0; part < telling.matrix.parts; ++part) {
      const job::Outcome outcome = job::read_job(run.job_of(place_of(run, row, part)), {}, shop);
      figures += telling.cell_name(row, part) + "\n" + report::figures_of(*outcome.job);
    }
  }
  return report::digest_of_figures(figures);
}

std::string too_large_for_a_sheet(const job::SizeRun& run) {
  const std::size_t rows = run.sizes().size() * run.ranges().size();
  if (rows <= sheet::most_rows_of_sizes && run.parts().size() <= sheet::most_parts_of_sizes) {
    return {};
  }
  return "--sheet: the run has " + std::to_string(rows) + " rows (sizes x ranges) and " +
         std::to_string(run.parts().size()) + " parts, and one page holds " +
         std::to_string(sheet::most_rows_of_sizes) + " and " +
         std::to_string(sheet::most_parts_of_sizes) +
         "; print it in several runs, or take --csv into a spreadsheet";
}

void print_sheet_of(const SizesRequest& request, const job::RunOutcome& outcome,
                    const report::SizesTelling& telling, const ShopFile& shop) {
  std::vector<std::string> inputs = {request.file, shop.path};
  if (!outcome.geometry_file.empty()) {
    inputs.push_back(in_the_folder_of(request.file, outcome.geometry_file));
  }
  refuse_unless_pdf_may_go_to(request.sheet, inputs);
  sheet::SheetOptions options = options_for(request.on_sheet, shop);
  options.digest = digest_of(outcome.run, telling, shop.text);
  const auto cautions = cautions_of(outcome.run, telling, shop.text, options.words);
  const std::string name =
      request.file == standard ? "" : std::filesystem::path(request.file).filename().string();
  write_sheet(request.sheet, sheet::print_sizes(telling, cautions, name, options),
              name_of_input(request.file));
}

// What is wrong with the options; empty when nothing is.
std::string complaints_about(const SizesRequest& request) {
  if ((request.csv ? 1 : 0) + (request.json ? 1 : 0) + (request.cell.empty() ? 0 : 1) > 1) {
    return "give only one of --csv, --json and --cell";
  }
  if (!request.cell.empty() && !request.sheet.empty()) {
    return "--cell prints a job file; for its sheet: kerfmark plan that file --sheet PDF";
  }
  if (request.sheet == standard && (request.json || request.csv)) {
    return request.json ? two_on_standard_output
                        : "--sheet - and --csv would both go to standard output; name a file for "
                          "the sheet";
  }
  SheetFlags about_the_sheet = request.on_sheet;
  about_the_sheet.shop.clear();  // what it gives counts without a sheet too
  return complaints_about(about_the_sheet, !request.sheet.empty());
}

// Of a file that is read well and has nothing of a run; goes on from its name.
std::string why_no_run(const job::RunOutcome& outcome, const std::string& text) {
  const bool readable = std::ranges::find(outcome.findings, job::FindingCode::not_toml,
                                          &Finding::code) == outcome.findings.end();
  const bool is_run = !outcome.geometry_file.empty() || job::has_lists_of_a_run(text);
  return outcome.sound() || is_run || !readable
             ? std::string{}
             : " has no lists [[size]] and [[part]], so it is no run file; for a job: kerfmark "
               "plan; "
               "for a run file to fill in: kerfmark new sizes run.toml";
}

ExitStatus print_cell(const job::SizeRun& run, const report::SizesTelling& telling,
                      const std::string& name) {
  const auto cell = telling.cell_of(name);
  if (!cell) {
    return usage("the run has no cell \"" + name + "\"; the first is \"" + telling.cell_name(0, 0) +
                 "\"");
  }
  print(run.job_of(place_of(run, cell->first, cell->second)));
  return ExitStatus::yes;
}

void print_answer(const SizesRequest& request, const report::SizesTelling& telling) {
  if (request.csv) {
    report::sizes_csv(telling, print_as_it_is);
  } else if (request.json) {
    report::sizes_json(telling, print_as_it_is);
  } else {
    print_beside(request.sheet, report::sizes_text(telling, view_of_output(false),
                                                   text::words_in(text::languages().front())));
  }
}

}  // namespace

ExitStatus sizes(const SizesRequest& request) {
  if (const std::string wrong = complaints_about(request); !wrong.empty()) {
    return usage(wrong);
  }
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  const std::string text = read_input(request.file, job::most_bytes);
  job::RunOutcome outcome =
      job::read_run(text, name_of_input(request.file), [&](const std::string& name) {
        constexpr std::size_t most =
            16 * job::most_bytes;  // a line for each size, and many of them
        return read_whole(in_the_folder_of(request.file, name), most);
      });
  if (const std::string why = why_no_run(outcome, text); !why.empty()) {
    return usage(name_of_input(request.file) + why);
  }
  if (!outcome.sound()) {
    (void)say_all(outcome.findings, text, outcome);
    return ExitStatus::trouble;
  }
  const job::SizeRun& run = outcome.run;
  if (const std::string large = too_large_for_a_sheet(run);
      !request.sheet.empty() && !large.empty()) {
    return usage(large);
  }
  Planned planned = plan_all(run, shop->text);
  const auto of_parts = run.findings_of_parts(shop->text);
  planned.findings.insert(planned.findings.end(), of_parts.begin(), of_parts.end());
  planned.findings.insert(planned.findings.end(), outcome.findings.begin(), outcome.findings.end());
  if (!say_all(std::move(planned.findings), text, outcome)) {
    return ExitStatus::trouble;
  }
  const plan::LeastSet least = plan::least_set(planned.matrix);
  const plan::LeastSet whole = plan::least_set(planned.matrix, plan::Sawing::none);
  const report::SizesTelling telling{run.kind(),     run.sizes(), run.ranges(), run.parts(),
                                     planned.matrix, least,       whole};
  if (!request.cell.empty()) {
    return print_cell(run, telling, request.cell);
  }
  if (!request.sheet.empty()) {
    print_sheet_of(request, outcome, telling, *shop);
  }
  print_answer(request, telling);
  const bool all =
      std::ranges::all_of(least.serves, [](const auto& one) { return one.has_value(); });
  return all ? ExitStatus::yes : ExitStatus::no;
}

}  // namespace kerfmark::cli
