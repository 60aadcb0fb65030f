#include "kerfmark/register/register.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/trouble.hpp"
#include "sample.hpp"

using namespace kerfmark;
using namespace kerfmark::records;
using sample::entry;
using sample::Folder;

namespace {

std::string listed(const std::vector<std::int64_t>& numbers) {
  std::string list;
  for (const std::int64_t number : numbers) {
    list += (list.empty() ? "" : " ") + std::to_string(number);
  }
  return list;
}

const Stamp today{"2026-11-27T09:00:00Z", "0.2.0"};

std::string numbers(const std::vector<Record>& found) {
  std::vector<std::int64_t> list;
  for (const Record& record : found) {
    list.push_back(record.identity.number);
  }
  return listed(list);
}

}  // namespace

TEST_CASE("what is stored comes back as it was") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  Entry one = entry("2031");
  one.summary.actual_cut_mm = 43.25;
  one.summary.after_verdict = "fit";
  one.documents.shop = "name = \"The shed\"\n";
  const RecordIdentity identity = book.add(one).identity;
  CHECK(identity.number == 1);
  const auto back = book.at(1);
  REQUIRE(back);
  CHECK(back->identity.hash == identity.hash);
  CHECK(back->summary.made_utc == "2026-11-20T14:05:09Z");
  CHECK(back->summary.program_version == "0.1.0");
  CHECK(back->summary.kind == "seatpost");
  CHECK(back->summary.verdict == "cut");
  CHECK(back->summary.job_number == "2031");
  CHECK(back->summary.bike == "grey road frame");
  CHECK(back->summary.by == "Marrow");
  CHECK(back->summary.checked_by == "Pell");
  CHECK(back->summary.planned_cut_mm == 43.5);
  CHECK(back->summary.actual_cut_mm == 43.25);
  CHECK(back->summary.after_verdict == "fit");
  CHECK(back->summary.paper == "a4");
  CHECK(back->summary.language == "de");
  REQUIRE(back->personal_data);
  CHECK(back->personal_data->owner == "Oda Venn");
  CHECK(back->personal_data->notes == "wants it lower");
  const Documents documents = book.documents_of(1);
  CHECK(documents.job == one.documents.job);
  CHECK(documents.result_json == one.documents.result_json);
  CHECK(documents.shop == one.documents.shop);
  CHECK_FALSE(book.at(2));
  CHECK_THROWS_AS((void)book.documents_of(2), Trouble);
}

TEST_CASE("what was not given is not there") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  Entry bare = entry("", "");
  bare.summary.verdict = "hold";
  bare.summary.planned_cut_mm.reset();
  bare.personal_data.notes.clear();
  (void)book.add(bare);
  const auto back = book.at(1);
  REQUIRE(back);
  CHECK_FALSE(back->summary.planned_cut_mm);
  CHECK_FALSE(back->summary.actual_cut_mm);
  CHECK_FALSE(back->summary.after_verdict);
  CHECK_FALSE(back->summary.replaces);
  CHECK_FALSE(back->replaced_by);
  REQUIRE(back->personal_data);
  CHECK(back->personal_data->owner.empty());
  CHECK_FALSE(book.documents_of(1).shop);
  CHECK(book.verify("").faults.empty());
}

TEST_CASE("a register is read again by another program") {
  const Folder folder;
  std::string head;
  for (int i = 1; i <= 3; ++i) {
    Register book = Register::open_or_create(folder.file());
    const RecordIdentity identity = book.add(entry(std::to_string(i))).identity;
    CHECK(identity.number == i);
    head = identity.hash;
  }
  const Verification found = Register::open(folder.file()).verify(head);
  CHECK(found.faults.empty());
  CHECK(found.count == 3);
  CHECK(found.last == 3);
  CHECK(found.head == head);
  CHECK(found.index_checked);
  REQUIRE(found.asked);
  CHECK(found.asked->number == 3);
}

