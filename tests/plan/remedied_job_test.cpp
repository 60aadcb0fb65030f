#include "remedied_job.hpp"

#include <string>

#include <doctest/doctest.h>

#include "planned.hpp"

// What a mechanic changes on a bicycle, and every figure of its job that changes with it, by hand.
using namespace kerfmark;
using plan::Job;
using plan::RemedyKind;
using plan::sum_mm;
using plan::with_remedy;
using planned::job_of;
using planned::Near;

namespace {

// Below the stem 20 at its lowest and 35 at its highest, above it 10: a stack of 257, of which 43
// of the steerer stand proud; cut to 254 it ends 3 below the top.
Job fork(std::string_view highest = "[20, 10, 5]") {
  return job_of(
      "kind = \"steerer\"\n[steerer]\nlength = 300\nmaterial = \"aluminium\"\n[frame]\n"
      "head_tube = 150\n[headset]\nlower = 10\nupper = 12\n[stem]\nclamp = 40\n[spacers]\n"
      "below = [20, 10]\nlowest = [20]\nhighest = " +
      std::string(highest) +
      "\nabove = [10]\n[mock_up]\nstands_proud = 43\n[as_cut]\nlength = 254\ngap = 3\n");
}

}  // namespace

TEST_CASE("spacers that come and go and what is measured on the stack") {
  struct Row {
    RemedyKind kind;
    double lowest, highest, above;
    double taller;  // what the stack grows by; the steerer stands less proud of it by as much
  };
  const Row rows[] = {
      {RemedyKind::ring_above, 20, 35, 18, 8},   {RemedyKind::ring_below, 28, 43, 10, 8},
      {RemedyKind::rings_out, 20, 27, 10, -8},   {RemedyKind::fewer_above, 20, 35, 2, -8},
      {RemedyKind::move_above, 20, 27, 18, 0},   {RemedyKind::move_below, 28, 43, 2, 0},
      {RemedyKind::lower_parts, 20, 35, 10, -8}, {RemedyKind::stem_lowest_up, 28, 35, 10, 0},
  };
  for (const Row& row : rows) {
    CAPTURE(static_cast<int>(row.kind));
    const Job then = with_remedy(fork(), row.kind, 8);
    CHECK(sum_mm(then.spacers.lowest) == Near{row.lowest});
    CHECK(sum_mm(then.spacers.highest) == Near{row.highest});
    CHECK(sum_mm(then.spacers.above) == Near{row.above});
    CHECK(then.mock_up.stands_proud->nominal == Near{43 - row.taller});
    CHECK(then.as_cut.gap->nominal == Near{3 + row.taller});
    CHECK(then.headset.upper->nominal == Near{row.kind == RemedyKind::lower_parts ? 4.0 : 12.0});
  }
  // The stem's lowest position comes down with its highest, and no sooner.
  CHECK(sum_mm(with_remedy(fork(), RemedyKind::rings_out, 15).spacers.lowest) == Near{20});
  CHECK(sum_mm(with_remedy(fork(), RemedyKind::rings_out, 16).spacers.lowest) == Near{19});
  CHECK(sum_mm(with_remedy(fork(), RemedyKind::move_above, 21).spacers.lowest) == Near{14});
  // A single millimetre is a change too, and nothing is none.
  CHECK(sum_mm(with_remedy(fork(), RemedyKind::rings_out, 1).spacers.highest) == Near{34});
  CHECK(with_remedy(fork(), RemedyKind::stem_lowest_up, 0) == fork());
}

TEST_CASE("rings that change places change them one by one") {
  const Job then = with_remedy(fork(), RemedyKind::rings_out, {30, {10, 5}});
  CHECK(sum_mm(then.spacers.highest) == Near{20});
  CHECK(then.mock_up.stands_proud->nominal == Near{58});
}

TEST_CASE("a ring that comes is measured as those that are there") {
  const auto doubt_of_new = [](const Job& job) {
    const Job then = with_remedy(job, RemedyKind::ring_above, 8);
    return then.readings.at(then.spacers.above->back().reading.value()).half_width_base;
  };
  // A caliper reads a ring of a list to ±0.1 mm; one sum was measured to ±1.5 mm.
  CHECK(doubt_of_new(fork()) == Near{0.1});
  CHECK(doubt_of_new(fork("{ read = 35, within = 1.5 }")) == Near{1.5});
}

TEST_CASE("a saddle that moves takes the heights with it that it would pass") {
  struct Row {
    RemedyKind kind;
    double mm, lowest, height, highest;
  };
  const Row rows[] = {
      {RemedyKind::raise_saddle, 8, 188, 190, 200},  {RemedyKind::raise_saddle, 12, 192, 192, 200},
      {RemedyKind::raise_saddle, 25, 205, 205, 205}, {RemedyKind::narrow_range, 12, 192, 192, 200},
      {RemedyKind::lower_saddle, 8, 180, 190, 192},  {RemedyKind::lower_saddle, 12, 180, 188, 188},
      {RemedyKind::lower_saddle, 25, 175, 175, 175},
  };
  const Job post = job_of(
      "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nlowest = 180\nheight = 190\n"
      "highest = 200\n[post]\nlength = 350\ndiameter = 27.2\nmark = 100\n"
      "material = \"aluminium\"\n");
  for (const Row& row : rows) {
    CAPTURE(row.mm);
    const Job then = with_remedy(post, row.kind, row.mm);
    CHECK(then.saddle.lowest->nominal == Near{row.lowest});
    CHECK(then.saddle.height->nominal == Near{row.height});
    CHECK(then.saddle.highest->nominal == Near{row.highest});
  }
}

TEST_CASE("wishes and controls of a handlebar - an expander and a recess") {
  const Job bar = job_of(
      "kind = \"handlebar\"\n[handlebar]\nwidth = 800\nwanted = 740\nnarrowest = 730\n"
      "widest = 750\nmaterial = \"aluminium\"\ndiameter = 22.2\n[[controls]]\nwidth = 130\n"
      "[[controls]]\nwidth = 40\n");
  CHECK(with_remedy(bar, RemedyKind::wider_wish, 8).handlebar.widest->nominal == Near{758});
  CHECK(with_remedy(bar, RemedyKind::narrower_wish, 8).handlebar.narrowest->nominal == Near{722});
  const Job smaller = with_remedy(bar, RemedyKind::narrower_controls, 8);
  CHECK(smaller.controls.at(0).width->nominal + smaller.controls.at(1).width->nominal == Near{162});

  Job held = fork();
  held.expander.to = {measure::millimetres(70), std::nullopt};
  CHECK(with_remedy(held, RemedyKind::longer_expander, 8).expander.to->nominal == Near{78});
  CHECK(with_remedy(held, RemedyKind::approved_recess, 3).stem.recess_max->nominal == Near{3});
}
