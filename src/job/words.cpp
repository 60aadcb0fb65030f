#include "kerfmark/job/words.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include <toml++/toml.h>

#include "kerfmark/measure/invariant.hpp"

// The files of the languages as bytes of the program: words.S.
extern "C" {
extern const char kerfmark_words_en[], kerfmark_words_en_end[];
extern const char kerfmark_words_de[], kerfmark_words_de_end[];
}

namespace kerfmark::job {
namespace {

constexpr auto tags = std::to_array<std::string_view>({"en", "de"});

std::string_view file_of(std::string_view language) {
  if (language == tags[1]) {
    return {kerfmark_words_de, kerfmark_words_de_end};
  }
  require(language == tags[0], "a language that is not built in");
  return {kerfmark_words_en, kerfmark_words_en_end};
}

// [a.b] c = "text" is the sentence "a.b.c".
void collect(const toml::table& table, const std::string& before,
             std::vector<text::Words::Sentence>& sentences) {
  for (const auto& [key, node] : table) {
    const std::string path = before + std::string(key.str());
    if (const toml::table* inner = node.as_table()) {
      collect(*inner, path + ".", sentences);
    } else {
      const auto* said = node.as_string();
      require(said != nullptr, "a language file has something else than texts");
      sentences.emplace_back(path, said->get());
    }
  }
}

}  // namespace

std::span<const std::string_view> languages() { return tags; }

text::Words words_in(std::string_view language) {
  std::vector<text::Words::Sentence> sentences;
  collect(toml::parse(file_of(language)), "", sentences);
  text::Words words(std::move(sentences));
  require(words.at("language.tag") == language, "a language file has the tag of another");
  return words;
}

}  // namespace kerfmark::job
