#include <string>
#include <vector>

#include <doctest/doctest.h>
#include <sqlite3.h>

#include "kerfmark/register/register.hpp"
#include "kerfmark/trouble.hpp"
#include "sample.hpp"

using namespace kerfmark;
using namespace kerfmark::records;
using sample::entry;
using sample::Folder;

namespace {

const Stamp today{"2026-11-27T09:00:00Z", "0.3.0"};

// A register of four records: 2 corrects 1, 3 is blanked, and 4 says so.
Register branch_in(const Folder& folder) {
  Register book = Register::open_or_create(folder.file("branch.db"));
  book.add(entry("2031"));
  Entry second = entry("2031");
  second.summary.replaces = 1;
  second.summary.verdict = "hold";
  second.documents.shop = "name = \"The shed\"\n";
  book.add(second);
  book.add(entry("2032", "Zoë Tarn"));
  (void)book.forget(3, today);
  return book;
}

Imported taken_in(Register& book, Register& other) {
  return book.take_in(other, today, [](std::int64_t, std::int64_t) {});
}

std::vector<std::string> hashes_of(Register& book) {
  std::vector<std::string> hashes;
  book.each(
      [&](const Record& record, const Documents&) { hashes.push_back(record.identity.hash); });
  return hashes;
}

void run_sql(const std::string& path, const char* sql) {
  sqlite3* handle = nullptr;
  REQUIRE(sqlite3_open(path.c_str(), &handle) == SQLITE_OK);
  CHECK(sqlite3_exec(handle, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
  sqlite3_close(handle);
}

}  // namespace

TEST_CASE("an empty register takes records in with their numbers and hashes") {
  const Folder folder;
  Register branch = branch_in(folder);
  Register book = Register::open_or_create(folder.file());
  const Imported in = taken_in(book, branch);
  CHECK(in.as_they_were);
  CHECK(in.count == 4);
  CHECK(in.last.number == 4);
  CHECK(hashes_of(book) == hashes_of(branch));
  const Verification found = book.verify(hashes_of(branch)[1]);
  CHECK(found.faults.empty());
  REQUIRE(found.asked);
  CHECK(found.asked->number == 2);
  CHECK(book.list({.find = "Oda"}).size() == 2);
  CHECK(book.list({.find = "Tarn"}).empty());
  CHECK_FALSE(book.at(3)->personal_data);
  CHECK(book.at(1)->replaced_by == 2);
  CHECK(book.documents_of(2).shop == "name = \"The shed\"\n");
  CHECK(book.add(entry("2033")).identity.number == 5);
  CHECK(book.verify("").faults.empty());
}

TEST_CASE("records are numbered anew behind those that are there and say what they were") {
  const Folder folder;
  Register branch = branch_in(folder);
  Register book = Register::open_or_create(folder.file());
  book.add(entry("7", "Pim Holt"));
  const Imported in = taken_in(book, branch);
  CHECK_FALSE(in.as_they_were);
  CHECK(in.count == 3);  // and not the record of forgetting
  CHECK(in.first.number == 2);
  CHECK(in.last.number == 5);  // which says what was forgotten
  CHECK(in.forgotten == std::vector<std::int64_t>{4});
  CHECK(book.at(3)->summary.replaces == 2);
  CHECK(book.at(2)->replaced_by == 3);
  CHECK(book.at(3)->summary.verdict == "hold");
  CHECK_FALSE(book.at(4)->personal_data);
  CHECK(book.at(5)->forgets == std::vector<std::int64_t>{4});
  const auto origins = origins_in(book.documents_of(3).job);
  REQUIRE(origins.size() == 1);
  CHECK(origins[0].number == 2);
  CHECK(origins[0].hash == hashes_of(branch)[1]);
  CHECK(origins_in(book.documents_of(1).job).empty());
  CHECK(book.verify("").faults.empty());
  CHECK(branch.verify("").faults.empty());

  SUBCASE("nothing comes in twice") {
    const Imported again = taken_in(book, branch);
    CHECK(again.count == 0);
    CHECK(again.already == 3);
    CHECK(hashes_of(book).size() == 5);
  }
  SUBCASE("what is new there comes in, and replaces what it replaces there") {
    Entry third = entry("2031");
    third.summary.replaces = 2;
    branch.add(third);
    const Imported more = taken_in(book, branch);
    CHECK(more.count == 1);
    CHECK(book.at(6)->summary.replaces == 3);
    CHECK(book.verify("").faults.empty());
  }
  SUBCASE("nor by way of a third register") {
    Register third = Register::open_or_create(folder.file("third.db"));
    third.add(entry("8"));
    CHECK(taken_in(third, book).count == 4);
    CHECK(origins_in(third.documents_of(4).job).size() == 2);
    CHECK(taken_in(third, branch).already == 3);
  }
  SUBCASE("two corrections of one record are for people to settle") {
    Entry third = entry("2031");
    third.summary.replaces = 2;
    branch.add(third);
    third.summary.replaces = 3;
    book.add(third);
    CHECK_THROWS_AS((void)taken_in(book, branch), Trouble);
    CHECK(hashes_of(book).size() == 6);
  }
}

TEST_CASE("a register with a fault is not taken in") {
  const Folder folder;
  (void)branch_in(folder);
  run_sql(
      folder.file("branch.db"),
      "DROP TRIGGER papers_stay; UPDATE papers SET job = 'kind = \"steerer\"' WHERE number = 2");
  Register branch = Register::open(folder.file("branch.db"), Use::reading);
  Register book = Register::open_or_create(folder.file());
  CHECK_THROWS_AS((void)taken_in(book, branch), Trouble);
  CHECK(hashes_of(book).empty());
}

TEST_CASE("a line says where a record came from only as it is written") {
  CHECK(origins_in("# From record 7 of another register, hash ab\nkind\n").size() == 1);
  CHECK(origins_in("# From record 7 of another register, hash ab").size() == 1);
  CHECK(origins_in("# From record x of another register, hash ab\n").empty());
  CHECK(origins_in("kind\n# From record 7 of another register, hash ab\n").empty());
  CHECK(origins_in("").empty());
}
