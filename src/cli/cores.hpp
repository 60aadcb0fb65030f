#pragma once

#include <cstddef>
#include <functional>

namespace kerfmark::cli {

/// Runs task(0) … task(count − 1), each once, in no order, on every core that the process may use.
/// The first exception of a task comes out when all threads have ended.
void on_all_cores(std::size_t count, const std::function<void(std::size_t)>& task);

}  // namespace kerfmark::cli
