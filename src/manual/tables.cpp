#include "tables.hpp"

#include <algorithm>
#include <optional>

#include "kerfmark/job/help.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/shop.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/rules.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/schema/schema.hpp"

namespace kerfmark::manual {
namespace {

// Text of a table among the marks of scdoc.
std::string as_it_stands(std::string_view text) {
  std::string out;
  for (const char c : text) {
    out += std::string_view("\\*_[]|").find(c) != std::string_view::npos ? "\\" : "";
    out += c;
  }
  return out;
}

std::string strong(std::string_view text) { return "*" + as_it_stands(text) + "*"; }

// A term and what is said of it, below and further in.
std::string entry(const std::string& term, std::string_view text) {
  return term + "\n\t" + std::string(text) + "\n\n";
}

std::string with_signs(std::string text) {
  for (std::size_t at = 0; (at = text.find("+-", at)) != std::string::npos;) {
    text.replace(at, 2, "±");
  }
  return text;
}

plan::Job plain_job(std::size_t kind) {
  plan::Job job;
  job.kind = static_cast<plan::Kind>(kind);
  return job;
}

// ---- keys ----

// A saddle height is told in three ways, and has a range for each.
std::string constraints(const plan::Key& key, std::size_t kind) {
  plan::Job job = plain_job(kind);
  std::string usual = job::constraints_on(key, job);
  job.saddle.from = plan::HeightFrom::pedal_axle;
  const std::string from_axle = job::constraints_on(key, job);
  job.saddle.measured = plan::HeightMeasured::extension;
  const std::string extension = job::constraints_on(key, job);
  if (usual == extension) {
    return usual;
  }
  return usual + " With from = \"pedal axle\":" + from_axle +
         " With measured = \"extension\":" + extension;
}

std::string needed(const plan::Key& key) {
  switch (key.spec.needed) {
    case plan::Needed::always:
      return " Needed always.";
    case plan::Needed::in_its_table:
      return " Needed where its table is given.";
    case plan::Needed::one_of_table:
      return " Where its table is given, needed, or another that says so.";
    case plan::Needed::by_choice:  // said with the facts
    case plan::Needed::no:
      return "";
  }
  return "";
}

std::string longest(const plan::Key& key) {
  return key.spec.longest == 0 ? ""
                               : " At most " + std::to_string(key.spec.longest) + " characters.";
}

std::string of_key(const plan::Key& key, std::size_t kind) {
  return entry(strong(key.path),
               as_it_stands(with_signs(job::help_for(key.path) + constraints(key, kind) +
                                       longest(key) + needed(key))));
}

bool is_of_every_kind(const plan::Key& key) {
  for (std::size_t kind = 0; kind < plan::kind_words().size(); ++kind) {
    if (!key.belongs_to(static_cast<plan::Kind>(kind))) {
      return false;
    }
  }
  return true;
}

std::string capitalised(std::string_view word) {
  std::string out(word);
  out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out;
}

std::string all_keys() {
  std::string out = "## Every kind\n\n";
  for (const plan::Key& key : plan::keys()) {
    out += is_of_every_kind(key) ? of_key(key, 0) : "";
  }
  for (std::size_t kind = 0; kind < plan::kind_words().size(); ++kind) {
    out += "## " + capitalised(plan::kind_words()[kind]) + "\n\n";
    for (const plan::Key& key : plan::keys()) {
      const bool own = key.belongs_to(static_cast<plan::Kind>(kind)) && !is_of_every_kind(key);
      out += own ? of_key(key, kind) : "";
    }
  }
  return out;
}

std::string shop_keys() {
  std::string out;
  for (const job::ShopKey& key : job::shop_keys()) {
    std::string text(key.what);
    text += key.longest == 0 ? "" : " At most " + std::to_string(key.longest) + " characters";
    text += key.longest == 0 ? ""
            : key.most > 1   ? ", " + std::to_string(key.most) + " of them."
                             : ".";
    out += entry(strong(key.path), as_it_stands(text));
  }
  std::string of_job;
  for (const plan::Key& key : plan::keys()) {
    if (job::is_of_shop(key.path)) {
      of_job += (of_job.empty() ? "" : ", ") + strong(key.path);
    }
  }
  return out + entry(of_job,
                     "As in a job file, see *kerfmark-job*(5); they stand for what a job "
                     "leaves out.");
}

// ---- limits and instruments ----

std::string of_limit(const plan::RuleRow& row, const text::Words& words) {
  const std::string what = report::requirement(row.rule, words);
  const std::string of_kinds =
      row.kinds == plan::Kinds::every() ? "every kind" : plan::words_of(row.kinds);
  const std::string cutting = row.sense() == plan::Sense::helps   ? "cutting helps"
                              : row.sense() == plan::Sense::hurts ? "cutting hurts"
                                                                  : "cutting changes nothing";
  const std::string origin = std::string(report::word(row.origin)) +
                             (row.source.empty() ? "" : ", " + std::string(row.source));
  return entry(strong(row.id) + (row.numbered ? "*-1*, *-2* …" : ""),
               as_it_stands(what + " (" + of_kinds + "; " + cutting + "; origin " + origin + "; " +
                            report::built_in(row, words) + ")."));
}

std::string limits() {
  const text::Words words;
  std::string out;
  for (const plan::RuleRow& row : plan::rules()) {
    out += of_limit(row, words);
  }
  return out;
}

std::string instruments() {
  std::string out;
  for (const plan::Instrument& row : plan::instruments()) {
    const bool angle = row.dimension == measure::Dimension::angle;
    out += entry(strong(row.name), "±" + measure::shortest(row.half_width_base) +
                                       (angle ? "°: " : " mm: ") + as_it_stands(row.origin) + ".");
  }
  return out;
}

// ---- commands ----

std::string of_options(const Command& command) {
  std::string out;
  for (const Option& option : command.options) {
    out += entry(strong(option.names) + (option.value.empty() ? "" : " _" + option.value + "_"),
                 as_it_stands(option.what) + ".");
  }
  return out;
}

std::string options(std::string_view name, std::span<const Command> commands) {
  const auto found = std::ranges::find(commands, name, &Command::name);
  require(found != commands.end(), "a page of the manual is about a command that is not there");
  return of_options(*found);
}

// Those of "record", each with its options; or all that stand behind the program's name.
std::string actions(std::string_view of, std::span<const Command> commands) {
  std::string out;
  for (const Command& command : commands) {
    if (command.name.starts_with(std::string(of) + " ")) {
      out += "## kerfmark " + command.name + "\n\n" + as_it_stands(command.what) + ".\n\n" +
             of_options(command);
    }
  }
  return out;
}

std::string of_commands(std::span<const Command> commands) {
  std::string out;
  for (const Command& command : commands) {
    if (command.name.find(' ') == std::string::npos && !command.name.empty()) {
      out += entry("*kerfmark " + command.name + "*, see *kerfmark-" + command.name + "*(1)",
                   as_it_stands(command.what) + ".");
    }
  }
  return out;
}

std::string other_pages() {
  std::string out;
  for (const Page& page : pages()) {
    if (page.section != 1) {
      out += entry("*" + std::string(page.name) + "*(" + std::to_string(page.section) + ")",
                   as_it_stands(page.what) + ".");
    }
  }
  return out;
}

std::string result_keys(std::string_view group) {
  std::string out;
  for (const schema::ResultKey& key : schema::result_keys(group)) {
    out += entry(strong(key.path), as_it_stands(key.what));
  }
  return out;
}

std::optional<std::string_view> behind(std::string_view words, std::string_view first) {
  return words.starts_with(first) ? std::optional(words.substr(first.size())) : std::nullopt;
}

}  // namespace

std::string table(std::string_view words, std::span<const Command> commands) {
  if (const auto command = behind(words, "options ")) {
    return options(*command, commands);
  }
  if (const auto command = behind(words, "actions ")) {
    return actions(*command, commands);
  }
  if (words == "options") {
    return options("", commands);
  }
  if (words == "commands") {
    return of_commands(commands);
  }
  if (words == "pages") {
    return other_pages();
  }
  if (words == "keys") {
    return all_keys();
  }
  if (words == "shop-keys") {
    return shop_keys();
  }
  if (words == "limits") {
    return limits();
  }
  if (const auto group = behind(words, "result ")) {
    return result_keys(*group);
  }
  require(words == "instruments", "a page of the manual asks for a table that is not there");
  return instruments();
}

}  // namespace kerfmark::manual
