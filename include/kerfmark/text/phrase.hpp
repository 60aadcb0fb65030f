#pragma once

#include <concepts>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "kerfmark/text/words.hpp"

namespace kerfmark::text {

/// What is to be said, before it is known in which language: a sentence with what goes where, or a
/// text that is the same in all of them (a figure, a name, a quotation).
class Phrase {
 public:
  struct Part;

  Phrase() = default;
  /// Of a text that is made while the program runs; a literal is the key of a sentence.
  template <class Text>
  requires std::same_as<std::remove_cvref_t<Text>, std::string> ||
      std::same_as<std::remove_cvref_t<Text>, std::string_view>
      Phrase(Text&& text) : text_(std::forward<Text>(text)) {}
  Phrase(Sentence sentence) : sentence_(sentence) {}
  Phrase(Sentence sentence, std::initializer_list<Part> parts);

  /// One after the other, with a text between them.
  [[nodiscard]] static Phrase joined(std::vector<Phrase> phrases, std::string_view between);

  [[nodiscard]] std::string in(const Words& words) const;
  [[nodiscard]] bool empty() const;

  bool operator==(const Phrase&) const = default;

 private:
  std::optional<Sentence> sentence_;
  std::string text_;           ///< without a sentence: itself, or what stands between the parts
  std::vector<Place> places_;  ///< of a sentence, one for each part
  std::vector<Phrase> parts_;
};

struct Phrase::Part {
  Place place;
  Phrase phrase;
};

/// "a, b or c", each as it stands.
[[nodiscard]] Phrase one_of(std::vector<Phrase> choices);
[[nodiscard]] Phrase one_of(const std::vector<std::string>& choices);

/// "a, b and c".
[[nodiscard]] Phrase all_of(const std::vector<std::string>& parts);

}  // namespace kerfmark::text
