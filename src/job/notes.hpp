#pragma once

#include <string>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/measure/reading.hpp"

namespace kerfmark::job {

/// What a finding says, besides where: see Finding.
struct Said {
  std::string said;
  std::string wanted;
  std::string hint;
};

/// The findings of one file, as they turn up.
class Notes {
 public:
  explicit Notes(std::string file) : file_(std::move(file)) {}

  void add(FindingCode code, measure::Place place, std::string key, Said said);

  /// Whether an error is about this key or about a part of it.
  [[nodiscard]] bool refuse(std::string_view key) const;

  [[nodiscard]] bool any_error() const;

  /// By place; those of one place in the order in which they turned up.
  [[nodiscard]] std::vector<Finding> sorted() const;

 private:
  std::string file_;
  std::vector<Finding> findings_;
};

}  // namespace kerfmark::job
