#pragma once

#include <string>
#include <string_view>

namespace kerfmark::page {

/// Answers one request of the page. A request is a verb, lines "name=value", an empty line and a
/// body, mostly a job file. An answer is "+" and what was asked for, or "!" for a request that is
/// none, or one that needs a job and has a broken one.
[[nodiscard]] std::string ask(std::string_view request);

}  // namespace kerfmark::page
