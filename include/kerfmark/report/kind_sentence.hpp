#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/words.hpp"

namespace kerfmark::report {

/// A sentence that kinds of part have in words of their own: "report.next.keep" is that of a
/// steerer under "report.next.keep_steerer", and where there is none of its own, the one under the
/// key itself. Kinds are named as their tables are. A literal that leaves a kind without a sentence
/// does not compile.
class KindSentence {
 public:
  template <std::size_t size>
  consteval KindSentence(const char (&key)[size])
      : by_kind_(all(std::string_view(key, size - 1))) {}

  [[nodiscard]] constexpr text::Sentence of(plan::Kind kind) const {
    return text::Sentence::numbered(by_kind_.at(static_cast<std::size_t>(kind)));
  }

 private:
  using ByKind = std::array<std::size_t, plan::number_of_kinds>;
  static constexpr std::size_t longest = 100;

  static consteval std::size_t one(std::string_view key, std::string_view table) {
    std::array<char, longest> own{};
    auto end = std::copy(key.begin(), key.end(), own.begin());
    *end++ = '_';
    end = std::copy(table.begin(), table.end(), end);
    const std::string_view whole(own.data(), key.size() + 1 + table.size());
    const auto found = text::Sentence::named(whole);
    return (found ? found : text::Sentence::named(key)).value().number();
  }
  static consteval ByKind all(std::string_view key) {
    ByKind found{};
    for (std::size_t kind = 0; kind < found.size(); ++kind) {
      found[kind] = one(key, plan::part_tables[kind]);
    }
    return found;
  }

  ByKind by_kind_;  ///< numbers of sentences
};

}  // namespace kerfmark::report
