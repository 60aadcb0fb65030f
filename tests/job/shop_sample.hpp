#pragma once

#include <string>
#include <string_view>

#include "kerfmark/job/shop.hpp"

namespace sample {

/// Sentences that a shop file may replace, and some that it may not.
inline kerfmark::text::Words few_words() {
  return kerfmark::text::Words({{"language.tag", "en"},
                                {"report.x", "A sentence of the report."},
                                {"step.tape", "Wrap tape round."},
                                {"step.mark", "Mark {left} down and {off} up."},
                                {"note.scrap", "What is cut too short is scrap."},
                                {"note.word_warning", "WARNING"}});
}

inline std::string shop_findings(std::string_view text) {
  std::string shown;
  for (const auto& finding : kerfmark::job::read_shop(text, "shop.toml", few_words()).findings) {
    shown += kerfmark::job::one_line(finding) + "\n";
  }
  return shown;
}

}  // namespace sample