TEST_CASE("a correction names what it replaces and is the only one") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("1"));
  (void)book.add(entry("2"));
  Entry correction = entry("1");
  correction.summary.replaces = 1;
  CHECK(book.add(correction).identity.number == 3);
  CHECK(book.at(1)->replaced_by == 3);
  CHECK(book.at(3)->summary.replaces == 1);
  CHECK_THROWS_WITH_AS((void)book.add(correction),
                       doctest::Contains("record 3 has replaced it; replace that one"), Trouble);
  correction.summary.replaces = 9;
  CHECK_THROWS_WITH_AS((void)book.add(correction), doctest::Contains("there is no such record"),
                       Trouble);
  CHECK(numbers(book.list({})) == "3 2 1");
  CHECK(book.verify("").faults.empty());
}

TEST_CASE("a record that cannot be finished is not stored") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("1"));
  CHECK_THROWS_AS((void)book.add(entry("2"),
                                 [](const RecordIdentity& identity) {
                                   CHECK(identity.number == 2);
                                   throw Trouble("write", "cut.pdf", "no space left on device");
                                 }),
                  Trouble);
  Entry wrong = entry("2");
  wrong.summary.verdict = "perhaps";  // no word of the schema
  CHECK_THROWS_AS((void)book.add(wrong), Trouble);
  wrong = entry("2");
  wrong.summary.made_utc = "2026-13-20T14:05:09Z";  // no such month
  CHECK_THROWS_AS((void)book.add(wrong), Trouble);
  CHECK(numbers(book.list({})) == "1");
  CHECK(book.add(entry("2")).identity.number == 2);
  CHECK(book.verify("").faults.empty());
}

TEST_CASE("records are found by what is known of them") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  Entry post = entry("A-17/3", "Zoë Čapek");
  (void)book.add(post);  // 1
  Entry fork = entry("2032", "Per Aldous");
  fork.summary.kind = "steerer";
  fork.summary.verdict = "reject";
  fork.summary.planned_cut_mm.reset();
  fork.summary.bike = "blue gravel frame, size 52";
  fork.summary.by = "Quist";
  fork.summary.made_utc = "2026-11-21T00:00:00Z";
  fork.personal_data.notes = "NOT before \"Friday\"";
  (void)book.add(fork);  // 2
  post.summary.job_number = "2033";
  post.summary.made_utc = "2026-11-21T23:59:59Z";
  post.summary.checked_by = "quist";
  post.personal_data.notes = "for gravelly roads";
  (void)book.add(post);  // 3

  struct Row {
    std::string_view what;
    Filter filter;
    std::string_view found;
  };
  const auto rows = std::to_array<Row>({
      {"all", {}, "3 2 1"},
      {"the newest", {.most = 2}, "3 2"},
      {"kind", {.kind = "steerer"}, "2"},
      {"verdict", {.verdict = "cut"}, "3 1"},
      {"who did it or checked it, whatever the capitals", {.by = "QUIST"}, "3 2"},
      {"first day", {.from_utc = "2026-11-21"}, "3 2"},
      {"last day", {.before_utc = "2026-11-21"}, "1"},
      {"both days included", {.from_utc = "2026-11-20", .before_utc = "2026-11-22"}, "3 2 1"},
      {"a word of the bike", {.find = "gravel"}, "2"},
      {"a whole word goes before how others begin", {.find = "gravel"}, "2"},
      {"the beginning of a word", {.find = "grav"}, "3 2"},
      {"of a number", {.find = "203"}, "3 2"},
      {"of a long word", {.find = "gravell"}, "3"},
      {"of one letter", {.find = "g"}, "3 2 1"},
      {"not its middle", {.find = "ravel"}, ""},
      {"a number with signs", {.find = "A-17/3"}, "1"},
      {"accents do not matter", {.find = "zoe capek"}, "3 1"},
      {"nor do capitals", {.find = "ZOË"}, "3 1"},
      {"all words must be there", {.find = "frame aldous"}, "2"},
      {"and not one of them only", {.find = "blue zoe"}, ""},
      {"text and filter", {.find = "frame", .kind = "seatpost"}, "3 1"},
      {"text, newest", {.find = "frame", .most = 1}, "3"},
      {"words of the language of questions are words", {.find = "NOT before"}, "2"},
      {"likewise", {.find = "OR"}, ""},
      {"quotes are signs", {.find = "\"Friday\""}, "2"},
      {"so is half a quote", {.find = "\"Fri"}, "2"},
      {"and a star, a column, a bracket", {.find = "owner:zoe* (grey"}, ""},
      {"blanks only ask for nothing", {.find = " \t "}, "3 2 1"},
      {"one quote alone is no word", {.find = "\""}, ""},
  });
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(numbers(book.list(row.filter)) == row.found);
  }
}

