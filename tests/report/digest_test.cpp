#include "kerfmark/report/digest.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "../job/sample.hpp"
#include "../plan/planned.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/sha256.hpp"

using namespace kerfmark;
using planned::job_of;
using planned::replaced;

namespace {

/// One that uses every table of its kind, and nothing at its default.
constexpr std::string_view full_steerer = R"(kind = "steerer"
[steerer]
length = 300
material = "carbon"
cutting = "not stated"
diameter = 28.6
max_cut = 100
min_length = 150
max_rider = 110
max_system = 130
[frame]
head_tube = 150
head_angle = 73
stack = 560
reach = 380
max_rider = 120
max_system = 125
[headset]
lower = 3
upper = 15
[stem]
clamp = 40
length = 100
angle = -6
recess_max = 2
[spacers]
below = [10, 10.5]
lowest = 5
highest = { read = [30, 30.2] }
above = [5]
on_hand = [10, 10, 5, 20]
max_below = 40
min_above = 5
max_above = 30
[cap]
gap = 3.5
gap_min = 1
gap_max = 6
[expander]
from = 2
to = 60
flange = 2
[bar]
height = 700
lowest = 690
highest = 710
[mock_up]
stands_proud = 45
[rider]
mass = 75
system_mass = 90
[saw]
kerf = 1.5
within = 0.4
step = 0.5
wanted = 40
[measuring]
coverage = 3
twice = true
)";

std::string figures(std::string_view text) { return report::figures_of(job_of(text)); }

std::set<std::string> paths_in(const std::string& figures) {
  std::set<std::string> paths;
  std::size_t start = figures.find('\n') + 1;
  while (start < figures.size()) {
    const std::size_t end = figures.find('\n', start);
    std::string path = figures.substr(start, figures.find('=', start) - start);
    // "frame.blockage-2.depth" is frame.blockage.depth, "spacers.below-1" spacers.below.
    if (const std::size_t dash = path.find('-'); dash != std::string::npos) {
      const std::size_t digits_end = path.find('.', dash);
      path.erase(dash, digits_end == std::string::npos ? digits_end : digits_end - dash);
    }
    paths.insert(path);
    start = end + 1;
  }
  return paths;
}

bool is_a_figure(const plan::Key& key) {
  return !std::holds_alternative<plan::TextSlot>(key.slot) &&
         !std::holds_alternative<plan::InstrumentsSlot>(key.slot) &&
         plan::table_of(key.path) != "as_cut";
}

}  // namespace

