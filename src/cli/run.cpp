#include "kerfmark/cli/run.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/version.hpp"

namespace kerfmark::cli {
namespace {

constexpr const char* program_help =
    R"(Plans one irreversible cut: a seatpost at its lower end or a fork steerer at its top.

kerfmark takes what you measured, decides if and how much to cut, and shows that
every limit still holds with the doubt of the measurements counted against the part.)";

constexpr const char* program_examples = R"(First time:
  kerfmark new seatpost job.toml         a commented job file; fill in what is marked
                                         (or: kerfmark new steerer job.toml)
  kerfmark plan job.toml                 cut, keep, hold or reject, and why
  kerfmark plan job.toml --sheet cut.pdf the same, and a sheet for the bench

Exit status: 0 the answer is cut or keep, 1 any other answer, 2 trouble.
The maker's instructions come first; if anything is unclear, ask a qualified mechanic.)";

constexpr const char* plan_examples = R"(Examples:
  kerfmark plan job.toml                   the report on the screen
  kerfmark plan job.toml --sheet cut.pdf   and the sheet for the bench, A4
  kerfmark plan job.toml --explain mark    how one limit is reckoned, from the readings
  kerfmark plan jobs/*.toml --json         one line of JSON a file, for other programs

Exit status: 0 cut or keep, 1 hold or reject, 2 trouble; of several files the largest.)";

constexpr const char* new_examples = R"(Examples:
  kerfmark new seatpost job.toml    writes job.toml, never over a file that is there
  kerfmark new steerer fork.toml    the same for a fork steerer
  kerfmark new seatpost             prints it)";

constexpr const char* insertion_examples =
    R"(How to measure: tape round the post at the collar, pull the post out, measure
from the tape to the lower end: that is --inserted.

Lengths are millimetres, or carry a unit:
  kerfmark insertion --inserted 95 --mark 100
  kerfmark insertion --length 350 --exposed 245 --diameter 27.2
  kerfmark insertion --inserted "3 3/4 in" --minimum 80 --diameter 31.6

Exit status: 0 keep, 1 hold or reject, 2 trouble.)";

struct Requests {
  PlanRequest plan;
  NewRequest fresh;
  std::string kind;
  InsertionRequest insertion;
};

// An empty value is a slip of the shell, and never the same as no value.
std::string not_empty(const std::string& value) { return value.empty() ? "is empty" : ""; }

void add_plan(CLI::App& app, PlanRequest& request) {
  CLI::App* plan = app.add_subcommand("plan", "Decide whether and how much to cut");
  plan->add_option("FILE", request.files, "Job files")->required()->type_name("");
  plan->add_flag("--json", request.json, "One line of JSON a file instead of the report");
  plan->add_option("--sheet", request.sheet, "Print the sheet for the bench to this PDF; one job")
      ->check(not_empty)
      ->type_name("PDF");
  plan->add_flag("--quiet", request.quiet, "The verdict only, on one line");
  plan->add_option("--explain", request.explain, "One limit as a sum to check on paper")
      ->check(not_empty)
      ->type_name("LIMIT");
  plan->add_flag("--no-colour,--no-color", request.no_colour, "No colour, whatever the terminal");
  plan->footer(plan_examples);
}

void add_new(CLI::App& app, Requests& requests) {
  CLI::App* fresh = app.add_subcommand("new", "Write a commented job file to fill in");
  fresh->add_option("KIND", requests.kind, "seatpost or steerer")->required()->type_name("");
  fresh->add_option("FILE", requests.fresh.file, "Where to; without it, the screen")
      ->check(not_empty)
      ->type_name("");
  fresh->footer(new_examples);
}

void add_insertion(CLI::App& app, InsertionRequest& request) {
  CLI::App* insertion = app.add_subcommand("insertion", "Check a post as it stands in its frame");
  const auto length = [&](const char* name, std::string& text, const char* what) {
    insertion->add_option(name, text, what)->check(not_empty)->type_name("LENGTH");
  };
  length("--inserted", request.inserted, "Collar edge to lower end");
  length("--length", request.length, "Rail clamp centre to lower end, with --exposed");
  length("--exposed", request.exposed, "Rail clamp centre to collar edge, with --length");
  length("--mark", request.mark, "Lower end up to the printed minimum-insertion mark");
  length("--minimum", request.minimum, "Minimum insertion that the maker of post or frame states");
  length("--diameter", request.diameter, "Diameter of a round post: twice it is the least");
  insertion->footer(insertion_examples);
}

std::vector<std::string> option_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) {
      names.push_back("--" + name);
    }
  }
  return names;
}

std::vector<std::string> command_names(const CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    names.push_back(command->get_name());
  }
  return names;
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known) {
  const std::vector<std::string_view> candidates(known.begin(), known.end());
  const auto near = job::nearest(word, candidates);
  return near ? "; did you mean " + std::string(*near) + "?" : "";
}

std::string listed(const std::vector<std::string>& words) {
  std::string list;
  for (const std::string& word : words) {
    list += (list.empty() ? "" : ", ") + word;
  }
  return list;
}

// A command without what it needs, or an option without its value.
std::string complaint_about_values(const CLI::ParseError& error, const std::string& command) {
  if (command.empty()) {
    return "give a command: plan, new, insertion or rules";
  }
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) {
    return command == "new" ? "new needs a kind: seatpost or steerer"
                            : command + " needs a job file";
  }
  const std::string what = error.what();
  const std::string option = what.substr(0, what.find(':'));
  const bool count = dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr;
  return count ? command + ": " + option + " takes one value, and only once"
               : command + ": " + what;
}

// What CLI11 found no place for, said with the nearest real command or option.
std::string complaint_about(const CLI::ParseError& error, const CLI::App& app) {
  const auto chosen = app.get_subcommands();
  const CLI::App& active = chosen.empty() ? app : *chosen.front();
  const auto extras = active.remaining();
  if (extras.empty()) {
    return complaint_about_values(error, chosen.empty() ? "" : active.get_name());
  }
  const std::string word = extras.front().substr(0, extras.front().find('='));
  if (word.starts_with("-")) {
    return "there is no option " + word + " here" + suggestion(word, option_names(active));
  }
  return active.get_name() + " takes no further word \"" + word + "\"";
}

ExitStatus start_new(Requests& requests) {
  const auto& words = std::get<plan::ChoiceSlot>(plan::key_at("kind").slot).words;
  const auto found = std::ranges::find(words, std::string_view(requests.kind));
  if (found == words.end()) {
    const std::vector<std::string> known(words.begin(), words.end());
    return usage("there is no kind \"" + requests.kind + "\"" + suggestion(requests.kind, known) +
                 " (kinds: " + listed(known) + ")");
  }
  requests.fresh.kind = static_cast<plan::Kind>(found - words.begin());
  return new_job(requests.fresh);
}

std::string version_line() { return "kerfmark " + std::string(version); }

ExitStatus dispatch(const CLI::App& app, Requests& requests) {
  if (app.got_subcommand("plan")) {
    return plan_files(requests.plan);
  }
  if (app.got_subcommand("new")) {
    return start_new(requests);
  }
  if (app.got_subcommand("insertion")) {
    return insertion(requests.insertion);
  }
  return rules();
}

}  // namespace

ExitStatus run(int argc, const char* const* argv) {
  Requests requests;
  CLI::App app(program_help, "kerfmark");
  app.set_version_flag("--version", version_line(), "Print the version");
  app.footer(program_examples);
  app.require_subcommand(1);
  const auto formatter = app.get_formatter();
  formatter->label("SUBCOMMAND", "COMMAND");
  formatter->label("Subcommands", "Commands");
  formatter->label("Positionals", "Takes");
  formatter->label("REQUIRED", "(needed)");
  app.set_help_flag("-h,--help", "Print this help");
  add_plan(app, requests.plan);
  add_new(app, requests);
  add_insertion(app, requests.insertion);
  app.add_subcommand("rules", "List every built-in limit with origin, source and default")
      ->footer("Example:\n  kerfmark rules");

  for (CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    command->group("Commands");
  }
  std::vector<std::string> words(argv + 1, argv + argc);
  const std::vector<std::string> commands = command_names(app);
  if (!words.empty() && !words.front().starts_with("-") &&
      std::ranges::find(commands, words.front()) == commands.end()) {
    return usage("there is no command \"" + words.front() + "\"" +
                 suggestion(words.front(), commands) + " (commands: " + listed(commands) + ")");
  }
  try {
    std::ranges::reverse(words);  // as CLI11 takes a vector
    app.parse(words);
  } catch (const CLI::CallForHelp&) {
    print(app.help());
    return ExitStatus::yes;
  } catch (const CLI::CallForVersion&) {
    print(version_line() + "\n");
    return ExitStatus::yes;
  } catch (const CLI::ParseError& error) {
    return usage(complaint_about(error, app) + " (kerfmark --help tells more)");
  }
  return dispatch(app, requests);
}

}  // namespace kerfmark::cli
