#pragma once

#include <string>
#include <vector>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/sheet/sheet.hpp"

namespace kerfmark::sheet {

/// One for each text of the job and of the shop that has characters which the fonts lack: its key
/// and their code points, "job.owner: U+05D0 (Hebrew)".
[[nodiscard]] std::vector<std::string> lacking_characters(const plan::Job& job,
                                                          const SheetOptions& options);

/// The same of the names in a list of a run: "size-2.name: U+05D0 (Hebrew)".
[[nodiscard]] std::vector<std::string> lacking_in_names(const std::string& key,
                                                        const std::vector<std::string>& names,
                                                        const text::Words& words);

}  // namespace kerfmark::sheet
