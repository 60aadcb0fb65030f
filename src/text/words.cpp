#include "kerfmark/text/words.hpp"

#include <algorithm>
#include <cstdlib>
#include <iostream>

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

Words::Words(std::vector<Sentence> sentences) : sentences_(std::move(sentences)) {
  std::ranges::sort(sentences_);
}

bool Words::has(std::string_view key) const {
  return std::ranges::binary_search(sentences_, key, {}, &Sentence::first);
}

const std::string& Words::at(std::string_view key) const {
  const auto found = std::ranges::lower_bound(sentences_, key, {}, &Sentence::first);
  if (found == sentences_.end() || found->first != key) {
    stop("no sentence has this key", key);
  }
  return found->second;
}

std::string Words::say(std::string_view key, std::initializer_list<Filling> fillings) const {
  std::string said;
  walk(
      at(key), [&](std::string_view text) { said += text; },
      [&](std::string_view name) {
        const auto filling = std::ranges::find(fillings, name, &Filling::name);
        if (filling == fillings.end()) {
          stop("a place in a sentence is not filled, " + std::string(name), key);
        }
        said += filling->text;
      });
  return said;
}

void Words::replace(std::string_view key, std::string text) {
  const auto found = std::ranges::lower_bound(sentences_, key, {}, &Sentence::first);
  if (found == sentences_.end() || found->first != key) {
    stop("no sentence has this key", key);
  }
  found->second = std::move(text);
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
