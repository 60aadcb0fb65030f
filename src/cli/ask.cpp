#include <algorithm>
#include <optional>
#include <utility>

#include "answers_file.hpp"
#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/help.hpp"
#include "kerfmark/job/questions.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/listing.hpp"
#include "kerfmark/report/text.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"
#include "line_input.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

using job::Answer;
using job::Answers;
using job::Question;

// A job as its answers make it, and what follows from it as soon as it is one.
struct Standing {
  std::string text;
  job::Outcome outcome;
  std::optional<plan::Plan> plan;
};

struct Dialogue {
  plan::Kind kind;
  std::string file;
  const ShopFile& shop;
  text::Words words;
  report::View view;
  AnswersFile& kept;
  LineInput input;
  std::string last_verdict;  // so that it is told when it changes

  [[nodiscard]] const Answers& answers() const { return kept.answers(); }
};

Standing standing_of(const Dialogue& talk) {
  Standing now;
  now.text = job::job_of_answers(talk.kind, talk.answers());
  now.outcome = job::read_job(now.text, talk.file, talk.shop.text);
  if (now.outcome.job) {
    now.plan = plan::plan_cut(*now.outcome.job);
  }
  return now;
}

// ---- what is asked ----

// Of the variance of a margin: a reading with less of it moves the guard by a tenth at most.
constexpr double share_that_matters = 0.2;

// The readings that make the doubt of the limits that decide, those of the first limit first.
std::vector<std::string> readings_that_matter(const plan::Job& job, const plan::Plan& plan) {
  std::vector<std::string> keys;
  for (const plan::JudgedLimit& limit : plan.before.limits) {
    for (const measure::Share& share : limit.doubt) {
      if (limit.governs && share.of_variance >= share_that_matters) {
        keys.push_back(job.readings[share.reading].key);
      }
    }
  }
  return keys;
}

std::optional<Question> next_question(const Dialogue& talk, const Standing& now) {
  if (auto question = job::next_question(talk.kind, talk.answers())) {
    return question;
  }
  if (now.plan && now.plan->before.verdict != plan::Verdict::reject) {
    for (const std::string& key : readings_that_matter(*now.outcome.job, *now.plan)) {
      if (auto question = job::second_reading(talk.kind, talk.answers(), key)) {
        return question;
      }
    }
  }
  return std::nullopt;
}

std::string title_of(const Dialogue& talk, const Question& question) {
  const std::string label = talk.words.at("key." + std::string(question.key->path) + ".label");
  return question.again     ? talk.words.say("ask.again", {{"reading", label}})
         : question.another ? talk.words.say("ask.another", {{"reading", label}})
                            : label;
}

std::string without_an_answer(const Dialogue& talk, const Question& question) {
  if (question.again) {
    return talk.words.at("ask.enter.no_second");
  }
  if (question.needed) {
    return question.takes_none ? talk.words.at("ask.none") : std::string{};
  }
  if (question.another && question.takes_none) {
    return talk.words.at("ask.enter.no_other");
  }
  return question.fallback.empty()
             ? talk.words.at("ask.enter.left_out")
             : talk.words.say("ask.enter.fallback", {{"fallback", question.fallback}});
}

void put_question(const Dialogue& talk, const Question& question) {
  std::vector<report::Listed> lines;
  if (!question.again) {
    lines.push_back({"", job::help_for(question.key->path)});
  }
  const auto choices = job::choices_of(question);
  for (std::size_t i = 0; i < choices.size(); ++i) {
    lines.push_back({std::to_string(i + 1), std::string(choices[i])});
  }
  if (const std::string enter = without_an_answer(talk, question); !enter.empty()) {
    lines.push_back({"", enter});
  }
  print("\n" + title_of(talk, question) + "\n" + report::listing(lines, talk.view));
}

// For "?".
void tell_more(const Dialogue& talk, const Question& question) {
  std::vector<report::Listed> lines = {
      {"", job::help_for(question.key->path) +
               job::constraints_on(question, talk.kind, talk.answers())}};
  if (!question.unit.empty()) {
    lines.push_back({"", talk.words.say("ask.units", {{"unit", question.unit}})});
  }
  lines.push_back({"", talk.words.at("ask.keys")});
  print(report::listing(lines, talk.view));
}

// ---- what is answered ----

std::string trimmed(const std::string& line) {
  constexpr const char* blank = " \t\r";
  const std::size_t first = line.find_first_not_of(blank);
  return first == std::string::npos ? std::string{}
                                    : line.substr(first, line.find_last_not_of(blank) - first + 1);
}

// What is wrong with an answer; empty: nothing is.
std::vector<std::string> wrong_with(const Dialogue& talk, const Question& question,
                                    const Answer& answer) {
  std::vector<std::string> wrong;
  if (job::is_no_answer(question, answer.text)) {
    if (question.needed) {
      wrong.push_back(talk.words.at(question.takes_none ? text::Sentence("ask.needed_or_none")
                                                        : text::Sentence("ask.needed")));
    }
    return wrong;
  }
  Answers all = talk.answers();
  all.push_back(answer);
  for (const job::Finding& finding : job::against_last(talk.kind, all)) {
    wrong.push_back((finding.key == question.path ? "" : finding.key + ": ") +
                    job::message(finding));
  }
  return wrong;
}

void tell(const Dialogue& talk, std::string_view mark, const std::vector<std::string>& texts) {
  std::vector<report::Listed> lines;
  for (const std::string& text : texts) {
    lines.push_back({std::string(mark), text});
  }
  print(report::listing(lines, talk.view));
}

