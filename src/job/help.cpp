#include "kerfmark/job/help.hpp"

#include "kerfmark/text/words.hpp"

namespace kerfmark::job {

std::string help_for(std::string_view path) {
  return text::Words().at("key." + std::string(path) + ".help");
}

text::Phrase needed_because(const plan::Key& key) {
  if (key.spec.needed != plan::Needed::by_choice) {
    return {};
  }
  const auto sentence =
      text::Sentence::named("finding.needed." + std::string(key.spec.needed_because));
  require(sentence.has_value(), "a key that is needed by choice does not say when");
  return *sentence;
}

}  // namespace kerfmark::job
