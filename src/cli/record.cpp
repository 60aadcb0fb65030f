#include "record.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <filesystem>
#include <optional>
#include <string_view>
#include <utility>

#include "commands.hpp"
#include "environment.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/stored_form.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/json_object.hpp"
#include "kerfmark/report/text.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/trouble.hpp"
#include "kerfmark/version.hpp"
#include "known_words.hpp"
#include "local_time.hpp"
#include "own_folder.hpp"
#include "record_queue.hpp"
#include "record_text.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;
using records::Documents;
using records::Entry;
using records::PersonalData;
using records::Record;
using records::RecordIdentity;
using records::RecordSummary;
using records::Register;
using records::Use;

std::string named(std::int64_t number) { return "record " + std::to_string(number); }

std::string listed(const std::vector<std::int64_t>& numbers) {
  std::string list;
  for (const std::int64_t number : numbers) {
    list += (list.empty() ? "" : ", ") + std::to_string(number);
  }
  return list;
}

std::string named(const std::vector<std::int64_t>& numbers) {
  return (numbers.size() > 1 ? "records " : "record ") + listed(numbers);
}

std::string counted(std::size_t count, const std::string& thing) {
  return std::to_string(count) + " " + thing + (count == 1 ? "" : "s");
}

text::Words own_words() { return text::words_in(text::languages().front()); }

// ---- where the register is ----

std::string path_of_register(const RecordRequest& request, const ShopFile& shop, bool make_folder) {
  if (!request.register_file.empty()) {
    return request.register_file;
  }
  if (const std::string_view named = environment("KERFMARK_REGISTER"); !named.empty()) {
    return std::string(named);
  }
  if (const std::string of_shop = register_of(shop); !of_shop.empty()) {
    return of_shop;
  }
  return (own_folder(make_folder) / "register.db").string();
}

// The register that counts; nothing where the shop file is wrong.
struct Opened {
  Register book;
  std::string path;
};

// With what its user should know, and with what waited for it.
Register ready(Register book, const std::string& path) {
  say_cautions(path, book.cautions());
  send_waiting(book, path);
  return book;
}

std::optional<Opened> existing_register(const RecordRequest& request, Use use = Use::reading) {
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return std::nullopt;
  }
  std::string path = path_of_register(request, *shop, false);
  return Opened{ready(Register::open(path, use), path), path};
}

// The register and what the database puts beside it, where it really lies.
std::vector<std::string> files_of_register(const std::string& path) {
  if (records::is_on_server(path)) {
    return {};
  }
  std::error_code error;
  const fs::path real = fs::weakly_canonical(path, error);
  std::vector<std::string> files = {path};
  for (const char* const end : {"-wal", "-shm", "-journal"}) {
    files.push_back((error ? path : real.string()) + end);
  }
  return files;
}

// ---- words of the command line ----

std::optional<std::int64_t> number_of(const std::string& text) {
  std::int64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  const bool whole = error == std::errc{} && end == text.data() + text.size();
  return whole && number >= 1 ? std::optional(number) : std::nullopt;
}

ExitStatus no_number(const std::string& text) {
  return usage("\"" + text + "\" is not the number of a record; they count from 1");
}

bool is_day(const std::string& text) {
  const auto part = [&](std::size_t start, std::size_t size) {
    int value = -1;
    const char* first = text.data() + start;
    const auto [end, error] = std::from_chars(first, first + size, value);
    return error == std::errc{} && end == first + size ? value : -1;
  };
  if (text.size() != 10 || text[4] != '-' || text[7] != '-' || part(0, 4) < 0 || part(5, 2) < 0 ||
      part(8, 2) < 0) {
    return false;
  }
  return std::chrono::year_month_day{std::chrono::year(part(0, 4)),
                                     std::chrono::month(static_cast<unsigned>(part(5, 2))),
                                     std::chrono::day(static_cast<unsigned>(part(8, 2)))}
      .ok();
}

std::string complaint_unless_known(std::string_view what, const std::string& word,
                                   std::span<const std::string_view> known) {
  const bool is_known = std::ranges::find(known, std::string_view(word)) != known.end();
  return word.empty() || is_known ? std::string{} : unknown_word(what, word, known);
}