// What the reader cautions against in the last answer, and the verdict where it is another one.
void tell_what_follows(Dialogue& talk, const Standing& now, const Question& question) {
  for (const job::Finding& finding : now.outcome.findings) {
    if (finding.severity == job::Severity::caution && finding.key == question.path) {
      tell(talk, "!", {job::message(finding)});
    }
  }
  // A default stands in for nothing that is still to be asked and may not be passed over.
  if (!now.plan || !job::has_what_is_needed(talk.kind, talk.answers())) {
    return;
  }
  std::string verdict = report::verdict_line({*now.outcome.job, *now.plan, talk.words}, talk.view);
  if (verdict != talk.last_verdict) {
    print("\n" + talk.words.at("ask.so_far") + "\n" + verdict);
    talk.last_verdict = std::move(verdict);
  }
}

enum class Heard { answer, nothing_new, end };

Heard hear(Dialogue& talk, const Question& question) {
  const auto line = talk.input.next(question.unit + "> ");
  if (!line) {
    return Heard::end;
  }
  const Answer answer{question.path, question.again, trimmed(*line)};
  if (answer.text == "?") {
    tell_more(talk, question);
    return Heard::nothing_new;
  }
  if (answer.text == "<") {
    if (talk.answers().empty()) {
      tell(talk, "!", {talk.words.at("ask.first")});
      return Heard::nothing_new;
    }
    talk.kept.take_back();
    return Heard::answer;
  }
  if (const auto wrong = wrong_with(talk, question, answer); !wrong.empty()) {
    tell(talk, "!", wrong);
    return Heard::nothing_new;
  }
  talk.kept.add(answer);
  return Heard::answer;
}

// ---- from the first question to the job file ----

// Of answers kept by another version, those count that this one would take, up to the first that
// it would not.
void drop_what_does_not_fit(Dialogue& talk) {
  const Answers all = talk.answers();
  std::size_t fits = 0;
  Answers so_far;
  for (; fits < all.size(); ++fits) {
    const Answer& answer = all[fits];
    const auto question = answer.again ? job::second_reading(talk.kind, so_far, answer.path)
                                       : job::next_question(talk.kind, so_far);
    so_far.push_back(answer);
    if (!question || question->path != answer.path ||
        (job::is_no_answer(*question, answer.text) && question->needed) ||
        !job::against_last(talk.kind, so_far).empty()) {
      break;
    }
  }
  for (std::size_t i = fits; i < all.size(); ++i) {
    talk.kept.take_back();
  }
}

void greet(const Dialogue& talk) {
  std::vector<std::string> lines = {talk.words.at("ask.start")};
  if (!talk.answers().empty()) {
    lines.push_back(
        talk.words.say("ask.resumed", {{"count", std::to_string(talk.answers().size())}}));
  }
  tell(talk, "", lines);
}

// Nothing: the input ended before the last answer.
std::optional<Standing> ask_all(Dialogue& talk) {
  Standing now = standing_of(talk);
  while (auto question = next_question(talk, now)) {
    put_question(talk, *question);
    Heard heard = hear(talk, *question);
    while (heard == Heard::nothing_new) {
      heard = hear(talk, *question);
    }
    if (heard == Heard::end) {
      return std::nullopt;
    }
    now = standing_of(talk);
    tell_what_follows(talk, now, *question);
  }
  return now;
}

// A program that was killed here has written the file and left the answers.
bool is_written(const Dialogue& talk, const Standing& now) {
  try {
    return read_whole(talk.file, job::most_bytes) == now.text;
  } catch (const Trouble&) {
    return false;
  }
}

ExitStatus finish(Dialogue& talk, const Standing& now) {
  if (!is_written(talk, now)) {
    create_whole(talk.file, now.text);
  }
  talk.kept.remove();
  const std::string name = text::harmless(talk.file);
  print("\n");
  tell(
      talk, "",
      {talk.words.say("ask.written", {{"file", name},
                                      {"command", "kerfmark plan " + name + " --sheet cut.pdf"}})});
  if (!now.plan) {
    say(job::with_source_lines(now.outcome.findings, now.outcome.left_out, now.text));
    return ExitStatus::trouble;
  }
  print(report::verdict_line({*now.outcome.job, *now.plan, talk.words}, talk.view));
  return status_of(*now.plan);
}

ExitStatus stop(const Dialogue& talk, const std::string& command) {
  print("\n");
  tell(talk, "",
       {talk.words.say("ask.stopped", {{"file", text::harmless(talk.kept.path())},
                                       {"command", text::harmless(command)}})});
  return ExitStatus::trouble;
}

// Where nothing was begun, a file that is there is somebody's job.
void refuse_to_begin_over(const std::string& file, const std::string& answers) {
  try {
    refuse_taken(answers);
  } catch (const Trouble&) {
    return;
  }
  refuse_taken(file);
}

}  // namespace

ExitStatus ask(const AskRequest& request) {
  const auto shop = find_shop(request.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  const std::string kind(std::get<plan::ChoiceSlot>(plan::key_at("kind").slot)
                             .words[static_cast<std::size_t>(request.kind)]);
  const std::string file = request.file.empty() ? kind + ".toml" : request.file;
  refuse_to_begin_over(file, file + ".answers");
  AnswersFile kept(file + ".answers", kind);
  Dialogue talk{request.kind,          file, *shop, text::words_in(text::languages().front()),
                view_of_output(false), kept, {},    {}};
  drop_what_does_not_fit(talk);
  greet(talk);
  const auto now = ask_all(talk);
  return now ? finish(talk, *now)
             : stop(talk, "kerfmark ask " + kind + (request.file.empty() ? "" : " " + file));
}

}  // namespace kerfmark::cli
