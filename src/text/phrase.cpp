#include "kerfmark/text/phrase.hpp"

#include <utility>

namespace kerfmark::text {
namespace {

Phrase list(Sentence last, std::vector<Phrase> items) {
  if (items.size() < 2) {
    return items.empty() ? Phrase() : std::move(items.front());
  }
  Phrase end = std::move(items.back());
  items.pop_back();
  return {last, {{"one", Phrase::joined(std::move(items), ", ")}, {"other", std::move(end)}}};
}

}  // namespace

Phrase::Phrase(Sentence sentence, std::initializer_list<Part> parts) : sentence_(sentence) {
  for (const Part& part : parts) {
    places_.push_back(part.place);
    parts_.push_back(part.phrase);
  }
}

Phrase Phrase::joined(std::vector<Phrase> phrases, std::string_view between) {
  Phrase all{std::string(between)};
  all.parts_ = std::move(phrases);
  return all;
}

std::string Phrase::in(const Words& words) const {
  if (sentence_) {
    std::vector<Filling> fillings;
    for (std::size_t i = 0; i < parts_.size(); ++i) {
      fillings.push_back({places_[i], parts_[i].in(words)});
    }
    return filled(words.at(*sentence_), fillings, sentence_->key());
  }
  if (parts_.empty()) {
    return text_;
  }
  std::string said = parts_.front().in(words);
  for (std::size_t i = 1; i < parts_.size(); ++i) {
    said += text_ + parts_[i].in(words);
  }
  return said;
}

bool Phrase::empty() const { return !sentence_ && text_.empty() && parts_.empty(); }

Phrase one_of(std::vector<Phrase> choices) { return list("language.or", std::move(choices)); }

Phrase one_of(const std::vector<std::string>& choices) {
  return one_of(std::vector<Phrase>(choices.begin(), choices.end()));
}

Phrase all_of(const std::vector<std::string>& parts) {
  return list("language.and", std::vector<Phrase>(parts.begin(), parts.end()));
}

}  // namespace kerfmark::text
