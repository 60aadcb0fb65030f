#pragma once

#include <optional>
#include <string_view>

#include "kerfmark/plan/job.hpp"

/// What a kind of part is like, for all that shows it.
namespace kerfmark::plan {

struct KindOfPart {
  std::string_view end;  ///< that is cut: "lower", "top", "both"
  int ends = 1;          ///< so many are cut
  /// As it stands in a bicycle, what is left of the part lies above its cut line.
  bool stays_above = false;
  std::string_view setback_key = "";  ///< of what holds the saddle; empty where nothing does
};

[[nodiscard]] const KindOfPart& kind_of_part(Kind kind);

/// Fills in what hangs on several values, once all are read and the defaults are in: rings on hand
/// for a wish for the bar, each a reading of this half-width. Gives the key of a value that lies on
/// the wrong side of another one then. To be called once, before the job is planned.
[[nodiscard]] std::optional<std::string_view> complete(Job& job, Length caliper_half_width);

}  // namespace kerfmark::plan
