#include "kerfmark/job/fields.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

using kerfmark::job::Field;
using kerfmark::job::Fields;
using kerfmark::job::fields_of;

namespace {

const Field* field_at(const Fields& fields, std::string_view path) {
  const auto found = std::ranges::find(fields.fields, path, &Field::path);
  return found == fields.fields.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("a file comes apart into its values as they were written") {
  const Fields found = fields_of(R"(kind = "seatpost"
[job]
bike = "Zoë's \"Ü\""
[saddle]
height = [140.5, 141]
[post]
length = { read = "13 3/4 in", within = 0.3, with = "tape" }
shim = true
grip = [10, 60.0]
[[frame.blockage]]
what = "lip"
[[frame.blockage]]
depth = 180
)");
  CHECK(found.kind == "seatpost");
  CHECK(found.findings.empty());
  struct Row {
    std::string path, with, within, raw;
    std::vector<std::string> items;
    bool is_list;
    int line;
  };
  const std::vector<Row> rows{
      {"job.bike", "", "", R"("Zoë's \"Ü\"")", {R"(Zoë's "Ü")"}, false, 3},
      {"saddle.height", "", "", "[140.5, 141]", {"140.5", "141"}, true, 5},
      {"post.length",
       "tape",
       "0.3",
       R"({ read = "13 3/4 in", within = 0.3, with = "tape" })",
       {"13 3/4 in"},
       false,
       7},
      {"post.shim", "", "", "true", {"true"}, false, 8},
      {"post.grip", "", "", "[10, 60.0]", {"10", "60"}, true, 9},
      {"frame.blockage-1.what", "", "", R"("lip")", {"lip"}, false, 11},
      {"frame.blockage-2.depth", "", "", "180", {"180"}, false, 13},
  };
  CHECK(found.fields.size() == rows.size());
  for (const Row& row : rows) {
    CAPTURE(row.path);
    const Field* field = field_at(found, row.path);
    REQUIRE(field != nullptr);
    CHECK(field->items == row.items);
    CHECK(field->with == row.with);
    CHECK(field->within == row.within);
    CHECK(field->raw == row.raw);
    CHECK(field->is_list == row.is_list);
    CHECK(field->line == row.line);
    CHECK(field->is_plain);
  }
}

TEST_CASE("what a row of figures cannot say is told apart") {
  const Fields found = fields_of(R"(kind = "steerer"
[spacers]
below = { read = [20, 20.1] }
above = [{ read = 5, within = 0.2 }, 10]
on_hand = []
)");
  CHECK_FALSE(field_at(found, "spacers.below")->is_plain);  // several readings of one sum
  CHECK_FALSE(field_at(found, "spacers.above")->is_plain);
  CHECK(field_at(found, "spacers.on_hand")->is_plain);
  CHECK(field_at(found, "spacers.on_hand")->items.empty());
}

TEST_CASE("keys that nobody knows are named and a file that is no TOML is told") {
  const Fields odd = fields_of("kind = \"seatpost\"\ncolour = 1\n[post]\nlenght = 350\n");
  CHECK(odd.unknown == std::vector<std::string>{"colour", "post.lenght"});
  const Fields broken = fields_of("kind = \n");
  REQUIRE(broken.findings.size() == 1);
  CHECK(broken.findings.front().line == 1);
  CHECK(broken.kind.empty());
}
