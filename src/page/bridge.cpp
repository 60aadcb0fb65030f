// The program behind the page: a request comes in as bytes and an answer goes out as bytes, see
// shell/core.js. Nothing is worked out here and no sentence stands here.

#include "bridge.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <map>
#include <optional>
#include <vector>

#include <nlohmann/json.hpp>

#include "kerfmark/job/fields.hpp"
#include "kerfmark/job/length_text.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/job/template.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/form.hpp"
#include "kerfmark/sheet/picture.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kerfmark/text/words.hpp"
#include "kerfmark/version.hpp"

namespace kerfmark::page {
namespace {

using Json = nlohmann::ordered_json;
using plan::Key;

struct Request {
  std::string_view verb;
  std::map<std::string, std::string, std::less<>> options;
  std::string_view body;

  [[nodiscard]] std::string option(std::string_view name) const {
    const auto found = options.find(name);
    return found == options.end() ? std::string() : found->second;
  }
};

std::string_view first_line(std::string_view& text) {
  const std::size_t end = std::min(text.find('\n'), text.size());
  const std::string_view line = text.substr(0, end);
  text.remove_prefix(std::min(end + 1, text.size()));
  return line;
}

Request request_in(std::string_view bytes) {
  Request request{first_line(bytes), {}, {}};
  for (std::string_view line = first_line(bytes); !line.empty(); line = first_line(bytes)) {
    const std::size_t equals = std::min(line.find('='), line.size());
    request.options.emplace(line.substr(0, equals), line.substr(std::min(equals + 1, line.size())));
  }
  request.body = bytes;
  return request;
}

std::string dumped(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

text::Words words_for(const Request& request) {
  const auto known = text::languages();
  const auto found = std::ranges::find(known, request.option("language"));
  text::Words words = text::words_in(found == known.end() ? known.front() : *found);
  words.replace("report.next.once", words.at("on_page.once"));
  return words;
}

std::optional<plan::Kind> kind_of(std::string_view word) {
  for (const plan::Kind kind : sheet::form_kinds()) {
    if (plan::word(kind) == word) {
      return kind;
    }
  }
  return std::nullopt;
}

// ---- the form ----

std::string_view sort_of(const Key& key) {
  struct Sort {
    std::string_view operator()(plan::LengthSlot) const { return "length"; }
    std::string_view operator()(plan::AngleSlot) const { return "angle"; }
    std::string_view operator()(plan::MassSlot) const { return "mass"; }
    std::string_view operator()(plan::NumberSlot) const { return "number"; }
    std::string_view operator()(plan::FlagSlot) const { return "flag"; }
    std::string_view operator()(plan::TextSlot) const { return "text"; }
    std::string_view operator()(plan::PairSlot) const { return "pair"; }
    std::string_view operator()(plan::ListSlot) const { return "list"; }
    std::string_view operator()(plan::RingsSlot) const { return "rings"; }
    std::string_view operator()(const plan::ChoiceSlot&) const { return "choice"; }
    std::string_view operator()(plan::InstrumentsSlot) const { return "instruments"; }
  };
  return std::visit(Sort{}, key.slot);
}

Json choices_of(const Key& key, const text::Words& words) {
  Json choices = Json::array();
  const auto add = [&](std::string_view word) {
    const std::string label = words.at("sheet.blank.choice." + std::string(word));
    choices.push_back({{"word", word}, {"label", label}});
  };
  if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
    std::ranges::for_each(choice->words, add);
  } else if (std::holds_alternative<plan::FlagSlot>(key.slot)) {
    add("false");
    add("true");
  }
  return choices;
}

// By what it is read where the heights are measured in another way than the first.
Json instruments_by_way(const Key& key) {
  Json ways = Json::object();
  if (key.spec.range_and_instrument == nullptr) {
    return ways;
  }
  const auto& choice = std::get<plan::ChoiceSlot>(plan::key_at("saddle.measured").slot);
  for (std::size_t way = 0; way < choice.words.size(); ++way) {
    plan::Job job;
    job.saddle.measured = static_cast<plan::HeightMeasured>(way);
    if (key.instrument_for(job) != key.instrument_for(plan::Job{})) {
      ways[std::string(choice.words[way])] = key.instrument_for(job);
    }
  }
  return ways;
}

// What counts where nothing is entered; a choice shows its own.
std::string fallback_of(const Key& key) {
  const bool figure = std::holds_alternative<plan::LengthSlot>(key.slot) ||
                      std::holds_alternative<plan::NumberSlot>(key.slot);
  return figure && key.spec.fallback ? measure::shortest(*key.spec.fallback) : std::string();
}

bool may_be_negative(const Key& key) { return key.spec.range && key.spec.range->least < 0; }

Json key_as_json(const sheet::FormKey& form, plan::Kind kind, const sheet::Letters& letters,
                 const text::Words& words) {
  const Key& key = *form.key;
  const std::string path(key.path);
  const auto letter = letters.find(path);
  return {{"path", path},
          {"table", plan::table_of(key.path)},
          {"name", plan::name_of(key.path)},
          {"kind", plan::word(kind)},
          {"stage", sheet::word(form.stage)},
          {"sort", sort_of(key)},
          {"label", words.at("key." + path + ".label")},
          {"how", words.at("key." + path + ".how")},
          {"choices", choices_of(key, words)},
          {"instrument", key.instrument_for(plan::Job{})},
          {"instrument_by_way", instruments_by_way(key)},
          {"fallback", fallback_of(key)},
          {"readings", !key.instrument_for(plan::Job{}).empty()},
          {"unknown", key.spec.unknown != nullptr},
          {"repeated", plan::list_table(plan::table_of(key.path)) != nullptr},
          {"longest", key.spec.longest},
          {"asked", job::is_asked(key, kind) || key.spec.asked == plan::Asked::on_the_way},
          {"usual", job::is_usual(key, kind)},
          {"negative", may_be_negative(key)},
          {"letter", letter == letters.end() ? "" : letter->second}};
}

Json keys_as_json(const text::Words& words) {
  Json keys = Json::array();
  for (const plan::Kind kind : sheet::form_kinds()) {
    const sheet::Letters letters = sheet::letters_of(kind);
    for (const sheet::FormKey& form : sheet::form_keys(kind)) {
      keys.push_back(key_as_json(form, kind, letters, words));
    }
  }
  return keys;
}

Json stages_as_json(const text::Words& words) {
  Json stages = Json::array();
  for (const sheet::Stage stage : sheet::stages()) {
    Json titles = Json::object();
    for (const plan::Kind kind : sheet::form_kinds()) {
      const std::string key = "sheet.blank.stage." + std::string(plan::word(kind)) + "." +
                              std::string(sheet::word(stage));
      titles[std::string(plan::word(kind))] = text::Words::has(key) ? words.at(key) : "";
    }
    stages.push_back({{"word", sheet::word(stage)}, {"title", titles}});
  }
  return stages;
}

Json instruments_as_json(const text::Words& words) {
  Json instruments = Json::array();
  for (const plan::Instrument& one : plan::instruments()) {
    const bool angle = one.dimension == measure::Dimension::angle;
    const std::string figure = report::plain(one.half_width_base, words);
    instruments.push_back({{"name", one.name},
                           {"label", words.at("sheet.work.instrument." + std::string(one.name))},
                           {"sort", angle ? "angle" : "length"},
                           {"within", report::with_unit(figure, one.dimension, words)}});
  }
  return instruments;
}

Json kinds_as_json() {
  Json kinds = Json::array();
  for (const plan::Kind kind : sheet::form_kinds()) {
    kinds.push_back(plan::word(kind));
  }
  return kinds;
}

// An extension is read off what holds the saddle and needs no other measure of the bicycle, so it
// is asked for first. It is how a height was measured, not a figure: none is taken for granted.
Json answers_to_start_with() {
  const Json extension = {{"saddle.measured", {{"items", {"extension"}}}}};
  Json answers = Json::object();
  for (const plan::Kind kind : sheet::form_kinds()) {
    if (plan::holds_saddle(kind)) {
      answers[std::string(plan::word(kind))] = extension;
    }
  }
  return answers;
}

std::string form(const Request& request) {
  const text::Words words = words_for(request);
  return dumped({{"version", version},
                 {"languages", text::languages()},
                 {"most_bytes", job::most_bytes},
                 {"kinds", kinds_as_json()},
                 {"lines_seen", plan::line_words()},
                 {"start", answers_to_start_with()},
                 {"stages", stages_as_json(words)},
                 {"instruments", instruments_as_json(words)},
                 {"keys", keys_as_json(words)}});
}

// ---- the answer ----

Json figures_as_json(const std::vector<report::Figure>& figures) {
  Json all = Json::array();
  for (const report::Figure& figure : figures) {
    all.push_back({figure.label, figure.value});
  }
  return all;
}

Json limits_as_json(const std::vector<report::LimitLine>& lines) {
  Json limits = Json::array();
  for (const report::LimitLine& line : lines) {
    limits.push_back({{"name", line.name},
                      {"bound", line.bound},
                      {"has", line.has},
                      {"margin", line.margin},
                      {"doubt", line.doubt},
                      {"status", line.status},
                      {"standing", report::word(line.standing)},
                      {"origin", line.origin},
                      {"source", line.source},
                      {"odds", line.odds},
                      {"what", line.what},
                      {"stands_out", line.stands_out}});
  }
  return limits;
}

Json says_as_json(const report::Statement& says) {
  Json next = Json::array();
  for (const report::Step& step : says.next) {
    next.push_back({step.why, step.action});
  }
  return {{"verdict", says.verdict},
          {"headline", says.headline},
          {"because", says.because},
          {"figures", figures_as_json(says.figures)},
          {"next", next},
          {"limits_title", says.limits_title},
          {"limits", limits_as_json(says.limits)},
          {"if_settled_title", says.if_settled_title},
          {"if_settled", figures_as_json(says.if_settled)},
          {"cautions", says.cautions}};
}

// Questions that nobody has answered, and on which what is said rests with a caution.
Json open_questions(const plan::Plan& plan) {
  Json open = Json::array();
  for (const plan::CautionRow& row : plan::caution_rows()) {
    if (std::ranges::find(plan.cautions, row.caution) != plan.cautions.end()) {
      std::ranges::copy_if(row.open, std::back_inserter(open),
                           [](std::string_view path) { return !path.empty(); });
    }
  }
  return open;
}

Json findings_as_json(const std::vector<job::Finding>& findings, bool missing,
                      const text::Words& words) {
  Json all = Json::array();
  for (const job::Finding& finding : findings) {
    if ((finding.code == job::FindingCode::missing_key) == missing) {
      missing ? all.push_back(finding.key)
              : all.push_back({{"key", finding.key},
                               {"line", finding.line},
                               {"column", finding.column},
                               {"error", finding.severity == job::Severity::error},
                               {"message", job::message(finding, words)}});
    }
  }
  return all;
}

std::string judge(const Request& request) {
  const text::Words words = words_for(request);
  const job::Outcome outcome = job::read_job(request.body, "");
  Json answer = {{"findings", findings_as_json(outcome.findings, false, words)},
                 {"missing", findings_as_json(outcome.findings, true, words)}};
  if (!outcome.job) {
    return dumped(answer);
  }
  const plan::Plan plan = plan::plan_cut(*outcome.job);
  answer["verdict"] = report::word(plan.now().verdict);
  answer["open"] = open_questions(plan);
  const report::Telling telling(*outcome.job, plan, words);
  report::Statement says = report::statement_of(telling);
  if (plan.after) {
    // Cautions are about the part, whenever.
    says.cautions = report::statement_of(telling.before()).cautions;
  }
  answer["says"] = says_as_json(says);
  answer["digest"] = report::digest_of(*outcome.job);
  answer["svg"] = sheet::part_as_svg(*outcome.job, plan, words);
  return dumped(answer);
}

// As `kerfmark plan --json` has it.
std::string json(const Request& request) {
  const std::string name = request.option("file");
  const job::Outcome outcome = job::read_job(request.body, name);
  if (!outcome.job) {
    return report::json_line(name, job::lines_of(outcome.findings), outcome.left_out);
  }
  const report::JobFile file{name, job::cautions_of(outcome.findings)};
  const plan::Plan plan = plan::plan_cut(*outcome.job);
  const text::Words words;
  return report::json_line({*outcome.job, plan, words}, file);
}

// ---- a post as it stands ----

struct Standing {
  plan::PostAsItStands post;
  Json wrong = Json::object();
};

plan::Range range_of(std::string_view path) { return *plan::key_at(path).spec.range; }

Standing standing_in(const Request& request) {
  Standing standing;
  const auto read = [&](const std::string& name, plan::Range plausible) {
    std::optional<plan::Length> length;
    if (const std::string text = request.option(name); !text.empty()) {
      const auto found = job::length_in(text, plausible);
      if (const auto* wrong = std::get_if<text::Phrase>(&found)) {
        standing.wrong[name] = wrong->in(words_for(request));
      } else {
        length = std::get<plan::Length>(found);
      }
    }
    return length;
  };
  plan::PostAsItStands& post = standing.post;
  post.length = read("length", range_of("post.length"));
  post.exposed = read("exposed", range_of("mock_up.exposed_bottomed"));
  post.inserted = read("inserted", {0.0, range_of("post.length").most});
  post.mark = read("mark", range_of("post.mark"));
  post.minimum = read("minimum", range_of("post.mark"));
  post.diameter = read("diameter", range_of("post.diameter"));
  const auto words = plan::line_words();
  if (const auto line = std::ranges::find(words, request.option("line")); line != words.end()) {
    post.line = static_cast<plan::LineSeen>(line - words.begin());
  }
  if (const plan::Instrument* with = plan::instrument_named(request.option("with"))) {
    post.instrument = with->name;
  }
  return standing;
}

// What the check cannot do without. A line that is seen above the collar needs no figure for its
// answer.
Json lacking_of(const plan::PostAsItStands& post) {
  if (!post.line) {
    return {"line"};
  }
  if (*post.line == plan::LineSeen::above || post.inserted || (post.length && post.exposed)) {
    return Json::array();
  }
  return post.length ? Json{"exposed"} : post.exposed ? Json{"length"} : Json{"inserted"};
}

bool shows_too_much(const plan::PostAsItStands& post) {
  return post.length && post.exposed && *post.exposed > *post.length;
}

bool can_be_checked(const Standing& standing) {
  return standing.wrong.empty() && lacking_of(standing.post).empty() &&
         !shows_too_much(standing.post);
}

std::string standing_post(const Request& request) {
  const Standing standing = standing_in(request);
  Json answer = {{"wrong", standing.wrong},
                 {"missing", lacking_of(standing.post)},
                 {"too_much_shows", shows_too_much(standing.post)}};
  if (!can_be_checked(standing)) {
    return dumped(answer);
  }
  const text::Words words = words_for(request);
  const plan::InsertionCheck check = plan::check_insertion(standing.post);
  const report::InsertionStatement says = report::insertion_statement(check, words);
  answer["verdict"] = report::word(check.verdict);
  answer["says"] = {
      {"look", says.look},
      {"verdict", says.verdict},
      {"headline", says.headline},
      {"action", says.action},
      {"figures", figures_as_json(says.figures)},
      {"limits_title", ""},
      {"limits",
       limits_as_json(says.shows_limits ? says.limits : std::vector<report::LimitLine>{})},
      {"how", says.how},
      {"cautions", says.cautions}};
  answer["svg"] = check.inserted ? sheet::standing_as_svg(check, words) : "";
  answer["json"] = report::json_line(check, text::Words());
  return dumped(answer);
}

// ---- what goes out and comes in ----

sheet::SheetOptions sheet_options(const Request& request) {
  sheet::SheetOptions options;
  options.words = words_for(request);
  options.paper = request.option("paper") == "letter" ? sheet::letter : sheet::a4;
  options.shop.name = request.option("shop");
  return options;
}

std::optional<std::string> sheet_of(const Request& request) {
  const job::Outcome outcome = job::read_job(request.body, "");
  if (!outcome.job) {
    return std::nullopt;
  }
  sheet::SheetOptions options = sheet_options(request);
  options.digest = report::digest_of(*outcome.job);
  return sheet::print_sheet(*outcome.job, plan::plan_cut(*outcome.job), options).pdf;
}

std::optional<std::string> standing_sheet(const Request& request) {
  const Standing standing = standing_in(request);
  return can_be_checked(standing)
             ? std::optional(sheet::print_insertion(plan::check_insertion(standing.post),
                                                    sheet_options(request))
                                 .pdf)
             : std::nullopt;
}

std::optional<std::string> blank(const Request& request) {
  const auto kind = kind_of(request.option("kind"));
  return kind ? std::optional(sheet::print_blank(*kind, sheet_options(request)).pdf) : std::nullopt;
}

std::optional<std::string> sketch(const Request& request) {
  const auto kind = kind_of(request.option("kind"));
  if (!kind) {
    return std::nullopt;
  }
  std::vector<std::string> keys;
  std::string list = request.option("keys");
  for (std::size_t from = 0; from < list.size();) {
    const std::size_t end = std::min(list.find(',', from), list.size());
    keys.push_back(list.substr(from, end - from));
    from = end + 1;
  }
  return sheet::sketch_as_svg(*kind, keys, request.option("lit"), words_for(request));
}

std::string fields(const Request& request) {
  const job::Fields found = job::fields_of(request.body);
  Json values = Json::object();
  for (const job::Field& field : found.fields) {
    values[field.path] = {{"items", field.items},    {"list", field.is_list},
                          {"plain", field.is_plain}, {"with", field.with},
                          {"within", field.within},  {"raw", field.raw},
                          {"line", field.line}};
  }
  return dumped({{"kind", kind_of(found.kind) ? found.kind : ""},
                 {"values", values},
                 {"unknown", found.unknown},
                 {"findings", findings_as_json(found.findings, false, words_for(request))}});
}

struct Verb {
  std::string_view word;
  std::optional<std::string> (*answer)(const Request&);
};

// Each answer is bytes, or nothing where there is no such thing.
template <std::string (*answer)(const Request&)>
std::optional<std::string> always(const Request& request) {
  return answer(request);
}

constexpr auto verbs = std::to_array<Verb>({
    {"form", always<form>},
    {"judge", always<judge>},
    {"json", always<json>},
    {"fields", always<fields>},
    {"standing", always<standing_post>},
    {"standing sheet", standing_sheet},
    {"sheet", sheet_of},
    {"blank", blank},
    {"sketch", sketch},
});

std::optional<std::string> answer_to(const Request& request) {
  const auto verb = std::ranges::find(verbs, request.verb, &Verb::word);
  return verb == verbs.end() ? std::nullopt : verb->answer(request);
}

}  // namespace

std::string ask(std::string_view request) {
  const auto answer = answer_to(request_in(request));
  return answer ? "+" + *answer : "!";
}

}  // namespace kerfmark::page
