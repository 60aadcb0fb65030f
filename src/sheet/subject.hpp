#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/sheet/sheet.hpp"

namespace kerfmark::sheet {

/// What all pages of one sheet are about.
struct Subject {
  const plan::Job& job;
  const plan::Plan& plan;
  const SheetOptions& options;
  report::Statement says;
  std::vector<std::string> lacking;  ///< characters of the job that cannot be printed

  [[nodiscard]] const text::Words& words() const { return options.words; }
};

}  // namespace kerfmark::sheet
