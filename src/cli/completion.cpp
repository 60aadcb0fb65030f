#include "completion.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

#include "kerfmark/job/shop.hpp"
#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/schema/schema.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"

namespace kerfmark::cli {
namespace {

using Typed = std::span<const std::string>;

Candidates of_words(std::span<const std::string_view> words) {
  Candidates found;
  for (const std::string_view word : words) {
    found.words.push_back({std::string(word), ""});
  }
  return found;
}

Candidates kinds() { return of_words(plan::kind_words()); }

Candidates limits() {
  Candidates found;
  for (const plan::RuleRow& row : plan::rules()) {
    const std::string id = std::string(row.id) + (row.numbered ? "-1" : "");
    if (std::ranges::find(found.words, id, &Candidate::word) == found.words.end()) {
      found.words.push_back({id, report::requirement(row.rule, text::Words())});
    }
  }
  return found;
}

Candidates verdicts() {
  using plan::Verdict;
  Candidates found;
  for (const Verdict verdict : {Verdict::cut, Verdict::keep, Verdict::hold, Verdict::reject}) {
    found.words.push_back({std::string(report::word(verdict)), ""});
  }
  return found;
}

Candidates length_instruments() {
  Candidates found;
  for (const std::string_view name : plan::instruments_for(measure::Dimension::length)) {
    found.words.push_back({std::string(name), ""});
  }
  return found;
}

Candidates topics() {
  Candidates found;
  for (const manual::Page& page : manual::pages()) {
    found.words.push_back({std::string(manual::topic_of(page)), std::string(page.what)});
  }
  return found;
}

Candidates formats() { return of_words(std::to_array<std::string_view>({"csv", "json"})); }

std::string value_of(Typed typed, std::string_view option) {
  const auto found = std::ranges::find(typed, option);
  return found == typed.end() || found + 1 == typed.end() ? "" : *(found + 1);
}

// A register that cannot be read has no numbers to offer; that is told when the command runs.
Candidates records(Typed typed) {
  Candidates found;
  RecordRequest request;
  request.register_file = value_of(typed, "--register");
  request.on_sheet.shop = value_of(typed, "--shop");
  try {
    for (const auto& [number, what] : newest_records(request)) {
      found.words.push_back({std::to_string(number), what});
    }
  } catch (const Trouble&) {
    return {};
  }
  return found;
}

// By the name that the help has for a value; of the others anything may be written.
Candidates values(std::string_view name, Typed typed) {
  if (name == "FILE" || name == "PDF") {
    return {.words = {}, .files = true};
  }
  if (name == "KIND") {
    return kinds();
  }
  if (name == "LIMIT") {
    return limits();
  }
  if (name == "SIZE") {
    return of_words(job::paper_words());
  }
  if (name == "LANGUAGE") {
    return of_words(text::languages());
  }
  if (name == "SEEN") {
    return of_words(plan::line_words());
  }
  if (name == "INSTRUMENT") {
    return length_instruments();
  }
  if (name == "VERDICT") {
    return verdicts();
  }
  if (name == "FORMAT") {
    return formats();
  }
  if (name == "DOCUMENT") {
    return of_words(schema::documents());
  }
  if (name == "NUMBER") {
    return records(typed);
  }
  return name == "TOPIC" ? topics() : Candidates{};
}

// "-h, --help"
std::vector<std::string> names_of(const manual::Option& option) {
  std::vector<std::string> names;
  std::string_view rest = option.names;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find(", "), rest.size());
    names.emplace_back(rest.substr(0, end));
    rest.remove_prefix(std::min(end + 2, rest.size()));
  }
  return names;
}

bool is_option(std::string_view word) { return word.starts_with("-"); }

const manual::Option* option_named(const manual::Command& command, const std::string& word) {
  const auto found = std::ranges::find_if(command.options, [&](const manual::Option& option) {
    const auto names = names_of(option);
    return std::ranges::find(names, word) != names.end();
  });
  return found == command.options.end() ? nullptr : &*found;
}

const manual::Command* command_named(std::span<const manual::Command> commands,
                                     std::string_view name) {
  const auto found = std::ranges::find(commands, name, &manual::Command::name);
  return found == commands.end() ? nullptr : &*found;
}

Candidates below(const manual::Command& command, std::span<const manual::Command> commands) {
  const std::string before = command.name.empty() ? "" : command.name + " ";
  Candidates found;
  for (const manual::Command& other : commands) {
    const bool is_below = !other.name.empty() && other.name.starts_with(before);
    const std::string rest = is_below ? other.name.substr(before.size()) : "";
    if (!rest.empty() && rest.find(' ') == std::string::npos && other.name != command.name) {
      found.words.push_back({rest, other.what});
    }
  }
  return found;
}

// What a command takes without a name, the last of it any number of times.
Candidates taken(const manual::Command& command, std::size_t already, Typed typed) {
  std::vector<std::string> names;
  for (const manual::Option& option : command.options) {
    if (!is_option(option.names)) {
      names.push_back(option.names);
    }
  }
  if (names.empty()) {
    return {};
  }
  const bool many = names.back().ends_with("...");
  if (already >= names.size() && !many) {
    return {};
  }
  std::string name = names[std::min(already, names.size() - 1)];
  name = name.substr(0, name.find("..."));
  return values(name, typed);
}

Candidates options_of(const manual::Command& command) {
  Candidates found;
  for (const manual::Option& option : command.options) {
    for (const std::string& name : names_of(option)) {
      if (name.starts_with("--")) {
        found.words.push_back({name, option.what});
      }
    }
  }
  return found;
}

/// How far a line has come.
struct Reached {
  const manual::Command* command;
  const manual::Option* awaits_value = nullptr;
  std::size_t taken = 0;  ///< words without a name
};

Reached reached(Typed before, std::span<const manual::Command> commands) {
  Reached at{command_named(commands, "")};
  for (const std::string& word : before) {
    if (at.awaits_value != nullptr) {
      at.awaits_value = nullptr;
    } else if (is_option(word)) {
      const manual::Option* option = option_named(*at.command, word);
      at.awaits_value = option != nullptr && !option->value.empty() ? option : nullptr;
    } else if (const auto* next = command_named(
                   commands, (at.command->name.empty() ? "" : at.command->name + " ") + word)) {
      at.command = next;
    } else {
      ++at.taken;
    }
  }
  return at;
}

}  // namespace

Candidates what_may_follow(Typed typed, std::span<const manual::Command> commands) {
  const std::string now = typed.empty() ? "" : typed.back();
  const Typed before = typed.first(typed.empty() ? 0 : typed.size() - 1);
  const Reached at = reached(before, commands);
  Candidates found;
  if (at.awaits_value != nullptr) {
    found = values(at.awaits_value->value, typed);
  } else if (is_option(now)) {
    found = options_of(*at.command);
  } else {
    found = below(*at.command, commands);
    if (found.words.empty()) {
      found = taken(*at.command, at.taken, typed);
    }
  }
  std::erase_if(found.words,
                [&](const Candidate& candidate) { return !candidate.word.starts_with(now); });
  return found;
}

std::string lines_of(const Candidates& candidates) {
  std::string lines;
  for (const Candidate& candidate : candidates.words) {
    const std::string what = text::harmless(candidate.what);
    lines += candidate.word + (what.empty() ? "" : "\t" + what) + "\n";
  }
  return lines + (candidates.files ? ":files\n" : "");
}

}  // namespace kerfmark::cli