std::string complaints_about_filter(const RecordRequest& request) {
  constexpr auto verdicts = std::to_array<std::string_view>({"cut", "keep", "hold", "reject"});
  const auto parts = plan::kind_words();
  std::vector<std::string_view> kinds(parts.begin(), parts.end());
  kinds.emplace_back("forget");
  std::string complaints = complaint_unless_known("kind", request.kind, kinds) +
                           complaint_unless_known("verdict", request.verdict, verdicts);
  for (const auto& [option, day] : {std::pair("--from", &request.from), {"--to", &request.until}}) {
    if (!day->empty() && !is_day(*day)) {
      complaints +=
          std::string(option) + ": \"" + *day + "\" is not a date; write it as 2026-11-20\n";
    }
  }
  return complaints;
}

// Days are those of this machine, like the times in a list.
std::string from_of(const RecordRequest& request) {
  return request.from.empty() ? std::string{} : beginning_of_day(request.from);
}

std::string before_of(const RecordRequest& request) {
  return request.until.empty() ? std::string{} : beginning_of_day(request.until, 1);
}

// ---- from a record back to its plan and sheet ----

struct Replayed {
  plan::Job job;
  plan::Plan plan;
};

// Nothing where this program no longer takes the job.
std::optional<Replayed> replay(const Documents& documents,
                               const std::optional<PersonalData>& personal_data) {
  job::Outcome outcome = job::read_job(documents.job, "stored job", documents.shop.value_or(""));
  if (!outcome.job) {
    return std::nullopt;
  }
  outcome.job->paperwork.owner = personal_data.value_or(PersonalData{}).owner;
  outcome.job->paperwork.notes = personal_data.value_or(PersonalData{}).notes;
  plan::Plan plan = plan::plan_cut(*outcome.job);
  return Replayed{*std::move(outcome.job), std::move(plan)};
}

sheet::PrintedSheet sheet_of(const Replayed& replayed, const RecordSummary& summary,
                             const Documents& documents,
                             const std::optional<RecordIdentity>& identity) {
  const job::ShopOutcome shop = job::read_shop(documents.shop.value_or(""), "stored shop file");
  if (!shop.shop) {
    throw Trouble("print the sheet of", identity ? named(identity->number) : "the job",
                  "this kerfmark does not take the shop file that was stored with it; kerfmark " +
                      summary.program_version + " does");
  }
  const SheetChoice choice =
      sheet_choice({.paper = summary.paper, .language = summary.language, .shop = {}}, *shop.shop);
  sheet::SheetOptions options = sheet_options(choice, *shop.shop);
  options.digest = report::digest_of(replayed.job);
  if (identity) {
    options.record = sheet::RecordIdentity{identity->number, identity->hash};
  }
  options.record_is_pending = !identity;
  return sheet::print_sheet(replayed.job, replayed.plan, options);
}

// ---- add ----

std::optional<plan::Job> read_and_say(const std::string& text, const std::string& file,
                                      const ShopFile& shop) {
  job::Outcome outcome = job::read_job(text, file, shop.text);
  say(job::with_source_lines(outcome.findings, outcome.left_out, text));
  return std::move(outcome.job);
}

Entry entry_of(const std::string& text, const plan::Job& job, const plan::Plan& plan,
               const SheetChoice& choice, const ShopFile& shop) {
  const job::StoredForm form = job::stored_form(text);
  const plan::Paperwork paperwork = job.signed_last();
  Entry entry;
  entry.summary = {.replaces = {},
                   .made_utc = now_utc(),
                   .program_version = std::string(version),
                   .kind = std::string(plan::word(job.kind)),
                   .verdict = std::string(report::word(plan.before.verdict)),
                   .job_number = job.paperwork.number,
                   .bike = job.paperwork.bike,
                   .by = paperwork.by,
                   .checked_by = paperwork.checked_by,
                   .planned_cut_mm = {},
                   .actual_cut_mm = {},
                   .after_verdict = {},
                   .paper = std::string(job::paper_words()[static_cast<std::size_t>(choice.paper)]),
                   .language = choice.language};
  if (plan.before.verdict == plan::Verdict::cut) {
    entry.summary.planned_cut_mm = plan.before.at.in_mm();
  }
  if (plan.after) {
    entry.summary.after_verdict = std::string(report::word(plan.after->verdict));
    if (plan.after->made->cut) {
      entry.summary.actual_cut_mm = plan.after->made->cut->in_mm();
    }
  }
  entry.documents = {form.job, report::json_line({job, plan, own_words()}), {}};
  if (!shop.path.empty()) {
    entry.documents.shop = shop.text;
  }
  entry.personal_data = {form.owner, form.notes};
  return entry;
}

