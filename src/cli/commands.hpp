#pragma once

#include <string>
#include <vector>

#include "kerfmark/cli/run.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "shop.hpp"

/// What each command does, once its words are understood.
namespace kerfmark::cli {

struct PlanRequest {
  std::vector<std::string> files;
  bool json = false;
  bool csv = false;
  bool owner = false;  ///< stands in the table, too
  bool full = false;
  bool quiet = false;
  std::string explain;  ///< a limit's id; empty: the whole report
  bool no_colour = false;
  std::string sheet;  ///< empty: none
  SheetFlags on_sheet;
  std::string trials;  ///< how many, as typed; empty: none
};
[[nodiscard]] ExitStatus plan_files(const PlanRequest& request);

struct AskRequest {
  plan::Kind kind{};
  std::string file;  ///< empty: by the name of the kind
  std::string shop;
};
[[nodiscard]] ExitStatus ask(const AskRequest& request);

struct NewRequest {
  plan::Kind kind{};
  std::string file;  ///< empty: standard output
  bool full = false;
};
[[nodiscard]] ExitStatus new_job(const NewRequest& request);
[[nodiscard]] ExitStatus new_run(const NewRequest& request);

struct BlankRequest {
  plan::Kind kind{};
  std::string sheet;
  SheetFlags on_sheet;
};
[[nodiscard]] ExitStatus blank_form(const BlankRequest& request);

/// Texts as typed; empty: not given.
struct InsertionRequest {
  std::string length, exposed, inserted, mark, minimum, diameter, line, with;
  bool json = false;
  std::string sheet;
  SheetFlags on_sheet;
};
[[nodiscard]] ExitStatus insertion(const InsertionRequest& request);

struct SizesRequest {
  std::string file;
  std::string cell;  ///< whose job file is wanted
  bool csv = false;
  bool json = false;
  std::string sheet;  ///< empty: none
  SheetFlags on_sheet;
};
[[nodiscard]] ExitStatus sizes(const SizesRequest& request);

struct PageRequest {
  std::string file;
};
/// The page for a browser that was installed with the program, as a file of one's own.
[[nodiscard]] ExitStatus page(const PageRequest& request);

struct RulesRequest {
  std::string shop;
  bool json = false;
};
[[nodiscard]] ExitStatus rules(const RulesRequest& request);

[[nodiscard]] ExitStatus status_of(plan::Verdict verdict);
/// Of a part that is cut, only what was measured afterwards counts.
[[nodiscard]] ExitStatus status_of(const plan::Plan& plan);

/// Complains where a sheet and JSON would be mixed.
inline constexpr const char* two_on_standard_output =
    "--sheet - and --json would both go to standard output; name a file for the sheet";

/// Writes the PDF of a sheet to a file or to standard output.
void write_sheet(const std::string& path, const std::string& pdf);

/// Writes a sheet; what could not be printed on it goes to standard error as a word about `about`.
void write_sheet(const std::string& path, const sheet::PrintedSheet& printed,
                 const std::string& about);

/// Complaints about the command line, one a line, on standard error.
[[nodiscard]] ExitStatus usage(const std::string& complaints);

}  // namespace kerfmark::cli
