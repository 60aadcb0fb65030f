#pragma once

#include <string>
#include <vector>

#include "kerfmark/cli/run.hpp"
#include "kerfmark/plan/job.hpp"

/// What each command does, once its words are understood.
namespace kerfmark::cli {

struct PlanRequest {
  std::vector<std::string> files;
  bool json = false;
  bool quiet = false;
  std::string explain;  ///< a limit's id; empty: the whole report
  bool no_colour = false;
  std::string sheet;  ///< empty: none
};
[[nodiscard]] ExitStatus plan_files(const PlanRequest& request);

struct NewRequest {
  plan::Kind kind = plan::Kind::seatpost;
  std::string file;  ///< empty: standard output
};
[[nodiscard]] ExitStatus new_job(const NewRequest& request);

/// Texts as typed; empty: not given.
struct InsertionRequest {
  std::string length, exposed, inserted, mark, minimum, diameter;
};
[[nodiscard]] ExitStatus insertion(const InsertionRequest& request);

[[nodiscard]] ExitStatus rules();

/// Complaints about the command line, one a line, on standard error.
[[nodiscard]] ExitStatus usage(const std::string& complaints);

}  // namespace kerfmark::cli
