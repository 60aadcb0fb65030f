#pragma once

#include <string>

#include "kerfmark/plan/job.hpp"

namespace kerfmark::job {

/// A commented job file to fill in, made from the tables of keys and of help. Lines that begin with
/// '#' and a letter or bracket are keys and tables to be taken in; needed ones end in NEEDED.
[[nodiscard]] std::string job_template(plan::Kind kind);

}  // namespace kerfmark::job
