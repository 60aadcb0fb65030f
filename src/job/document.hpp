#pragma once

#include <optional>
#include <string_view>

#include <toml++/toml.h>

#include "finding_list.hpp"
#include "slips.hpp"

namespace kerfmark::job {

/// The text of a whole file as a table; a finding where it is none, or larger than a file may be.
[[nodiscard]] std::optional<toml::table> read_document(std::string_view text,
                                                       const Example& example,
                                                       FindingList& findings);

}  // namespace kerfmark::job
