#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "kerfmark/job/finding.hpp"
#include "kerfmark/plan/house.hpp"
#include "kerfmark/text/words.hpp"

/// The shop file: what a workshop wants on all its sheets, and where it keeps its register.
namespace kerfmark::job {

enum class PaperSize { a4, letter };

/// How paper sizes are called, in the order of the enumeration.
[[nodiscard]] std::span<const std::string_view> paper_words();

/// The key of a sentence, and a text of the shop's own for it.
using ShopText = std::pair<std::string, std::string>;

/// Texts as they were written; empty or without a value: not given.
struct Shop {
  std::string name, line;
  std::optional<PaperSize> paper;
  std::string language;       ///< a tag of languages(), of the sheet and of `texts`
  std::string register_file;  ///< relative to the folder of the shop file
  std::vector<std::string> steps, notes;
  std::vector<ShopText> texts;  ///< what replaces sentences of the sheet
  bool operator==(const Shop&) const = default;
};

struct PaperSlot {};
struct LanguageSlot {};
struct SentencesSlot {};

struct ShopKey {
  std::string_view path;
  std::string_view what;  ///< for the manual
  std::variant<std::string Shop::*, std::vector<std::string> Shop::*, PaperSlot, LanguageSlot,
               SentencesSlot>
      slot;
  std::size_t longest = 0;  ///< of a text, in characters
  std::size_t most = 1;     ///< texts
};
/// The one table of the keys of a shop file.
[[nodiscard]] std::span<const ShopKey> shop_keys();

/// Keys of the sentences that a shop may say in its own words, sorted.
[[nodiscard]] std::vector<std::string> replaceable_keys();

/// A safety note of our own may be said in other words, but is a sentence all the same: half of
/// what the shortest of ours has.
inline constexpr std::size_t shortest_note = 40;

struct ShopOutcome {
  std::optional<Shop> shop;       ///< there when nothing was found
  std::vector<Finding> findings;  ///< sorted by place, at most most_findings
  std::size_t left_out = 0;       ///< findings that there are besides
};

/// Reads a whole shop file. `file_name` is what findings call it; no file is touched.
[[nodiscard]] ShopOutcome read_shop(std::string_view text, std::string_view file_name);

/// The same where the sentences that a shop may replace are these, sorted by key.
[[nodiscard]] ShopOutcome read_shop(std::string_view text, std::string_view file_name,
                                    std::vector<ShopText> replaceable);

/// What counts where a job says nothing of it, in the order of the tables. `shop` is
/// the text of a shop file that read_shop has passed; empty: there is none.
[[nodiscard]] std::vector<plan::HouseValue> house_values(std::string_view shop);

}  // namespace kerfmark::job
