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
#include "kerfmark/report/sizes.hpp"
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

}  // namespace

ExitStatus sizes(const SizesRequest& request) {
  if (request.csv && request.json) {
    return usage("give only one of --csv and --json");
  }
  const auto shop = find_shop(request.shop);
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
  if (!outcome.sound()) {
    (void)say_all(outcome.findings, text, outcome);
    return ExitStatus::trouble;
  }
  const job::SizeRun& run = outcome.run;
  Planned planned = plan_all(run, shop->text);
  const auto of_parts = run.findings_of_parts(shop->text);
  planned.findings.insert(planned.findings.end(), of_parts.begin(), of_parts.end());
  planned.findings.insert(planned.findings.end(), outcome.findings.begin(), outcome.findings.end());
  if (!say_all(std::move(planned.findings), text, outcome)) {
    return ExitStatus::trouble;
  }
  const plan::LeastSet least = plan::least_set(planned.matrix);
  const plan::LeastSet whole = plan::least_set(plan::without_cuts(planned.matrix));
  const report::SizesTelling telling{run.kind(),     run.sizes(), run.ranges(), run.parts(),
                                     planned.matrix, least,       whole};
  if (!request.cell.empty()) {
    const auto cell = telling.cell_of(request.cell);
    if (!cell) {
      return usage("the run has no cell \"" + request.cell + "\"; the first is \"" +
                   telling.cell_name(0, 0) + "\"");
    }
    print(run.job_of(
        {cell->first / run.ranges().size(), cell->first % run.ranges().size(), cell->second}));
    return ExitStatus::yes;
  }
  if (request.csv) {
    print_as_it_is(report::sizes_csv(telling));
  } else if (request.json) {
    print(report::sizes_json(telling) + "\n");
  } else {
    print(report::sizes_text(telling, view_of_output(false),
                             text::words_in(text::languages().front())));
  }
  const bool all =
      std::ranges::all_of(least.serves, [](const auto& one) { return one.has_value(); });
  return all ? ExitStatus::yes : ExitStatus::no;
}

}  // namespace kerfmark::cli