// What is done, but may have been meant otherwise.
std::string words_about(const records::Added& added, const std::optional<std::int64_t>& replaces) {
  std::string said;
  if (added.same_as) {
    said += "kerfmark: caution: the very same job is in " + named(*added.same_as) +
            " already; it is stored once more\n";
  }
  if (added.another_owner) {
    said += "kerfmark: caution: " + named(*replaces) +
            " has another owner: was that the record to be replaced?\n";
  }
  return said;
}

}  // namespace

namespace {

// A job that is being added, with its sheet: drafted before it is stored, and in place once it is.
struct Adding {
  const RecordRequest& request;
  std::string name;  // of the job file
  plan::Job job;
  plan::Plan plan;
  Entry entry;
  Replayed replayed;
  std::vector<std::string> others;  // files that the sheet must not be
  std::optional<files::Draft> draft = {};
  std::string to_standard_output = {};

  // Without an identity: the record has to wait for one.
  void print_sheet(const std::optional<RecordIdentity>& identity) {
    if (request.sheet.empty()) {
      return;
    }
    refuse_unless_pdf_may_go_to(request.sheet, others);  // all of them are there now
    const sheet::PrintedSheet printed =
        sheet_of(replayed, entry.summary, entry.documents, identity);
    say_cautions(name, printed.cautions);
    if (request.sheet == standard) {
      to_standard_output = printed.pdf;
      return;
    }
    draft.emplace(request.sheet);
    draft->append(printed.pdf);
    draft->flush();
  }

  // `what` is stored, and where.
  void finish(const std::string& what, const std::string& where, const std::string& said) {
    try {
      if (draft) {
        draft->replace_target();
      }
      print_as_it_is(to_standard_output);
      print_beside(
          request.sheet,
          said + "\n" + report::verdict_line({job, plan, own_words()}, view_of_output(false)));
    } catch (const Trouble& trouble) {
      throw Trouble("finish", what,
                    "it is " + where + ", but the program " + std::string("cannot ") +
                        trouble.doing + " " + trouble.path + ": " + trouble.reason);
    }
  }
};

// The server does not answer: the record waits for it here.
void queue_it(Adding& adding, const std::string& path, const records::Unreachable& away) {
  adding.entry.sent_before = away.perhaps.has_value();
  const std::string perhaps = away.perhaps
                                  ? "it may be stored there already, as " +
                                        named(away.perhaps->number) + ", hash " + away.perhaps->hash
                                  : std::string{};
  try {
    adding.print_sheet(std::nullopt);
    put_in_queue(path, adding.entry);
  } catch (const Trouble& trouble) {
    throw Trouble(
        trouble.doing, trouble.path,
        trouble.reason + (perhaps.empty() ? "; the server does not answer, and nothing is stored"
                                          : "; the server was lost, and " + perhaps));
  }
  const auto& replaces = adding.entry.summary.replaces;
  adding.finish("the job", "queued",
                "Queued" + (replaces ? ", to replace " + named(*replaces) : std::string{}) +
                    ": the server does not answer, and its number is pending");
  say("kerfmark: caution: " + text::harmless(away.reason) +
      "; the record is queued here, and sent by the next command that reaches the server\n");
  if (!perhaps.empty()) {
    say("kerfmark: caution: " + perhaps + "; it is not stored twice\n");
  }
}

void store(Adding& adding, Register& book) {
  std::function<void(const RecordIdentity&)> before;
  if (!adding.request.sheet.empty()) {
    before = [&](const RecordIdentity& next) { adding.print_sheet(next); };
  }
  const records::Added added = book.add(adding.entry, before);
  const auto& replaces = adding.entry.summary.replaces;
  adding.finish(named(added.identity.number), "stored",
                "Record " + std::to_string(added.identity.number) +
                    (replaces ? " replaces " + named(*replaces) : std::string{}) + ", hash " +
                    added.identity.hash);
  say(words_about(added, replaces));
}

}  // namespace

