#pragma once

#include <cstddef>
#include <set>
#include <string>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/measure/reading.hpp"

namespace kerfmark::job {

/// What a finding says, besides where: see Finding.
struct FindingText {
  text::Phrase said;
  text::Phrase wanted;
  text::Phrase hint;
};

/// The findings of one file, as they turn up: the first by place are kept, and the rest counted. A
/// file can hold a hundred thousand slips, and nobody reads as many.
class FindingList {
 public:
  explicit FindingList(std::string file) : file_(std::move(file)) {}

  void add(FindingCode code, measure::Place place, std::string key, FindingText said);

  /// Whether a finding at this place would be kept: what takes long to find out need not be found
  /// out for the rest.
  [[nodiscard]] bool would_keep(measure::Place place) const;

  /// Whether an error is about this key or about a part of it.
  [[nodiscard]] bool refuse(std::string_view key) const;

  [[nodiscard]] bool any_error() const;

  /// By place; those of one place in the order in which they turned up. At most most_findings.
  [[nodiscard]] const std::vector<Finding>& sorted() const { return kept_; }

  /// How many there are besides.
  [[nodiscard]] std::size_t left_out() const { return left_out_; }

 private:
  std::string file_;
  std::vector<Finding> kept_;  // by place
  std::size_t left_out_ = 0;
  std::set<std::string, std::less<>> refused_;  // keys that errors are about, left out or not
};

}  // namespace kerfmark::job
