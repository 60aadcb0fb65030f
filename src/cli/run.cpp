#include "kerfmark/cli/run.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <CLI/CLI.hpp>

#include "commands.hpp"
#include "completion.hpp"
#include "help_text.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/manual/manual.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/listing.hpp"
#include "kerfmark/schema/schema.hpp"
#include "kerfmark/version.hpp"
#include "known_words.hpp"
#include "mistyped.hpp"
#include "record.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

constexpr const char* program_help =
    R"(Plans one irreversible cut: a seatpost at its lower end, a fork steerer or a seat mast at
its top, or a handlebar at both ends.

kerfmark takes what you measured, decides if and how much to cut, and shows that
every limit still holds with the doubt of the measurements counted against the part.)";

constexpr const char* program_examples = R"(First time:
  kerfmark ask seatpost job.toml         asks for what is to be measured, or:
  kerfmark new seatpost job.toml         a commented job file; fill in every "?"
                                         (or: new steerer, handlebar, mast)
  kerfmark plan job.toml                 cut, keep, hold or reject, and why
  kerfmark plan job.toml --sheet cut.pdf the same, and a sheet for the bench
  kerfmark help                          the manual, a page for each topic

Exit status: 0 the answer is cut or keep, 1 any other answer, 2 trouble.
The maker's instructions come first; if anything is unclear, ask a qualified mechanic.)";

