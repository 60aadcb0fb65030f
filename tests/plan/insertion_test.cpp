#include "kerfmark/plan/insertion.hpp"

#include <cmath>
#include <optional>
#include <string_view>

#include "planned.hpp"

using namespace kerfmark;
using measure::millimetres;
using plan::Length;
using plan::Verdict;
using planned::Near;

namespace {

/// The same with defaults, so that a row names only what it gives.
struct Post {
  std::optional<Length> length = {}, exposed = {}, inserted = {};
  std::optional<Length> mark = {}, minimum = {}, diameter = {};
};

plan::InsertionCheck check(const Post& post) {
  return plan::check_insertion(
      {post.length, post.exposed, post.inserted, post.mark, post.minimum, post.diameter});
}

}  // namespace

TEST_CASE("the quick check of a post as it stands") {
  struct Row {
    std::string_view what;
    Post post;
    Verdict want;
  };
  const auto mm = millimetres;
  // Readings by steel rule, ±0.5: inserted against an exact minimum is in doubt within 0.5; length
  // less exposed within 2·√(0.5/3) = 0.8165; against the mark, a third reading, within 1.
  const Row rows[] = {
      {"well above the mark", {.inserted = mm(120), .mark = mm(100)}, Verdict::keep},
      {"well below it", {.inserted = mm(90), .mark = mm(100)}, Verdict::reject},
      {"in doubt", {.inserted = mm(100), .mark = mm(100)}, Verdict::hold},
      {"just sure", {.inserted = mm(100.8165), .mark = mm(100)}, Verdict::keep},
      {"just not", {.inserted = mm(100.8164), .mark = mm(100)}, Verdict::hold},
      {"just broken", {.inserted = mm(99.1835), .mark = mm(100)}, Verdict::reject},
      {"just not broken", {.inserted = mm(99.1836), .mark = mm(100)}, Verdict::hold},
      {"a minimum is exact", {.inserted = mm(80.5), .minimum = mm(80)}, Verdict::keep},
      {"a hair less", {.inserted = mm(80.49), .minimum = mm(80)}, Verdict::hold},
      {"by length and exposed",
       {.length = mm(350), .exposed = mm(249), .mark = mm(100)},
       Verdict::keep},
      {"by length and exposed, not sure",
       {.length = mm(350), .exposed = mm(249.01), .mark = mm(100)},
       Verdict::hold},
      {"the floor alone, 2 x 27.2 = 54.4",
       {.inserted = mm(54.9), .diameter = mm(27.2)},
       Verdict::keep},
      {"below the floor", {.inserted = mm(53.9), .diameter = mm(27.2)}, Verdict::reject},
      {"in doubt of the floor", {.inserted = mm(54.4), .diameter = mm(27.2)}, Verdict::hold},
      {"broken counts before doubt",
       {.inserted = mm(100), .mark = mm(100), .minimum = mm(120)},
       Verdict::reject},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(check(row.post).verdict == row.want);
  }
}

TEST_CASE("the quick check says what is inserted and how sure that is") {
  const auto by_parts = check({.length = millimetres(350),
                               .exposed = millimetres(230),
                               .mark = millimetres(100),
                               .minimum = millimetres(90),
                               .diameter = millimetres(31.6)});
  CHECK(by_parts.inserted == Near{120});
  CHECK(by_parts.within_mm == Near{1.0});
  REQUIRE(by_parts.limits.size() == 3);
  CHECK(by_parts.limits.at(0).id() == "mark");
  CHECK(by_parts.limits.at(0).at.margin == Near{20});
  CHECK(by_parts.limits.at(0).at.guard == Near{1.0});  // 2·√(0.75/3)
  CHECK(by_parts.limits.at(1).id() == "post-minimum");
  CHECK(by_parts.limits.at(1).at.margin == Near{30});
  CHECK(by_parts.limits.at(1).at.guard == Near{2 * std::sqrt(0.5 / 3)});
  CHECK(by_parts.limits.at(2).id() == "floor");
  CHECK(by_parts.limits.at(2).at.margin == Near{120 - 63.2});

  const auto direct = check({.inserted = millimetres(120), .minimum = millimetres(90)});
  CHECK(direct.within_mm == Near{0.5});
}

TEST_CASE("the limit with the least to spare decides and says how far the post must come down") {
  // Against the mark: 90 - 100 = -10, guard 2·√(0.5/3), for the post comes down with the same
  // doubt; against the minimum 90 - 85 = 5, guard 0.5.
  const auto short_of_mark =
      check({.inserted = millimetres(90), .mark = millimetres(100), .minimum = millimetres(85)});
  CHECK(short_of_mark.decides == 0);
  CHECK(short_of_mark.spare == Near{-10 - 2 * std::sqrt(0.5 / 3)});
  CHECK(short_of_mark.limits.at(0).governs);
  CHECK_FALSE(short_of_mark.limits.at(1).governs);
  // A minimum that is exact leaves more than a mark that is read, though it asks for as much.
  const auto level = check({.inserted = millimetres(120),
                            .mark = millimetres(100),
                            .minimum = millimetres(100),
                            .diameter = millimetres(27.2)});
  CHECK(level.decides == 0);
  CHECK(level.spare == Near{20 - 2 * std::sqrt(0.5 / 3)});
  const auto higher_minimum =
      check({.inserted = millimetres(120), .mark = millimetres(100), .minimum = millimetres(101)});
  CHECK(higher_minimum.decides == 1);
  CHECK(higher_minimum.spare == Near{19 - 0.5});
  CHECK(higher_minimum.limits.at(1).governs);

  // Lowered by what is missing, the answer is a keep; by a hair less it is none.
  for (const double lowered : {-short_of_mark.spare.in_mm(), -short_of_mark.spare.in_mm() - 1e-6}) {
    const auto again = check({.inserted = millimetres(90 + lowered), .mark = millimetres(100)});
    CHECK((again.verdict == Verdict::keep) == (lowered == -short_of_mark.spare.in_mm()));
  }
}

TEST_CASE("a post that would have to come down farther than it stands out is too short") {
  // 60 in, 100 needed, three readings by rule: 40 + 2·√(0.75/3) = 41 must come down.
  const auto stands_out = [](double exposed) {
    return check({.length = millimetres(60 + exposed),
                  .exposed = millimetres(exposed),
                  .mark = millimetres(100)});
  };
  CHECK(plan::is_too_short(stands_out(40.9)));
  CHECK_FALSE(plan::is_too_short(stands_out(41.1)));
  CHECK_FALSE(plan::is_too_short(check({.inserted = millimetres(1), .mark = millimetres(100)})));
}

TEST_CASE("the diameter alone is no word of a maker on this post") {
  CHECK(
      plan::by_diameter_only(check({.inserted = millimetres(90), .diameter = millimetres(27.2)})));
  CHECK_FALSE(plan::by_diameter_only(check(
      {.inserted = millimetres(90), .mark = millimetres(80), .diameter = millimetres(27.2)})));
  CHECK_FALSE(
      plan::by_diameter_only(check({.inserted = millimetres(90), .minimum = millimetres(80)})));
}
