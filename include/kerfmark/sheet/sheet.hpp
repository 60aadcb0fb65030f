#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/sheet/pdf_canvas.hpp"

namespace kerfmark::sheet {

/// A sheet for the bench, as the bytes of a PDF.
struct PrintedSheet {
  std::string pdf;
  std::vector<std::string> cautions;  ///< characters of the job that could not be printed, by name
  std::vector<Ink> ink;               ///< for tests of overlap and margins
};

/// The cut sheet of a plan on one A4 page: verdict, figures, limits, steps to tick, boxes for
/// second readings, safety notes, sign-off. A hold or reject prints no cut length but under "if the
/// doubt is settled". Same job, same bytes.
[[nodiscard]] PrintedSheet print_sheet(const plan::Job& job, const plan::Plan& plan);

}  // namespace kerfmark::sheet
