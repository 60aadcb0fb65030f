#include "mistyped.hpp"

#include <algorithm>
#include <optional>
#include <variant>

#include <CLI/CLI.hpp>

#include "kerfmark/job/nearest.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::cli {
namespace {

using Words = std::vector<std::string>;

const CLI::App* command_named(const std::string& word, const CLI::App& above) {
  const auto commands = above.get_subcommands([](const CLI::App*) { return true; });
  const auto found = std::ranges::find_if(
      commands, [&](const CLI::App* command) { return command->get_name() == word; });
  return found == commands.end() ? nullptr : *found;
}

bool takes_a_value(const CLI::App& command, const std::string& word) {
  const CLI::Option* option = command.get_option_no_throw(word);
  return option != nullptr && option->get_items_expected_max() > 0;
}

bool takes_words(const CLI::App& command) {
  return std::ranges::any_of(command.get_options(),
                             [](const CLI::Option* option) { return option->get_positional(); });
}

bool is_option(const std::string& word) { return word.starts_with("--"); }

std::string first_word(const std::string& word) {
  if (word.ends_with(".toml")) {
    return "\"" + word + "\" is a file and no command; to plan it: kerfmark plan " + word;
  }
  const auto kinds = plan::kind_words();
  if (const auto kind = job::place_of_word(word, kinds)) {
    const std::string name(kinds[*kind]);
    return "\"" + name + "\" is no command; for a job file to fill in: kerfmark new " + name +
           " job.toml; for a form: kerfmark blank " + name + " --sheet form.pdf";
  }
  return {};
}

// kerfmark --no-color plan job.toml
std::string option_too_early(const Words& words, const CLI::App& app) {
  const std::string& option = words.front();
  if (!is_option(option) || app.get_option_no_throw(option) != nullptr) {
    return {};
  }
  for (const std::string& word : words) {
    const CLI::App* command = command_named(word, app);
    if (command != nullptr && command->get_option_no_throw(option) != nullptr) {
      return option + " stands behind its command: kerfmark " + word + " " + option;
    }
  }
  return {};
}

// 3 3/4 in, as the shell hands it over without quotes.
std::string in_quotes(const std::string& split) {
  const auto read = measure::read_quantity<measure::Dimension::length>(split);
  const auto* misread = std::get_if<measure::Misread>(&read);
  const bool sure = misread != nullptr && misread->choices.size() == 1;
  return "\"" + (sure ? misread->choices.front() : split) + "\"";
}

std::string about_values(const Words& words, std::size_t from, const CLI::App& command) {
  for (std::size_t i = from; i < words.size(); ++i) {
    if (!is_option(words[i]) || !takes_a_value(command, words[i])) {
      continue;
    }
    std::size_t end = i + 1;
    std::string value;
    for (; end < words.size() && !is_option(words[end]); ++end) {
      value += (value.empty() ? "" : " ") + words[end];
    }
    if (end == i + 1) {
      return words[i] + " has no value; write " + words[i] + " " +
             command.get_option_no_throw(words[i])->get_type_name();
    }
    if (end > i + 2 && !takes_words(command)) {
      return words[i] + " takes one value; put it in quotes: " + words[i] + " " + in_quotes(value);
    }
  }
  return {};
}

}  // namespace

std::string mistyped(const Words& words, const CLI::App& app) {
  if (words.empty()) {
    return {};
  }
  const CLI::App* command = command_named(words.front(), app);
  if (command == nullptr) {
    const std::string first = first_word(words.front());
    return first.empty() ? option_too_early(words, app) : first;
  }
  std::string name = words.front();
  std::size_t from = 1;
  if (const CLI::App* action = words.size() > 1 ? command_named(words[1], *command) : nullptr) {
    command = action;
    name += " " + words[1];
    from = 2;
  }
  if (words.size() == from + 1 && words[from] == "help") {
    return "for help: kerfmark " + name + " --help";
  }
  return about_values(words, from, *command);
}

}  // namespace kerfmark::cli
