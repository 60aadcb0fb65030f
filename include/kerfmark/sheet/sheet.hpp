#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/sizes.hpp"
#include "kerfmark/sheet/pdf_canvas.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::sheet {

/// What a shop puts on its sheets besides what kerfmark has to say.
struct Letterhead {
  std::string name, line;
  std::vector<std::string> steps;  ///< come after the sheet's own
  std::vector<std::string> notes;  ///< likewise
};

/// The place of a sheet in the shop's register.
struct RecordIdentity {
  std::int64_t number = 0;
  std::string hash;  ///< of the record, in hexadecimal
};

struct SheetOptions {
  Paper paper = a4;
  text::Words words;  ///< of the language, with the shop's own texts in it
  Letterhead shop;
  std::string digest;                    ///< of the job's figures; empty: not printed
  std::optional<RecordIdentity> record;  ///< empty: a line to write a sheet number on
  bool record_is_pending = false;        ///< it gets its number later
};

/// A sheet for the bench, as the bytes of a PDF.
struct PrintedSheet {
  std::string pdf;
  std::vector<std::string> cautions;  ///< characters of the job that could not be printed, by name
  std::vector<Ink> ink;               ///< for tests of overlap and margins
};

/// The cut sheet of a plan: the decision with a drawing, the work, a page at true scale for a cut,
/// then what found no room. A hold or reject prints no cut length but under "if the doubt is
/// settled". Same job and options, same bytes.
[[nodiscard]] PrintedSheet print_sheet(const plan::Job& job, const plan::Plan& plan,
                                       const SheetOptions& options);

/// A form that asks for every measure of a job, with a drawing of where each is taken.
[[nodiscard]] PrintedSheet print_blank(plan::Kind kind, const SheetOptions& options);

/// One page to keep: the check of a post as it stands, its picture to scale, how it was measured.
[[nodiscard]] PrintedSheet print_insertion(const plan::InsertionCheck& check,
                                           const SheetOptions& options);

/// What finds room on the page of a run of sizes: rows, sizes times ranges, and parts. So many
/// stand in the smallest print on either paper, whatever their names are.
inline constexpr std::size_t most_rows_of_sizes = 18;
inline constexpr std::size_t most_parts_of_sizes = 8;

/// One page for the stockroom: which part for which size. `file` tells it from others; cautions
/// that find no room on it go behind. The run must not be larger than the above.
[[nodiscard]] PrintedSheet print_sizes(const report::SizesTelling& run,
                                       const std::vector<std::string>& cautions,
                                       const std::string& file, const SheetOptions& options);

}  // namespace kerfmark::sheet