TEST_CASE("every record is read as of one moment and in order") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  for (int i = 1; i <= 5; ++i) {
    (void)book.add(entry(std::to_string(i)));
  }
  Register other = Register::open(folder.file());
  std::vector<std::int64_t> seen;
  book.each([&](const Record& record, const Documents& documents) {
    seen.push_back(record.identity.number);
    CHECK(documents.job == entry(record.summary.job_number).documents.job);
    (void)other.add(entry("later"));  // another program does not wait for the reader
  });
  CHECK(listed(seen) == "1 2 3 4 5");
  CHECK(book.list({}).front().identity.number == 10);
}

TEST_CASE("threads with a register each lose nothing and number nothing twice") {
  const Folder folder;
  constexpr int each = 25;
  std::vector<std::thread> writers;
  for (int writer = 0; writer < 4; ++writer) {
    writers.emplace_back([&folder] {
      Register book = Register::open_or_create(folder.file());
      for (int i = 0; i < each; ++i) {
        (void)book.add(entry("x"));
      }
    });
  }
  for (std::thread& writer : writers) {
    writer.join();
  }
  const Verification found = Register::open(folder.file()).verify("");
  CHECK(found.faults.empty());
  CHECK(found.count == 4 * each);
  CHECK(found.last == 4 * each);
}

TEST_CASE("a copy is a register of its own and never takes the place of another file") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("1"));
  const RecordIdentity second = book.add(entry("2")).identity;
  CHECK(book.copy_to(folder.file("copy.db")).hash == second.hash);
  (void)book.add(entry("3"));
  CHECK_FALSE(std::filesystem::exists(folder.file("copy.db-wal")));
  const std::string before = Folder::bytes_of(folder.file("copy.db"));
  CHECK_THROWS_WITH_AS((void)book.copy_to(folder.file("copy.db")),
                       doctest::Contains("name a new file"), Trouble);
  CHECK(Folder::bytes_of(folder.file("copy.db")) == before);
  Register copy = Register::open(folder.file("copy.db"));
  CHECK(copy.verify(second.hash).faults.empty());
  CHECK(copy.verify(second.hash).count == 2);
  CHECK(copy.list({.find = "oda"}).size() == 2);
  CHECK(copy.add(entry("other")).identity.number == 3);
  CHECK(copy.verify("").faults.empty());
  for (const auto& file : std::filesystem::directory_iterator(folder.file(""))) {
    CAPTURE(file.path().string());
    CHECK(file.path().string().find(".new") == std::string::npos);
  }
}

