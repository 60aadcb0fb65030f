#include <string>

#include "fuzz.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/measure/invariant.hpp"

using namespace kerfmark;

namespace {

// What must hold of every outcome, whatever the file.
void check(const job::Outcome& outcome, std::string_view text) {
  bool has_error = false;
  int line = 0;
  for (const job::Finding& finding : outcome.findings) {
    has_error = has_error || finding.severity == job::Severity::error;
    require(finding.line >= line && finding.column >= 1, "findings are not sorted by place");
    line = finding.line;
    const std::string shown = job::with_source_line(finding, text);
    for (const char c : shown) {
      const auto byte = static_cast<unsigned char>(c);
      require(byte >= 0x20 || c == '\n' || c == '\t', "a control character was shown");
    }
    require(shown.find("; ") != std::string::npos, "a finding does not say what to write");
  }
  require(outcome.job.has_value() != has_error, "neither a job nor an error");
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(data, data + size);
  const job::Outcome outcome = job::read_job(text, "fuzz.toml");
  check(outcome, text);
  require(job::read_job(text, "fuzz.toml").findings == outcome.findings,
          "the same file gives other findings");
  require(!outcome.job || job::keeps(job::stored_form(text), *outcome.job),
          "what a register stores is not what the job says");
  return 0;
}
