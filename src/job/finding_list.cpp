#include "finding_list.hpp"

#include <algorithm>
#include <tuple>

namespace kerfmark::job {

namespace {

measure::Place from_one(measure::Place place) {
  return {std::max(place.line, 1), std::max(place.column, 1)};
}

bool is_before(measure::Place place, const Finding& finding) {
  return std::tie(place.line, place.column) < std::tie(finding.line, finding.column);
}

}  // namespace

void FindingList::add(FindingCode code, measure::Place place, std::string key, FindingText said) {
  const auto row = std::ranges::find(finding_codes(), code, &CodeRow::code);
  if (row->severity == Severity::error) {
    refused_.insert(key);
  }
  if (!would_keep(place)) {
    ++left_out_;
    return;
  }
  place = from_one(place);
  const auto at = std::upper_bound(kept_.begin(), kept_.end(), place, is_before);
  kept_.insert(at, {row->severity, code, file_, place.line, place.column, std::move(key),
                    std::move(said.said), std::move(said.wanted), std::move(said.hint)});
  if (kept_.size() > most_findings) {
    kept_.pop_back();
    ++left_out_;
  }
}

bool FindingList::would_keep(measure::Place place) const {
  return kept_.size() < most_findings || is_before(from_one(place), kept_.back());
}

bool FindingList::refuse(std::string_view key) const {
  const std::string part = std::string(key) + ".";
  const auto first_part = refused_.lower_bound(part);
  return refused_.contains(key) || (first_part != refused_.end() && first_part->starts_with(part));
}

bool FindingList::any_error() const { return !refused_.empty(); }

}  // namespace kerfmark::job
