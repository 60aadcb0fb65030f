#include "kerfmark/plan/keys.hpp"

#include <set>
#include <string>
#include <string_view>

#include "planned.hpp"

using namespace kerfmark;
using plan::Key;
using planned::job_of;

namespace {

const plan::Instrument* instrument(std::string_view name) {
  const auto found = std::ranges::find(plan::instruments(), name, &plan::Instrument::name);
  return found == plan::instruments().end() ? nullptr : &*found;
}

plan::Job job_measured(plan::HeightMeasured measured, plan::HeightFrom from) {
  plan::Job job;
  job.saddle.measured = measured;
  job.saddle.from = from;
  return job;
}

}  // namespace

TEST_CASE("every path stands once and is found by its name") {
  std::set<std::string_view> seen;
  for (const Key& key : plan::keys()) {
    CAPTURE(key.path);
    CHECK(seen.insert(key.path).second);
    CHECK(&plan::key_at(key.path) == &key);
  }
  CHECK(seen.size() > 80);
}

TEST_CASE("a path splits into its table and its name") {
  CHECK(plan::table_of("frame.blockage.depth") == "frame.blockage");
  CHECK(plan::name_of("frame.blockage.depth") == "depth");
  CHECK(plan::table_of("post.length") == "post");
  CHECK(plan::table_of("kind").empty());
  CHECK(plan::name_of("kind") == "kind");
}

TEST_CASE("the default word or flag of a key is what an untouched job has") {
  int checked = 0;
  for (const plan::Key& key : plan::keys()) {
    // A word that an untouched job does not have stands for one that nobody gave: that on cutting
    // depends on the kind of part, and of how a topper goes it is said where it was not given.
    plan::Job untouched;
    const auto* word = std::get_if<plan::ChoiceSlot>(&key.slot);
    if (!key.spec.fallback || (word != nullptr && !word->get(untouched))) {
      continue;
    }
    CAPTURE(key.path);
    plan::Job job;
    if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
      choice->set(job, static_cast<std::size_t>(*key.spec.fallback));
    } else if (const auto* flag = std::get_if<plan::FlagSlot>(&key.slot)) {
      (*flag)(job, 0) = *key.spec.fallback != 0.0;
    } else {
      continue;
    }
    CHECK(job == plan::Job{});
    ++checked;
  }
  CHECK(checked >= 8);
}

TEST_CASE("every default lies within its range") {
  int numbers = 0;
  int words = 0;
  for (const Key& key : plan::keys()) {
    CAPTURE(key.path);
    if (!key.spec.fallback) {
      continue;
    }
    if (const auto* choice = std::get_if<plan::ChoiceSlot>(&key.slot)) {
      CHECK(*key.spec.fallback >= 0);
      CHECK(*key.spec.fallback < static_cast<double>(choice->words.size()));
      ++words;
    } else if (std::holds_alternative<plan::FlagSlot>(key.slot)) {
      CHECK(*key.spec.fallback == 0.0);
    } else {
      REQUIRE(key.spec.range.has_value());
      CHECK(*key.spec.fallback >= key.spec.range->least);
      CHECK(*key.spec.fallback <= key.spec.range->most);
      ++numbers;
    }
  }
  CHECK(numbers >= 10);
  CHECK(words >= 6);
}

TEST_CASE("every range has an inside") {
  for (const Key& key : plan::keys()) {
    if (key.spec.range) {
      CAPTURE(key.path);
      CHECK(key.spec.range->least < key.spec.range->most);
    }
  }
}

TEST_CASE("every instrument that a key names exists and measures its dimension") {
  using enum plan::HeightMeasured;
  int named = 0;
  for (const auto measured : {along_tube, straight, to_rails, extension}) {
    const plan::Job job = job_measured(measured, plan::HeightFrom::bb);
    for (const Key& key : plan::keys()) {
      const auto name = key.instrument_for(job);
      if (name.empty()) {
        continue;
      }
      CAPTURE(key.path);
      const auto* const found = instrument(name);
      REQUIRE(found != nullptr);
      const auto wanted = std::holds_alternative<plan::AngleSlot>(key.slot)
                              ? measure::Dimension::angle
                              : measure::Dimension::length;
      CHECK(found->dimension == wanted);
      ++named;
    }
  }
  CHECK(named > 80);
}

