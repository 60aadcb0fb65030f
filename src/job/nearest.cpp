#include "kerfmark/job/nearest.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace kerfmark::job {
namespace {

// No known word is longer; beyond it nothing is near anyway.
constexpr std::size_t longest_word = 40;

char small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

constexpr std::string_view american = "aluminum";
constexpr std::string_view british = "aluminium";

}  // namespace

bool is_same_word(std::string_view a, std::string_view b) {
  return std::ranges::equal(a, b, [](char x, char y) { return small(x) == small(y); });
}

std::optional<std::size_t> place_of_word(std::string_view word,
                                         std::span<const std::string_view> words) {
  const std::string_view meant = is_same_word(word, american) ? british : word;
  const auto found = std::ranges::find_if(
      words, [&](std::string_view known) { return is_same_word(known, meant); });
  return found == words.end() ? std::nullopt : std::optional<std::size_t>(found - words.begin());
}

std::size_t slips_between(std::string_view a, std::string_view b) {
  // Optimal string alignment: three rows of the table are enough for the swap of neighbours.
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) {
    last[j] = j;
  }
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const bool same = small(a[i - 1]) == small(b[j - 1]);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0U : 1U)});
      if (i > 1 && j > 1 && small(a[i - 1]) == small(b[j - 2]) &&
          small(a[i - 2]) == small(b[j - 1])) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    before.swap(last);
    last.swap(row);
  }
  return last[b.size()];
}

std::optional<std::string_view> nearest(std::string_view word,
                                        std::span<const std::string_view> candidates) {
  if (word.size() > longest_word) {
    return std::nullopt;
  }
  std::size_t fewest = 1 + word.size() / 4;
  std::optional<std::string_view> found;
  for (const std::string_view candidate : candidates) {
    const std::size_t longer = std::max(word.size(), candidate.size());
    if (longer - std::min(word.size(), candidate.size()) > fewest) {
      continue;
    }
    const std::size_t slips = slips_between(word, candidate);
    // A word in which every letter must change is no slip of this one.
    if (slips >= longer) {
      continue;
    }
    if (slips < fewest || (slips == fewest && !found)) {
      fewest = slips;
      found = candidate;
    }
  }
  return found;
}

}  // namespace kerfmark::job
