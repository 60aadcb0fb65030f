#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The sentences of one language, by key. What is said where is decided in code; how it is said
/// stands in a file of the language (templates/words.*.toml).
namespace kerfmark::text {

/// What goes where a sentence has `{name}`.
struct Filling {
  std::string_view name;
  std::string text;
};

class Words {
 public:
  using Sentence = std::pair<std::string, std::string>;  ///< key and text

  Words() = default;
  /// Each key once, in any order.
  explicit Words(std::vector<Sentence> sentences);

  [[nodiscard]] bool has(std::string_view key) const;
  /// The sentence as it stands in the file. A key that is not there is a slip of ours: the program
  /// stops and names it.
  [[nodiscard]] const std::string& at(std::string_view key) const;
  /// The sentence with every `{name}` filled in. Each must have its filling; a filling that the
  /// sentence has no place for is left out.
  [[nodiscard]] std::string say(std::string_view key,
                                std::initializer_list<Filling> fillings = {}) const;
  /// Another text for a key that is there.
  void replace(std::string_view key, std::string text);

  /// Sorted by key.
  [[nodiscard]] const std::vector<Sentence>& sentences() const { return sentences_; }

 private:
  std::vector<Sentence> sentences_;
};

/// The names that stand in braces in a sentence, in their order, each once.
[[nodiscard]] std::vector<std::string> places_in(std::string_view sentence);

}  // namespace kerfmark::text
