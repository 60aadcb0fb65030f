#pragma once

#include <string_view>

#include "finding_list.hpp"
#include "kerfmark/measure/reading.hpp"

namespace kerfmark::job {

/// What stands in a file of one sort, for advice on how to write it.
struct Example {
  text::Sentence sort;      ///< "job", as in "no job is that large"
  std::string_view header;  ///< of a table
  std::string_view line;    ///< a key with its value
  text::Sentence value;     ///< what may stand behind a =
  std::string_view list;
  text::Sentence whole;  ///< to compare a broken file with
};

inline constexpr Example example_of_a_job{.sort = "finding.thing.job",
                                          .header = "[saddle]",
                                          .line = "height = 607",
                                          .value = "finding.mend.number_or_text",
                                          .list = "[212, 212.5]",
                                          .whole = "finding.mend.fresh_job"};

/// The finding for a text that is not TOML, from where the parser stopped and what it said. For
/// the usual slips it says what to write instead.
void add_slip(std::string_view text, measure::Place stopped, std::string_view description,
              const Example& example, FindingList& findings);

}  // namespace kerfmark::job