ExitStatus record_add(const RecordRequest& request) {
  if (const std::string wrong = complaints_about(request.on_sheet, true); !wrong.empty()) {
    return usage(wrong);
  }
  const auto replaces = number_of(request.replaces);
  if (!request.replaces.empty() && !replaces) {
    return no_number(request.replaces);
  }
  const std::string name = name_of_input(request.job);
  const std::string text = read_input(request.job, job::most_bytes);
  const auto shop = find_shop(request.on_sheet.shop);
  const auto job = shop ? read_and_say(text, name, *shop) : std::nullopt;
  if (!job) {
    return ExitStatus::trouble;
  }
  const plan::Plan plan = plan::plan_cut(*job);
  const SheetChoice choice = sheet_choice(request.on_sheet, shop->shop);
  Entry entry = entry_of(text, *job, plan, choice, *shop);
  entry.summary.replaces = replaces;
  entry.anyway = request.anyway;
  entry.key = records::fresh_salt();
  // The sheet is printed from what is stored, so that it can be printed again.
  const auto replayed = replay(entry.documents, entry.personal_data);
  if (!replayed || !job::says_the_same(replayed->job, *job)) {
    throw Trouble("store", name, "its text would not be read back as the same job");
  }
  // A correction has a register already.
  const std::string path = path_of_register(request, *shop, !replaces);
  std::vector<std::string> others = files_of_register(path);
  others.insert(others.end(), {request.job, shop->path});
  if (!request.sheet.empty()) {
    say_cautions(shop->path, texts_left_out(choice, *shop));
    refuse_unless_pdf_may_go_to(request.sheet, others);
  }
  Adding adding{request, name, *job, plan, entry, *replayed, others};
  try {
    Register book = ready(replaces ? Register::open(path) : Register::open_or_create(path), path);
    store(adding, book);
  } catch (const records::Unreachable& away) {
    queue_it(adding, path, away);
  }
  return status_of(plan);
}

ExitStatus record_list(const RecordRequest& request) {
  if (const std::string wrong = complaints_about_filter(request); !wrong.empty()) {
    return usage(wrong);
  }
  auto book = existing_register(request);
  if (!book) {
    return ExitStatus::trouble;
  }
  constexpr std::size_t newest = 50;
  records::Filter filter{.find = request.find,
                         .kind = request.kind,
                         .verdict = request.verdict,
                         .by = request.by,
                         .from_utc = from_of(request),
                         .before_utc = before_of(request),
                         .most = request.all ? std::nullopt : std::optional(newest + 1)};
  std::vector<Record> found = book->book.list(filter);
  const bool more = filter.most && found.size() > newest;
  if (more) {
    found.pop_back();
  }
  if (request.json) {
    std::string lines;
    for (const Record& record : found) {
      lines += json_of(record) + "\n";
    }
    print(lines);
  } else {
    print(found.empty() ? "No record matches.\n" : list_text(found, view_of_output(false)));
  }
  if (more) {
    say("kerfmark: the newest " + std::to_string(newest) + "; --all lists the older ones too\n");
  }
  return ExitStatus::yes;
}

namespace {

// What was said then, and word for it where this program would not say the same.
std::string report_then(const Record& record, const Documents& documents,
                        const std::optional<Replayed>& replayed, const report::View& view) {
  const text::Words words = own_words();
  if (replayed && report::says_no_less(report::json_line({replayed->job, replayed->plan, words}),
                                       documents.result_json)) {
    return report::text_report({replayed->job, replayed->plan, words}, view, report::Extent::full);
  }
  return "kerfmark " + std::string(version) + " would not say the same of this job as kerfmark " +
         text::harmless(record.summary.program_version) + "\nsaid then. What was said then:\n\n" +
         report::json_for_people(documents.result_json);
}

void print_sheet_again(const RecordRequest& request, const Record& record,
                       const Documents& documents, const std::optional<Replayed>& replayed) {
  if (!replayed) {
    throw Trouble("print the sheet of", named(record.identity.number),
                  "this kerfmark no longer takes its job; kerfmark " +
                      record.summary.program_version + " does");
  }
  const sheet::PrintedSheet printed =
      sheet_of(*replayed, record.summary, documents, record.identity);
  say_cautions(named(record.identity.number), printed.cautions);
  if (record.summary.program_version != version) {
    say("kerfmark: caution: " + named(record.identity.number) + " was made by kerfmark " +
        text::harmless(record.summary.program_version) + "; its sheet may have looked different\n");
  }
  write_sheet(request.sheet, printed.pdf);
}

}  // namespace

