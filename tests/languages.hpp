#pragma once

#include <cctype>
#include <set>
#include <string>
#include <string_view>

#include "plan/planned.hpp"

/// Words that betray another language in a text.
namespace languages {

inline bool is_letter(char c) {
  // Every byte of a letter outside ASCII, as far as German has them.
  return std::isalpha(static_cast<unsigned char>(c)) != 0 ||
         (static_cast<unsigned char>(c) & 0x80U);
}

/// Words of three letters and more, in small letters, without what stands in braces and without
/// options of the program ("--mark"), which are the same in every language.
inline std::set<std::string> words_in(std::string_view text) {
  std::set<std::string> found;
  std::string word;
  std::string before;  // the two characters in front of the word
  bool place = false;
  for (const char c : std::string(text) + " ") {
    place = c == '{' || (place && c != '}');
    if (is_letter(c) && !place) {
      word += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
      continue;
    }
    if (word.size() >= 3 && before != "--") {
      found.insert(word);
    }
    before = word.empty() && !before.empty() ? std::string{before.back(), c} : std::string{c};
    word.clear();
  }
  return found;
}

/// The help of a key is in English in every language, as job files are.
inline bool is_in_english_alone(std::string_view key) {
  return key.starts_with("key.") && key.ends_with(".help");
}

inline std::set<std::string> words_of(const kerfmark::text::Words& words) {
  std::set<std::string> all;
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    if (!is_in_english_alone(key)) {
      all.merge(words_in(words.at(key)));
    }
  }
  return all;
}

/// Words that are English and not German, as the two files have them.
inline std::set<std::string> english_only() {
  const std::set<std::string> of_german = words_of(planned::german());
  std::set<std::string> only;
  for (const std::string& word : words_of(planned::english())) {
    if (!of_german.contains(word)) {
      only.insert(word);
    }
  }
  return only;
}

inline bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

inline bool has_decimal_point(std::string_view text) {
  for (std::size_t i = 1; i + 1 < text.size(); ++i) {
    if (text[i] != '.' || !is_digit(text[i - 1])) {
      continue;
    }
    std::size_t end = i + 1;
    while (end < text.size() && is_digit(text[end])) {
      ++end;
    }
    const std::size_t figures = end - i - 1;
    if (figures > 0 && figures != 3) {
      return true;
    }
  }
  return false;
}

/// English with each sentence replaced by its key and its places.
inline kerfmark::text::Words told_by_key() {
  kerfmark::text::Words keys = planned::english();
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    std::string marked = "<" + std::string(key) + ">";
    for (const std::string& place : kerfmark::text::places_in(planned::english().at(key))) {
      marked += "{" + place + "}";
    }
    keys.replace(key, marked);
  }
  return keys;
}

/// The keys that such words have left in a text.
inline void note_keys(std::string_view text, std::set<std::string>& said) {
  for (std::size_t open = text.find('<'); open != std::string_view::npos;
       open = text.find('<', open + 1)) {
    said.emplace(text.substr(open + 1, text.find('>', open) - open - 1));
  }
}

}  // namespace languages
