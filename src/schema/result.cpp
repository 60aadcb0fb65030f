#include "result.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <string>
#include <string_view>

#include "kerfmark/schema/schema.hpp"

namespace kerfmark::schema {
namespace {

enum class Type {
  whole,
  number,
  text,
  truth,
  words,    ///< one of `words`
  span,     ///< [lo, hi], an open end null
  numbers,  ///< a list
  wholes,
  texts,
  heights,  ///< an object with lowest, height and highest
  object,   ///< whose keys are rows of their own
  objects,  ///< a list of such
  anything,
};

/// When a key is there. A word, the kind of part, stands in `only`.
enum class There { always, at_times };

struct Row {
  std::string_view group;  ///< "plan", "insertion", "findings", "record"
  std::string_view path;
  Type type;
  bool may_be_null = false;
  std::string_view what = "";
  There there = There::always;
  std::string_view only = "";   ///< of these kinds of part, parted by blanks; empty: of all
  std::string_view words = "";  ///< parted by blanks
};

constexpr bool null = true;
constexpr bool no_null = false;
constexpr auto always = There::always;
constexpr auto at_times = There::at_times;
constexpr std::string_view verdicts = "cut keep hold reject";
constexpr std::string_view post = "seatpost";
constexpr std::string_view fork = "steerer";
constexpr std::string_view bar = "handlebar";
constexpr std::string_view mast = "mast";
constexpr std::string_view post_or_mast = "seatpost mast";

// What a limit is told with, in a plan, after a cut and in a check of the insertion.
constexpr auto limit_rows = std::to_array<Row>({
    {"", "id", Type::text, no_null, "as in kerfmark-limits(7); blockages with their number"},
    {"", "what", Type::text, no_null, "what it asks, in words"},
    {"", "origin", Type::words, no_null, "", always, "", "maker published measured practice wish"},
    {"", "source", Type::text, null, "document and clause of a published one"},
    {"", "sense", Type::whole, no_null, "1 cutting helps, -1 hurts, 0 neither"},
    {"", "bound", Type::words, no_null, "", always, "", "at_least at_most"},
    {"", "needs", Type::number, no_null, "its bound"},
    {"", "has", Type::number, no_null, "what there is"},
    {"", "unit", Type::words, no_null, "", always, "", "mm kg"},
    {"", "margin", Type::number, no_null, "positive is good"},
    {"", "guard", Type::number, no_null, "the doubt"},
    {"", "status", Type::words, no_null, "", always, "", "holds in_doubt broken"},
    {"", "odds", Type::number, no_null,
     "0 to 1: probability by the readings that the margin is not below 0; 1 or 0 where no reading "
     "enters. Also of limits that are compared as marked"},
    {"", "governs", Type::truth, no_null, "whether it decides an end of the window, or is broken"},
    {"", "doubt", Type::objects, no_null, "the readings behind the doubt, largest first"},
    {"", "doubt[].reading", Type::text, no_null,
     "its key; blockages and spacers with their number, the saw saw.within"},
    {"", "doubt[].within", Type::number, no_null, "its half-width"},
    {"", "doubt[].share", Type::number, no_null, "of the variance"},
});

// Those of one kind of part stand here too, and not with the kind: this is the order of the manual
// and of the schema, in which a figure stands beside its like, whichever kinds have it.
constexpr auto plan_rows = std::to_array<Row>({
    {"plan", "schema", Type::whole, no_null, "1"},
    {"plan", "file", Type::text, no_null,
     "as it was given, - for standard input; not in what a register keeps", at_times},
    {"plan", "kind", Type::text, no_null, "as in the job"},
    {"plan", "number", Type::text, null, "likewise; null without one"},
    {"plan", "bike", Type::text, null, "likewise", at_times},
    {"plan", "digest", Type::text, no_null, "of the figures, see DIGEST"},
    {"plan", "verdict", Type::words, no_null, "", always, "", verdicts},
    {"plan", "cut", Type::object, no_null, "the cut"},
    {"plan", "cut.at_mm", Type::number, no_null,
     "the cut at which everything below is given: the wanted one, else the planned one, else 0"},
    {"plan", "cut.planned_mm", Type::number, null, "null when there is none"},
    {"plan", "cut.wanted_mm", Type::number, null, "likewise"},
    {"plan", "cut.window_mm", Type::span, null,
     "the cuts that keep every limit; null when there is none, null inside for an open end"},
    {"plan", "cut.kerf_mm", Type::number, no_null, "width of the blade"},
    {"plan", "cut.remaining_mm", Type::number, null, "what is left; null without a length"},
    {"plan", "cut.end", Type::words, no_null, "the end that is cut", always, "", "lower top both"},
    {"plan", "limits", Type::objects, no_null, "in the order of kerfmark-limits(7)"},
    {"plan", "holds", Type::objects, no_null, "what holds the job, most effective remedy first"},
    {"plan", "holds[].why", Type::text, no_null, "what is wrong"},
    {"plan", "holds[].do", Type::text, no_null, "what to measure, ask or do"},
    {"plan", "conflict", Type::object, null, "the two limits that exclude each other"},
    {"plan", "conflict.lower", Type::text, no_null, "id of the one that wants a longer cut"},
    {"plan", "conflict.upper", Type::text, no_null, "id of the one that wants a shorter one"},
    {"plan", "conflict.short_mm", Type::number, no_null, "how much they miss each other by"},
    {"plan", "cautions", Type::texts, no_null,
     "sentences; those of the reader and of the sheet too, with their key in front"},
    {"plan", "insertion_mm", Type::heights, no_null, "at each saddle height", always, post},
    {"plan", "extension_mm", Type::heights, no_null,
     "rail clamp centre above the collar edge or the datum of a mast, at each saddle height",
     always, post_or_mast},
    {"plan", "scale_reading", Type::heights, null, "of a graduated post at the collar", always,
     post},
    {"plan", "saddle_range_mm", Type::object, no_null,
     "saddle heights that can be reached, in the job's own way of measuring", always, post_or_mast},
    {"plan", "spacers_mm", Type::heights, no_null,
     "what the topper takes of spacers, or of pulling out, at each saddle height; negative where "
     "it "
     "does not come down so far",
     always, mast},
    {"plan", "saddle_range_mm.uncut", Type::span, null, "as it is"},
    {"plan", "saddle_range_mm.cut", Type::span, null, "after the cut"},
    {"plan", "uncut_fit", Type::object, null, "posts that would fit uncut", always, post},
    {"plan", "uncut_fit.length_mm", Type::span, null, "their lengths"},
    {"plan", "uncut_fit.stock_mm", Type::numbers, no_null, "which of your stock do"},
    {"plan", "new_mark_mm", Type::object, null, "the line that counts after the cut", always, post},
    {"plan", "new_mark_mm.from_lower_end", Type::number, no_null, "up from the new lower end"},
    {"plan", "new_mark_mm.from_rails", Type::number, no_null, "down from the rail clamp centre"},
    {"plan", "gap_mm", Type::object, no_null, "negative when the steerer stands proud", always,
     fork},
    {"plan", "gap_mm.uncut", Type::number, null, "as it is"},
    {"plan", "gap_mm.cut", Type::number, null, "after the cut"},
    {"plan", "positions", Type::objects, no_null,
     "where the stem can stand with the spacers on hand", always, fork},
    {"plan", "positions[].below", Type::number, no_null, "mm of spacers below the stem"},
    {"plan", "positions[].above", Type::number, no_null, "mm above it"},
    {"plan", "positions[].height_mm", Type::number, null, "of the handlebar"},
    {"plan", "positions[].reach_mm", Type::number, null, "likewise"},
    {"plan", "width_mm", Type::object, no_null, "end to end", always, bar},
    {"plan", "width_mm.uncut", Type::number, no_null, "as it is"},
    {"plan", "width_mm.cut", Type::number, no_null, "after the cut"},
    {"plan", "off_centre_mm", Type::number, null,
     "left less right, from the middle of the bicycle; null where nobody measured them", always,
     bar},
    {"plan", "after", Type::object, null, "after the cut; null without [as_cut]"},
    {"plan", "after.verdict", Type::words, no_null, "", always, "", "fit hold unfit"},
    {"plan", "after.remaining_mm", Type::number, null, "as measured"},
    {"plan", "after.cut_mm", Type::number, null, "what came off"},
    {"plan", "after.closure_mm", Type::number, null,
     "original less left, offcut and kerf; null without an offcut"},
    {"plan", "after.closure_guard_mm", Type::number, null, "its doubt"},
    {"plan", "after.limits", Type::objects, no_null, "as they stand now, with the keys of limits"},
    {"plan", "after.holds", Type::objects, no_null, "as above"},
    {"plan", "after.holds[].why", Type::text, no_null, "what is wrong"},
    {"plan", "after.holds[].do", Type::text, no_null, "what to do"},
    {"plan", "after.remedies", Type::texts, no_null, "what would make an unfit part safe"},
    {"plan", "after.insertion_mm", Type::heights, no_null, "of a seatpost", at_times},
    {"plan", "after.spacers_mm", Type::heights, no_null, "of a mast", at_times},
    {"plan", "after.saddle_range_mm", Type::span, null, "of a seatpost or mast", at_times},
    {"plan", "after.new_mark_mm", Type::object, null, "of a seatpost", at_times},
    {"plan", "after.new_mark_mm.from_lower_end", Type::number, no_null, "as above"},
    {"plan", "after.new_mark_mm.from_rails", Type::number, no_null, "as above"},
    {"plan", "after.gap_mm", Type::number, null, "of a steerer", at_times},
    {"plan", "trials", Type::object, null, "null without --trials"},
    {"plan", "trials.n", Type::whole, no_null, "how many"},
    {"plan", "trials.seed", Type::whole, no_null, "of the random numbers"},
    {"plan", "trials.at_mm", Type::number, no_null, "the cut that was tried"},
    {"plan", "trials.impossible", Type::whole, no_null,
     "trials whose triangle cannot exist; no limit holds in them"},
    {"plan", "trials.limits", Type::objects, no_null, "in the order of limits"},
    {"plan", "trials.limits[].id", Type::text, no_null, "of the limit"},
    {"plan", "trials.limits[].unit", Type::text, no_null, "of its margin"},
    {"plan", "trials.limits[].low", Type::number, no_null,
     "lower end of the symmetric 95 % interval of the margin"},
    {"plan", "trials.limits[].high", Type::number, no_null, "its upper end"},
    {"plan", "trials.limits[].mean", Type::number, no_null, "of the margin"},
    {"plan", "trials.limits[].sd", Type::number, no_null, "its standard deviation"},
    {"plan", "trials.limits[].holds", Type::number, no_null,
     "share of the trials with a margin not below 0"},
    {"plan", "trials.limits[].beyond_guard", Type::number, null,
     "share that fell short by more than the guard, null where it is 0 by definition"},
    {"plan", "trials.limits[].first_order", Type::numbers, no_null, "margin ± 1.96·u"},
    {"plan", "trials.limits[].tolerance", Type::number, no_null,
     "half a unit of the second digit of u"},
    {"plan", "trials.limits[].validates", Type::truth, null,
     "both ends of first_order lie within tolerance of low and high, null where the trials are too "
     "few to tell"},
    {"plan", "from_shop", Type::texts, no_null,
     "keys that the shop file gave and that changed a figure, such as saw.kerf; only where there "
     "are any",
     at_times},
});

constexpr auto insertion_rows = std::to_array<Row>({
    {"insertion", "schema", Type::whole, no_null, "1"},
    {"insertion", "kind", Type::words, no_null, "", always, "", "insertion"},
    {"insertion", "verdict", Type::words, no_null, "", always, "", "keep hold reject"},
    {"insertion", "line", Type::text, null, "as given"},
    {"insertion", "with", Type::text, no_null, "the instrument"},
    {"insertion", "inserted_mm", Type::number, null, "null where nothing was measured"},
    {"insertion", "within_mm", Type::number, null, "how far off it may be at worst"},
    {"insertion", "lower_by_mm", Type::number, null,
     "by how much the saddle must come down at least; null for a keep, and where nobody knows how "
     "much must be in"},
    {"insertion", "limits", Type::objects, no_null, "with the keys of a plan's limits"},
    {"insertion", "cautions", Type::texts, no_null, "sentences"},
});

constexpr auto findings_rows = std::to_array<Row>({
    {"findings", "schema", Type::whole, no_null, "1"},
    {"findings", "file", Type::text, no_null, "that cannot be planned"},
    {"findings", "findings", Type::objects, no_null, "at most 100"},
    {"findings", "findings[].line", Type::whole, null, "from 1"},
    {"findings", "findings[].column", Type::whole, null, "in characters, from 1"},
    {"findings", "findings[].key", Type::text, null, "of the job file"},
    {"findings", "findings[].message", Type::text, no_null, "what is wrong; what to write"},
    {"findings", "findings_left_out", Type::whole, no_null, "how many more there are", at_times},
});

constexpr auto record_rows = std::to_array<Row>({
    {"record", "schema", Type::whole, no_null, "1"},
    {"record", "record", Type::whole, no_null, "its number"},
    {"record", "hash", Type::text, no_null, "64 hexadecimal digits"},
    {"record", "replaces", Type::whole, null, "the record that this one corrects"},
    {"record", "replaced_by", Type::whole, null, "the record that corrects this one"},
    {"record", "made_utc", Type::text, no_null, "such as 2026-11-20T14:05:09Z"},
    {"record", "program", Type::text, no_null, "version of kerfmark"},
    {"record", "kind", Type::text, no_null,
     "of part; forget, where it says that people's data went"},
    {"record", "verdict", Type::words, null, "", always, "", verdicts},
    {"record", "planned_cut_mm", Type::number, null, "of a cut"},
    {"record", "actual_cut_mm", Type::number, null, "what really came off"},
    {"record", "after_verdict", Type::words, null, "", always, "", "fit hold unfit"},
    {"record", "number", Type::text, null, "of the job"},
    {"record", "bike", Type::text, null, "likewise"},
    {"record", "owner", Type::text, null, "likewise; null where it was blanked"},
    {"record", "by", Type::text, null, "who measured, or cut"},
    {"record", "checked_by", Type::text, null, "who checked"},
    {"record", "notes", Type::text, null, "of the job; null where they were blanked"},
    {"record", "forgotten", Type::truth, no_null, "whether owner and notes were blanked"},
    {"record", "forgets", Type::wholes, null, "of which records this one says so"},
    {"record", "came_from", Type::objects, no_null,
     "of which records elsewhere it is a copy, the latest first; record show and export", at_times},
    {"record", "came_from[].record", Type::whole, no_null, "its number there"},
    {"record", "came_from[].hash", Type::text, no_null, "likewise"},
    {"record", "paper", Type::text, null, "of its sheet; record show and export", at_times},
    {"record", "language", Type::text, null, "likewise", at_times},
    {"record", "shop", Type::text, null, "the shop file of then", at_times},
    {"record", "job", Type::text, no_null, "the job file without its comments", at_times},
    {"record", "result", Type::anything, no_null, "as plan --json had it; its keys are those above",
     at_times},
});

// What the record of a forgetting has for a result.
constexpr auto forgetting_rows = std::to_array<Row>({
    {"forgetting", "schema", Type::whole, no_null, "1"},
    {"forgetting", "forgets", Type::wholes, no_null, "numbers of records"},
});

constexpr auto sizes_rows = std::to_array<Row>({
    {"sizes", "schema", Type::whole, no_null, "1"},
    {"sizes", "kind", Type::text, no_null, "of part, as in the run file"},
    {"sizes", "cells", Type::objects, no_null, "one for each size, range and part, in that order"},
    {"sizes", "cells[].size", Type::text, no_null, "its name"},
    {"sizes", "cells[].range", Type::text, null, "its name; null in a run without ranges"},
    {"sizes", "cells[].part", Type::text, no_null, "its name"},
    {"sizes", "cells[].verdict", Type::words, no_null, "", always, "", verdicts},
    {"sizes", "cells[].cut_mm", Type::number, null, "of a cut"},
    {"sizes", "cells[].saddle_range_mm", Type::span, null,
     "saddle heights that can be reached, of a cut after it"},
    {"sizes", "cells[].limit", Type::text, null, "id of the one in the way of a hold or reject"},
    {"sizes", "cells[].serves", Type::truth, no_null, "whether the size gets it of the least set"},
    {"sizes", "cells[].serves_whole", Type::truth, no_null, "the same where nothing is sawn"},
    {"sizes", "least_set", Type::texts, no_null,
     "names of the fewest parts that serve every size which any part serves"},
    {"sizes", "unserved", Type::texts, no_null, "rows, such as S or S, low, that no part serves"},
    {"sizes", "proven_least", Type::truth, no_null,
     "false where the search was given up: fewer may do"},
    {"sizes", "least_set_whole", Type::texts, no_null, "the same where nothing is sawn"},
    {"sizes", "unserved_whole", Type::texts, no_null, "likewise"},
});

constexpr auto rules_rows = std::to_array<Row>({
    {"rules", "schema", Type::whole, no_null, "1"},
    {"rules", "shop", Type::text, null, "the shop file; null where none counts"},
    {"rules", "limits", Type::objects, no_null, "in the order of kerfmark-limits(7)"},
    {"rules", "limits[].id", Type::text, no_null, "two rows may share one"},
    {"rules", "limits[].numbered", Type::truth, no_null, "one for each blockage: id-1, id-2"},
    {"rules", "limits[].kinds", Type::texts, no_null, "of part that it is for"},
    {"rules", "limits[].what", Type::text, no_null, "what it asks, in words"},
    {"rules", "limits[].origin", Type::words, no_null, "", always, "",
     "maker published measured practice wish"},
    {"rules", "limits[].source", Type::text, null, "document and clause of a published one"},
    {"rules", "limits[].whose", Type::words, no_null, "whose its figure is", always, "",
     "maker default job"},
    {"rules", "limits[].built_in", Type::number, null, "the default"},
    {"rules", "limits[].unit", Type::words, null, "of the default", always, "", "mm diameters"},
    {"rules", "values", Type::objects, no_null, "what counts where a job does not say"},
    {"rules", "values[].key", Type::text, no_null,
     "of a job file; the half-width of an instrument is measuring.instruments. and its name"},
    {"rules", "values[].value", Type::anything, no_null, "a number, true or false, or a list"},
    {"rules", "values[].unit", Type::words, null, "", always, "", "mm deg kg"},
    {"rules", "values[].whose", Type::words, no_null, "", always, "", "shop default"},
});

std::span<const Row> rows_of(std::string_view group) {
  if (group == "plan") {
    return plan_rows;
  }
  if (group == "insertion") {
    return insertion_rows;
  }
  if (group == "sizes") {
    return sizes_rows;
  }
  if (group == "rules") {
    return rules_rows;
  }
  return group == "findings" ? std::span<const Row>(findings_rows)
                             : std::span<const Row>(record_rows);
}

// What a limit of a plan is told with stands once.
bool lists_limits(const Row& row) {
  return row.group != "rules" && (row.path == "limits" || row.path == "after.limits");
}

// ---- schemas ----

Node object_of(std::span<const Row> rows, const std::string& prefix);

std::vector<std::string> parted(std::string_view words) {
  std::vector<std::string> parts;
  while (!words.empty()) {
    const std::size_t end = std::min(words.find(' '), words.size());
    parts.emplace_back(words.substr(0, end));
    words.remove_prefix(std::min(end + 1, words.size()));
  }
  return parts;
}

Node simple(std::string_view type) { return object({{"type", text(type)}}); }
Node list_of(Node item) { return object({{"type", text("array")}, {"items", std::move(item)}}); }

Node heights() {
  const Node each = simple("number");
  return object({{"type", text("object")},
                 {"properties", object({{"lowest", each}, {"height", each}, {"highest", each}})},
                 {"required", texts({"lowest", "height", "highest"})}});
}

Node plain(const Row& row, std::span<const Row> rows) {
  const std::string path(row.path);
  switch (row.type) {
    case Type::whole:
      return simple("integer");
    case Type::number:
      return simple("number");
    case Type::text:
      return simple("string");
    case Type::truth:
      return simple("boolean");
    case Type::words:
      return object({{"enum", texts(parted(row.words))}});
    case Type::span:
      return object({{"type", text("array")},
                     {"items", object({{"type", texts({"number", "null"})}})},
                     {"minItems", number(2)},
                     {"maxItems", number(2)}});
    case Type::numbers:
      return list_of(simple("number"));
    case Type::wholes:
      return list_of(simple("integer"));
    case Type::texts:
      return list_of(simple("string"));
    case Type::heights:
      return heights();
    case Type::object:
      return object_of(rows, path + ".");
    case Type::anything:
      return object({});
    case Type::objects:
      return list_of(lists_limits(row) ? object({{"$ref", text("#/$defs/limit")}})
                                       : object_of(rows, path + "[]."));
  }
  return {};
}

Node of_row(const Row& row, std::span<const Row> rows) {
  const Node node = plain(row, rows);
  const Node or_null = row.may_be_null ? any_of({node, simple("null")}) : node;
  return row.what.empty() ? or_null : described(or_null, row.what);
}

// Those whose path goes on from the prefix by one word.
Node object_of(std::span<const Row> rows, const std::string& prefix) {
  Members properties;
  std::vector<std::string> required;
  for (const Row& row : rows) {
    const std::string_view rest =
        row.path.starts_with(prefix) ? row.path.substr(prefix.size()) : std::string_view{};
    if (rest.empty() || rest.find('.') != std::string_view::npos) {
      continue;
    }
    properties.emplace_back(rest, of_row(row, rows));
    if (row.there == There::always && row.only.empty()) {
      required.emplace_back(rest);
    }
  }
  return object({{"type", text("object")},
                 {"properties", object(properties)},
                 {"required", texts(required)}});
}

// Figures that one kind of part alone has.
std::vector<Node> of_kinds(std::span<const Row> rows) {
  std::vector<std::string> kinds;
  for (const Row& row : rows) {
    for (const std::string& kind : parted(row.only)) {
      if (std::ranges::find(kinds, kind) == kinds.end()) {
        kinds.push_back(kind);
      }
    }
  }
  std::vector<Node> conditions;
  for (const std::string& kind : kinds) {
    std::vector<std::string> required;
    for (const Row& row : rows) {
      const std::vector<std::string> only = parted(row.only);
      if (std::ranges::find(only, kind) != only.end()) {
        required.emplace_back(row.path);
      }
    }
    const Node is_kind = object({{"const", text(kind)}});
    conditions.push_back(object({{"if", object({{"properties", object({{"kind", is_kind}})}})},
                                 {"then", object({{"required", texts(required)}})}}));
  }
  return conditions;
}

Node plan_schema() {
  std::vector<Node> all = of_kinds(plan_rows);
  all.push_back(object_of(plan_rows, ""));
  return object({{"allOf", list(all)}});
}

Node definitions() {
  return object({{"limit", object_of(limit_rows, "")},
                 {"plan", plan_schema()},
                 {"insertion", object_of(insertion_rows, "")},
                 {"findings", object_of(findings_rows, "")}});
}

Node reference(std::string_view name) {
  return object({{"$ref", text("#/$defs/" + std::string(name))}});
}

}  // namespace

Node result_schema() {
  Members members = head("A line of JSON of kerfmark plan or kerfmark insertion");
  members.emplace_back("anyOf",
                       list({reference("plan"), reference("insertion"), reference("findings")}));
  members.emplace_back("$defs", definitions());
  return object(members);
}

Node sizes_schema() {
  Members members = head("The line of JSON of kerfmark sizes");
  members.emplace_back("allOf", list({object_of(sizes_rows, "")}));
  return object(members);
}

Node rules_schema() {
  Members members = head("The line of JSON of kerfmark rules");
  members.emplace_back("allOf", list({object_of(rules_rows, "")}));
  return object(members);
}

Node record_schema() {
  Members members = head("A record of kerfmark record list, show or export, as JSON");
  const Node result = any_of({reference("plan"), object_of(forgetting_rows, ""), simple("null")});
  members.emplace_back("allOf", list({object_of(record_rows, ""),
                                      object({{"properties", object({{"result", result}})}})}));
  members.emplace_back("$defs", definitions());
  return object(members);
}

namespace {

ResultKey key_of(const std::string& path, const Row& row) {
  std::string words;
  for (const std::string& word : parted(row.words)) {
    words += (words.empty() ? "one of " : ", ") + word;
  }
  std::string kinds;
  for (const std::string& kind : parted(row.only)) {
    kinds += (kinds.empty() ? "; only of a " : " or ") + kind;
  }
  return {path,
          std::string(row.what) + (row.what.empty() || words.empty() ? "" : ": ") + words + kinds};
}

}  // namespace

std::vector<ResultKey> result_keys(std::string_view group) {
  std::vector<ResultKey> keys;
  for (const Row& row : rows_of(group)) {
    keys.push_back(key_of(std::string(row.path), row));
    if (group == "plan" && row.path == "limits") {
      for (const Row& limit : limit_rows) {
        keys.push_back(key_of("limits[]." + std::string(limit.path), limit));
      }
    }
  }
  return keys;
}

}  // namespace kerfmark::schema
