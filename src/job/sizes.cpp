#include "kerfmark/job/sizes.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <optional>
#include <unordered_set>
#include <utility>

#include "document.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/plan/keys.hpp"
#include "toml_text.hpp"

namespace kerfmark::job {
namespace {

using measure::Place;

constexpr Example example_of_a_run{.sort = "finding.thing.run_file",
                                   .header = "[[size]]",
                                   .line = "name = \"S\"",
                                   .value = "finding.mend.number_or_text",
                                   .list = "[212, 212.5]",
                                   .whole = "finding.mend.fresh_job"};

// A size, a range or a part.
struct Member {
  std::string name;
  toml::table keys;
  std::string file;
  Place place;
  const toml::table* source = nullptr;  ///< with places, which copies lack; of a CSV file none
};

// Values that every reader of numbers takes as they are: parts that differ in no other are read
// once, and these are put in.
constexpr auto plain_lengths =
    std::to_array<std::string_view>({"post.length", "post.mark", "steerer.length"});

void merge(toml::table& into, const toml::table& from) {
  for (const auto& [key, node] : from) {
    toml::table* const inner = into[key].as_table();
    if (const auto* table = node.as_table(); table != nullptr && inner != nullptr) {
      merge(*inner, *table);
    } else {
      into.insert_or_assign(key, node);
    }
  }
}

std::optional<double> plain_length_in(const toml::table& keys, std::string_view path) {
  const auto* table = keys[plan::table_of(path)].as_table();
  const toml::node* node = table == nullptr ? nullptr : table->get(plan::name_of(path));
  return node == nullptr ? std::nullopt : node->is_number() ? node->value<double>() : std::nullopt;
}

// Parts with the same text without their plain lengths, and with the same of these given.
std::string rest_of(const Member& part) {
  toml::table keys = part.keys;
  std::string given;
  for (const std::string_view path : plain_lengths) {
    if (plain_length_in(keys, path)) {
      keys[plan::table_of(path)].as_table()->erase(plan::name_of(path));
      given += std::string(path) + " ";
    }
  }
  return given + "\n" + text_of(keys);
}

void put_in(plan::Job& job, std::string_view path, double value) {
  auto& measured = *std::get<plan::LengthSlot>(plan::key_at(path).slot)(job, 0);
  measured.nominal = measure::millimetres(value);
  if (measured.reading) {
    job.readings[*measured.reading].values_base = {value};
  }
}

// "frame.blockage-2.depth" is frame.blockage[1].depth.
const toml::node* node_at(const toml::table& keys, std::string_view key) {
  const toml::node* node = &keys;
  while (!key.empty() && node != nullptr) {
    const std::size_t end = std::min(key.find('.'), key.size());
    std::string_view word = key.substr(0, end);
    key.remove_prefix(std::min(end + 1, key.size()));
    std::size_t number = 0;
    const std::size_t dash = word.rfind('-');
    if (dash != std::string_view::npos) {
      std::from_chars(word.data() + dash + 1, word.data() + word.size(), number);
      word = number > 0 ? word.substr(0, dash) : word;
    }
    const auto* table = node->as_table();
    node = table == nullptr ? nullptr : table->get(word);
    if (const auto* list = node == nullptr ? nullptr : node->as_array(); number > 0) {
      node = list == nullptr ? nullptr : list->get(number - 1);
    }
  }
  return node;
}

Place place_of(const toml::node& node) {
  const auto begin = node.source().begin;
  return begin ? Place{static_cast<int>(begin.line), static_cast<int>(begin.column)} : Place{1, 1};
}

// ---- the geometry as a table ----

// RFC 4180; a file whose first line has no comma goes by semicolons, as spreadsheets of countries
// with decimal commas write it.
std::vector<std::vector<std::string>> rows_of_csv(std::string_view text) {
  const std::string_view first = text.substr(0, text.find('\n'));
  const char between = first.find(',') == first.npos && first.find(';') != first.npos ? ';' : ',';
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> row = {""};
  bool quoted = false;
  for (std::size_t i = text.starts_with("\xEF\xBB\xBF") ? 3 : 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"' && quoted && i + 1 < text.size() && text[i + 1] == '"') {
      row.back() += text[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == between && !quoted) {
      row.emplace_back();
    } else if (c == '\n' && !quoted) {
      rows.push_back(std::exchange(row, {""}));
    } else if (c != '\r' || quoted) {
      row.back() += c;
    }
  }
  if (row.size() > 1 || !row.front().empty()) {
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string trimmed(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t");
  return first == text.npos ? std::string{}
                            : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

toml::table& table_in(toml::table& keys, std::string_view word) {
  if (toml::table* table = keys[word].as_table()) {
    return *table;
  }
  return keys.insert_or_assign(word, toml::table{}).first->second.ref<toml::table>();
}

// "blockage" or "blockage-1" is the first of a list.
toml::table& blockage_in(toml::table& frame, std::string_view word) {
  const std::size_t number = word.ends_with("-2") ? 2 : word.ends_with("-3") ? 3 : 1;
  if (!frame["blockage"].is_array()) {
    frame.insert_or_assign("blockage", toml::array{});
  }
  auto& list = frame["blockage"].ref<toml::array>();
  while (list.size() < number) {
    list.push_back(toml::table{});
  }
  return list[number - 1].ref<toml::table>();
}

// Tables on the way to a key are made.
void put_cell(toml::table& keys, std::string_view path, const std::string& cell) {
  toml::table* table = &keys;
  for (std::size_t dot = path.find('.'); dot != path.npos; dot = path.find('.')) {
    const std::string_view word = path.substr(0, dot);
    path.remove_prefix(dot + 1);
    table = word.starts_with("blockage") ? &blockage_in(*table, word) : &table_in(*table, word);
  }
  double value = 0.0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error == std::errc{} && end == cell.data() + cell.size()) {
    table->insert_or_assign(path, value);
  } else if (cell == "true" || cell == "false") {
    table->insert_or_assign(path, cell == "true");
  } else {
    table->insert_or_assign(path, cell);
  }
}

// What no key takes and text_of() has no form for.
const toml::node* time_in(const toml::node& node) {
  if (node.is_time() || node.is_date_time()) {
    return &node;
  }
  const toml::node* found = nullptr;
  if (const auto* table = node.as_table()) {
    for (const auto& [key, inner] : *table) {
      found = found == nullptr ? time_in(inner) : found;
    }
  }
  if (const auto* list = node.as_array()) {
    for (const toml::node& inner : *list) {
      found = found == nullptr ? time_in(inner) : found;
    }
  }
  return found;
}

}  // namespace

struct SizeRun::Lists {
  std::string file;
  toml::table document;  ///< as it was read
  toml::table common;
  std::vector<Member> sizes, ranges, parts;
  std::vector<std::string> size_names, range_names, part_names;
  std::vector<std::vector<std::size_t>> alike;  ///< parts that are read as one
  std::vector<std::array<std::optional<double>, plain_lengths.size()>> lengths;  ///< of each part

  [[nodiscard]] toml::table keys_of(const CellPlace& place) const {
    toml::table keys = common;
    merge(keys, sizes[place.size].keys);
    merge(keys, ranges[place.range].keys);
    merge(keys, parts[place.part].keys);
    return keys;
  }

  // A finding about a job, at the place of the run that it comes from.
  [[nodiscard]] Finding placed(Finding finding, const CellPlace& cell) const {
    for (const Member* member : {&parts[cell.part], &ranges[cell.range], &sizes[cell.size]}) {
      if (finding.key.empty() || node_at(member->keys, finding.key) == nullptr) {
        continue;
      }
      const Place place = member->source == nullptr
                              ? member->place
                              : place_of(*node_at(*member->source, finding.key));
      return at(std::move(finding), member->file, place);
    }
    const toml::node* node = finding.key.empty() ? nullptr : node_at(document, finding.key);
    if (node != nullptr) {
      return at(std::move(finding), file, place_of(*node));
    }
    return at(std::move(finding), sizes[cell.size].file, sizes[cell.size].place);
  }

  [[nodiscard]] static Finding at(Finding finding, const std::string& file, Place place) {
    finding.file = file;
    finding.line = place.line;
    finding.column = place.column;
    return finding;
  }

  std::vector<Finding> placed(const std::vector<Finding>& findings, const CellPlace& cell) const {
    std::vector<Finding> all;
    for (const Finding& finding : findings) {
      all.push_back(placed(finding, cell));
    }
    return all;
  }

  void sort_out_parts() {
    std::map<std::string, std::size_t> groups;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      const auto [group, is_new] = groups.emplace(rest_of(parts[i]), alike.size());
      if (is_new) {
        alike.emplace_back();
      }
      alike[group->second].push_back(i);
      auto& given = lengths.emplace_back();
      for (std::size_t n = 0; n < plain_lengths.size(); ++n) {
        given[n] = plain_length_in(parts[i].keys, plain_lengths[n]);
      }
    }
  }
};

SizeRun::SizeRun() : lists_(std::make_unique<Lists>()) {}
SizeRun::SizeRun(SizeRun&&) noexcept = default;
SizeRun& SizeRun::operator=(SizeRun&&) noexcept = default;
SizeRun::~SizeRun() = default;

const std::vector<std::string>& SizeRun::sizes() const { return lists_->size_names; }
const std::vector<std::string>& SizeRun::ranges() const { return lists_->range_names; }
const std::vector<std::string>& SizeRun::parts() const { return lists_->part_names; }

plan::Kind SizeRun::kind() const {
  const auto place =
      place_of_word(lists_->common["kind"].value_or(std::string{}), plan::kind_words());
  return static_cast<plan::Kind>(place.value_or(0));
}

std::string SizeRun::job_of(const CellPlace& place) const {
  return text_of(lists_->keys_of(place));
}

std::vector<Finding> SizeRun::each_of_row(
    const CellPlace& row, std::string_view shop,
    const std::function<void(std::size_t, const plan::Job&)>& with) const {
  std::vector<Finding> findings;
  for (const std::vector<std::size_t>& group : lists_->alike) {
    const CellPlace first{row.size, row.range, group.front()};
    Outcome outcome = read_job(job_of(first), lists_->file, shop);
    const auto said = lists_->placed(outcome.findings, first);
    findings.insert(findings.end(), said.begin(), said.end());
    if (!outcome.job) {
      continue;
    }
    for (const std::size_t part : group) {
      for (std::size_t n = 0; n < plain_lengths.size(); ++n) {
        if (const auto value = lists_->lengths[part][n]) {
          put_in(*outcome.job, plain_lengths[n], *value);
        }
      }
      with(part, *outcome.job);
    }
  }
  return findings;
}

std::vector<Finding> SizeRun::findings_of_parts(std::string_view shop) const {
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < lists_->parts.size(); ++i) {
    const CellPlace cell{0, 0, i};
    const auto said = lists_->placed(read_job(job_of(cell), lists_->file, shop).findings, cell);
    findings.insert(findings.end(), said.begin(), said.end());
  }
  return findings;
}

bool RunOutcome::sound() const {
  return std::ranges::none_of(findings,
                              [](const Finding& one) { return one.severity == Severity::error; });
}

class RunReader {
 public:
  RunReader(std::string_view text, std::string_view file,
            const std::function<std::string(const std::string&)>& read_file)
      : text_(text), file_(file), read_file_(read_file), findings_(file_) {}

