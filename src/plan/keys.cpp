#include "kerfmark/plan/keys.hpp"

#include <algorithm>
#include <array>

namespace kerfmark::plan {
namespace {

using measure::Dimension;

// Half-widths cover the published error limit where there is one: tapes class II, Directive
// 2014/32/EU Annex X (0.5 mm to 1 m, 0.7 mm from a hook); steel rules, JIS B 7516 (0.20 mm to
// 1 m); calipers, DIN 862 (0.05 mm to 300 mm, + 0.02 mm for depths). The rest of each is the
// setting and reading of a part that is round, sloped or half hidden: common practice.
constexpr auto instrument_table = std::to_array<Instrument>({
    {"tape", Dimension::length, 1.0, "Directive 2014/32/EU Annex X, class II; common practice"},
    {steel_rule, Dimension::length, 0.5, "JIS B 7516:2005; common practice"},
    {"square and rule", Dimension::length, 1.0, "common practice"},
    {"depth probe", Dimension::length, 1.0, "common practice"},
    {"caliper", Dimension::length, 0.1, "DIN 862; common practice"},
    {"angle gauge", Dimension::angle, 0.5, "common practice"},
});

constexpr std::string_view tape = "tape";
constexpr std::string_view rule = steel_rule;
constexpr std::string_view square = "square and rule";
constexpr std::string_view probe = "depth probe";
constexpr std::string_view caliper = "caliper";
constexpr std::string_view gauge = "angle gauge";

constexpr Kinds every = Kinds::every();
constexpr Kinds post = Kind::seatpost;
constexpr Kinds steerer = Kind::steerer;
constexpr Kinds handlebar = Kind::handlebar;
constexpr Kinds mast = Kind::mast;

using Word = std::string_view;
constexpr auto part_words = std::to_array<Word>({"seatpost", "steerer", "handlebar", "mast"});
constexpr auto measured_words =
    std::to_array<Word>({"along tube", "straight", "to rails", "extension"});
constexpr auto from_words = std::to_array<Word>({"bb", "pedal axle"});
constexpr auto section_words = std::to_array<Word>({"round", "other"});
constexpr auto material_words = std::to_array<Word>({"carbon", "aluminium", "steel", "titanium"});
constexpr auto build_words = std::to_array<Word>({"rigid", "dropper", "suspension"});
constexpr auto cutting_words = std::to_array<Word>({"allowed", "forbidden", "not stated"});
constexpr auto goes_words = std::to_array<Word>({"over", "into"});
constexpr auto rising_words = std::to_array<Word>({"down", "up"});

// In cutting_words. Nobody supplies a post to be cut; forks are supplied for it.
constexpr double word_not_stated = 2.0;
constexpr double word_allowed = 0.0;

// The place of a member in a Job, as the slots want it.
template <auto Member>
constexpr auto& in(Job& job, std::size_t) {
  return job.*Member;
}
template <auto Group, auto Member>
constexpr auto& within(Job& job, std::size_t) {
  return job.*Group.*Member;
}
template <auto Member>
constexpr auto& blockage(Job& job, std::size_t row) {
  return job.frame.blockages.at(row).*Member;
}
template <auto Member>
constexpr auto& control(Job& job, std::size_t row) {
  return job.controls.at(row).*Member;
}
template <auto Member>
constexpr auto& scale(Job& job, std::size_t) {
  return job.post.scale.*Member;
}

template <class Member>
struct Underlying {
  using Enum = Member;
};
template <class Enum_>
struct Underlying<std::optional<Enum_>> {
  using Enum = Enum_;
};

template <class Enum>
std::optional<std::size_t> number_of(Enum word) {
  return static_cast<std::size_t>(word);
}
template <class Enum>
std::optional<std::size_t> number_of(std::optional<Enum> word) {
  return word ? number_of(*word) : std::nullopt;
}

template <auto Place>
constexpr ChoiceSlot one_of(std::span<const Word> words) {
  return {
      words,
      [](Job& job, std::size_t word) {
        auto& member = Place(job, 0);
        member =
            static_cast<typename Underlying<std::remove_reference_t<decltype(member)>>::Enum>(word);
      },
      [](Job& job) { return number_of(Place(job, 0)); }};
}

bool measured_on_frame(const Job& job) { return job.saddle.measured != HeightMeasured::extension; }

bool measured_to_saddle(const Job& job) {
  return job.saddle.measured == HeightMeasured::along_tube ||
         job.saddle.measured == HeightMeasured::straight;
}

bool from_pedal_axle(const Job& job) { return job.saddle.from == HeightFrom::pedal_axle; }

RangeAndInstrument saddle_range_and_instrument(const Job& job) {
  if (!measured_on_frame(job)) {
    return {{20, 450}, rule};
  }
  return {from_pedal_axle(job) ? Range{400, 1300} : Range{300, 1100}, tape};
}

bool length_needed(const Job& job) { return job.part.min_length.has_value(); }
bool right_given(const Job& job) { return job.handlebar.right.has_value(); }
bool left_given(const Job& job) { return job.handlebar.left.has_value(); }
bool right_offcut_given(const Job& job) { return job.as_cut.offcut_right.has_value(); }
bool left_offcut_given(const Job& job) { return job.as_cut.offcut.has_value(); }
bool bar_wished(const Job& job) { return job.bar.height || job.bar.lowest || job.bar.highest; }
bool no_bar_height(const Job& job) { return !job.bar.height; }

constexpr std::string_view because_bar = "bar_height";
constexpr Range any_rings{0, 200};
constexpr Range any_bar{300, 1300};

constexpr KeySpec text{.longest = 200};
constexpr KeySpec usual_text{.longest = 200, .asked = Asked::usually};
constexpr Range any_cut{0, 450};
constexpr Range any_part{50, 700};
constexpr Range any_insertion{0, 300};
constexpr Range any_mass{10, 300};
constexpr Range any_system{10, 500};
constexpr Range any_diameter{20, 60};
constexpr Range any_width{300, 1000};
constexpr Range any_half{100, 550};
constexpr Range any_straight{30, 400};
constexpr Range any_mast{20, 400};

Range range_of_what_is_left(Kind kind) { return kind == Kind::mast ? any_mast : any_part; }

// Ranges: what a bicycle can have (common practice). Defaults that are limits of the trade have
// their origin in rules.cpp.
constexpr auto key_table = std::to_array<Key>({
    {"kind",
     R"("seatpost")",
     every,
     one_of<in<&Job::kind>>(part_words),
     {.needed = Needed::always}},

    {"job.number", R"("2031")", every, within<&Job::paperwork, &Paperwork::number>, usual_text},
    {"job.bike", R"("grey gravel bike, size 54")", every, within<&Job::paperwork, &Paperwork::bike>,
     usual_text},
    {"job.owner", R"("A. Rider")", every, within<&Job::paperwork, &Paperwork::owner>, usual_text},
    {"job.by", R"("mechanic 1")", every, within<&Job::paperwork, &Paperwork::by>, text},
    {"job.checked_by", R"("mechanic 2")", every, within<&Job::paperwork, &Paperwork::checked_by>,
     text},
    {"job.date", "2026-05-01", every, within<&Job::paperwork, &Paperwork::date>, text},
    {"job.notes",
     R"("saddle stays as it is")",
     every,
     within<&Job::paperwork, &Paperwork::notes>,
     {.longest = 2000}},

    {"saddle.height",
     "607",
     post | mast,
     within<&Job::saddle, &Saddle::height>,
     {.needed = Needed::always,
      .range_and_instrument = saddle_range_and_instrument,
      .extension_example = "140"}},
    {"saddle.lowest",
     "602",
     post | mast,
     within<&Job::saddle, &Saddle::lowest>,
     {.range_and_instrument = saddle_range_and_instrument,
      .asked = Asked::usually,
      .extension_example = "135"}},
    {"saddle.highest",
     "612",
     post | mast,
     within<&Job::saddle, &Saddle::highest>,
     {.range_and_instrument = saddle_range_and_instrument,
      .asked = Asked::usually,
      .extension_example = "145"}},
    {"saddle.measured",
     R"("along tube")",
     post | mast,
     one_of<within<&Job::saddle, &Saddle::measured>>(measured_words),
     {.fallback = 0, .turn = Turn{Stage::bike, -1}, .asked = Asked::of_everyone}},
    {"saddle.from",
     R"("bb")",
     post | mast,
     one_of<within<&Job::saddle, &Saddle::from>>(from_words),
     {.fallback = 0, .turn = Turn{Stage::bike, -1}}},
    {"saddle.crank",
     "172.5",
     post | mast,
     within<&Job::saddle, &Saddle::crank>,
     {.needed = Needed::by_choice,
      .range = Range{90, 220},
      .needed_when = from_pedal_axle,
      .needed_because = "from_pedal_axle"}},
    {"saddle.rail_to_top",
     "45",
     post | mast,
     within<&Job::saddle, &Saddle::rail_to_top>,
     {.needed = Needed::by_choice,
      .range = Range{20, 120},
      .instrument = square,
      .needed_when = measured_to_saddle,
      .needed_because = "measured_to_saddle"}},
    {"saddle.near",
     "2",
     mast,
     within<&Job::saddle, &Saddle::near>,
     {.range = Range{0, 20}, .fallback = 2}},

    {"frame.seat_tube",
     "420",
     post | mast,
     within<&Job::frame, &Frame::seat_tube>,
     {.needed = Needed::by_choice,
      .range = Range{150, 800},
      .instrument = tape,
      .needed_when = measured_on_frame,
      .needed_because = "measured_on_frame"}},
    {"frame.seat_angle",
     "73",
     post | mast,
     within<&Job::frame, &Frame::seat_angle>,
     {.needed = Needed::by_choice,
      .range = Range{50, 90},
      .instrument = gauge,
      .needed_when = measured_to_saddle,
      .needed_because = "measured_to_saddle"}},
    {"frame.axis_offset",
     "0",
     post | mast,
     within<&Job::frame, &Frame::axis_offset>,
     {.range = Range{-150, 150}, .fallback = 0, .instrument = square}},
    {"frame.bore",
     "27.2",
     post,
     within<&Job::frame, &Frame::bore>,
     {.range = any_diameter, .turn = Turn{Stage::tube, -2}, .asked = Asked::usually}},
    {"frame.min_insertion",
     "80",
     post,
     within<&Job::frame, &Frame::min_insertion>,
     {.range = any_insertion, .turn = Turn{Stage::maker, 7}, .asked = Asked::usually}},
    {"frame.junction",
     "45",
     post,
     within<&Job::frame, &Frame::junction>,
     {.range = Range{0, 250}, .instrument = rule, .turn = Turn{Stage::tube, 0}}},
    {"frame.clamp_below",
     "0",
     post,
     within<&Job::frame, &Frame::clamp_below>,
     {.range = Range{0, 150},
      .fallback = 0,
      .instrument = probe,
      .turn = Turn{Stage::tube, 0},
      .asked = Asked::usually}},
    {"frame.head_tube",
     "150",
     steerer,
     within<&Job::frame, &Frame::head_tube>,
     {.range = Range{60, 350},
      .instrument = rule,
      .has_second_way = true,
      .turn = Turn{Stage::bench, 0},
      .asked = Asked::on_the_way}},
    {"frame.head_angle",
     "73",
     steerer,
     within<&Job::frame, &Frame::head_angle>,
     {.needed = Needed::by_choice,
      .range = Range{50, 90},
      .instrument = gauge,
      .needed_when = bar_wished,
      .needed_because = because_bar}},
    {"frame.stack",
     "550",
     steerer,
     within<&Job::frame, &Frame::stack>,
     {.needed = Needed::by_choice,
      .range = Range{300, 900},
      .instrument = tape,
      .needed_when = bar_wished,
      .needed_because = because_bar}},
    {"frame.reach",
     "390",
     steerer,
     within<&Job::frame, &Frame::reach>,
     {.range = Range{200, 700}, .instrument = tape}},
    {"frame.max_rider",
     "110",
     every,
     within<&Job::frame, &Frame::max_rider>,
     {.range = any_mass, .turn = Turn{Stage::maker, 10}, .asked = Asked::usually}},
    {"frame.max_system",
     "130",
     every,
     within<&Job::frame, &Frame::max_system>,
     {.range = any_system, .turn = Turn{Stage::maker, 11}}},

    {"frame.blockage.what",
     R"("lip")",
     post,
     blockage<&Blockage::what>,
     {.longest = 80, .asked = Asked::usually}},
    {"frame.blockage.depth",
     "225",
     post,
     blockage<&Blockage::depth>,
     {.needed = Needed::in_its_table,
      .range = Range{20, 700},
      .instrument = probe,
      .asked = Asked::of_everyone}},
    {"frame.blockage.clearance",
     "2",
     post,
     blockage<&Blockage::clearance>,
     {.range = Range{0, 100}, .fallback = 2}},

    {"post.length",
     "400",
     post,
     within<&Job::post, &Post::length>,
     {.needed = Needed::always, .range = any_part, .instrument = rule, .gone_once_cut = true}},
    {"post.mark",
     "100",
     post,
     within<&Job::post, &Post::mark>,
     {.needed = Needed::always,
      .range = Range{20, 300},
      .instrument = rule,
      .unknown = within<&Job::post, &Post::mark_unknown>,
      .gone_once_cut = true}},
    {"post.diameter",
     "27.2",
     post,
     within<&Job::post, &Post::diameter>,
     {.needed = Needed::always, .range = any_diameter}},
    {"post.material",
     R"("aluminium")",
     post,
     one_of<within<&Job::part, &Part::material>>(material_words),
     {.needed = Needed::always, .turn = Turn{Stage::maker, 1}}},
    {"post.cutting",
     R"("not stated")",
     post,
     one_of<within<&Job::part, &Part::cutting>>(cutting_words),
     {.fallback = word_not_stated, .turn = Turn{Stage::maker, 3}, .asked = Asked::of_everyone}},
    {"post.section",
     R"("round")",
     post,
     one_of<within<&Job::post, &Post::section>>(section_words),
     {.fallback = 0}},
    {"post.build",
     R"("rigid")",
     post,
     one_of<within<&Job::post, &Post::build>>(build_words),
     {.fallback = 0, .turn = Turn{Stage::maker, 2}}},
    {"post.setback",
     "0",
     post,
     within<&Job::post, &Post::setback>,
     {.range = Range{-60, 60}, .fallback = 0, .instrument = rule, .turn = Turn{Stage::bike, 0}}},
    {"post.head",
     "0",
     post,
     within<&Job::post, &Post::head>,
     {.range = Range{0, 150}, .fallback = 0, .instrument = rule}},
    {"post.hang",
     "0",
     post,
     within<&Job::post, &Post::hang>,
     {.range = Range{0, 200}, .fallback = 0, .instrument = rule, .asked = Asked::usually}},
    {"post.min_insertion",
     "100",
     post,
     within<&Job::post, &Post::min_insertion>,
     {.range = any_insertion, .turn = Turn{Stage::maker, 6}, .asked = Asked::usually}},
    {"post.max_cut",
     "60",
     post,
     within<&Job::part, &Part::max_cut>,
     {.range = any_cut, .turn = Turn{Stage::maker, 4}, .asked = Asked::usually}},
    {"post.min_length",
     "250",
     post,
     within<&Job::part, &Part::min_length>,
     {.range = any_part, .turn = Turn{Stage::maker, 5}}},
    {"post.max_rider",
     "100",
     post,
     within<&Job::part, &Part::max_rider>,
     {.range = any_mass, .turn = Turn{Stage::maker, 8}, .asked = Asked::usually}},
    {"post.max_system",
     "130",
     post,
     within<&Job::part, &Part::max_system>,
     {.range = any_system, .turn = Turn{Stage::maker, 9}}},
    {"post.grip",
     "[60, 390]",
     post,
     within<&Job::post, &Post::grip>,
     {.range = Range{0, 700}, .turn = Turn{Stage::maker, 13}}},
    {"post.shim",
     "false",
     post,
     within<&Job::post, &Post::shim>,
     {.fallback = 0, .turn = Turn{Stage::tube, -1}}},
    {"post.scale.zero_at",
     "100",
     post,
     scale<&Scale::zero_at>,
     {.needed = Needed::in_its_table, .range = Range{0, 600}, .instrument = rule}},
    {"post.scale.per_unit",
     "10",
     post,
     scale<&Scale::per_unit>,
     {.range = Range{0.5, 50}, .fallback = 10}},
    {"post.scale.rising",
     R"("down")",
     post,
     one_of<scale<&Scale::rising>>(rising_words),
     {.fallback = 0}},

    {"steerer.length",
     "300",
     steerer,
     within<&Job::steerer, &Steerer::length>,
     {.needed = Needed::by_choice,
      .range = Range{50, 500},
      .instrument = rule,
      .needed_when = length_needed,
      .needed_because = "min_length",
      .gone_once_cut = true,
      .has_second_way = true,
      .asked = Asked::on_the_way}},
    {"steerer.material",
     R"("carbon")",
     steerer,
     one_of<within<&Job::part, &Part::material>>(material_words),
     {.needed = Needed::always, .turn = Turn{Stage::maker, 1}}},
    {"steerer.cutting",
     R"("allowed")",
     steerer,
     one_of<within<&Job::part, &Part::cutting>>(cutting_words),
     {.fallback = word_allowed, .turn = Turn{Stage::maker, 3}}},
    {"steerer.diameter",
     "28.6",
     steerer,
     within<&Job::steerer, &Steerer::diameter>,
     {.range = any_diameter}},
    {"steerer.max_cut",
     "100",
     steerer,
     within<&Job::part, &Part::max_cut>,
     {.range = any_cut, .turn = Turn{Stage::maker, 4}}},
    {"steerer.min_length",
     "160",
     steerer,
     within<&Job::part, &Part::min_length>,
     {.range = Range{50, 500}, .turn = Turn{Stage::maker, 5}}},
    {"steerer.max_rider",
     "100",
     steerer,
     within<&Job::part, &Part::max_rider>,
     {.range = any_mass, .turn = Turn{Stage::maker, 8}, .asked = Asked::usually}},
    {"steerer.max_system",
     "130",
     steerer,
     within<&Job::part, &Part::max_system>,
     {.range = any_system, .turn = Turn{Stage::maker, 9}}},
    {"steerer.threaded",
     "false",
     steerer,
     within<&Job::steerer, &Steerer::threaded>,
     {.fallback = 0, .turn = Turn{Stage::maker, 2}}},

    {"handlebar.width",
     "780",
     handlebar,
     within<&Job::handlebar, &Handlebar::width>,
     {.needed = Needed::always,
      .range = any_width,
      .instrument = tape,
      .gone_once_cut = true,
      .has_second_way = true}},
    {"handlebar.left",
     "390",
     handlebar,
     within<&Job::handlebar, &Handlebar::left>,
     {.needed = Needed::by_choice,
      .range = any_half,
      .instrument = rule,
      .needed_when = right_given,
      .needed_because = "right",
      .gone_once_cut = true,
      .has_second_way = true,
      .asked = Asked::usually}},
    {"handlebar.right",
     "390",
     handlebar,
     within<&Job::handlebar, &Handlebar::right>,
     {.needed = Needed::by_choice,
      .range = any_half,
      .instrument = rule,
      .needed_when = left_given,
      .needed_because = "left",
      .gone_once_cut = true,
      .has_second_way = true,
      .asked = Asked::usually}},
    {"handlebar.wanted",
     "740",
     handlebar,
     within<&Job::handlebar, &Handlebar::wanted>,
     {.needed = Needed::always, .range = any_width}},
    {"handlebar.narrowest",
     "735",
     handlebar,
     within<&Job::handlebar, &Handlebar::narrowest>,
     {.range = any_width}},
    {"handlebar.widest",
     "745",
     handlebar,
     within<&Job::handlebar, &Handlebar::widest>,
     {.range = any_width}},
    {"handlebar.straight",
     "185",
     handlebar,
     within<&Job::handlebar, &Handlebar::straight>,
     {.range = any_straight,
      .instrument = rule,
      .gone_once_cut = true,
      .turn = Turn{Stage::bench, 0},
      .asked = Asked::of_everyone}},
    {"handlebar.grip_zone",
     "180",
     handlebar,
     within<&Job::handlebar, &Handlebar::grip_zone>,
     {.range = any_straight, .turn = Turn{Stage::maker, 6}, .asked = Asked::usually}},
    {"handlebar.to_mark",
     "40",
     handlebar,
     within<&Job::handlebar, &Handlebar::to_mark>,
     {.range = Range{0, 150},
      .instrument = rule,
      .gone_once_cut = true,
      .turn = Turn{Stage::bench, 0},
      .asked = Asked::usually}},
    {"handlebar.air",
     "5",
     handlebar,
     within<&Job::handlebar, &Handlebar::air>,
     {.range = Range{0, 50}, .fallback = 0, .turn = Turn{Stage::bench, 0}}},
    {"handlebar.material",
     R"("aluminium")",
     handlebar,
     one_of<within<&Job::part, &Part::material>>(material_words),
     {.needed = Needed::always, .turn = Turn{Stage::maker, 1}}},
    {"handlebar.cutting",
     R"("not stated")",
     handlebar,
     one_of<within<&Job::part, &Part::cutting>>(cutting_words),
     {.fallback = word_not_stated, .turn = Turn{Stage::maker, 3}, .asked = Asked::of_everyone}},
    {"handlebar.diameter",
     "22.2",
     handlebar,
     within<&Job::handlebar, &Handlebar::diameter>,
     {.range = any_diameter, .turn = Turn{Stage::bench, 0}, .asked = Asked::usually}},
    {"handlebar.min_width",
     "700",
     handlebar,
     within<&Job::handlebar, &Handlebar::min_width>,
     {.range = any_width, .turn = Turn{Stage::maker, 5}, .asked = Asked::usually}},
    {"handlebar.max_cut",
     "40",
     handlebar,
     within<&Job::part, &Part::max_cut>,
     {.range = any_cut, .turn = Turn{Stage::maker, 4}}},
    {"handlebar.max_rider",
     "110",
     handlebar,
     within<&Job::part, &Part::max_rider>,
     {.range = any_mass, .turn = Turn{Stage::maker, 8}, .asked = Asked::usually}},
    {"handlebar.max_system",
     "140",
     handlebar,
     within<&Job::part, &Part::max_system>,
     {.range = any_system, .turn = Turn{Stage::maker, 9}}},

    {"controls.what",
     R"("brake lever")",
     handlebar,
     control<&Control::what>,
     {.longest = 80, .asked = Asked::usually}},
    {"controls.width",
     "35",
     handlebar,
     control<&Control::width>,
     {.needed = Needed::in_its_table,
      .range = Range{1, 200},
      .instrument = caliper,
      .asked = Asked::of_everyone}},

    {"mast.length",
     "182",
     mast,
     within<&Job::mast, &Mast::length>,
     {.needed = Needed::always, .range = any_mast, .instrument = rule, .gone_once_cut = true}},
    {"mast.keep",
     "60",
     mast,
     within<&Job::mast, &Mast::keep>,
     {.range = Range{0, 400}, .instrument = rule, .asked = Asked::usually}},
    {"mast.material",
     R"("carbon")",
     mast,
     one_of<within<&Job::part, &Part::material>>(material_words),
     {.needed = Needed::always, .turn = Turn{Stage::maker, 1}}},
    {"mast.cutting",
     R"("not stated")",
     mast,
     one_of<within<&Job::part, &Part::cutting>>(cutting_words),
     {.fallback = word_not_stated, .turn = Turn{Stage::maker, 3}, .asked = Asked::of_everyone}},
    {"mast.section",
     R"("round")",
     mast,
     one_of<within<&Job::mast, &Mast::section>>(section_words),
     {.fallback = 0, .asked = Asked::usually}},
    {"mast.diameter",
     "34.9",
     mast,
     within<&Job::mast, &Mast::diameter>,
     {.range = any_diameter, .asked = Asked::usually}},
    {"mast.max_cut",
     "60",
     mast,
     within<&Job::part, &Part::max_cut>,
     {.range = any_cut, .turn = Turn{Stage::maker, 4}, .asked = Asked::usually}},
    {"mast.min_length",
     "120",
     mast,
     within<&Job::part, &Part::min_length>,
     {.range = any_mast, .turn = Turn{Stage::maker, 5}, .asked = Asked::usually}},
    {"mast.max_rider",
     "110",
     mast,
     within<&Job::part, &Part::max_rider>,
     {.range = any_mass, .turn = Turn{Stage::maker, 8}, .asked = Asked::usually}},
    {"mast.max_system",
     "140",
     mast,
     within<&Job::part, &Part::max_system>,
     {.range = any_system, .turn = Turn{Stage::maker, 9}}},

    {"topper.rise",
     "32.5",
     mast,
     within<&Job::topper, &Topper::rise>,
     {.needed = Needed::always, .range = Range{10, 150}, .instrument = caliper}},
    {"topper.spacers_most",
     "20",
     mast,
     within<&Job::topper, &Topper::spacers_most>,
     {.range = Range{0, 120}, .turn = Turn{Stage::maker, 6}, .asked = Asked::of_everyone}},
    {"topper.goes",
     R"("over")",
     mast,
     one_of<within<&Job::topper, &Topper::goes>>(goes_words),
     {.fallback = 0, .asked = Asked::of_everyone}},
    {"topper.grip",
     "80",
     mast,
     within<&Job::topper, &Topper::grip>,
     {.range = Range{10, 250}, .instrument = caliper, .asked = Asked::on_the_way}},
    {"topper.min_grip",
     "60",
     mast,
     within<&Job::topper, &Topper::min_grip>,
     {.range = Range{0, 250}, .turn = Turn{Stage::maker, 7}, .asked = Asked::on_the_way}},
    {"topper.setback",
     "0",
     mast,
     within<&Job::topper, &Topper::setback>,
     {.range = Range{-60, 60}, .fallback = 0, .instrument = rule, .turn = Turn{Stage::bike, 0}}},

    {"headset.lower",
     "0",
     steerer,
     within<&Job::headset, &Headset::lower>,
     {.range = Range{-20, 50},
      .instrument = caliper,
      .has_second_way = true,
      .asked = Asked::usually}},
    {"headset.upper",
     "12",
     steerer,
     within<&Job::headset, &Headset::upper>,
     {.needed = Needed::by_choice,
      .range = Range{0, 80},
      .instrument = caliper,
      .needed_when = bar_wished,
      .needed_because = because_bar,
      .has_second_way = true,
      .asked = Asked::usually}},

    {"stem.clamp",
     "40",
     steerer,
     within<&Job::stem, &Stem::clamp>,
     {.needed = Needed::always, .range = Range{20, 90}, .instrument = caliper}},
    {"stem.length",
     "100",
     steerer,
     within<&Job::stem, &Stem::length>,
     {.needed = Needed::by_choice,
      .range = Range{0, 200},
      .instrument = rule,
      .needed_when = bar_wished,
      .needed_because = because_bar}},
    {"stem.angle",
     "-6",
     steerer,
     within<&Job::stem, &Stem::angle>,
     {.needed = Needed::by_choice,
      .range = Range{-60, 60},
      .instrument = gauge,
      .needed_when = bar_wished,
      .needed_because = because_bar}},
    {"stem.recess_max",
     "3",
     steerer,
     within<&Job::stem, &Stem::recess_max>,
     {.range = Range{0, 20}, .turn = Turn{Stage::maker, 13}}},

    {"spacers.below",
     "[10, 10, 5]",
     steerer,
     within<&Job::spacers, &Spacers::below>,
     {.needed = Needed::by_choice,
      .range = any_rings,
      .instrument = caliper,
      .needed_when = no_bar_height,
      .needed_because = "no_bar_height"}},
    {"spacers.lowest",
     "[5]",
     steerer,
     within<&Job::spacers, &Spacers::lowest>,
     {.range = any_rings, .instrument = caliper, .asked = Asked::usually}},
    {"spacers.highest",
     "[10, 10, 5]",
     steerer,
     within<&Job::spacers, &Spacers::highest>,
     {.range = any_rings, .instrument = caliper}},
    {"spacers.above",
     "0",
     steerer,
     within<&Job::spacers, &Spacers::above>,
     {.range = any_rings, .fallback = 0, .instrument = caliper, .asked = Asked::of_everyone}},
    {"spacers.on_hand",
     "[10, 10, 5, 5]",
     steerer,
     within<&Job::spacers, &Spacers::on_hand>,
     {.needed = Needed::by_choice,
      .range = Range{0.5, 60},
      .needed_when = bar_wished,
      .needed_because = because_bar}},
    {"spacers.max_below",
     "30",
     steerer,
     within<&Job::spacers, &Spacers::max_below>,
     {.range = any_rings, .turn = Turn{Stage::maker, 13}}},
    {"spacers.min_above",
     "5",
     steerer,
     within<&Job::spacers, &Spacers::min_above>,
     {.range = any_rings, .turn = Turn{Stage::maker, 13}}},
    {"spacers.max_above",
     "20",
     steerer,
     within<&Job::spacers, &Spacers::max_above>,
     {.range = any_rings, .turn = Turn{Stage::maker, 13}}},

    {"cap.gap", "3", steerer, within<&Job::cap, &Cap::gap>, {.range = Range{0, 10}, .fallback = 3}},
    {"cap.gap_min", "2", steerer, within<&Job::cap, &Cap::gap_min>, {.range = Range{0, 10}}},
    {"cap.gap_max", "5", steerer, within<&Job::cap, &Cap::gap_max>, {.range = Range{0, 20}}},

    {"expander.from",
     "0",
     steerer,
     within<&Job::expander, &Expander::from>,
     {.range = Range{0, 50}, .fallback = 0}},
    {"expander.to",
     "50",
     steerer,
     within<&Job::expander, &Expander::to>,
     {.range = Range{10, 150}, .asked = Asked::on_the_way}},
    {"expander.flange",
     "0",
     steerer,
     within<&Job::expander, &Expander::flange>,
     {.range = Range{0, 10}, .fallback = 0, .instrument = caliper, .asked = Asked::of_everyone}},

    {"bar.height", "620", steerer, within<&Job::bar, &Bar::height>, {.range = any_bar}},
    {"bar.lowest", "610", steerer, within<&Job::bar, &Bar::lowest>, {.range = any_bar}},
    {"bar.highest", "630", steerer, within<&Job::bar, &Bar::highest>, {.range = any_bar}},

    {"mock_up.stands_proud",
     "68",
     steerer,
     within<&Job::mock_up, &MockUp::stands_proud>,
     {.needed = Needed::in_its_table,
      .range = Range{-60, 300},
      .instrument = rule,
      .gone_once_cut = true,
      .has_second_way = true,
      .asked = Asked::of_everyone}},
    {"mock_up.exposed_bottomed",
     "175",
     post,
     within<&Job::mock_up, &MockUp::exposed_bottomed>,
     {.needed = Needed::in_its_table,
      .range = Range{0, 600},
      .instrument = rule,
      .gone_once_cut = true,
      .has_second_way = true,
      .asked = Asked::on_the_way}},
    {"mock_up.hang_fitted",
     "false",
     post,
     within<&Job::mock_up, &MockUp::hang_fitted>,
     {.fallback = 0}},

    {"stock.lengths", "[350, 300]", post, in<&Job::stock_lengths>, {.range = any_part}},

    {"rider.mass", "75", every, in<&Job::rider_mass>, {.range = any_mass, .asked = Asked::usually}},
    {"rider.system_mass", "90", every, in<&Job::system_mass>, {.range = any_system}},

    {"saw.kerf",
     "1",
     every,
     within<&Job::saw, &Saw::kerf>,
     {.range = Range{0, 5}, .fallback = 1.0}},
    {"saw.within",
     "0.5",
     every,
     within<&Job::saw, &Saw::within>,
     {.range = Range{0, 5}, .fallback = 0.5}},
    {"saw.step",
     "1",
     every,
     within<&Job::saw, &Saw::step>,
     {.range = Range{0.1, 10}, .fallback = 1.0}},
    {"saw.wanted", "40", every, within<&Job::saw, &Saw::wanted>, {.range = any_cut}},

    {"measuring.coverage",
     "2",
     every,
     within<&Job::measuring, &Measuring::coverage>,
     {.range = Range{1, 4}, .fallback = 2}},
    {"measuring.twice",
     "false",
     every,
     within<&Job::measuring, &Measuring::twice>,
     {.fallback = 0}},
    {"measuring.instruments", R"({ tape = 2, "my laser" = 0.3, "my gauge" = "0.2 deg" })", every,
     InstrumentsSlot{}},

    {"as_cut.length",
     "229",
     post | steerer | mast,
     within<&Job::as_cut, &AsCut::length>,
     {.needed = Needed::one_of_table,
      .instrument = rule,
      .range_of_kind = range_of_what_is_left,
      .has_second_way = true}},
    {"as_cut.gap",
     "3",
     steerer,
     within<&Job::as_cut, &AsCut::gap>,
     {.needed = Needed::one_of_table,
      .range = Range{-20, 60},
      .instrument = rule,
      .has_second_way = true}},
    {"as_cut.offcut",
     "70",
     post | steerer | mast,
     within<&Job::as_cut, &AsCut::offcut>,
     {.range = any_cut, .instrument = rule, .has_second_way = true}},
    {"as_cut.width",
     "740",
     handlebar,
     within<&Job::as_cut, &AsCut::length>,
     {.needed = Needed::in_its_table,
      .range = any_width,
      .instrument = tape,
      .has_second_way = true}},
    {"as_cut.offcut_left",
     "19",
     handlebar,
     within<&Job::as_cut, &AsCut::offcut>,
     {.needed = Needed::by_choice,
      .range = any_cut,
      .instrument = rule,
      .needed_when = right_offcut_given,
      .needed_because = "offcut_right",
      .has_second_way = true}},
    {"as_cut.offcut_right",
     "19",
     handlebar,
     within<&Job::as_cut, &AsCut::offcut_right>,
     {.needed = Needed::by_choice,
      .range = any_cut,
      .instrument = rule,
      .needed_when = left_offcut_given,
      .needed_because = "offcut_left",
      .has_second_way = true}},
    {"as_cut.kerf", "1", every, within<&Job::as_cut, &AsCut::kerf>, {.range = Range{0, 5}}},
    {"as_cut.by", R"("mechanic 1")", every, within<&Job::as_cut, &AsCut::by>, text},
    {"as_cut.checked_by", R"("mechanic 2")", every, within<&Job::as_cut, &AsCut::checked_by>, text},
    {"as_cut.date", "2026-05-02", every, within<&Job::as_cut, &AsCut::date>, text},
});

constexpr auto table_rows = std::to_array<KeyTable>({
    {"saddle", {Stage::bike}},      {"frame.blockage", {Stage::tube}},
    {"handlebar", {Stage::bike}},   {"controls", {Stage::bench}},
    {"mast", {Stage::bench}},       {"topper", {Stage::bench}},
    {"post", {Stage::bench}},       {"mock_up", {Stage::mock_up}},
    {"spacers", {Stage::bench, 1}}, {"stem", {Stage::bench, 2}},
    {"steerer", {Stage::bench, 4}}, {"frame", {Stage::bike}},
    {"headset", {Stage::bench}},    {"expander", {Stage::bench, 3}},
    {"cap", {Stage::maker, 13}},    {"bar", {Stage::bike}},
    {"stock", {Stage::shop}},       {"rider", {Stage::maker, 12}},
    {"job", {Stage::job}},          {"saw", {Stage::shop}},
    {"measuring", {Stage::shop}},   {"as_cut", {Stage::after}},
});

constexpr auto lists = std::to_array<ListTable>({
    {"frame.blockage", most_blockages, 2, [](const Job& job) { return job.frame.blockages.size(); },
     [](Job& job, std::size_t size) { job.frame.blockages.resize(size); }},
    {"controls", most_controls, 4, [](const Job& job) { return job.controls.size(); },
     [](Job& job, std::size_t size) { job.controls.resize(size); }},
});

template <class Q>
void fill(Maybe<Q>& slot, double fallback) {
  if (!slot) {
    slot = Measured<Q>{Q::from_base(fallback), std::nullopt};
  }
}

void fill_fallback(Job& job, const Key& key, std::size_t row) {
  const double fallback = *key.spec.fallback;
  if (const auto* rings = std::get_if<RingsSlot>(&key.slot)) {
    Rings& slot = (*rings)(job, row);
    const Measured<Length> ring{measure::millimetres(fallback), std::nullopt};
    slot = slot ? slot : Rings{{ring}};
    return;
  }
  if (const auto* at = std::get_if<LengthSlot>(&key.slot)) {
    fill((*at)(job, row), fallback);
  } else if (const auto* number = std::get_if<NumberSlot>(&key.slot)) {
    double& value = (*number)(job, row);
    value = value == 0.0 ? fallback : value;
  }
}

// What would do as well as the width that is wanted: five millimetres either way, which no hand
// feels (common practice).
void fill_wishes(Handlebar& bar) {
  constexpr double either_way_mm = 5.0;
  if (bar.wanted) {
    fill(bar.narrowest, bar.wanted->nominal.in_mm() - either_way_mm);
    fill(bar.widest, bar.wanted->nominal.in_mm() + either_way_mm);
  }
}

}  // namespace

measure::Reading Job::reserved_row(const char* key) {
  measure::Reading row;
  row.key = key;
  row.values_base = {0.0};
  return row;
}

std::span<const Instrument> instruments() { return instrument_table; }

const Instrument* instrument_named(std::string_view name) {
  const auto found = std::ranges::find(instrument_table, name, &Instrument::name);
  return found == instrument_table.end() ? nullptr : &*found;
}

std::vector<std::string_view> instruments_for(measure::Dimension dimension) {
  std::vector<std::string_view> names;
  for (const Instrument& instrument : instrument_table) {
    if (instrument.dimension == dimension) {
      names.push_back(instrument.name);
    }
  }
  return names;
}

std::span<const Key> keys() { return key_table; }

const Key& key_at(std::string_view path) {
  const auto found = std::ranges::find(key_table, path, &Key::path);
  require(found != key_table.end(), "a key was asked for that is not in the table");
  return *found;
}

std::span<const std::string_view> kind_words() { return part_words; }

std::string_view word(Kind kind) { return part_words[static_cast<std::size_t>(kind)]; }

std::span<const KeyTable> key_tables() { return table_rows; }

Turn turn_of(std::string_view path) {
  const auto key = std::ranges::find(key_table, path, &Key::path);
  if (key != key_table.end() && key->spec.turn) {
    return *key->spec.turn;
  }
  // A table within a table, [post.scale], has the turn of that one.
  for (std::string_view table = table_of(path); !table.empty(); table = table_of(table)) {
    const auto row = std::ranges::find(table_rows, table, &KeyTable::path);
    if (row != table_rows.end()) {
      return row->turn;
    }
  }
  return {};
}

std::span<const ListTable> list_tables() { return lists; }

const ListTable* list_table(std::string_view path) {
  const auto found = std::ranges::find(list_tables(), path, &ListTable::path);
  return found == list_tables().end() ? nullptr : &*found;
}

std::size_t rows_of(const Key& key, const Job& job) {
  const ListTable* list = list_table(table_of(key.path));
  return list != nullptr ? list->size(job) : 1;
}

std::string words_of(Kinds kinds) {
  std::string list;
  for (std::size_t i = 0; i < number_of_kinds; ++i) {
    if (kinds.has(static_cast<Kind>(i))) {
      list += (list.empty() ? "" : ", ") + std::string(part_words.at(i));
    }
  }
  return list;
}

std::string_view table_of_part(Kind kind) { return part_tables.at(static_cast<std::size_t>(kind)); }

const Key& key_of_part(Kind kind, std::string_view name) {
  const auto found = std::ranges::find_if(key_table, [&](const Key& key) {
    return name_of(key.path) == name && table_of(key.path) == table_of_part(kind);
  });
  require(found != key_table.end(), "a part was asked for a key that it does not have");
  return *found;
}

std::string_view table_of(std::string_view path) {
  const auto dot = path.rfind('.');
  return dot == std::string_view::npos ? std::string_view{} : path.substr(0, dot);
}

std::string_view name_of(std::string_view path) { return path.substr(path.rfind('.') + 1); }

bool Key::belongs_to(Kind kind) const { return kinds.has(kind); }

std::optional<Range> Key::range_for(const Job& job) const {
  if (spec.range_of_kind != nullptr) {
    return spec.range_of_kind(job.kind);
  }
  return spec.range_and_instrument != nullptr ? spec.range_and_instrument(job).range : spec.range;
}

std::string_view Key::instrument_for(const Job& job) const {
  return spec.range_and_instrument != nullptr ? spec.range_and_instrument(job).instrument
                                              : spec.instrument;
}

bool Key::is_needed(const Job& job) const {
  return spec.needed == Needed::always ||
         (spec.needed == Needed::by_choice && spec.needed_when(job));
}

void fill_defaults(Job& job, Length rule_half_width) {
  for (const Key& key : key_table) {
    if (!key.spec.fallback || !key.belongs_to(job.kind)) {
      continue;
    }
    for (std::size_t row = 0; row < rows_of(key, job); ++row) {
      fill_fallback(job, key, row);
    }
  }
  fill_wishes(job.handlebar);
  job.saddle.lowest = job.saddle.lowest ? job.saddle.lowest : job.saddle.height;
  job.saddle.highest = job.saddle.highest ? job.saddle.highest : job.saddle.height;
  if (!job.part.cutting) {
    const Key& cutting = key_of_part(job.kind, "cutting");
    std::get<ChoiceSlot>(cutting.slot).set(job, static_cast<std::size_t>(*cutting.spec.fallback));
  }
  job.readings[Job::saw_row].half_width_base = job.saw.within->nominal.in_mm();
  job.readings[Job::stock_row].half_width_base = rule_half_width.in_mm();
}

}  // namespace kerfmark::plan