TEST_CASE("heights have the range and the instrument of how they are measured") {
  using enum plan::HeightMeasured;
  using enum plan::HeightFrom;
  struct Row {
    plan::HeightMeasured measured;
    plan::HeightFrom from;
    double least, most;
    std::string_view instrument;
  };
  const Row rows[] = {
      {along_tube, bb, 300, 1100, "tape"},       {straight, bb, 300, 1100, "tape"},
      {to_rails, bb, 300, 1100, "tape"},         {along_tube, pedal_axle, 400, 1300, "tape"},
      {to_rails, pedal_axle, 400, 1300, "tape"}, {extension, bb, 20, 450, "steel rule"},
  };
  for (const Row& row : rows) {
    for (const auto* const path : {"saddle.height", "saddle.lowest", "saddle.highest"}) {
      CAPTURE(path);
      CAPTURE(row.least);
      const plan::Job job = job_measured(row.measured, row.from);
      const auto range = plan::key_at(path).range_for(job);
      REQUIRE(range.has_value());
      CHECK(range->least == row.least);
      CHECK(range->most == row.most);
      CHECK(plan::key_at(path).instrument_for(job) == row.instrument);
    }
  }
}

TEST_CASE("what is needed is needed always or by what else was given") {
  plan::Job job;
  CHECK(plan::key_at("post.length").is_needed(job));
  CHECK_FALSE(plan::key_at("post.setback").is_needed(job));
  job.saddle.measured = plan::HeightMeasured::extension;
  CHECK_FALSE(plan::key_at("saddle.rail_to_top").is_needed(job));
  for (const auto measured : {plan::HeightMeasured::along_tube, plan::HeightMeasured::straight}) {
    job.saddle.measured = measured;
    CHECK(plan::key_at("saddle.rail_to_top").is_needed(job));
  }
  const plan::Measured<plan::Length> wish{measure::millimetres(600), std::nullopt};
  for (auto* const end : {&job.bar.height, &job.bar.lowest, &job.bar.highest}) {
    CHECK_FALSE(plan::key_at("frame.stack").is_needed(job));
    *end = wish;
    CHECK(plan::key_at("frame.stack").is_needed(job));
    end->reset();
  }
}

TEST_CASE("no key of one kind belongs to the other") {
  CHECK(plan::key_at("post.length").belongs_to(plan::Kind::seatpost));
  CHECK_FALSE(plan::key_at("post.length").belongs_to(plan::Kind::steerer));
  CHECK(plan::key_at("stem.clamp").belongs_to(plan::Kind::steerer));
  CHECK_FALSE(plan::key_at("stem.clamp").belongs_to(plan::Kind::seatpost));
  CHECK(plan::key_at("saw.kerf").belongs_to(plan::Kind::seatpost));
  CHECK(plan::key_at("saw.kerf").belongs_to(plan::Kind::steerer));
}

TEST_CASE("a saddle that is not moved has one height and one reading and one doubt") {
  const plan::Job job = job_of(R"(kind = "seatpost"
saddle = { measured = "extension", height = 140, highest = 160 }
post = { length = 400, diameter = 27.2, mark = 100, material = "steel" }
)");
  CHECK(job.saddle.lowest == job.saddle.height);
  CHECK(job.saddle.highest != job.saddle.height);
  CHECK(job.readings[*job.saddle.lowest->reading].key == "saddle.height");
}

// By the part: what was read up to the end that comes off, and what was tried with the part whole.
TEST_CASE("what cannot be read any more once the part is cut") {
  const std::set<std::string_view> gone = {"post.length",
                                           "post.mark",
                                           "steerer.length",
                                           "handlebar.width",
                                           "handlebar.left",
                                           "handlebar.right",
                                           "handlebar.straight",
                                           "handlebar.to_mark",
                                           "mast.length",
                                           "mock_up.stands_proud",
                                           "mock_up.exposed_bottomed"};
  for (const Key& key : plan::keys()) {
    CAPTURE(key.path);
    CHECK(key.spec.gone_once_cut == gone.contains(key.path));
  }
}

// A stack by its parts and by mock-up, a width by its halves, a depth by probe and by mock-up, and
// after the cut the sum of the pieces: an odd one out shows by the other way.
TEST_CASE("what is checked by another way to the same length") {
  const std::set<std::string_view> twofold = {
      "frame.head_tube", "headset.lower",        "headset.upper",
      "steerer.length",  "mock_up.stands_proud", "mock_up.exposed_bottomed",
      "handlebar.width", "handlebar.left",       "handlebar.right",
      "as_cut.length",   "as_cut.gap",           "as_cut.offcut",
      "as_cut.width",    "as_cut.offcut_left",   "as_cut.offcut_right"};
  for (const Key& key : plan::keys()) {
    CAPTURE(key.path);
    CHECK(key.spec.has_second_way == twofold.contains(key.path));
  }
}

TEST_CASE("how it is measured is asked before what is measured") {
  const auto turn = [](std::string_view path) { return plan::key_at(path).spec.turn; };
  CHECK(turn("saddle.measured") < plan::Turn{plan::Stage::bike, 0});
  CHECK(turn("saddle.from") < plan::Turn{plan::Stage::bike, 0});
  // Whether the post goes in at all, before how far.
  CHECK(turn("frame.bore") < turn("post.shim"));
  CHECK(turn("post.shim") < plan::Turn{plan::Stage::tube, 0});
}