TEST_CASE("what is forgotten is nowhere in the files any more") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  for (int i = 0; i < 40; ++i) {
    (void)book.add(entry(std::to_string(i), "Quilla Vanderhoof"));  // neighbours of the name
  }
  Entry one = entry("77", "Quilliam Ostranderly");
  one.personal_data.notes = "phone 0555-0142, zwischenraum";
  const std::int64_t first = book.add(one).identity.number;
  one.summary.replaces = first;
  const std::int64_t second = book.add(one).identity.number;
  one.summary.replaces.reset();
  one.personal_data.owner = "quilliam ostranderly";
  const std::int64_t elsewhere = book.add(one).identity.number;
  const std::string head = book.add(entry("78", "Quintus")).identity.hash;

  const auto count = [&](std::string word) {
    std::string all = folder.bytes();
    std::ranges::transform(all, all.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    std::size_t found = 0;
    // The full text keeps only what differs from the word before: so look for the ends, too.
    for (std::size_t cut = 0; word.size() - cut >= 5; ++cut) {
      found += all.find(word.substr(cut)) == std::string::npos ? 0U : 1U;
    }
    return found;
  };
  const auto words = std::to_array<std::string>({"quilliam", "ostranderly", "zwischenraum"});
  for (const std::string& word : words) {
    CHECK(count(word) > 0);
  }
  CHECK(book.list({.find = "ostranderly"}).size() == 3);

  const Forgotten would = book.would_forget(second);
  CHECK(numbers(would.records) == listed({first, second}));
  CHECK_FALSE(would.identity);
  CHECK(book.at(first)->personal_data);
  const Forgotten forgotten = book.forget(second, today);
  CHECK(numbers(forgotten.records) == listed({first, second}));
  REQUIRE(forgotten.the_same.size() == 1);
  CHECK(forgotten.the_same.front().record == first);
  CHECK(forgotten.the_same.front().others == std::vector{elsewhere});
  REQUIRE(forgotten.identity);
  CHECK(forgotten.identity->number == 45);
  CHECK(numbers(book.list({.find = "ostranderly"})) == listed({elsewhere}));
  CHECK(book.forget(elsewhere, today).the_same.empty());
  for (const std::string& word : words) {
    CAPTURE(word);
    CHECK(count(word) == 0);
  }
  CHECK(count("vanderhoof") > 0);

  CHECK_FALSE(book.at(first)->personal_data);
  CHECK(book.at(first)->summary.bike == "grey road frame");
  CHECK(numbers(book.list({.find = "77"})) == listed({elsewhere, second, first}));
  const Verification found = book.verify(head);
  CHECK(found.faults.empty());
  REQUIRE(found.asked);
  CHECK(numbers(book.forget(first, today).records) == listed({first, second}));  // does no harm
  CHECK_FALSE(book.forget(first, today).identity);
  CHECK(book.verify(head).faults.empty());
  CHECK_THROWS_WITH_AS((void)book.forget(99, today), doctest::Contains("there is no such record"),
                       Trouble);
}

TEST_CASE("a forgetting is a record of what and when but not of whom") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("1"));
  (void)book.add(entry("2", "Per Aldous"));
  const RecordIdentity identity = book.forget(1, today).identity.value();
  CHECK(identity.number == 3);
  const Record said = book.at(3).value();
  CHECK(said.forgets == std::vector<std::int64_t>{1});
  CHECK(said.summary.kind == "forget");
  CHECK(said.summary.made_utc == today.made_utc);
  CHECK(said.summary.program_version == today.program_version);
  CHECK(said.identity.hash == identity.hash);
  const Documents documents = book.documents_of(3);
  CHECK(documents.job == "forgets = [1]\n");
  CHECK(documents.result_json == R"({"schema":1,"forgets":[1]})");
  CHECK(book.at(2)->forgets.empty());
  CHECK(book.verify(identity.hash).faults.empty());
  CHECK_THROWS_WITH_AS((void)book.forget(3, today), doctest::Contains("names nobody"), Trouble);
  Entry correction = entry("");
  correction.summary.replaces = 3;
  correction.anyway = true;
  CHECK_THROWS_WITH_AS((void)book.add(correction), doctest::Contains("stays as it is"), Trouble);
}

TEST_CASE("a record of another part or job is replaced only when that is meant") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("2031"));
  Entry fork = entry("2031");
  fork.summary.kind = "steerer";
  fork.summary.replaces = 1;
  CHECK_THROWS_WITH_AS((void)book.add(fork), doctest::Contains("--anyway"), Trouble);
  Entry other = entry("2032", "Per Aldous");
  other.summary.replaces = 1;
  CHECK_THROWS_WITH_AS((void)book.add(other), doctest::Contains("\"2031\""), Trouble);
  other.summary.job_number = "";
  CHECK_THROWS_WITH_AS((void)book.add(other), doctest::Contains("without a number"), Trouble);
  CHECK(book.list({}).size() == 1);
  other.anyway = true;
  const Added added = book.add(other);
  CHECK(added.identity.number == 2);
  CHECK(added.another_owner);
}

