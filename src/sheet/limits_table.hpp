#pragma once

#include <string>
#include <vector>

#include "flow.hpp"
#include "kerfmark/report/statement.hpp"

namespace kerfmark::sheet {

/// The places of the limits that a hold or reject is about, most pressing first.
[[nodiscard]] std::vector<std::size_t> limits_in_question(const plan::Judgement& now);

/// The limits of a plan as rows of a table as wide as a page: what each asks for with its source,
/// the bound, the figure, margin, doubt, status and origin.
class LimitsTable {
 public:
  LimitsTable(const std::vector<report::LimitLine>& all, double width_mm, const text::Words& words);

  /// The rows at these places of the statement's list.
  [[nodiscard]] Section section(std::string title, const std::vector<std::size_t>& places) const;
  [[nodiscard]] double height_of_row(std::size_t place) const;
  [[nodiscard]] double height_of_heads() const;

 private:
  [[nodiscard]] Block heads() const;
  [[nodiscard]] Block line(std::size_t place) const;

  const std::vector<report::LimitLine>& all_;
  const text::Words& words_;
  double width_mm_;
  double size_pt_ = 0;
  std::vector<double> widths_mm_;  ///< of the columns, in their order
};

}  // namespace kerfmark::sheet