std::vector<std::pair<std::int64_t, std::string>> newest_records(const RecordRequest& request) {
  const auto shop = find_shop(request.on_sheet.shop);
  std::vector<std::pair<std::int64_t, std::string>> found;
  constexpr std::size_t most = 50;  // a screenful
  if (shop) {
    // Asked for a shell: nothing is said, and nothing sent.
    Register book = Register::open(path_of_register(request, *shop, false), Use::reading);
    for (const records::Record& record : book.list({.most = most})) {
      found.emplace_back(record.identity.number, record.summary.bike);
    }
  }
  return found;
}

ExitStatus record_show(const RecordRequest& request) {
  const auto number = number_of(request.number);
  if (!number) {
    return no_number(request.number);
  }
  if (request.json && request.sheet == standard) {
    return usage(two_on_standard_output);
  }
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  const std::string path = path_of_register(request, *shop, false);
  Register book = ready(Register::open(path, Use::reading), path);
  const auto record = book.at(*number);
  if (!record) {
    throw Trouble("show", named(*number), "there is no such record in " + path);
  }
  const Documents documents = book.documents_of(*number);
  const bool of_a_cut = record->forgets.empty();
  if (!request.sheet.empty() && !of_a_cut) {
    throw Trouble("print the sheet of", named(*number), "it says what was forgotten, and has none");
  }
  const auto replayed = of_a_cut ? replay(documents, record->personal_data) : std::nullopt;
  if (!request.sheet.empty()) {
    std::vector<std::string> others = files_of_register(path);
    others.push_back(shop->path);
    refuse_unless_pdf_may_go_to(request.sheet, others);
    print_sheet_again(request, *record, documents, replayed);
  }
  if (request.json) {
    print(json_of(*record, documents) + "\n");
    return ExitStatus::yes;
  }
  const report::View view = view_of_output(false);
  print_beside(request.sheet, head_text(*record, documents, view) +
                                  (of_a_cut ? "\n" + report_then(*record, documents, replayed, view)
                                            : std::string{}));
  return ExitStatus::yes;
}

namespace {

// Where an export goes: a file that is whole or not there, or standard output.
class Export {
 public:
  Export(const RecordRequest& request, const std::vector<std::string>& others)
      : path_(request.file), over_(request.force) {
    if (path_ == standard) {
      return;
    }
    if (!over_) {
      refuse_taken(path_);
    }
    refuse_shared(path_, others);
    file_.emplace(path_);
  }

  void append(const std::string& text) {
    if (file_) {
      file_->append(text);
    } else {
      print_as_it_is(text);
    }
  }

  void finish() {
    if (file_ && over_) {
      file_->replace_target();
    } else if (file_) {
      become_target(*file_, path_);
    }
  }

 private:
  std::string path_;
  bool over_;
  std::optional<files::Draft> file_;
};

bool is_wanted(const RecordRequest& request, const Record& record, const std::string& from,
               const std::string& before) {
  const RecordSummary& summary = record.summary;
  return (request.kind.empty() || summary.kind == request.kind) && summary.made_utc >= from &&
         (before.empty() || summary.made_utc < before);
}

}  // namespace

