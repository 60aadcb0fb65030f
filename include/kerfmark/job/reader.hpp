#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::job {

inline constexpr std::size_t most_bytes = std::size_t{1} << 20;
inline constexpr std::size_t most_bytes_in_a_line = 4096;

struct Outcome {
  std::optional<plan::Job> job;   ///< there when no finding is an error
  std::vector<Finding> findings;  ///< sorted by place, at most most_findings
  std::size_t left_out = 0;       ///< findings that there are besides
};

/// Reads a whole job file. `file_name` is what findings call it; no file is touched. A job that
/// comes back has its defaults filled in, and its triangles exist.
[[nodiscard]] Outcome read_job(std::string_view text, std::string_view file_name);

/// The same, where the shop's own values stand for what the job leaves out: `shop` is the text of a
/// shop file that read_shop has passed. Job::from_shop says which of them changed a figure.
[[nodiscard]] Outcome read_job(std::string_view text, std::string_view file_name,
                               std::string_view shop);

/// Whether a shop file may give the value of this key of a job.
[[nodiscard]] bool is_of_shop(std::string_view path);

/// The same with another table of keys.
[[nodiscard]] Outcome read_job(std::string_view text, std::string_view file_name,
                               std::span<const plan::Key> keys);

}  // namespace kerfmark::job
