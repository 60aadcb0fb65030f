#pragma once

#include <algorithm>
#include <concepts>
#include <cstddef>
#include <initializer_list>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "kerfmark/text/sentence_keys.hpp"

/// The sentences of one language, by key. What is said where is decided in code; how it is said
/// stands in a file of the language (templates/words.*.toml), whose keys are known while compiling.
namespace kerfmark::text {

/// Which sentence. A literal that is no key of the language files does not compile.
class Sentence {
 public:
  template <std::size_t size>
  consteval Sentence(const char (&key)[size]) : number_(number_of({key, size - 1}).value()) {}

  /// For a key that is put together while the program runs.
  [[nodiscard]] static constexpr std::optional<Sentence> named(std::string_view key) {
    const auto number = number_of(key);
    return number ? std::optional(Sentence(*number)) : std::nullopt;
  }

  /// By its number, as number() gives it.
  [[nodiscard]] static constexpr Sentence numbered(std::size_t number) { return Sentence(number); }

  [[nodiscard]] constexpr std::string_view key() const { return sentence_keys.at(number_); }
  [[nodiscard]] constexpr std::size_t number() const { return number_; }
  bool operator==(const Sentence&) const = default;

 private:
  explicit constexpr Sentence(std::size_t number) : number_(number) {}
  static constexpr std::optional<std::size_t> number_of(std::string_view key) {
    const auto found = std::ranges::lower_bound(sentence_keys, key);
    return found != sentence_keys.end() && *found == key
               ? std::optional(static_cast<std::size_t>(found - sentence_keys.begin()))
               : std::nullopt;
  }

  std::size_t number_;  ///< place in sentence_keys
};

/// Where a text goes in a sentence, by its name in braces. One that no sentence has does not
/// compile.
class Place {
 public:
  template <std::size_t size>
  consteval Place(const char (&name)[size]) : name_(name, size - 1) {
    (void)sentence_places.at(static_cast<std::size_t>(std::ranges::find(sentence_places, name_) -
                                                      sentence_places.begin()));
  }
  [[nodiscard]] constexpr std::string_view name() const { return name_; }
  bool operator==(const Place&) const = default;

 private:
  std::string_view name_;
};

/// What goes where a sentence has `{name}`.
struct Filling {
  Place place;
  std::string text;
};

/// The text with every `{name}` filled in. Each must have its filling: one that is missing is a
/// slip in this program, and the program stops and names `key`. A filling without a place is left
/// out.
[[nodiscard]] std::string filled(std::string_view text, std::span<const Filling> fillings,
                                 std::string_view key);

/// A key that is put together while the program runs; a literal is a Sentence.
template <class Key>
concept RunTimeKey = std::convertible_to<const Key&, std::string_view> && !std::is_array_v<Key>;

class Words {
 public:
  /// In the program's own language.
  Words() = default;
  explicit Words(std::size_t language) : language_(language) {}

  [[nodiscard]] static bool has(std::string_view key) { return Sentence::named(key).has_value(); }
  /// The sentence as it stands in the file.
  [[nodiscard]] std::string at(Sentence sentence) const;
  /// The sentence with its places filled in.
  [[nodiscard]] std::string say(Sentence sentence,
                                std::initializer_list<Filling> fillings = {}) const;
  /// Another text for a sentence.
  void replace(Sentence sentence, std::string text);

  // A key that is not there is a slip in this program: the program stops and names it.
  template <RunTimeKey Key>
  [[nodiscard]] std::string at(const Key& key) const {
    return at(known(key));
  }
  template <RunTimeKey Key>
  [[nodiscard]] std::string say(const Key& key,
                                std::initializer_list<Filling> fillings = {}) const {
    return say(known(key), fillings);
  }
  template <RunTimeKey Key>
  void replace(const Key& key, std::string text) {
    replace(known(key), std::move(text));
  }

 private:
  static Sentence known(std::string_view key);

  std::size_t language_ = 0;
  std::map<std::size_t, std::string> replaced_;  ///< by the number of the sentence
};

/// The languages that are built in, by their tags of BCP 47; the first is the program's own.
[[nodiscard]] std::span<const std::string_view> languages();

/// Every sentence of a language that is built in.
[[nodiscard]] Words words_in(std::string_view language);

/// The names that stand in braces in a sentence, in their order, each once.
[[nodiscard]] std::vector<std::string> places_in(std::string_view text);

}  // namespace kerfmark::text
