#pragma once

#include <string>

/// Records are kept by UTC; people read the time of the machine that they sit at.
namespace kerfmark::cli {

/// "2026-11-20T14:05:09Z" as "2026-11-20 15:05 +01:00"; what is no such text stays as it is.
[[nodiscard]] std::string local_time(const std::string& utc);

/// When a day, "2026-11-20", begins here, or so many days later: "2026-11-19T23:00:00Z".
[[nodiscard]] std::string beginning_of_day(const std::string& day, int days_later = 0);

/// A moment as it is kept.
[[nodiscard]] std::string now_utc();

}  // namespace kerfmark::cli
