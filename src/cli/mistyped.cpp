#include "mistyped.hpp"

#include <algorithm>
#include <optional>
#include <variant>

#include <CLI/CLI.hpp>

#include "kerfmark/job/nearest.hpp"
#include "kerfmark/manual/manual.hpp"
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

// As a shell takes it for one word: one quoted for nothing would puzzle.
std::string typed(const std::string& word) {
  const bool plain = !word.empty() && word.find_first_not_of(
                                          "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                          "0123456789_-./:=,+@%") == std::string::npos;
  return plain ? word : "\"" + word + "\"";
}

std::string typed(const Words& words, std::size_t from, std::size_t to) {
  std::string line;
  for (std::size_t i = from; i < to; ++i) {
    line += " " + typed(words[i]);
  }
  return line;
}

// The actions of `record` are typed as if they were commands.
std::string action_of(const std::string& word, const CLI::App& app) {
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    if (command_named(word, *command) != nullptr) {
      return command->get_name();
    }
  }
  return {};
}

std::string first_word(const Words& words, const CLI::App& app) {
  const std::string& word = words.front();
  const std::string all = typed(words, 0, words.size());
  if (word.ends_with(".toml")) {
    return "\"" + word + "\" is a file and no command; to plan it: kerfmark plan" + all;
  }
  if (const std::string command = action_of(word, app); !command.empty()) {
    return "\"" + word + "\" is an action of " + command + ": kerfmark " + command + all;
  }
  if (app.get_option_no_throw("--" + word) != nullptr) {
    return "\"" + word + "\" is no command; write kerfmark --" + word;
  }
  const auto kinds = plan::kind_words();
  if (const auto kind = job::place_of_word(word, kinds)) {
    const std::string name(kinds[*kind]);
    return "\"" + name + "\" is no command; for a job file to fill in: kerfmark new " + name +
           " job.toml; for a form: kerfmark blank " + name + " --sheet form.pdf";
  }
  if (words.size() == 1 && manual::page_about(word) != nullptr) {
    return "\"" + word + "\" is no command; for the page of the manual: kerfmark help " + word;
  }
  return {};
}

// kerfmark new job.toml
std::string kind_left_out(const Words& words) {
  if (words.size() != 2 || (words[0] != "new" && words[0] != "ask") ||
      !words[1].ends_with(".toml")) {
    return {};
  }
  std::string others;
  for (const std::string_view kind : plan::kind_words().subspan(1)) {
    others += (others.empty() ? "" : ", ") + std::string(kind);
  }
  return words[0] + " needs a kind of part first: kerfmark " + words[0] + " " +
         std::string(plan::kind_words().front()) + " " + typed(words[1]) + " (or: " + others + ")";
}

// kerfmark --no-color plan job.toml
std::string option_too_early(const Words& words, const CLI::App& app) {
  const std::string& option = words.front();
  if (!is_option(option) || app.get_option_no_throw(option) != nullptr) {
    return {};
  }
  for (std::size_t i = 1; i < words.size(); ++i) {
    const CLI::App* command = command_named(words[i], app);
    std::size_t behind = i + 1;
    if (command != nullptr && behind < words.size()) {
      if (const CLI::App* action = command_named(words[behind], *command)) {
        command = action;
        ++behind;
      }
    }
    if (command != nullptr && command->get_option_no_throw(option) != nullptr) {
      return option + " goes after its command: kerfmark" + typed(words, i, behind) +
             typed(words, 0, i) + typed(words, behind, words.size());
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

// insertion 112
std::string without_its_option(const Words& words, const CLI::App& command) {
  const bool alone = words.size() == 2 && command.get_name() == "insertion" && !words[1].empty() &&
                     words[1].front() >= '0' && words[1].front() <= '9';
  return alone ? "what is " + typed(words[1]) + "? Such as: kerfmark insertion --inserted " +
                     typed(words[1]) + " --mark LENGTH"
               : std::string{};
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
    const std::string first = first_word(words, app);
    return first.empty() ? option_too_early(words, app) : first;
  }
  if (const std::string better = kind_left_out(words); !better.empty()) {
    return better;
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
  const std::string bare = without_its_option(words, *command);
  return bare.empty() ? about_values(words, from, *command) : bare;
}

}  // namespace kerfmark::cli
