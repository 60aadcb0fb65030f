#pragma once

#include <toml++/toml.h>

#include "document.hpp"
#include "finding_list.hpp"

namespace kerfmark::job {

/// What a shop file is, in findings.
inline constexpr Example example_of_a_shop{.sort = "finding.thing.shop_file",
                                           .header = "[texts]",
                                           .line = R"(name = "Corner workshop")",
                                           .value = "finding.mend.text_in_quotes",
                                           .list = R"(["first", "second"])",
                                           .whole = "finding.mend.example_in_manual"};

/// Whether a table of this name in a shop file has values that a job may leave out.
[[nodiscard]] bool is_table_of_shop(std::string_view table);
/// The names of those tables.
[[nodiscard]] std::vector<std::string_view> tables_of_shop();

/// Reads those values as a job's are read; the findings go on.
void check_values_of_shop(toml::table document, FindingList& findings);

}  // namespace kerfmark::job
