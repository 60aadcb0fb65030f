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

using Post = plan::PostAsItStands;

plan::InsertionCheck check(const Post& post) { return plan::check_insertion(post); }

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
      // With neither mark nor minimum nobody knows how much must be in.
      {"the floor alone, 2 x 27.2 = 54.4",
       {.inserted = mm(54.9), .diameter = mm(27.2)},
       Verdict::hold},
      {"60 of a 27.2 post", {.inserted = mm(60), .diameter = mm(27.2)}, Verdict::hold},
      {"far above the floor, the line not seen",
       {.inserted = mm(250), .diameter = mm(27.2), .line = plan::LineSeen::hidden},
       Verdict::hold},
      {"nothing to hold it against", {.inserted = mm(250)}, Verdict::hold},
      {"no line and no maker's figure",
       {.inserted = mm(250), .diameter = mm(27.2), .line = plan::LineSeen::none},
       Verdict::hold},
      {"no line, and the maker's figure",
       {.inserted = mm(120), .minimum = mm(100), .line = plan::LineSeen::none},
       Verdict::keep},
      {"below the floor", {.inserted = mm(53.9), .diameter = mm(27.2)}, Verdict::reject},
      {"in doubt of the floor", {.inserted = mm(54.4), .diameter = mm(27.2)}, Verdict::hold},
      {"broken counts before doubt",
       {.inserted = mm(100), .mark = mm(100), .minimum = mm(120)},
       Verdict::reject},
      {"a hidden line mends nothing",
       {.inserted = mm(90), .mark = mm(100), .line = plan::LineSeen::hidden},
       Verdict::reject},
      {"nor what is in doubt",
       {.inserted = mm(100), .mark = mm(100), .line = plan::LineSeen::hidden},
       Verdict::hold},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    CHECK(check(row.post).verdict == row.want);
    // A line that shows above the collar is a reject whatever else is given.
    Post seen = row.post;
    seen.line = plan::LineSeen::above;
    CHECK(check(seen).verdict == Verdict::reject);
  }
  CHECK(check({.line = plan::LineSeen::above}).verdict == Verdict::reject);
  CHECK_FALSE(check({.line = plan::LineSeen::above}).inserted.has_value());
}

TEST_CASE("lengths count by the instrument that they were read with") {
  // Against an exact minimum the doubt is the instrument's ±w: 0.7 more than 80 is a keep by rule,
  // ±0.5, in doubt by tape, ±1, and 0.3 more a keep by caliper, ±0.1, only.
  const auto inserted_by = [](double inserted_mm, std::string_view instrument) {
    const Post post{
        .inserted = millimetres(inserted_mm), .minimum = millimetres(80), .instrument = instrument};
    return check(post);
  };
  CHECK(inserted_by(80.7, "steel rule").verdict == Verdict::keep);
  CHECK(inserted_by(80.7, "tape").verdict == Verdict::hold);
  CHECK(inserted_by(80.7, "tape").within_mm == Near{1.0});
  CHECK(inserted_by(81.0, "tape").verdict == Verdict::keep);
  CHECK(inserted_by(80.3, "steel rule").verdict == Verdict::hold);
  CHECK(inserted_by(80.3, "caliper").verdict == Verdict::keep);
  // Length, exposed and mark by tape: 2·√(3·1/3) = 2.
  const Post parts{.length = millimetres(350),
                   .exposed = millimetres(248.5),
                   .mark = millimetres(100),
                   .instrument = "tape"};
  CHECK(check(parts).limits.at(0).at.guard == Near{2});
  CHECK(check(parts).verdict == Verdict::hold);
}

TEST_CASE("a line that is seen needs no measure and half a measure is none") {
  const auto mm = millimetres;
  for (const Post& post :
       {Post{.line = plan::LineSeen::above}, Post{.length = mm(350), .line = plan::LineSeen::above},
        Post{.exposed = mm(250), .line = plan::LineSeen::above}}) {
    const auto seen = check(post);
    CHECK(seen.verdict == Verdict::reject);
    CHECK_FALSE(seen.inserted.has_value());
  }
}

TEST_CASE("only a mark or a figure of the maker is one to aim at") {
  const auto mm = millimetres;
  CHECK_FALSE(plan::has_target(check({.inserted = mm(60), .diameter = mm(27.2)})));
  CHECK_FALSE(plan::has_target(check({.inserted = mm(40), .diameter = mm(27.2)})));
  CHECK_FALSE(plan::has_target(check({.mark = mm(100), .line = plan::LineSeen::above})));
  CHECK(plan::has_target(check({.inserted = mm(60), .mark = mm(50)})));
  CHECK(plan::has_target(check({.inserted = mm(60), .minimum = mm(50)})));
}

TEST_CASE("what is seen and what was measured may not both be right") {
  const auto says = [](double inserted_mm, plan::LineSeen line) {
    return plan::contradicts_itself(
        check({.inserted = millimetres(inserted_mm), .mark = millimetres(100), .line = line}));
  };
  CHECK(says(120, plan::LineSeen::above));
  CHECK_FALSE(says(90, plan::LineSeen::above));
  CHECK_FALSE(says(100, plan::LineSeen::above));
  CHECK(says(90, plan::LineSeen::hidden));
  CHECK_FALSE(says(120, plan::LineSeen::hidden));
  CHECK_FALSE(says(100, plan::LineSeen::hidden));
  // A maker's figure is no line, and may ask for more than the line does.
  CHECK_FALSE(plan::contradicts_itself(check(
      {.inserted = millimetres(120), .minimum = millimetres(100), .line = plan::LineSeen::above})));
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