ExitStatus record_export(const RecordRequest& request) {
  constexpr auto formats = std::to_array<std::string_view>({"csv", "json"});
  const std::string wrong =
      complaint_unless_known("format", request.format, formats) + complaints_about_filter(request);
  if (!wrong.empty()) {
    return usage(wrong);
  }
  auto book = existing_register(request);
  if (!book) {
    return ExitStatus::trouble;
  }
  const bool csv = request.format == formats[0];
  const std::string from = from_of(request);
  const std::string before = before_of(request);
  Export file(request, files_of_register(book->path));
  ProgressLine progress("exported");
  file.append(csv ? csv_header() : R"({"schema":1,"records":[)");
  std::size_t count = 0;
  const auto newest = book->book.list({.most = 1});
  book->book.each([&](const Record& record, const Documents& documents) {
    if (is_wanted(request, record, from, before)) {
      file.append(csv ? csv_line(record, documents)
                      : (count == 0 ? "\n" : ",\n") + json_of(record, documents));
      ++count;
    }
    progress.tell(static_cast<std::size_t>(record.identity.number),
                  static_cast<std::size_t>(newest.front().identity.number));
  });
  progress.clear();
  file.append(csv ? "" : "\n]}\n");
  file.finish();
  print_beside(request.file, "Wrote " + counted(count, "record") + " to " +
                                 text::harmless(name_of_output(request.file)) + "\n");
  return ExitStatus::yes;
}

namespace {

std::string name_the_last(const records::Imported& in) {
  return named(in.last.number) + ", hash " + in.last.hash;
}

std::string what_came_in(const records::Imported& in, const std::string& from) {
  const std::string took = "Took in " + counted(static_cast<std::size_t>(in.count), "record") +
                           " from " + text::harmless(from);
  if (in.as_they_were) {
    return took + (in.count == 0 ? std::string(".\n")
                                 : ", with numbers and hashes as they were; the last is " +
                                       name_the_last(in) + "\n");
  }
  std::string said = took;
  if (in.count > 0) {
    said += ", numbered anew from " + std::to_string(in.first.number) + " on; the last is now " +
            name_the_last(in);
  }
  said += "\n";
  if (in.already > 0) {
    said += counted(static_cast<std::size_t>(in.already), "record") + " of it " +
            (in.already == 1 ? "was" : "were") + " here already\n";
  }
  if (!in.forgotten.empty()) {
    said += "Owner and notes were forgotten there of what is " + named(in.forgotten) + " here; " +
            named(in.last.number) + " says so\n";
  }
  return said;
}

records::Progress told_on(ProgressLine& line) {
  return [&line](std::int64_t done, std::int64_t of) {
    line.tell(static_cast<std::size_t>(done), static_cast<std::size_t>(of));
  };
}

bool is_same_file(const std::string& one, const std::string& other) {
  std::error_code error;
  return one == other || fs::equivalent(one, other, error);
}

}  // namespace

ExitStatus record_import(const RecordRequest& request) {
  const auto shop = find_shop(request.on_sheet.shop);
  if (!shop) {
    return ExitStatus::trouble;
  }
  Register other = ready(Register::open(request.file, Use::reading), request.file);
  const std::string path = path_of_register(request, *shop, true);
  if (is_same_file(path, request.file)) {
    throw Trouble("take in", request.file, "it is this register itself; name another one");
  }
  Register book = ready(Register::open_or_create(path), path);
  ProgressLine progress("taken in");
  const records::Imported in =
      book.take_in(other, {now_utc(), std::string(version)}, told_on(progress));
  progress.clear();
  print(what_came_in(in, request.file));
  return ExitStatus::yes;
}

namespace {

std::string head_line(const records::Verification& found) {
  if (found.count == 0) {
    return "It has no records.\n";
  }
  return "The last is record " + std::to_string(found.last) + ", hash " +
         text::harmless(found.head) + "\n";
}

}  // namespace