// FIPS 180-4, examples of SHA-256 published by NIST with the standard (SHA256.pdf: "abc" and the
// message of two blocks) and in the test vectors of its validation program (none, 10^6 times "a").
TEST_CASE("SHA-256 as FIPS 180-4 has it") {
  CHECK(text::sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(text::sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(text::sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(text::sha256(std::string(1000000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("the form of the figures is the one that is documented") {
  CHECK(figures(R"(kind = "seatpost"
[job]
owner = "A. Rider"
[saddle]
measured = "extension"
height = 150
highest = { read = "6.25 in", within = 0.3 }
[frame]
junction = { read = 45, with = "caliper" }
[[frame.blockage]]
what = "lip"
depth = 225
[[frame.blockage]]
depth = [300, "30.1 cm"]
clearance = 5
[post]
length = [400, 400.5]
mark = "unknown"
diameter = 27.2
material = "carbon"
grip = [60, 180]
shim = true
[rider]
mass = 80
[measuring]
instruments = { "depth probe" = 2 }
)") == R"(kerfmark figures 1
frame.blockage-1.depth=225.000000000 within 2.000000000
frame.blockage-2.clearance=5.000000000 within 0.000000000
frame.blockage-2.depth=300.000000000;301.000000000 within 2.000000000
frame.junction=45.000000000 within 0.100000000
kind=seatpost
post.diameter=27.200000000 within 0.000000000
post.grip=60.000000000;180.000000000
post.length=400.000000000;400.500000000 within 0.500000000
post.mark=unknown
post.material=carbon
post.shim=true
rider.mass=80.000000000 within 0.000000000
saddle.height=150.000000000 within 0.500000000
saddle.highest=158.750000000 within 0.300000000
saddle.measured=extension
)");
  CHECK(figures(R"(kind = "steerer"
[steerer]
material = "steel"
[stem]
clamp = 40
angle = -0.0
[spacers]
below = [10, 5]
lowest = []
above = { read = 5, within = 0 }
on_hand = [10, 5, 5]
[mock_up]
stands_proud = 30
)") == R"(kerfmark figures 1
kind=steerer
mock_up.stands_proud=30.000000000 within 0.500000000
spacers.above=5.000000000 within 0.000000000
spacers.below-1=10.000000000 within 0.100000000
spacers.below-2=5.000000000 within 0.100000000
spacers.lowest=
spacers.on_hand=10.000000000;5.000000000;5.000000000
steerer.material=steel
stem.angle=0.000000000 within 0.500000000
stem.clamp=40.000000000 within 0.100000000
)");
}

TEST_CASE("the digest is the beginning of the SHA-256 of that form") {
  const auto job = job_of(sample::full_job);
  const std::string hex = text::sha256(report::figures_of(job));
  CHECK(report::digest_of(job) == hex.substr(0, 4) + "-" + hex.substr(4, 4));
}

TEST_CASE("every figure and every choice of the key table has a line of its own") {
  std::string seatpost(sample::full_job);
  for (const auto& [from, to] : std::vector<std::pair<std::string_view, std::string_view>>{
           {"cutting = \"allowed\"", "cutting = \"forbidden\""},
           {"build = \"rigid\"", "build = \"dropper\""},
           {"measured = \"along tube\"", "measured = \"straight\""}}) {
    seatpost = replaced(seatpost, from, to);
  }
  std::vector<plan::Job> jobs = {job_of(seatpost), job_of(full_steerer)};
  jobs[1].steerer.threaded = true;  // the reader lets none of these through
  for (const plan::Job& job : jobs) {
    const auto paths = paths_in(report::figures_of(job));
    for (const auto& key : plan::keys()) {
      if (key.belongs_to(job.kind) && is_a_figure(key)) {
        CAPTURE(key.path);
        CHECK(paths.contains(std::string(key.path)));
      }
    }
  }
}

TEST_CASE("another figure gives another digest") {
  struct Change {
    std::string_view from, to;
  };
  const std::vector<Change> of_a_post = {
      {"[607, 607.5]", "[607, 607.4]"},
      {"[607, 607.5]", "607.25"},  // the same mean, read once
      {"lowest = 600", "lowest = 600.1"},
      {"within = 0.3 }", "within = 0.2 }"},
      {"\"along tube\"", "\"straight\""},
      {"crank = 172.5", "crank = 170"},
      {"rail_to_top = 45", "rail_to_top = 45.5"},
      {"\"73 deg\"", "\"73.5 deg\""},
      {"axis_offset = -3", "axis_offset = 3"},
      {"depth = 225", "depth = 226"},
      {"clearance = 5", "clearance = 4"},
      {"mark = 100", "mark = \"unknown\""},
      {"material = \"carbon\"", "material = \"steel\""},
      {"cutting = \"allowed\"", "cutting = \"not stated\""},
      {"grip = [60,", "grip = [61,"},
      {"shim = true", "shim = false"},
      {"rising = \"up\"", "rising = \"down\""},
      {"exposed_bottomed = 175", "exposed_bottomed = 174"},
      {"hang_fitted = true", "hang_fitted = false"},
      {"lengths = [350,", "lengths = [355,"},
      {"mass = 75", "mass = 76"},
      {"kerf = 1.5", "kerf = 1.4"},
      {"wanted = 40", "wanted = 41"},
      {"coverage = 3", "coverage = 2"},
      {"twice = true", "twice = false"},
      {"tape = 2", "tape = 1.5"},
      {"tape = 2", "tape = 2, \"steel rule\" = 0.4"},
      {"section = \"other\"", "section = \"round\""},
  };
  std::set<std::string> digests = {report::digest_of(job_of(sample::full_job)),
                                   report::digest_of(job_of(full_steerer))};
  std::size_t jobs = digests.size();
  for (const Change& change : of_a_post) {
    CAPTURE(change.to);
    digests.insert(
        report::digest_of(job_of(replaced(std::string(sample::full_job), change.from, change.to))));
    CHECK(digests.size() == ++jobs);
  }
  const std::vector<Change> of_a_steerer = {
      {"below = [10, 10.5]", "below = [10, 10.4]"},
      {"below = [10, 10.5]", "below = 20.5"},
      {"lowest = 5\n", "lowest = []\n"},
      {"above = [5]", "above = []"},
      {"on_hand = [10,", "on_hand = [11,"},
      {"angle = -6", "angle = 6"},
      {"to = 60", "to = 61"},
      {"stands_proud = 45", "stands_proud = 45.5"},
  };
  for (const Change& change : of_a_steerer) {
    CAPTURE(change.to);
    digests.insert(
        report::digest_of(job_of(replaced(std::string(full_steerer), change.from, change.to))));
    CHECK(digests.size() == ++jobs);
  }
}

TEST_CASE("the same figures have the same digest whoever wrote them down and how") {
  const std::string post(sample::full_job);
  const std::string digest = report::digest_of(job_of(post));
  const auto same = [&](std::string_view from, std::string_view to) {
    CAPTURE(to);
    CHECK(report::digest_of(job_of(replaced(post, from, to))) == digest);
  };
  same("owner = \"A. Rider\"", "owner = \"Somebody else\" # and a comment");
  same("notes = \"none\"", "");
  same("what = \"lip\"", "what = \"an edge\"");
  same("axis_offset = -3", "axis_offset = \"-0.3 cm\"");
  same("read = \"24 in\"", "read = 609.6");
  same("max_rider = \"230 lb\"", "max_rider = 104.3262451");
  same("\"73 deg\"", "73");
  same("depth = 225\n", "depth = { read = [225], with = \"depth probe\" }\nclearance = 2\n");
  // Another name for the same half-width.
  same("{ read = 420, with = \"my laser\" }", "{ read = 420, within = 0.3 }");
  const std::string short_job(sample::extension_job);
  CHECK(report::digest_of(job_of(short_job)) ==
        report::digest_of(job_of(short_job + "section = \"round\"\nbuild = \"rigid\"\n"
                                             "cutting = \"not stated\"\n[saw]\nkerf = 1\nstep = 1\n"
                                             "within = 0.5\n[measuring]\ncoverage = 2\n"
                                             "twice = false\n")));
  // A default in inches, as far as its decimals go: nearer than 1e-9 mm.
  CHECK(report::digest_of(job_of(short_job)) ==
        report::digest_of(job_of(short_job + "[saw]\nkerf = \"0.03937007874 in\"\n"
                                             "step = \"0.03937007874 in\"\n")));
  CHECK(report::digest_of(job_of(short_job)) !=
        report::digest_of(job_of(short_job + "[saw]\nkerf = \"0.0393701 in\"\n")));

  random_job::Random random(20260501);
  for (std::size_t i = 0; i < 100; ++i) {
    const auto tables = random_job::make(i, random);
    const auto text = random_job::text_of(tables);
    CAPTURE(text);
    const std::string here = report::digest_of(job_of(text));
    CHECK(report::digest_of(
              job_of(random_job::text_of(random_job::in_other_order(tables, random)))) == here);
    CHECK(report::digest_of(job_of(random_job::text_of(tables, random_job::Units::imperial))) ==
          here);
  }
}
