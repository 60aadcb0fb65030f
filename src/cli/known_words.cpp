#include "known_words.hpp"

#include "kerfmark/job/nearest.hpp"

namespace kerfmark::cli {
namespace {

std::vector<std::string_view> views_of(const std::vector<std::string>& words) {
  return {words.begin(), words.end()};
}

}  // namespace

std::string listed(std::span<const std::string_view> words) {
  std::string list;
  for (const std::string_view word : words) {
    list += (list.empty() ? "" : ", ") + std::string(word);
  }
  return list;
}

std::string listed(const std::vector<std::string>& words) { return listed(views_of(words)); }

std::string suggestion(std::string_view word, std::span<const std::string_view> known,
                       std::string_view quote) {
  const auto near = job::nearest(word, known);
  const std::string mark(quote);
  return near ? "; did you mean " + mark + std::string(*near) + mark + "?" : "";
}

std::string suggestion(std::string_view word, const std::vector<std::string>& known) {
  return suggestion(word, views_of(known));
}

std::string unknown_word(std::string_view what, std::string_view word,
                         std::span<const std::string_view> known) {
  return "there is no " + std::string(what) + " \"" + std::string(word) + "\"" +
         suggestion(word, known) + " (known: " + listed(known) + ")\n";
}

}  // namespace kerfmark::cli
