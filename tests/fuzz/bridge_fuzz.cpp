#include <optional>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

#include "bridge.hpp"
#include "fuzz.hpp"
#include "kerfmark/measure/invariant.hpp"

/// Requests of the page, whatever their bytes: each has an answer, and what the page shows of a job
/// is what the program's own line of JSON says of it.
using namespace kerfmark;

namespace {

using Json = nlohmann::json;

Json told(std::string_view verb, std::string_view job) {
  const std::string answer = page::ask(std::string(verb) + "\nlanguage=de\n\n" + std::string(job));
  require(answer.starts_with('+'), "a question about a job without an answer");
  return Json::parse(answer.substr(1));
}

std::string_view job_in(std::string_view request) {
  const std::size_t end = request.find("\n\n");
  return end == std::string_view::npos ? request : request.substr(end + 2);
}

void check_job(std::string_view job) {
  const Json shown = told("judge", job);
  const Json line = told("json", job);
  require(shown.contains("verdict") != line.contains("findings"), "a verdict beside findings");
  if (!shown.contains("verdict")) {
    return;
  }
  const Json& now = line.contains("after") && !line["after"].is_null() ? line["after"] : line;
  require(shown["verdict"] == now["verdict"], "the page shows another verdict");
  require(shown["digest"] == line["digest"], "the page shows another digest");
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): bytes as text
  const std::string_view request(reinterpret_cast<const char*>(data), size);
  const std::string answer = page::ask(request);
  require(answer == "!" || answer.starts_with('+'), "an answer that is none");
  check_job(job_in(request));
  return 0;
}
