#include "kerfmark/text/words.hpp"

#include <cstdlib>
#include <iostream>

#include "sentence_texts.hpp"

namespace kerfmark::text {
namespace {

// A missing sentence is a broken invariant; this folder is a leaf and says so itself.
[[noreturn]] void stop(std::string_view wrong, std::string_view key) {
  std::cerr << "kerfmark: broken invariant: " << wrong << ": " << key << "\n";
  std::abort();
}

// Walks over a sentence: plain text and names in braces in turn.
template <class OnText, class OnName>
void walk(std::string_view sentence, OnText on_text, OnName on_name) {
  while (!sentence.empty()) {
    const std::size_t open = sentence.find('{');
    const std::size_t close = open == std::string_view::npos ? open : sentence.find('}', open);
    if (close == std::string_view::npos) {
      on_text(sentence);
      return;
    }
    on_text(sentence.substr(0, open));
    on_name(sentence.substr(open + 1, close - open - 1));
    sentence.remove_prefix(close + 1);
  }
}

}  // namespace

std::string filled(std::string_view text, std::span<const Filling> fillings, std::string_view key) {
  std::string said;
  walk(
      text, [&](std::string_view plain) { said += plain; },
      [&](std::string_view name) {
        const auto filling =
            std::ranges::find(fillings, name, [](const Filling& one) { return one.place.name(); });
        if (filling == fillings.end()) {
          stop("a place in a sentence is not filled, " + std::string(name), key);
        }
        said += filling->text;
      });
  return said;
}

std::string Words::at(Sentence sentence) const {
  const auto own = replaced_.find(sentence.number());
  return own == replaced_.end() ? std::string(text_of(language_, sentence.number())) : own->second;
}

std::string Words::say(Sentence sentence, std::initializer_list<Filling> fillings) const {
  return filled(at(sentence), fillings, sentence.key());
}

void Words::replace(Sentence sentence, std::string text) {
  replaced_.insert_or_assign(sentence.number(), std::move(text));
}

Sentence Words::known(std::string_view key) {
  const auto sentence = Sentence::named(key);
  if (!sentence) {
    stop("no sentence has this key", key);
  }
  return *sentence;
}

std::span<const std::string_view> languages() { return language_tags(); }

Words words_in(std::string_view language) {
  const auto tags = language_tags();
  const auto found = std::ranges::find(tags, language);
  if (found == tags.end()) {
    stop("a language that is not built in", language);
  }
  return Words(static_cast<std::size_t>(found - tags.begin()));
}

std::vector<std::string> places_in(std::string_view sentence) {
  std::vector<std::string> names;
  walk(
      sentence, [](std::string_view) {},
      [&](std::string_view name) {
        if (std::ranges::find(names, name) == names.end()) {
          names.emplace_back(name);
        }
      });
  return names;
}

}  // namespace kerfmark::text