ExitStatus record_verify(const RecordRequest& request) {
  constexpr std::size_t fewest_digits = 16;  // what nobody finds another text for
  const bool digits = request.head.find_first_not_of("0123456789abcdef") == std::string::npos;
  if (!request.head.empty() && (!digits || request.head.size() < fewest_digits)) {
    return usage("--head: give the first 16 of the digits that stand on the sheet, or all of them");
  }
  auto book = existing_register(request);
  if (!book) {
    return ExitStatus::trouble;
  }
  ProgressLine progress("verified");
  records::Verification found = book->book.verify(request.head, told_on(progress));
  progress.clear();
  if (!request.head.empty() && !found.asked) {
    found.faults.push_back("no record has the hash " + request.head +
                           ": it was lost or changed, or is of another register");
  }
  constexpr std::size_t most_said = 20;
  std::string said;
  for (std::size_t i = 0; i < std::min(most_said, found.faults.size()); ++i) {
    said += text::harmless(found.faults[i]) + "\n";
  }
  if (found.faults.size() > most_said) {
    said += "and " + counted(found.faults.size() - most_said, "fault") + " more\n";
  }
  said += counted(static_cast<std::size_t>(found.count), "record") + ", " +
          counted(found.faults.size(), "fault") + ". " + head_line(found);
  if (found.asked) {
    said += named(found.asked->number) + " has the hash that was asked for; " +
            std::to_string(found.last - found.asked->number) + " came after it\n";
  } else if (request.head.empty()) {
    said += "Whether the last records were lost shows only by the hash on a sheet: --head HASH\n";
  }
  if (!found.blanked_before.empty()) {
    said += "Owner and notes of " + named(found.blanked_before) +
            " were blanked before such was recorded: whether by forget, nothing tells\n";
  }
  if (!found.index_checked) {
    said += "The full text was not checked: the file may not be written, or is damaged\n";
  }
  print(said);
  return found.faults.empty() ? ExitStatus::yes : ExitStatus::no;
}

ExitStatus record_backup(const RecordRequest& request) {
  auto book = existing_register(request);
  if (!book) {
    return ExitStatus::trouble;
  }
  refuse_taken(request.file);
  refuse_shared(request.file, files_of_register(book->path));
  ProgressLine progress("copied");
  const RecordIdentity last = book->book.copy_to(request.file, told_on(progress));
  progress.clear();
  print("Wrote " + text::harmless(request.file) + ": " +
        (last.number == 0 ? "no record yet"
                          : "up to " + named(last.number) + ", hash " + text::harmless(last.hash)) +
        "\n" + book->book.other_backup());
  return ExitStatus::yes;
}

namespace {

std::vector<std::int64_t> numbers_of(const std::vector<Record>& records) {
  std::vector<std::int64_t> numbers;
  for (const Record& record : records) {
    numbers.push_back(record.identity.number);
  }
  return numbers;
}

std::string same_owners(const records::Forgotten& forgotten) {
  std::string said;
  for (const records::SameOwner& same : forgotten.the_same) {
    said += "The owner of " + named(same.record) + " stands in " + named(same.others) + " too.\n";
  }
  return said;
}

constexpr const char* out_of_reach =
    "Job files on the disk, backups made before, exported files and printed sheets still have "
    "them.\n";

}  // namespace

ExitStatus record_forget(const RecordRequest& request) {
  const auto number = number_of(request.number);
  if (!number) {
    return no_number(request.number);
  }
  auto opened = existing_register(request, request.yes ? Use::writing : Use::reading);
  if (!opened) {
    return ExitStatus::trouble;
  }
  if (!request.yes) {
    const records::Forgotten would = opened->book.would_forget(*number);
    print("Owner and notes of these would be forgotten for good:\n" +
          list_text(would.records, view_of_output(false)) + same_owners(would) +
          "Nothing is done yet: add --yes to do it.\n");
    return ExitStatus::no;
  }
  const records::Forgotten forgotten =
      opened->book.forget(*number, {now_utc(), std::string(version)});
  print("Owner and notes are forgotten of " + named(numbers_of(forgotten.records)) +
        (forgotten.identity ? "; " + named(forgotten.identity->number) + ", hash " +
                                  forgotten.identity->hash + ", says so"
                            : std::string(", as they were before")) +
        ".\n" + out_of_reach + opened->book.kept_elsewhere() + same_owners(forgotten));
  return ExitStatus::yes;
}

ExitStatus record_setup(const RecordRequest& request) {
  if (!records::is_on_server(request.server)) {
    return usage(
        "setup: name the server as postgresql://host/database; a register in a file is "
        "made by the first record add");
  }
  const records::SetUp done = Register::set_up(request.server);
  print((done.fresh ? "Made the register, version " : "The register is of version ") +
        std::to_string(done.version) +
        ".\n"
        "Let logins work with it:           GRANT kerfmark_add TO name;\n"
        "and forget people's data, too:     GRANT kerfmark_forget TO name;\n"
        "Everything in it belongs to kerfmark_owner, as whom nobody works.\n");
  return ExitStatus::yes;
}

}  // namespace kerfmark::cli
