#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/plan/job.hpp"

/// A run file: many frame sizes, saddle ranges and parts, each with each, of which every one is a
/// job. What all have in common stands in it as in a job file; the lists [[size]], [[range]] and
/// [[part]] have a name each and the keys of a job in which they differ.
namespace kerfmark::job {

/// Of the jobs of one run (common practice: more than anybody makes frames and posts for).
inline constexpr std::size_t most_cells = 4'000'000;

/// Which of each list, from 0.
struct CellPlace {
  std::size_t size = 0, range = 0, part = 0;
};

class SizeRun {
 public:
  SizeRun();
  SizeRun(SizeRun&&) noexcept;
  SizeRun& operator=(SizeRun&&) noexcept;
  ~SizeRun();

  [[nodiscard]] plan::Kind kind() const;
  [[nodiscard]] const std::vector<std::string>& sizes() const;
  /// One without a name where the run has none.
  [[nodiscard]] const std::vector<std::string>& ranges() const;
  [[nodiscard]] const std::vector<std::string>& parts() const;

  /// The job file of a cell.
  [[nodiscard]] std::string job_of(const CellPlace& place) const;

  /// Calls `with` with the place in parts() and the job of each cell of a row: a size at a range. A
  /// job that the reader refuses is none; what it says comes back, placed in the run. May be called
  /// for several rows at once. Every part must have been tried by findings_of_parts().
  std::vector<Finding> each_of_row(
      const CellPlace& row, std::string_view shop,
      const std::function<void(std::size_t, const plan::Job&)>& with) const;

  /// What the reader says of the first row with each part.
  [[nodiscard]] std::vector<Finding> findings_of_parts(std::string_view shop) const;

 private:
  friend class RunReader;
  struct Lists;
  std::unique_ptr<Lists> lists_;
};

struct RunOutcome {
  std::vector<Finding> findings;  ///< none is an error: the run can be used
  std::size_t left_out = 0;
  SizeRun run;
  std::string geometry_file, geometry;  ///< name and text of the CSV file; empty: there is none
  [[nodiscard]] bool sound() const;
};

/// `read_file` gives the text of the file that the run names for its geometry.
[[nodiscard]] RunOutcome read_run(std::string_view text, std::string_view file_name,
                                  const std::function<std::string(const std::string&)>& read_file);

/// Whether a text has the lists of a run file, which no job has.
[[nodiscard]] bool has_lists_of_a_run(std::string_view text);

/// A run file to be filled in.
[[nodiscard]] std::string run_template();

}  // namespace kerfmark::job
