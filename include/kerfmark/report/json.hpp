#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/trials.hpp"
#include "kerfmark/report/telling.hpp"
#include "kerfmark/text/finding_line.hpp"

namespace kerfmark::report {

/// Where a job comes from, and what its reader said of it.
struct JobFile {
  std::string name = {};                   ///< as it was given; empty: the line does not say
  std::vector<std::string> cautions = {};  ///< besides those of the plan
};

/// The plan as one line of JSON, schema 1, without the line's end. Lengths in millimetres; numbers
/// have nine decimals, never -0; characters outside ASCII are escaped.
[[nodiscard]] std::string json_line(const Telling& telling, const JobFile& file = {},
                                    const plan::Trials* trials = nullptr);

/// The check of a post as it stands, likewise.
[[nodiscard]] std::string json_line(const plan::InsertionCheck& check, const text::Words& words);

/// What stands for a bad file: `{ "schema": 1, "file": …, "findings": […] }`, and
/// "findings_left_out" where there are more.
[[nodiscard]] std::string json_line(std::string_view file,
                                    std::span<const text::FindingLine> findings,
                                    std::size_t left_out = 0);

}  // namespace kerfmark::report
