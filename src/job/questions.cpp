#include "kerfmark/job/questions.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <variant>

#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/reader.hpp"
#include "template_tables.hpp"
#include "toml_text.hpp"

namespace kerfmark::job {
namespace {

using plan::Key;
using plan::Kind;

constexpr std::string_view none = "none";

// The name that findings have for it.
std::string path_of(const Key& key, std::size_t row) {
  const std::string_view table = plan::table_of(key.path);
  return plan::list_table(table) != nullptr ? std::string(table) + "-" + std::to_string(row + 1) +
                                                  "." + std::string(plan::name_of(key.path))
                                            : std::string(key.path);
}

const Answer* answer_to(const Answers& answers, std::string_view path, bool again = false) {
  const auto found = std::ranges::find_if(
      answers, [&](const Answer& answer) { return answer.path == path && answer.again == again; });
  return found == answers.end() ? nullptr : &*found;
}

bool is_none(std::string_view text) { return is_same_word(text, none); }

bool is_given(const Answers& answers, std::string_view path) {
  const Answer* answer = answer_to(answers, path);
  return answer != nullptr && !answer->text.empty() && !is_none(answer->text);
}

bool is_rings(const Key& key) { return std::holds_alternative<plan::RingsSlot>(key.slot); }

bool is_list(const Key& key) {
  return is_rings(key) || std::holds_alternative<plan::ListSlot>(key.slot) ||
         std::holds_alternative<plan::PairSlot>(key.slot);
}

bool is_measured(const Key& key) {
  return std::holds_alternative<plan::LengthSlot>(key.slot) ||
         std::holds_alternative<plan::AngleSlot>(key.slot);
}

// ---- an answer as TOML ----

bool is_number(std::string_view text) {
  const std::string_view unsigned_text =
      text.starts_with('-') || text.starts_with('+') ? text.substr(1) : text;
  double value = 0.0;
  const auto [end, error] =
      std::from_chars(unsigned_text.data(), unsigned_text.data() + unsigned_text.size(), value,
                      std::chars_format::fixed);
  // TOML wants a figure on either side of the point, and none that begins with a useless 0.
  const bool digits = !unsigned_text.empty() && unsigned_text.front() >= '0' &&
                      unsigned_text.front() <= '9' && unsigned_text.back() != '.';
  const bool useless_zero = unsigned_text.size() > 1 && unsigned_text[0] == '0' &&
                            unsigned_text[1] >= '0' && unsigned_text[1] <= '9';
  return error == std::errc{} && end == unsigned_text.data() + unsigned_text.size() && digits &&
         !useless_zero;
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t\r";
  const std::size_t first = text.find_first_not_of(blank);
  return first == text.npos ? std::string_view{}
                            : text.substr(first, text.find_last_not_of(blank) - first + 1);
}

// As somebody writes who has seen a job file.
std::string_view without(std::string_view text, char opening, char closing) {
  return text.size() >= 2 && text.front() == opening && text.back() == closing
             ? trimmed(text.substr(1, text.size() - 2))
             : text;
}

std::string quantity(std::string_view text) {
  return is_number(text) ? std::string(text) : quoted_text(text);
}

std::vector<std::string_view> split(std::string_view text, std::string_view at) {
  std::vector<std::string_view> parts;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of(at), text.size());
    if (const auto part = trimmed(text.substr(0, end)); !part.empty()) {
      parts.push_back(part);
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return parts;
}

// "10, 10, 5" or "10 10 5"; a blank may be part of a length with its unit.
std::string list(std::string_view text, bool may_be_a_sum) {
  const std::string_view inside = without(text, '[', ']');
  std::vector<std::string_view> parts = split(inside, ",;");
  if (const auto by_blanks = split(inside, " "); std::ranges::all_of(by_blanks, is_number)) {
    parts = parts.size() > 1 ? parts : by_blanks;
  }
  // Of rings one figure is their sum.
  if (may_be_a_sum && parts.size() == 1 && inside == text) {
    return quantity(parts.front());
  }
  std::string out;
  for (const std::string_view part : parts) {
    out += (out.empty() ? "" : ", ") + quantity(without(part, '"', '"'));
  }
  return "[" + out + "]";
}

// By the number in the list of choices, or by the word itself.
std::string choice(std::string_view text, std::span<const std::string_view> words) {
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  const bool whole = error == std::errc{} && end == text.data() + text.size();
  if (whole && number >= 1 && number <= words.size()) {
    return quoted_text(words[number - 1]);
  }
  const auto place = place_of_word(text, words);
  return quoted_text(place ? words[*place] : text);
}

std::string flag(std::string_view text) {
  constexpr auto said =
      std::to_array<std::pair<std::string_view, std::string_view>>({{"yes", "true"},
                                                                    {"y", "true"},
                                                                    {"true", "true"},
                                                                    {"no", "false"},
                                                                    {"n", "false"},
                                                                    {"false", "false"}});
  const auto found =
      std::ranges::find_if(said, [&](const auto& row) { return is_same_word(row.first, text); });
  return found == said.end() ? quoted_text(text) : std::string(found->second);
}

std::string toml_of(const Key& key, std::string_view typed) {
  const std::string_view text = without(typed, '"', '"');
  if (std::holds_alternative<plan::TextSlot>(key.slot)) {
    return quoted_text(text);
  }
  if (const auto* words = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    return choice(text, words->words);
  }
  if (std::holds_alternative<plan::FlagSlot>(key.slot)) {
    return flag(text);
  }
  return is_list(key) ? list(text, is_rings(key)) : quantity(text);
}

std::optional<std::string> value_for(const Answers& answers, const Key& key, std::size_t row) {
  const std::string path = path_of(key, row);
  const Answer* answer = answer_to(answers, path);
  if (answer == nullptr || answer->text.empty()) {
    return std::nullopt;
  }
  if (is_none(answer->text)) {
    return is_rings(key) ? std::optional<std::string>("[]") : std::nullopt;
  }
  const std::string first = toml_of(key, answer->text);
  const Answer* second = answer_to(answers, path, true);
  return second == nullptr || second->text.empty()
             ? first
             : "[" + first + ", " + toml_of(key, second->text) + "]";
}

// ---- the job as far as it is known ----

void mark_given(const Key& key, std::string_view text, plan::Job& job) {
  if (const auto* words = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    const std::string word = choice(text, words->words);
    const auto place =
        place_of_word(std::string_view(word).substr(1, word.size() - 2), words->words);
    if (place) {
      words->set(job, *place);
    }
  } else if (const auto* length = std::get_if<plan::LengthSlot>(&key.slot)) {
    (*length)(job, 0) = plan::Measured<plan::Length>{};
  }
}

// How many rows of a list have what they cannot do without.
std::size_t rows_given(std::string_view table, const Answers& answers) {
  const auto must = std::ranges::find_if(plan::keys(), [&](const Key& key) {
    return plan::table_of(key.path) == table && hangs_on_table(key);
  });
  std::size_t count = 0;
  while (is_given(answers, path_of(*must, count))) {
    ++count;
  }
  return count;
}

// What a question may hang on: the choices, and whether a length was given.
plan::Job known_so_far(Kind kind, const Answers& answers) {
  plan::Job job;
  job.kind = kind;
  job.saddle.measured = plan::HeightMeasured::extension;
  for (const Key& key : plan::keys()) {
    if (key.belongs_to(kind) && plan::list_table(plan::table_of(key.path)) == nullptr &&
        is_given(answers, key.path)) {
      mark_given(key, answer_to(answers, key.path)->text, job);
    }
  }
  for (const plan::ListTable& list : plan::list_tables()) {
    list.resize(job, rows_given(list.path, answers));
  }
  return job;
}

// ---- which question ----

// A maker's figure of that name, whatever table it stands in.
bool any_given(const Answers& answers, std::string_view name) {
  return std::ranges::any_of(plan::keys(), [&](const Key& key) {
    return plan::name_of(key.path) == name && is_given(answers, key.path);
  });
}

// Some questions mean nothing without the answer to another one.
bool is_worth_asking(const Key& key, std::size_t row, const Answers& answers) {
  if (key.path == "rider.mass") {
    return any_given(answers, "max_rider");
  }
  if (key.path == "mock_up.exposed_bottomed") {
    return rows_given(blockage_table, answers) > 0;
  }
  const std::string_view table = plan::table_of(key.path);
  return plan::list_table(table) == nullptr || hangs_on_table(key) ||
         row < rows_given(table, answers);
}

// After the last row of a list there is the question for one more.
std::size_t rows_to_ask(const Table& table, const Answers& answers) {
  const plan::ListTable* list = plan::list_table(table.path);
  return list != nullptr ? std::min(rows_given(table.path, answers) + 1, list->most) : 1;
}

std::string unit_of(const Key& key) {
  if (std::holds_alternative<plan::AngleSlot>(key.slot)) {
    return "deg";
  }
  if (std::holds_alternative<plan::MassSlot>(key.slot)) {
    return "kg";
  }
  return std::holds_alternative<plan::LengthSlot>(key.slot) || is_list(key) ? "mm" : "";
}

// After a row of a list there need not be another one.
bool is_needed(const Key& key, std::size_t row, const plan::Job& known) {
  return row == 0 && is_asked_in(key, known);
}

Question question_for(const Key& key, std::size_t row, const plan::Job& known) {
  Question question;
  question.key = &key;
  question.path = path_of(key, row);
  question.another = row > 0;
  question.unit = unit_of(key);
  question.needed = is_needed(key, row, known);
  question.fallback = question.needed ? "" : default_of(key);
  question.takes_none =
      (hangs_on_table(key) && (question.needed || question.another)) || is_rings(key);
  return question;
}

// What a table cannot do without comes first in it.
std::vector<const Key*> in_asking_order(const Table& table) {
  std::vector<const Key*> keys = table.keys;
  std::ranges::stable_partition(keys, [](const Key* key) { return hangs_on_table(*key); });
  return keys;
}

std::optional<Question> first_open(Kind kind, const Answers& answers, bool only_needed) {
  const plan::Job known = known_so_far(kind, answers);
  for (const Table& table : tables_for(known, TemplateKeys::usual)) {
    for (std::size_t row = 0; row < rows_to_ask(table, answers); ++row) {
      for (const Key* key : in_asking_order(table)) {
        if (answer_to(answers, path_of(*key, row)) == nullptr &&
            is_worth_asking(*key, row, answers) && (is_needed(*key, row, known) || !only_needed)) {
          return question_for(*key, row, known);
        }
      }
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<Question> next_question(Kind kind, const Answers& answers) {
  return first_open(kind, answers, false);
}

bool is_no_answer(const Question& question, std::string_view text) {
  return text.empty() || (is_none(text) && !question.takes_none);
}

bool has_what_is_needed(Kind kind, const Answers& answers) {
  return !first_open(kind, answers, true);
}

std::optional<Question> second_reading(Kind kind, const Answers& answers, std::string_view path) {
  const plan::Job known = known_so_far(kind, answers);
  for (const Key& key : plan::keys()) {
    for (std::size_t row = 0; key.belongs_to(kind) && row < plan::rows_of(key, known); ++row) {
      if (path_of(key, row) != path) {
        continue;
      }
      const bool once =
          is_measured(key) && is_given(answers, path) && answer_to(answers, path, true) == nullptr;
      Question question = question_for(key, row, known);
      question.needed = false;
      question.fallback.clear();
      question.takes_none = false;
      question.again = true;
      return once ? std::optional(question) : std::nullopt;
    }
  }
  return std::nullopt;
}

std::string job_of_answers(Kind kind, const Answers& answers) {
  return filled_template(known_so_far(kind, answers), [&](const Key& key, std::size_t row) {
    return value_for(answers, key, row);
  });
}

std::vector<Finding> against_last(Kind kind, const Answers& answers) {
  const Outcome outcome = read_job(job_of_answers(kind, answers), "");
  std::vector<Finding> against;
  std::ranges::copy_if(outcome.findings, std::back_inserter(against), [](const Finding& finding) {
    return finding.severity == Severity::error && finding.code != FindingCode::missing_key;
  });
  return against;
}

std::string constraints_on(const Question& question, Kind kind, const Answers& answers) {
  return constraints_of(*question.key, known_so_far(kind, answers), !question.needed);
}

std::vector<std::string_view> choices_of(const Question& question) {
  const auto* words = std::get_if<plan::ChoiceSlot>(&question.key->slot);
  return words == nullptr ? std::vector<std::string_view>{}
                          : std::vector<std::string_view>(words->words.begin(), words->words.end());
}

}  // namespace kerfmark::job
