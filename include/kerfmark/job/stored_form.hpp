#pragma once

#include <string>
#include <string_view>

#include "kerfmark/plan/job.hpp"

/// A job file as a register keeps it for years.
namespace kerfmark::job {

struct StoredForm {
  std::string job;  ///< TOML without comments, owner and notes
  std::string owner;
  std::string notes;
};

/// Of the text of a file that read_job has passed. Numbers are as short as they round-trip, keys in
/// alphabetical order, lines short enough to be read again.
[[nodiscard]] StoredForm stored_form(std::string_view text);

/// Whether two jobs say the same, wherever in their files they say it.
[[nodiscard]] bool says_the_same(plan::Job one, plan::Job other);

/// Whether the form, read again and with owner and notes put back, says what the job says.
[[nodiscard]] bool keeps(const StoredForm& form, const plan::Job& job);

}  // namespace kerfmark::job