TEST_CASE("two owners in one chain are told apart") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  (void)book.add(entry("1", "Oda Venn"));    // 1
  (void)book.add(entry("7", "oda venn"));    // 2
  (void)book.add(entry("8", "Per Aldous"));  // 3
  Entry mixed = entry("1", "Per Aldous");
  mixed.summary.replaces = 1;
  (void)book.add(mixed);  // 4
  const Forgotten would = book.would_forget(1);
  CHECK(numbers(would.records) == "1 4");
  REQUIRE(would.the_same.size() == 2);
  CHECK(would.the_same[0].record == 1);
  CHECK(listed(would.the_same[0].others) == "2");
  CHECK(would.the_same[1].record == 4);
  CHECK(listed(would.the_same[1].others) == "3");
}

TEST_CASE("the very same job is stored again and known for it") {
  const Folder folder;
  Register book = Register::open_or_create(folder.file());
  CHECK_FALSE(book.add(entry("1")).same_as);
  CHECK_FALSE(book.add(entry("2")).same_as);
  CHECK_FALSE(book.add(entry("1", "Per Aldous")).same_as);
  const Added again = book.add(entry("1"));
  CHECK(again.identity.number == 4);
  CHECK(again.same_as == 1);
  CHECK(book.add(entry("1")).same_as == 4);
}

TEST_CASE("a register is a path and nothing else") {
  const Folder folder;
  const std::filesystem::path before = std::filesystem::current_path();
  std::filesystem::current_path(folder.file(""));
  const auto names =
      std::to_array<std::string>({":memory:", "file:other.db?mode=memory",
                                  "file::memory:", "file:x.db?x=1", "%41.db", "a?b#c"});
  for (const std::string& name : names) {
    CAPTURE(name);
    (void)Register::open_or_create(name).add(entry("1"));
    CHECK(std::filesystem::is_regular_file(folder.file(name)));
    CHECK(Register::open(name).verify("").count == 1);
  }
  std::filesystem::current_path(before);
  CHECK_FALSE(std::filesystem::exists(folder.file("other.db")));
  CHECK_FALSE(std::filesystem::exists(folder.file("x.db")));
  using namespace std::string_literals;
  CHECK_THROWS_AS((void)Register::open_or_create(folder.file("a") + "\0b"s), Trouble);
  CHECK_FALSE(std::filesystem::exists(folder.file("a")));
}

TEST_CASE("files that are no register stay as they are") {
  const Folder folder;
  Folder::write(folder.file("empty.db"), "");
  Folder::write(folder.file("text.db"), "kind = \"seatpost\"\n");
  Folder::write(folder.file("short.db"), "SQLite format 3");
  std::filesystem::create_directory(folder.file("folder.db"));
  std::filesystem::create_symlink("elsewhere/register.db", folder.file("dangling.db"));
  struct Row {
    std::string file;
    const char* says;
  };
  const auto rows = std::to_array<Row>({
      {"missing.db", "there is no register there"},
      {"no/such/folder.db", "there is no register there"},
      {"empty.db", "it is empty and not a register"},
      {"text.db", "it is not a register"},
      {"short.db", "the file is cut short"},
      {"folder.db", "it is a folder"},
      {"dangling.db", "it is a link to elsewhere/register.db"},
  });
  for (const Row& row : rows) {
    CAPTURE(row.file);
    const std::string path = folder.file(row.file);
    const std::string before = Folder::bytes_of(path);
    const bool there = std::filesystem::exists(path);
    CHECK_THROWS_WITH_AS((void)Register::open(path), doctest::Contains(row.says), Trouble);
    CHECK(std::filesystem::exists(path) == there);
    CHECK(Folder::bytes_of(path) == before);
    if (there) {
      CHECK_THROWS_WITH_AS((void)Register::open_or_create(path), doctest::Contains(row.says),
                           Trouble);
      CHECK(Folder::bytes_of(path) == before);
    }
  }
  CHECK_THROWS_WITH_AS((void)Register::open_or_create(folder.file("no/register.db")),
                       doctest::Contains("does not exist; make it first"), Trouble);
  CHECK_FALSE(std::filesystem::exists(folder.file("no")));
}
