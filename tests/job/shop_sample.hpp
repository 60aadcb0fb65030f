#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/job/shop.hpp"

namespace sample {

/// Sentences that a shop file may replace, fewer than there are.
inline std::vector<kerfmark::job::ShopText> few_sentences() {
  return {{"note.scrap", "What is cut too short is scrap."},
          {"step.mark", "Mark {left} down and {off} up."},
          {"step.tape", "Wrap tape round."}};
}

inline std::string shop_findings(std::string_view text) {
  std::string shown;
  for (const auto& finding :
       kerfmark::job::read_shop(text, "shop.toml", few_sentences()).findings) {
    shown += kerfmark::job::one_line(finding) + "\n";
  }
  return shown;
}

}  // namespace sample
