#include "notes.hpp"

#include <algorithm>
#include <tuple>

namespace kerfmark::job {

void Notes::add(FindingCode code, measure::Place place, std::string key, Said said) {
  const auto row = std::ranges::find(finding_codes(), code, &CodeRow::code);
  findings_.push_back({row->severity, code, file_, std::max(place.line, 1),
                       std::max(place.column, 1), std::move(key), std::move(said.said),
                       std::move(said.wanted), std::move(said.hint)});
}

bool Notes::refuse(std::string_view key) const {
  return std::ranges::any_of(findings_, [key](const Finding& finding) {
    const std::string_view about = finding.key;
    return finding.severity == Severity::error && about.starts_with(key) &&
           (about.size() == key.size() || about[key.size()] == '.');
  });
}

bool Notes::any_error() const {
  return std::ranges::any_of(findings_,
                             [](const Finding& f) { return f.severity == Severity::error; });
}

std::vector<Finding> Notes::sorted() const {
  std::vector<Finding> findings = findings_;
  std::ranges::stable_sort(findings, [](const Finding& a, const Finding& b) {
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
  });
  return findings;
}

}  // namespace kerfmark::job
