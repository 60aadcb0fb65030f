#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/job.hpp"

namespace kerfmark::sheet {

/// One for each text of the job that has characters which the fonts lack: its key and their code
/// points, "job.owner: U+05D0 (Hebrew)".
[[nodiscard]] std::vector<std::string> lacking_characters(const plan::Job& job);

/// What to say after them.
inline constexpr std::string_view cannot_be_printed =
    "cannot be printed on the sheet; write it in Latin, Greek or Cyrillic letters";

}  // namespace kerfmark::sheet