constexpr const char* plan_examples = R"(Examples:
  kerfmark plan job.toml                   the report on the screen
  kerfmark plan job.toml --full            and every limit, figure, spacer and odds
  kerfmark plan job.toml --sheet cut.pdf   and the sheet for the bench, A4
  kerfmark plan job.toml --explain mark    how one limit is reckoned, from the readings
  kerfmark plan job.toml --trials 1000000  how sure each limit is, by a million trials
  kerfmark plan jobs --csv                 a table of all jobs in a folder
  kerfmark plan jobs/*.toml --json         one line of JSON a file, for other programs

Exit status: 0 cut or keep, 1 hold or reject, 2 trouble; of several files the largest.)";

constexpr const char* ask_examples = R"(Examples:
  kerfmark ask seatpost job.toml    asks, tells the verdict as soon as it can,
                                    and writes job.toml; stopped, it goes on
  kerfmark ask steerer              the same for a fork steerer, into steerer.toml

Exit status: 0 cut or keep, 1 hold or reject, 2 trouble, or stopped before the end.)";

constexpr const char* new_examples = R"(Examples:
  kerfmark new seatpost job.toml    writes job.toml, never over an existing file
  kerfmark new steerer fork.toml    the same for a fork steerer
  kerfmark new seatpost --full      prints it, with every key)";

constexpr const char* blank_examples = R"(Examples:
  kerfmark blank seatpost --sheet form.pdf                     what to measure, A4
  kerfmark blank steerer --sheet form.pdf --paper letter       the same for a fork steerer)";

// Also stands in the list of commands: short lines.
constexpr const char* insertion_help = R"(Look at the post: can you see the line? Then check
how much of it is in the frame)";

constexpr const char* insertion_examples =
    R"(If the minimum-insertion line shows above the collar, do not ride: --line above.
Else put tape round the post at the collar, pull it, and measure from the tape to the
lower end. Give one way of measuring and all that is known; the most demanding counts.
With neither mark nor minimum nobody knows how much must be in, and the answer is no
keep. Lengths are millimetres, or carry a unit:
  kerfmark insertion --line hidden --inserted 95 --mark 100
  kerfmark insertion --line none --length 350 --exposed 245 --minimum 90 --with tape
  kerfmark insertion --inserted "3 3/4 in" --minimum 80 --diameter 31.6
  kerfmark insertion --inserted 112 --mark 100 --sheet post.pdf   and a page to keep

From a saddle height, or before a cut: kerfmark new seatpost job.toml, fill it in,
kerfmark plan job.toml.

Exit status: 0 keep, 1 hold or reject, 2 trouble.)";

constexpr const char* record_examples = R"(Examples:
  kerfmark record add job.toml --sheet cut.pdf  plan a job, store it, print its sheet
  kerfmark record add job.toml --replaces 7     a corrected one; record 7 stays
  kerfmark record list --find "grey road"       by bike, owner, number or notes
  kerfmark record show 7 --sheet cut.pdf        the report of then, and the sheet again
  kerfmark record export cuts.csv --format csv  all of it for a spreadsheet
  kerfmark record import branch.db              another register's records, too
  kerfmark record verify --head 3fd0a1b2c4d5e6f7  was anything changed, or lost
  kerfmark record backup copy.db                a copy, while others go on working
  kerfmark record forget 7                      whose owner and notes would be blanked
  kerfmark record forget 7 --yes                blank them for good
  kerfmark record setup postgresql://db.example/shop   one register for many benches
  kerfmark record queue                         send what waits for its server

The register is the file of --register, else of KERFMARK_REGISTER, else the one that the
shop file names, else register.db in the folder kerfmark of $XDG_DATA_HOME or
~/.local/share. Keep it on a disk of this machine, not on a network share; for several
machines there are servers: kerfmark help register. Options: kerfmark record add --help

Exit status: 0 done, of add 0 or 1 as plan has it, of verify 1 when something was
changed or lost, of forget 1 without --yes, of queue 1 when something waits, 2 trouble.)";

constexpr const char* sizes_examples = R"(Examples:
  kerfmark new sizes run.toml            a commented run file to fill in
  kerfmark sizes run.toml                which part each size can keep, cut or not
                                         have, and the fewest that serve all
  kerfmark sizes run.toml --csv          a row for each size and part
  kerfmark sizes run.toml --sheet sizes.pdf   and one page for the stockroom
  kerfmark sizes run.toml --cell "S, 400" > s400.toml   one of them as a job

Exit status: 0 every size is served, 1 some are not, 2 trouble.)";

constexpr const char* help_examples = R"(Examples:
  kerfmark help              what pages there are
  kerfmark help job          every key of a job file
  kerfmark help plan         all about one command)";

struct HelpRequest {
  std::vector<std::string> topic;
  bool source = false;
};

struct Requests {
  PlanRequest plan;
  AskRequest questions;
  NewRequest fresh;
  BlankRequest blank;
  std::string kind;  ///< for either
  InsertionRequest insertion;
  RecordRequest record;
  SizesRequest sizes;
  RulesRequest rules;
  PageRequest page;
  HelpRequest help;
  std::string document;            ///< that a schema is wanted of
  std::vector<std::string> typed;  ///< so far, of a line that a shell asks about
};

// An empty value is a slip of the shell, and never the same as no value.
std::string not_empty(const std::string& value) { return value.empty() ? "is empty" : ""; }

void add_sheet_flags(CLI::App& command, SheetFlags& flags) {
  const auto flag = [&](const char* name, std::string& text, const char* what, const char* value) {
    command.add_option(name, text, what)->check(not_empty)->type_name(value);
  };
  flag("--paper", flags.paper, "Of the sheet: a4 or letter", "SIZE");
  flag("--language", flags.language, "Of the sheet: en or de", "LANGUAGE");
  flag("--shop", flags.shop, "Shop file: name, paper, language, own steps and notes", "FILE");
}

void add_plan(CLI::App& app, PlanRequest& request) {
  CLI::App* plan = app.add_subcommand("plan", "Decide whether and how much to cut");
  plan->add_option("FILE", request.files, "Job files, folders of them, or - for standard input")
      ->required()
      ->type_name("");
  plan->add_flag("--json", request.json, "One line of JSON a file instead of the report");
  plan->add_flag("--csv", request.csv, "A table for a spreadsheet, one row a file");
  plan->add_flag("--owner", request.owner, "With --csv: whose bicycle it is, too");
  plan->add_option("--sheet", request.sheet, "Print the sheet for the bench to this PDF; one job")
      ->check(not_empty)
      ->type_name("PDF");
  add_sheet_flags(*plan, request.on_sheet);
  plan->add_flag("--full", request.full, "Every limit, figure, spacer and odds in the report");
  plan->add_flag("--quiet", request.quiet, "The verdict only, on one line");
  plan->add_option("--explain", request.explain, "One limit as a sum to check on paper")
      ->check(not_empty)
      ->type_name("LIMIT");
  plan->add_option("--trials", request.trials,
                   "Try every limit with N sets of readings drawn within their half-widths")
      ->check(not_empty)
      ->type_name("N");
  plan->add_flag("--no-colour,--no-color", request.no_colour, "No colour, whatever the terminal");
  plan->footer(plan_examples);
}

void add_ask(CLI::App& app, Requests& requests) {
  CLI::App* ask = app.add_subcommand("ask", "Ask for the figures, then write the job file");
  ask->add_option("KIND", requests.kind, "seatpost, steerer, handlebar or mast")
      ->required()
      ->type_name("");
  ask->add_option("FILE", requests.questions.file, "Where to; without it, KIND.toml")
      ->check(not_empty)
      ->type_name("");
  ask->add_option("--shop", requests.questions.shop, "Shop file: what counts where nothing is said")
      ->check(not_empty)
      ->type_name("FILE");
  ask->footer(ask_examples);
}

void add_new(CLI::App& app, Requests& requests) {
  CLI::App* fresh = app.add_subcommand("new", "Write a commented job file to fill in");
  fresh
      ->add_option("KIND", requests.kind,
                   "seatpost, steerer, handlebar, mast, or sizes for many of them")
      ->required()
      ->type_name("");
  fresh->add_option("FILE", requests.fresh.file, "Where to; without it, the screen")
      ->check(not_empty)
      ->type_name("");
  fresh->add_flag("--full", requests.fresh.full, "Every key, not only what most jobs need");
  fresh->footer(new_examples);
}

void add_sizes(CLI::App& app, SizesRequest& request) {
  CLI::App* sizes = app.add_subcommand("sizes", "Many sizes, many parts: which serves which");
  sizes->add_option("FILE", request.file, "The run file, or - for standard input")
      ->required()
      ->check(not_empty)
      ->type_name("");
  sizes->add_flag("--csv", request.csv, "A table for a spreadsheet, one row a size and part");
  sizes->add_flag("--json", request.json, "One line of JSON");
  sizes->add_option("--cell", request.cell, "Print the job file of one size and part: \"S, 400\"")
      ->check(not_empty)
      ->type_name("NAMES");
  sizes->add_option("--sheet", request.sheet, "Print one page for the stockroom to this PDF")
      ->check(not_empty)
      ->type_name("PDF");
  add_sheet_flags(*sizes, request.on_sheet);
  sizes->footer(sizes_examples);
}

void add_rules(CLI::App& app, RulesRequest& request) {
  CLI::App* rules =
      app.add_subcommand("rules", "List every limit and shop value in force, and whose it is");
  rules->add_flag("--json", request.json, "One line of JSON");
  rules->add_option("--shop", request.shop, "Shop file: what counts where a job says nothing")
      ->check(not_empty)
      ->type_name("FILE");
  rules->footer(
      "Examples:\n  kerfmark rules\n"
      "  kerfmark rules --shop shop.toml --json   the shop's own values, for other programs");
}

void add_blank(CLI::App& app, Requests& requests) {
  CLI::App* blank =
      app.add_subcommand("blank", "Print a form of what to measure, to be filled in by hand");
  blank->add_option("KIND", requests.kind, "seatpost, steerer, handlebar or mast")
      ->required()
      ->type_name("");
  blank->add_option("--sheet", requests.blank.sheet, "Print the form to this PDF (needed)")
      ->required()
      ->check(not_empty)
      ->type_name("PDF");
  add_sheet_flags(*blank, requests.blank.on_sheet);
  blank->footer(blank_examples);
}

void add_insertion(CLI::App& app, InsertionRequest& request) {
  CLI::App* insertion = app.add_subcommand("insertion", insertion_help);
  const auto length = [&](const char* name, std::string& text, const char* what) {
    insertion->add_option(name, text, what)->check(not_empty)->type_name("LENGTH");
  };
  const auto word = [&](const char* name, std::string& text, const char* what, const char* value) {
    insertion->add_option(name, text, what)->check(not_empty)->type_name(value);
  };
  word("--line", request.line, "What you see of the line: above (it shows), hidden or none",
       "SEEN");
  length("--inserted", request.inserted, "Collar edge to lower end: from tape to lower end");
  length("--length", request.length, "Rail clamp centre to lower end, with --exposed");
  length("--exposed", request.exposed, "Rail clamp centre to collar edge, with --length");
  length("--mark", request.mark, "Lower end up to the printed minimum-insertion mark");
  length("--minimum", request.minimum, "Minimum insertion that the maker of post or frame states");
  length("--diameter", request.diameter,
         "Diameter of a round post: less than twice it is a reject");
  word("--with", request.with, "What the lengths were read with, such as tape; else a steel rule",
       "INSTRUMENT");
  insertion->add_flag("--json", request.json, "One line of JSON instead of the answer in words");
  insertion->add_option("--sheet", request.sheet, "Print a page to keep to this PDF")
      ->check(not_empty)
      ->type_name("PDF");
  add_sheet_flags(*insertion, request.on_sheet);
  insertion->footer(insertion_examples);
}

// One action of `record`, with what all of them know.
CLI::App* add_action(CLI::App& record, RecordRequest& request, const char* name, const char* what) {
  CLI::App* action = record.add_subcommand(name, what);
  action->group("Actions");
  action->footer("kerfmark record --help has examples, and says where the register is.");
  action
      ->add_option("--register", request.register_file, "The register; else the shop's or your own")
      ->check(not_empty)
      ->type_name("FILE");
  return action;
}

// Of a list and of an export.
void add_part_of_register(CLI::App& action, RecordRequest& request) {
  const auto filter = [&](const char* name, std::string& text, const char* what,
                          const char* value) {
    action.add_option(name, text, what)->check(not_empty)->type_name(value);
  };
  filter("--kind", request.kind, "seatpost, steerer, handlebar or mast", "KIND");
  filter("--from", request.from, "First day, such as 2026-11-20", "DAY");
  filter("--to", request.until, "Last day", "DAY");
}

void add_record_list(CLI::App& list, RecordRequest& request) {
  const auto filter = [&](const char* name, std::string& text, const char* what,
                          const char* value) {
    list.add_option(name, text, what)->check(not_empty)->type_name(value);
  };
  filter("--find", request.find, "Words of bike, owner, number or notes; if none, how they begin",
         "TEXT");
  filter("--verdict", request.verdict, "cut, keep, hold or reject", "VERDICT");
  filter("--by", request.by, "Who did it or checked it", "NAME");
  add_part_of_register(list, request);
  list.add_flag("--all", request.all, "Not only the newest 50");
  list.add_flag("--json", request.json, "One line of JSON a record");
}

void add_record(CLI::App& app, RecordRequest& request) {
  CLI::App* record = app.add_subcommand("record", "The register of cuts: add, find, check");
  record->require_subcommand(1);
  record->footer(record_examples);
  const auto takes = [&](CLI::App* action, const char* name, std::string& text, const char* what) {
    action->add_option(name, text, what)->required()->check(not_empty)->type_name("");
  };
  const auto sheet = [&](CLI::App* action, const char* what) {
    action->add_option("--sheet", request.sheet, what)->check(not_empty)->type_name("PDF");
  };
  const auto shop = [&](CLI::App* action) {
    action->add_option("--shop", request.on_sheet.shop, "Shop file; it may name the register")
        ->check(not_empty)
        ->type_name("FILE");
  };

  CLI::App* add = add_action(*record, request, "add", "Plan a job and store it for good");
  takes(add, "FILE", request.job, "Job file");
  add->add_option("--replaces", request.replaces, "The record that this one corrects")
      ->check(not_empty)
      ->type_name("NUMBER");
  add->add_flag("--anyway", request.anyway, "Replace one of another kind or job number, too");
  sheet(add, "Print its sheet, with its number, to this PDF");
  add_sheet_flags(*add, request.on_sheet);

  CLI::App* list = add_action(*record, request, "list", "List records, the newest first");
  add_record_list(*list, request);
  shop(list);

  CLI::App* show = add_action(*record, request, "show", "Show one as it was reported then");
  takes(show, "NUMBER", request.number, "Number of a record");
  sheet(show, "Print its sheet again to this PDF");
  show->add_flag("--json", request.json, "One line of JSON, with all that is stored");
  shop(show);

  CLI::App* exporting = add_action(*record, request, "export", "Write all records to a file");
  takes(exporting, "FILE", request.file,
        "Where to, - for standard output; over no file that is there");
  exporting->add_flag("--force", request.force, "Over a file that is there, too");
  add_part_of_register(*exporting, request);
  exporting->add_option("--format", request.format, "csv or json")
      ->required()
      ->check(not_empty)
      ->type_name("FORMAT");
  shop(exporting);

  CLI::App* import = add_action(*record, request, "import", "Take in another register's records");
  takes(import, "FILE", request.file, "The other register, or a backup of one; it stays as it is");
  shop(import);

  CLI::App* verify =
      add_action(*record, request, "verify", "Check that nothing was changed or lost");
  verify->add_option("--head", request.head, "Hash on the last sheet, its first 16 digits or more")
      ->check(not_empty)
      ->type_name("HASH");
  shop(verify);

  CLI::App* backup = add_action(*record, request, "backup", "Copy it while others go on working");
  takes(backup, "FILE", request.file, "Where to; never over an existing file");
  shop(backup);

  CLI::App* forget = add_action(*record, request, "forget", "Blank owner and notes of a record");
  takes(forget, "NUMBER", request.number, "Number of a record");
  forget->add_flag("--yes", request.yes, "Do it; without it, show whose records would go");
  shop(forget);

  CLI::App* setup = record->add_subcommand("setup", "Make a register on a server of PostgreSQL");
  setup->group("Actions");
  setup->footer("Example:\n  kerfmark record setup postgresql://db.example/shop");
  takes(setup, "SERVER", request.server, "As postgresql://host/database");

  CLI::App* queue =
      record->add_subcommand("queue", "Send what waits here for a server, and list it");
  queue->group("Actions");
  queue->add_option("--drop", request.drop, "Give up the one with this number in the queue")
      ->check(not_empty)
      ->type_name("NUMBER");
}

void add_page(CLI::App& app, PageRequest& request) {
  CLI::App* page = app.add_subcommand("page", "Write kerfmark as a page for a browser to a file");
  page->add_option("FILE", request.file, "Where to; never over an existing file")
      ->required()
      ->check(not_empty)
      ->type_name("");
  page->footer(
      "Example:\n  kerfmark page kerfmark.html   then open it in a browser, or send it on");
}

void add_help(CLI::App& app, HelpRequest& request) {
  CLI::App* help = app.add_subcommand("help", "Show a page of the manual");
  help->add_option("TOPIC", request.topic, "Command or page, such as plan or limits")
      ->type_name("");
  help->add_flag("--source", request.source, "As scdoc takes it, to make a man page from");
  help->footer(help_examples);
}

void add_schema(CLI::App& app, std::string& document) {
  CLI::App* schema = app.add_subcommand("schema", "Print a JSON Schema, for editors and programs");
  schema->add_option("DOCUMENT", document, "job, shop, result, record, sizes or rules")
      ->required()
      ->type_name("");
  schema->footer("Example:\n  kerfmark schema job > job.schema.json");
}

void add_completion(CLI::App& app, std::vector<std::string>& typed) {
  CLI::App* completion = app.add_subcommand("completion", "Tell a shell what may stand next");
  completion->add_option("WORD", typed, "Words typed so far, the last as far as it is")
      ->type_name("");
  completion->footer("Example:\n  kerfmark completion -- record s");
}

ExitStatus start_record(const CLI::App& app, const RecordRequest& request) {
  constexpr auto actions =
      std::to_array<std::pair<const char*, ExitStatus (*)(const RecordRequest&)>>(
          {{"add", record_add},
           {"list", record_list},
           {"show", record_show},
           {"export", record_export},
           {"import", record_import},
           {"verify", record_verify},
           {"backup", record_backup},
           {"forget", record_forget},
           {"setup", record_setup},
           {"queue", record_queue}});
  const std::string chosen = app.get_subcommand("record")->get_subcommands().front()->get_name();
  return std::ranges::find(actions, chosen, [](const auto& row) { return std::string(row.first); })
      ->second(request);
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

// What a command must have and was not given, by the names that CLI11 has for it.
std::string needed_by(const std::string& command, const CLI::App& active) {
  constexpr auto needs = std::to_array<std::pair<std::string_view, std::string_view>>(
      {{"new", "a kind: seatpost, steerer, handlebar or mast"},
       {"ask", "a kind: seatpost, steerer, handlebar or mast"},
       {"blank",
        "a kind, seatpost, steerer, handlebar or mast, and --sheet with a PDF to print to"},
       {"sizes", "a run file"},
       {"show", "the number of a record"},
       {"schema", "a document: job, shop, result, record, sizes or rules"},
       {"forget", "the number of a record"},
       {"export", "a file to write, and --format csv or json"},
       {"import", "the other register, or a backup of one"},
       {"backup", "a file to write"},
       {"setup", "a server, as postgresql://host/database"},
       {"page", "a file to write"}});
  const auto row = std::ranges::find(needs, active.get_name(),
                                     [](const auto& need) { return std::string(need.first); });
  const std::vector<std::string> actions = command_names(active);
  return command + " needs " +
         (!actions.empty()     ? "an action: " + listed(actions)
          : row == needs.end() ? "a job file"
                               : std::string(row->second));
}

// A command without what it needs, or an option without its value.
std::string complaint_about_values(const CLI::ParseError& error, const std::string& command,
                                   const CLI::App& active) {
  if (command.empty()) {
    return "give a command: " + listed(command_names(active));
  }
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) {
    return needed_by(command, active);
  }
  const std::string what = error.what();
  const std::string option = what.substr(0, what.find(':'));
  const bool count = dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr;
  return count ? command + ": " + option + " takes one value, and only once"
               : command + ": " + what;
}

// What CLI11 found no place for, said with the nearest real command or option.
std::string complaint_about(const CLI::ParseError& error, const CLI::App& app) {
  const CLI::App* active_command = &app;
  std::string command;
  while (!active_command->get_subcommands().empty()) {
    active_command = active_command->get_subcommands().front();
    command += (command.empty() ? "" : " ") + active_command->get_name();
  }
  const CLI::App& active = *active_command;
  const auto extras = active.remaining();
  if (extras.empty()) {
    return complaint_about_values(error, command, active);
  }
  const std::string word = extras.front().substr(0, extras.front().find('='));
  if (word.starts_with("-")) {
    return "there is no option " + word + " here" + suggestion(word, option_names(active));
  }
  return command + " does not take another word, \"" + word + "\"";
}

// A first word that is no command, or a second that is no action of the first; empty: none such.
std::string unknown_command(const std::vector<std::string>& words, const CLI::App& app) {
  const CLI::App* active = &app;
  for (const std::string& word : words) {
    const std::vector<std::string> known = command_names(*active);
    if (known.empty() || word.starts_with("-")) {
      return {};
    }
    if (std::ranges::find(known, word) == known.end()) {
      const std::string what = active == &app ? "command" : "action";
      return "there is no " + what + " \"" + word + "\"" + suggestion(word, known) + " (" + what +
             "s: " + listed(known) + ")";
    }
    active = active->get_subcommand(word);
  }
  return {};
}

ExitStatus print_schema(const std::string& word) {
  const auto place = job::place_of_word(word, schema::documents());
  if (!place) {
    const auto known = schema::documents();
    return usage("there is no schema of \"" + word + "\"" + suggestion(word, known) +
                 " (documents: " + listed(known) + ")");
  }
  print(schema::schema_of(static_cast<schema::Document>(*place)));
  return ExitStatus::yes;
}

// ---- what the manual says of commands ----

manual::Option described(const CLI::Option& option) {
  std::string names;
  for (const std::string& name : option.get_snames()) {
    names += (names.empty() ? "-" : ", -") + name;
  }
  for (const std::string& name : option.get_lnames()) {
    names += (names.empty() ? "--" : ", --") + name;
  }
  if (names.empty()) {
    const bool many = option.get_items_expected_max() > 1;
    return {option.get_name(true) + (many ? "..." : ""), "", option.get_description()};
  }
  const bool takes_value = option.get_items_expected_max() > 0;
  return {names, takes_value ? option.get_type_name() : "", option.get_description()};
}

// This one and all below it, the program itself without a name.
void describe(const CLI::App& command, const std::string& name,
              std::vector<manual::Command>& found) {
  std::string what = command.get_description();
  std::ranges::replace(what, '\n', ' ');
  found.push_back({name, what, {}});
  for (const CLI::Option* option : command.get_options()) {
    found.back().options.push_back(described(*option));
  }
  auto& options = found.back().options;
  std::stable_partition(options.begin(), options.end(), [](const manual::Option& option) {
    return !option.names.starts_with("-");
  });
  for (const CLI::App* inner : command.get_subcommands([](const CLI::App*) { return true; })) {
    describe(*inner, (name.empty() ? "" : name + " ") + inner->get_name(), found);
  }
}

std::vector<manual::Command> commands_of(const CLI::App& app) {
  std::vector<manual::Command> commands;
  describe(app, "", commands);
  return commands;
}

std::string all_topics() {
  std::vector<report::Listed> topics;
  for (const manual::Page& page : manual::pages()) {
    topics.push_back({"  " + std::string(manual::topic_of(page)), std::string(page.what)});
  }
  return "The manual, a page each: kerfmark help TOPIC\n\n" +
         report::listing(topics, view_of_output(false));
}

ExitStatus show_help(const CLI::App& app, const HelpRequest& request) {
  if (request.topic.empty()) {
    print(all_topics());
    return ExitStatus::yes;
  }
  std::string topic;
  for (const std::string& word : request.topic) {
    topic += (topic.empty() ? "" : " ") + word;
  }
  const manual::Page* page = manual::page_about(topic);
  if (page == nullptr) {
    std::vector<std::string> known;
    for (const manual::Page& one : manual::pages()) {
      known.emplace_back(manual::topic_of(one));
    }
    return usage("there is no page \"" + topic + "\"" + suggestion(topic, known) +
                 " (pages: " + listed(known) + ")");
  }
  const std::vector<manual::Command> commands = commands_of(app);
  print(request.source ? manual::source_of(*page, commands)
                       : manual::on_terminal(*page, commands, view_of_output(false)));
  return ExitStatus::yes;
}

// The kind of part that a form or job file is for; nothing where there is no such kind.
std::optional<plan::Kind> kind_in(const std::string& word) {
  const auto words = plan::kind_words();
  const auto place = job::place_of_word(word, words);
  if (!place) {
    (void)usage("there is no kind \"" + word + "\"" + suggestion(word, words) +
                " (kinds: " + listed(words) + ")");
    return std::nullopt;
  }
  return static_cast<plan::Kind>(*place);
}

std::string version_line() { return "kerfmark " + std::string(version); }

ExitStatus dispatch(const CLI::App& app, Requests& requests) {
  if (app.got_subcommand("plan")) {
    return plan_files(requests.plan);
  }
  if (app.got_subcommand("new") && requests.kind == "sizes") {
    return new_run(requests.fresh);
  }
  if (app.got_subcommand("ask") || app.got_subcommand("new") || app.got_subcommand("blank")) {
    const auto kind = kind_in(requests.kind);
    if (!kind) {
      return ExitStatus::trouble;
    }
    if (app.got_subcommand("ask")) {
      requests.questions.kind = *kind;
      return ask(requests.questions);
    }
    requests.fresh.kind = *kind;
    requests.blank.kind = *kind;
    return app.got_subcommand("new") ? new_job(requests.fresh) : blank_form(requests.blank);
  }
  if (app.got_subcommand("insertion")) {
    return insertion(requests.insertion);
  }
  if (app.got_subcommand("record")) {
    return start_record(app, requests.record);
  }
  if (app.got_subcommand("sizes")) {
    return sizes(requests.sizes);
  }
  if (app.got_subcommand("page")) {
    return page(requests.page);
  }
  if (app.got_subcommand("help")) {
    return show_help(app, requests.help);
  }
  if (app.got_subcommand("schema")) {
    return print_schema(requests.document);
  }
  if (app.got_subcommand("completion")) {
    print(lines_of(what_may_follow(requests.typed, commands_of(app))));
    return ExitStatus::yes;
  }
  return rules(requests.rules);
}

}  // namespace

ExitStatus run(int argc, const char* const* argv) {
  std::vector<std::string> words(argv + 1, argv + argc);
  if (words == std::vector<std::string>{"help"}) {
    print(all_topics());  // first of all to whoever is lost: without making every option first
    return ExitStatus::yes;
  }
  Requests requests;
  CLI::App app(program_help, "kerfmark");
  app.set_version_flag("-V,--version", version_line(), "Print the version");
  app.footer(program_examples);
  app.require_subcommand(1);
  const auto formatter = app.get_formatter();
  formatter->label("SUBCOMMAND", "COMMAND");
  formatter->label("Subcommands", "Commands");
  formatter->label("Positionals", "Takes");
  formatter->label("REQUIRED", "(needed)");
  app.set_help_flag("-h,--help", "Print this help");
  add_plan(app, requests.plan);
  add_ask(app, requests);
  add_new(app, requests);
  add_sizes(app, requests.sizes);
  add_blank(app, requests);
  add_insertion(app, requests.insertion);
  add_record(app, requests.record);
  add_page(app, requests.page);
  add_rules(app, requests.rules);
  add_schema(app, requests.document);
  add_help(app, requests.help);
  add_completion(app, requests.typed);

  for (CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    command->group("Commands");
  }
  if (const std::string better = mistyped(words, app); !better.empty()) {
    return usage(better);
  }
  if (const std::string unknown = unknown_command(words, app); !unknown.empty()) {
    return usage(unknown);
  }
  try {
    std::ranges::reverse(words);  // as CLI11 takes a vector
    app.parse(words);
  } catch (const CLI::CallForHelp&) {
    print(fitted(app.help(), view_of_output(false).width));
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