  RunOutcome read() {
    if (auto document = read_document(text_, example_of_a_run, findings_)) {
      take_apart(*std::move(document));
    }
    outcome_.findings = findings_.sorted();
    outcome_.left_out = findings_.left_out();
    outcome_.run.lists_->sort_out_parts();
    return std::move(outcome_);
  }

 private:
  using Members = std::vector<Member>;

  SizeRun::Lists& lists() { return *outcome_.run.lists_; }

  void take_apart(toml::table read) {
    lists().file = file_;
    lists().document = std::move(read);
    const toml::table& document = lists().document;
    if (const toml::node* time = time_in(document)) {
      findings_.add(FindingCode::wrong_type, place_of(*time), "",
                    {{"finding.thing.time"}, {"finding.thing.length"}, {"finding.do.check_file"}});
      return;
    }
    read_geometry(document);
    read_list(document, "size", lists().sizes);
    read_list(document, "range", lists().ranges);
    read_list(document, "part", lists().parts);
    lists().common = document;
    for (const std::string_view list : {"size", "range", "part", "geometry"}) {
      lists().common.erase(list);
    }
    need(lists().sizes, "size");
    need(lists().parts, "part");
    if (lists().ranges.empty()) {
      lists().ranges.push_back({"", {}, file_, {1, 1}, nullptr});
    }
    name_all(lists().sizes, lists().size_names);
    name_all(lists().ranges, lists().range_names);
    name_all(lists().parts, lists().part_names);
    const std::size_t rows = lists().sizes.size() * lists().ranges.size();
    if (!lists().parts.empty() && rows > most_cells / lists().parts.size()) {
      findings_.add(
          FindingCode::too_many, {1, 1}, "",
          {{"finding.thing.cells"}, std::to_string(most_cells), {"finding.do.split_run"}});
    }
  }

  void need(const Members& members, const char* list) {
    if (members.empty() && !findings_.any_error()) {
      findings_.add(FindingCode::missing_key, {1, 1}, list,
                    {{}, {}, {"finding.do.list_of", {{"list", std::string(list)}}}});
    }
  }

  static void name_all(const Members& members, std::vector<std::string>& names) {
    for (const Member& member : members) {
      names.push_back(member.name);
    }
  }

  void read_list(const toml::table& document, std::string_view list, Members& members) {
    const toml::node* node = document.get(list);
    if (node == nullptr) {
      return;
    }
    const auto* tables = node->as_array();
    if (tables == nullptr || !tables->is_homogeneous(toml::node_type::table)) {
      findings_.add(FindingCode::single_table, place_of(*node), std::string(list),
                    {{}, {}, {"finding.do.list_of", {{"list", std::string(list)}}}});
      return;
    }
    for (const toml::node& one : *tables) {
      read_member(*one.as_table(), list, members);
    }
  }

  void read_member(const toml::table& table, std::string_view list, Members& members) {
    const toml::node* name = table.get("name");
    const auto text = name == nullptr ? std::nullopt : name->value<std::string>();
    if (!text || text->empty()) {
      findings_.add(FindingCode::missing_key, place_of(name == nullptr ? table : *name),
                    std::string(list) + ".name",
                    {{}, {}, {"finding.do.for_example", {{"what", std::string("name = \"S\"")}}}});
      return;
    }
    Member member{*text, table, file_, place_of(table), &table};
    member.keys.erase("name");
    add(members, std::move(member), list);
  }

  // Two of one name could not be told apart.
  void add(Members& members, Member member, std::string_view list) {
    if (!taken_.insert(std::string(list) + " " + member.name).second) {
      findings_.add(FindingCode::unknown_word, member.place, std::string(list) + ".name",
                    {text::Phrase("\"" + member.name + "\""), {}, {"finding.do.own_name"}});
    }
    members.push_back(std::move(member));
  }

  void read_geometry(const toml::table& document) {
    const toml::node* node = document.get("geometry");
    const auto name = node == nullptr ? std::nullopt : node->value<std::string>();
    if (!name) {
      return;
    }
    outcome_.geometry_file = *name;
    outcome_.geometry = read_file_(*name);
    const auto rows = rows_of_csv(outcome_.geometry);
    for (std::size_t i = 1; i < rows.size(); ++i) {
      Member size{trimmed(rows[i].front()), {}, *name, {static_cast<int>(i) + 1, 1}, nullptr};
      for (std::size_t column = 1; column < std::min(rows[i].size(), rows[0].size()); ++column) {
        if (const std::string cell = trimmed(rows[i][column]); !cell.empty()) {
          put_cell(size.keys, trimmed(rows[0][column]), cell);
        }
      }
      if (!size.name.empty()) {
        add(lists().sizes, std::move(size), "size");
      }
    }
  }

  std::string_view text_;
  std::string file_;
  const std::function<std::string(const std::string&)>& read_file_;
  FindingList findings_;
  RunOutcome outcome_;
  std::unordered_set<std::string> taken_;  // names, with their list in front
};

bool has_lists_of_a_run(std::string_view text) {
  for (const std::string_view header : {"[[part]]", "[[size]]"}) {
    const auto at = text.find(header);
    if (at != text.npos && (at == 0 || text[at - 1] == '\n')) {
      return true;
    }
  }
  return false;
}

std::string run_template() {
  return R"(# Which post serves which size of a frame: each size with each part is planned as a job.
# Keys are those of a job file (kerfmark help job); what all have in common stands first.
# Fill in every "?" and add as many sizes and parts as there are. For forks: kind = "steerer".
kind = "seatpost"

[saddle]
measured = "extension"    # from the rail clamp centre down to the collar edge

[post]
diameter = "?"
material = "?"            # "carbon", "aluminium", "steel" or "titanium"
cutting = "not stated"    # what the maker says: "allowed", "forbidden" or "not stated"

# A line for each size in a table beside this file does as well: geometry = "frames.csv", whose
# first line is name,frame.blockage.depth,saddle.lowest,saddle.height,saddle.highest
[[size]]
name = "S"
frame = { blockage = [{ depth = "?" }] }    # from the collar edge down
saddle = { height = "?" }                   # and lowest, highest

[[part]]
name = "350"
post = { length = "?", mark = "?" }         # rail clamp centre to lower end; the printed mark
)";
}

RunOutcome read_run(std::string_view text, std::string_view file_name,
                    const std::function<std::string(const std::string&)>& read_file) {
  return RunReader(text, file_name, read_file).read();
}

}  // namespace kerfmark::job
