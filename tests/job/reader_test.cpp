#include "kerfmark/job/reader.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/help.hpp"
#include "kerfmark/measure/quantity_text.hpp"
#include "sample.hpp"

using namespace kerfmark;
using job::read_job;
using measure::Dimension;
using sample::replaced;

namespace {

plan::Job job_of(std::string_view text) {
  const auto outcome = read_job(text, "job.toml");
  for (const auto& finding : outcome.findings) {
    INFO(job::one_line(finding));
    CHECK(finding.severity == job::Severity::caution);
  }
  REQUIRE(outcome.job.has_value());
  return *outcome.job;
}

const measure::Reading& row_of(const plan::Job& job, std::string_view key) {
  const auto found =
      std::find_if(job.readings.begin() + 2, job.readings.end(),
                   [key](const measure::Reading& reading) { return reading.key == key; });
  REQUIRE(found != job.readings.end());
  return *found;
}

plan::Job without_places(plan::Job job) {
  for (auto& reading : job.readings) {
    reading.place = {};
  }
  return job;
}

std::string with_line(std::string_view key_line) {
  return std::string(sample::extension_job) + std::string(key_line) + "\n";
}

}  // namespace

TEST_CASE("the shortest job has its values and its defaults") {
  const auto job = job_of(sample::extension_job);
  CHECK(job.kind == plan::Kind::seatpost);
  CHECK(job.saddle.height->nominal == measure::millimetres(140));
  CHECK(job.saddle.lowest == job.saddle.height);
  CHECK(job.saddle.highest == job.saddle.height);
  CHECK(job.part.material == plan::Material::aluminium);
  CHECK(job.part.cutting == plan::Cutting::not_stated);
  CHECK(job.saw.kerf->nominal == measure::millimetres(1));
  CHECK(job.measuring.coverage == 2.0);
  CHECK(job.frame.blockages.empty());
  CHECK(job.readings[plan::Job::saw_row].half_width_base == 0.5);
  CHECK(job.readings[plan::Job::stock_row].half_width_base == 0.5);
}

TEST_CASE("the full job has every value in its place") {
  const auto job = job_of(sample::full_job);
  CHECK(job.paperwork.number == "2031");
  CHECK(job.paperwork.date == "2026-05-01");
  CHECK(job.measuring.coverage == 3.0);
  CHECK(job.measuring.twice);
  CHECK(job.saddle.measured == plan::HeightMeasured::along_tube);
  CHECK(job.saddle.from == plan::HeightFrom::pedal_axle);
  CHECK(job.saddle.height->nominal == measure::millimetres(607.25));
  CHECK(job.saddle.highest->nominal.in_mm() == doctest::Approx(609.6).epsilon(1e-12));
  CHECK(job.frame.seat_angle->nominal == measure::degrees(73));
  CHECK(job.frame.axis_offset->nominal == measure::millimetres(-3));
  // 230 lb · 0.45359237 kg/lb, 24 FR 5348.
  CHECK(job.frame.max_rider->nominal.in_kg() == doctest::Approx(104.3262451).epsilon(1e-12));
  REQUIRE(job.frame.blockages.size() == 2);
  CHECK(job.frame.blockages[0].what == "lip");
  CHECK(job.frame.blockages[0].clearance->nominal == measure::millimetres(2));
  CHECK(job.frame.blockages[1].depth->nominal == measure::millimetres(300.5));
  CHECK(job.frame.blockages[1].clearance->nominal == measure::millimetres(5));
  CHECK(job.post.section == plan::Section::other);
  CHECK(job.post.grip->at(0) == measure::millimetres(60));
  CHECK(job.post.grip->at(1) == measure::millimetres(390));
  CHECK(job.post.shim);
  CHECK(job.post.scale.rising == plan::Rising::up);
  CHECK(job.post.scale.per_unit->nominal == measure::millimetres(5));
  CHECK(job.mock_up.hang_fitted);
  REQUIRE(job.stock_lengths.size() == 2);
  // 11 in · 25.4 mm/in, 24 FR 5348.
  CHECK(job.stock_lengths[1].in_mm() == doctest::Approx(279.4).epsilon(1e-12));
  CHECK(job.rider_mass->nominal == measure::kilograms(75));
  CHECK(job.saw.wanted->nominal == measure::millimetres(40));
  CHECK(job.readings[plan::Job::saw_row].half_width_base == 0.4);
}

TEST_CASE("what was measured after the cut stands in its own place") {
  const auto job = job_of(sample::full_job);
  CHECK(job.as_cut.length->nominal == measure::millimetres(361));
  CHECK(job.as_cut.offcut->nominal == measure::millimetres(37.4));
  CHECK(job.as_cut.kerf->nominal == measure::millimetres(1.6));
  CHECK(job.as_cut.by == "one");
  CHECK(job.as_cut.checked_by == "two");
  CHECK(job.as_cut.date == "2026-05-02");
  CHECK(row_of(job, "as_cut.length").half_width_base == 0.5);
  CHECK(row_of(job, "as_cut.length").instrument == "steel rule");
  CHECK(row_of(job, "as_cut.offcut").half_width_base == 0.1);
  CHECK(row_of(job, "as_cut.kerf").half_width_base == 0.0);
  CHECK_FALSE(job_of(sample::extension_job).as_cut.given());
}

TEST_CASE("a steerer needs one of length and gap after the cut") {
  const std::string fork =
      "kind = \"steerer\"\nsteerer = { material = \"steel\" }\nstem = { clamp = 40 }\n"
      "spacers = { below = 10 }\n[as_cut]\n";
  const auto gap = job_of(fork + "gap = 3\n");
  CHECK(gap.as_cut.gap->nominal == measure::millimetres(3));
  CHECK(row_of(gap, "as_cut.gap").half_width_base == 0.5);
  CHECK(gap.as_cut.given());
  CHECK(job_of(fork + "length = 229\n").as_cut.given());
  CHECK(job_of(fork + "length = 229\ngap = 3\n").as_cut.given());
  const auto findings = read_job(fork + "offcut = 70\n", "f").findings;
  REQUIRE(findings.size() == 1);
  CHECK(job::one_line(findings[0]) ==
        "f:5:1: as_cut.length: is missing; write length = … or gap = … under [as_cut]");
  // A misspelt one is there, and said once.
  const auto misspelt = read_job(fork + "gapp = 3\n", "f").findings;
  REQUIRE(misspelt.size() == 1);
  CHECK(misspelt[0].code == job::FindingCode::unknown_key);
}

TEST_CASE("a seatpost needs the length after the cut and has no gap") {
  const auto lines = [](std::string_view as_cut) {
    std::string shown;
    for (const auto& finding :
         read_job(std::string(sample::extension_job) + "[as_cut]\n" + std::string(as_cut), "f")
             .findings) {
      shown += job::one_line(finding) + "\n";
    }
    return shown;
  };
  CHECK(lines("length = 350\n").empty());
  CHECK(lines("offcut = 49\n") ==
        "f:10:1: as_cut.length: is missing; write length = … under [as_cut]\n");
  CHECK(lines("length = 350\ngap = 3\n") ==
        "f:12:1: as_cut.gap: belongs to a steerer job, and this is a seatpost job; take it out, or "
        "write kind = \"steerer\"\n");
}

TEST_CASE("ranges of what was measured after the cut") {
  struct Row {
    std::string_view key, inside_low, inside_high, below, above;
  };
  // Plausible values for a bicycle: common practice.
  constexpr auto rows = std::to_array<Row>({
      {"length", "50", "700", "49.9", "700.1"},
      {"offcut", "0", "450", "-0.1", "450.1"},
      {"kerf", "0", "5", "-0.1", "5.1"},
      {"gap", "-20", "60", "-20.1", "60.1"},
  });
  for (const Row& row : rows) {
    const auto reads = [&](std::string_view value) {
      const std::string other = row.key == "gap" ? "length = 229\n" : "gap = 3\n";
      return read_job(
                 "kind = \"steerer\"\nsteerer = { material = \"steel\" }\n"
                 "stem = { clamp = 40 }\nspacers = { below = 10 }\n[as_cut]\n" +
                     other + std::string(row.key) + " = " + std::string(value) + "\n",
                 "f")
          .job.has_value();
    };
    CAPTURE(row.key);
    CHECK(reads(row.inside_low));
    CHECK(reads(row.inside_high));
    CHECK_FALSE(reads(row.below));
    CHECK_FALSE(reads(row.above));
  }
}

TEST_CASE("each given value has one row of readings") {
  const auto job = job_of(sample::full_job);
  const auto& height = row_of(job, "saddle.height");
  CHECK(height.values_base == std::vector<double>{607, 607.5});
  CHECK(height.instrument == "tape");
  CHECK(height.half_width_base == 2.0);  // the job's own tape
  CHECK(height.dimension == Dimension::length);
  CHECK(height.place == measure::Place{11, 10});
  const auto& highest = row_of(job, "saddle.highest");
  CHECK(highest.half_width_base == 0.3);
  CHECK(highest.instrument.empty());
  const auto& seat_tube = row_of(job, "frame.seat_tube");
  CHECK(seat_tube.half_width_base == 0.3);
  CHECK(seat_tube.instrument == "my laser");
  const auto& angle = row_of(job, "frame.seat_angle");
  CHECK(angle.dimension == Dimension::angle);
  CHECK(angle.half_width_base == 0.5);
  const auto& depth = row_of(job, "frame.blockage-2.depth");
  CHECK(depth.values_base == std::vector<double>{300, 301});
  CHECK(depth.instrument == "depth probe");
  const auto& diameter = row_of(job, "post.diameter");
  CHECK(diameter.half_width_base == 0.0);
  CHECK(diameter.instrument.empty());
  for (const std::string_view key : {"post.grip", "stock.lengths", "measuring.coverage"}) {
    CHECK(std::count_if(job.readings.begin() + 2, job.readings.end(),
                        [key](const auto& reading) { return reading.key == key; }) == 0);
  }
  // Each Measured points at its own row.
  CHECK(job.readings[*job.saddle.height->reading].key == "saddle.height");
  CHECK(job.readings[*job.frame.blockages[1].depth->reading].key == "frame.blockage-2.depth");
  CHECK_FALSE(job.frame.blockages[0].clearance->reading.has_value());
}

TEST_CASE("every form of a value reads alike") {
  const auto plain = job_of(with_line("head = 35")).post.head->nominal;
  for (const std::string_view form :
       {"35.0", "+35", "\"35 mm\"", "\"3.5 cm\"", "[35]", "[\"35 mm\", 35]", "{ read = 35 }",
        "{ read = \"3.5 cm\" }", "{ read = [35, 35] }", "0x23"}) {
    CAPTURE(form);
    CHECK(job_of(with_line("head = " + std::string(form))).post.head->nominal == plain);
  }
  // 8 3/8 in = 8.375 · 25.4 mm.
  CHECK(job_of(with_line(R"(min_length = "8 3/8 in")")).part.min_length->nominal.in_mm() ==
        doctest::Approx(212.725).epsilon(1e-12));
}

TEST_CASE("within wins over with and both over the instrument of the key") {
  const auto row = [](std::string_view value) {
    return row_of(job_of(with_line("head = " + std::string(value))), "post.head");
  };
  CHECK(row("35").half_width_base == 0.5);
  CHECK(row("{ read = 35, with = \"caliper\" }").half_width_base == 0.1);
  CHECK(row("{ read = 35, with = \"caliper\" }").instrument == "caliper");
  CHECK(row("{ read = 35, with = \"caliper\", within = 0.2 }").half_width_base == 0.2);
  CHECK(row("{ read = 35, with = \"caliper\", within = 0.2 }").instrument.empty());
  CHECK(row("{ read = 35, within = \"0.05 cm\" }").half_width_base == 0.5);
  CHECK(row("{ read = 35, within = 0 }").half_width_base == 0.0);
}

TEST_CASE("saddle keys are read by steel rule when they are extensions") {
  CHECK(row_of(job_of(sample::extension_job), "saddle.height").instrument == "steel rule");
  CHECK(row_of(job_of(sample::full_job), "saddle.lowest").instrument == "tape");
}

TEST_CASE("instruments of the job are changed and added") {
  const auto text =
      replaced(with_line("[measuring]\ninstruments = { \"steel rule\" = \"1/32 in\", lath = 3 }"),
               "length = 400", "length = { read = 400, with = \"lath\" }");
  const auto job = job_of(text);
  CHECK(row_of(job, "post.length").half_width_base == 3.0);
  // 1/32 in = 25.4/32 mm.
  CHECK(row_of(job, "post.mark").half_width_base == doctest::Approx(0.79375).epsilon(1e-12));
  CHECK(job.readings[plan::Job::stock_row].half_width_base ==
        doctest::Approx(0.79375).epsilon(1e-12));
}

TEST_CASE("words of choices and names of instruments count in any capitals") {
  for (const std::string_view word : {"Aluminium", "ALUMINIUM", "aluminum", "Aluminum"}) {
    CAPTURE(word);
    const auto job =
        job_of(replaced(std::string(sample::extension_job), "aluminium", std::string(word)));
    CHECK(job.part.material == plan::Material::aluminium);
  }
  const auto job = job_of(
      replaced(replaced(replaced(std::string(sample::extension_job), "\"aluminium\"", "\"Carbon\""),
                        "\"seatpost\"", "\"Seatpost\""),
               "\"extension\"", "\"EXTENSION\""));
  CHECK(job.part.material == plan::Material::carbon);
  CHECK(job.saddle.measured == plan::HeightMeasured::extension);
  CHECK(job_of(replaced(std::string(sample::extension_job), "mark = 100", "mark = \"Unknown\""))
            .post.mark_unknown);

  // An instrument that is changed under another spelling is changed all the same: a tape that is
  // worse than usual must not stay as good as the built-in one.
  const auto changed =
      job_of(replaced(with_line("[measuring]\ninstruments = { Tape = 3, \"Steel Rule\" = 1 }"),
                      "length = 400", "length = { read = 400, with = \"TAPE\" }"));
  CHECK(row_of(changed, "post.length").half_width_base == 3.0);
  CHECK(row_of(changed, "post.length").instrument == "tape");
  CHECK(row_of(changed, "post.mark").half_width_base == 1.0);
}

TEST_CASE("an unknown mark is a value of its own") {
  const auto job =
      job_of(replaced(std::string(sample::extension_job), "mark = 100", "mark = \"unknown\""));
  CHECK(job.post.mark_unknown);
  CHECK_FALSE(job.post.mark.has_value());
  CHECK_FALSE(job_of(sample::extension_job).post.mark_unknown);
}

TEST_CASE("a file may begin with a byte order mark and end its lines as Windows does") {
  std::string text = "\xEF\xBB\xBF";
  for (const char c : sample::extension_job) {
    text += c == '\n' ? std::string("\r\n") : std::string(1, c);
  }
  CHECK(without_places(job_of(text)) == without_places(job_of(sample::extension_job)));
}

TEST_CASE("control characters in texts are kept for the printers to deal with") {
  CHECK(job_of(with_line("[job]\nowner = \"A\\u001B[31mB\"")).paperwork.owner == "A\x1B[31mB");
}

TEST_CASE("texts are limited in characters not bytes") {
  std::string umlauts;
  for (int i = 0; i < 200; ++i) {
    umlauts += "ü";
  }
  CHECK(job_of(with_line("[job]\nowner = \"" + umlauts + "\"")).paperwork.owner == umlauts);
  CHECK_FALSE(read_job(with_line("[job]\nowner = \"" + umlauts + "ü\""), "f").job.has_value());
}

TEST_CASE("the order of tables and keys does not matter") {
  // Blocks of lines; what stands before the first header and both blockages stay together.
  std::vector<std::vector<std::string>> blocks(1);
  std::string line;
  for (const char c : sample::full_job) {
    if (c != '\n') {
      line += c;
      continue;
    }
    if (line.starts_with('[') && !(line == "[[frame.blockage]]" && blocks.back()[0] == line)) {
      blocks.emplace_back();
    }
    blocks.back().push_back(line);
    line.clear();
  }
  const auto wanted = without_places(job_of(sample::full_job));
  std::mt19937 random(20260501);
  for (int round = 0; round < 200; ++round) {
    CAPTURE(round);
    auto mixed = blocks;
    for (auto& block : mixed) {
      const auto first = block.begin() + (block[0].starts_with('[') ? 1 : 0);
      if (block[0] != "[[frame.blockage]]") {
        std::shuffle(first, block.end(), random);
      }
    }
    std::shuffle(mixed.begin() + 1, mixed.end(), random);
    std::string text;
    for (const auto& block : mixed) {
      for (const auto& each : block) {
        text += each + "\n";
      }
    }
    REQUIRE(without_places(job_of(text)) == wanted);
  }
}

TEST_CASE("millimetres centimetres and inches give the same values") {
  // 2 in = 50.8 mm = 5.08 cm, exactly (24 FR 5348); each figure below is a multiple of 1/16 in.
  struct Row {
    std::string_view key, mm, cm, inches;
  };
  constexpr auto rows = std::to_array<Row>({
      {"post.length", "393.7", "\"39.37 cm\"", "\"15 1/2 in\""},
      {"post.mark", "101.6", "\"10.16 cm\"", "\"4 in\""},
      {"post.diameter", "25.4", "\"2.54 cm\"", "\"1 in\""},
      {"saddle.height", "146.05", "\"14.605 cm\"", "\"5-3/4 in\""},
  });
  std::array<std::string, 3> texts;
  texts.fill(std::string(sample::extension_job));
  for (const Row& row : rows) {
    const std::string name(plan::name_of(row.key));
    const std::array<std::string_view, 3> forms{row.mm, row.cm, row.inches};
    for (std::size_t i = 0; i < texts.size(); ++i) {
      const auto at = texts[i].find("\n" + name + " = ") + 1;
      const auto end = texts[i].find('\n', at);
      texts[i].replace(at, end - at, name + " = " + std::string(forms[i]));
    }
  }
  const auto in_mm = job_of(texts[0]);
  for (std::size_t i = 1; i < texts.size(); ++i) {
    const auto other = job_of(texts[i]);
    REQUIRE(other.readings.size() == in_mm.readings.size());
    for (std::size_t r = 0; r < in_mm.readings.size(); ++r) {
      CAPTURE(in_mm.readings[r].key);
      // A few units in the last place of 400 mm.
      CHECK(std::abs(other.readings[r].mean_base() - in_mm.readings[r].mean_base()) < 1e-12 * 400);
      CHECK(other.readings[r].half_width_base == in_mm.readings[r].half_width_base);
    }
  }
}

TEST_CASE("a length that is written and read again is the same length") {
  std::mt19937_64 random(4711);
  std::uniform_real_distribution<double> lengths(50.0, 700.0);
  for (int i = 0; i < 300; ++i) {
    const auto length = measure::millimetres(lengths(random));
    const auto text = replaced(std::string(sample::extension_job), "length = 400",
                               "length = \"" + measure::written(length) + "\"");
    REQUIRE(job_of(text).post.length->nominal == length);
  }
}

TEST_CASE("ends of a range are inside it") {
  struct Row {
    std::string_view value;
    bool inside;
  };
  // post.length: 50 to 700 mm.
  constexpr auto rows = std::to_array<Row>({
      {"50", true},
      {"700", true},
      {"49.999", false},
      {"700.001", false},
      {"[400, 701]", false},
      {"{ read = [49, 400] }", false},
      {R"("27 in")", true},
      {R"("28 in")", false},
  });
  for (const Row& row : rows) {
    CAPTURE(row.value);
    const auto text = replaced(std::string(sample::extension_job), "length = 400",
                               "length = " + std::string(row.value));
    CHECK(read_job(text, "f").job.has_value() == row.inside);
  }
}

TEST_CASE("minus zero is read as zero") {
  const auto job = job_of(with_line("setback = -0.0"));
  CHECK_FALSE(std::signbit(job.post.setback->nominal.in_mm()));
}

TEST_CASE("64 blockages are read of 65 a finding is made") {
  std::string text(sample::extension_job);
  for (int i = 0; i < 64; ++i) {
    text += "[[frame.blockage]]\ndepth = 300\n";
  }
  CHECK(job_of(text).frame.blockages.size() == 64);
  CHECK_FALSE(read_job(text + "[[frame.blockage]]\ndepth = 300\n", "f").job.has_value());
}

TEST_CASE("nothing is planned from a file with an error all the same with a caution") {
  CHECK_FALSE(read_job("", "f").job.has_value());
  CHECK_FALSE(read_job("\n\n", "f").job.has_value());
  CHECK_FALSE(read_job(sample::replaced(std::string(sample::extension_job), "27.2", "272"), "f")
                  .job.has_value());
  const auto caution =
      read_job(replaced(replaced(std::string(sample::full_job), "pedal axle", "bb"), "shim = true",
                        "shim = false"),
               "f");
  CHECK(caution.findings.size() == 1);
  CHECK(caution.findings.front().severity == job::Severity::caution);
  CHECK(caution.job.has_value());
}

TEST_CASE("findings come all at once sorted by place") {
  const auto findings = read_job(R"(kind = "seatpost"
[post]
length = 4000
mark = true
diameter = 27.2
material = "carbn"
[saddle]
measured = "extension"
hieght = 140
)",
                                 "f")
                            .findings;
  REQUIRE(findings.size() == 4);
  CHECK(std::is_sorted(findings.begin(), findings.end(),
                       [](const auto& a, const auto& b) { return a.line < b.line; }));
}

TEST_CASE("the first hundred findings of a file are told and the rest counted") {
  std::string text(sample::extension_job);  // ends in the table [post], on line 9
  for (int i = 159; i >= 10; --i) {
    text += "quite_unknown_" + std::to_string(i) + " = 1\n";  // the last line sorts first
  }
  const auto outcome = read_job(text + "diametre = 1\n", "job.toml");
  CHECK_FALSE(outcome.job);
  REQUIRE(outcome.findings.size() == 100);
  CHECK(outcome.left_out == 51);
  for (int i = 0; i < 100; ++i) {
    CHECK(outcome.findings[static_cast<std::size_t>(i)].line == 10 + i);
  }
  const std::string told = job::with_source_lines(outcome.findings, outcome.left_out, text);
  CHECK(told.ends_with("\njob.toml: 51 more findings are not shown; mend these first\n"));
  CHECK(job::with_source_lines(outcome.findings, 0, text).ends_with("^\n"));
}

TEST_CASE("a job is refused for a finding that is not told") {
  const std::string text =
      replaced(std::string(sample::extension_job), "length = 400", "length = 4000");
  std::string unknown;
  for (int i = 0; i < 100; ++i) {
    unknown += "unknown_" + std::to_string(i) + " = 1\n";
  }
  CHECK_FALSE(read_job(unknown + text, "f").job);
  CHECK(read_job(unknown + text, "f").left_out == 1);
}

TEST_CASE("a job has at most 64 instruments") {
  const auto with = [](int count) {
    std::string text(sample::extension_job);
    text += "[measuring.instruments]\n";  // line 10
    for (int i = count; i > 0; --i) {
      text += "own_" + std::to_string(i) + " = 0.3\n";
    }
    return read_job(text, "f");
  };
  CHECK(with(64).job);
  const auto refused = with(65);
  REQUIRE(refused.findings.size() == 1);
  CHECK(job::one_line(refused.findings[0]) ==
        "f:75:1: measuring.instruments: 65 instruments, more than the 64 allowed; keep those that "
        "this "
        "job is measured with");
}

TEST_CASE("a misspelt kind is guessed from the tables so that the rest is checked too") {
  const auto text = replaced(replaced(std::string(sample::extension_job), "seatpost", "seatpot"),
                             "length = 400", "length = 4");
  CHECK(read_job(text, "f").findings.size() == 2);
  const auto none =
      replaced(replaced(std::string(sample::extension_job), "kind = \"seatpost\"", ""),
               "length = 400", "length = 4");
  CHECK(read_job(none, "f").findings.size() == 2);
}

TEST_CASE("headers of missing keys are found implied tables have none") {
  struct Row {
    std::string_view what, text;
    measure::Place place;  // of the finding about frame.seat_angle
  };
  const std::string_view rest =
      "[saddle]\nheight = 607\nrail_to_top = 45\n[post]\nlength = 400\ndiameter = 27.2\n"
      "mark = 100\nmaterial = \"steel\"\n";
  constexpr auto rows = std::to_array<Row>({
      {"own header", "kind = \"seatpost\"\n  [frame]\nseat_tube = 420\n", {2, 3}},
      {"blanks in the header", "kind = \"seatpost\"\n[ frame ]\nseat_tube = 420\n", {2, 1}},
      {"implied by a blockage", "kind = \"seatpost\"\n[[frame.blockage]]\ndepth = 300\n", {1, 1}},
      {"dotted", "kind = \"seatpost\"\nframe.seat_tube = 420\n", {2, 1}},
      {"none", "kind = \"seatpost\"\n", {1, 1}},
  });
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto findings = read_job(std::string(row.text) + std::string(rest), "f").findings;
    const auto found = std::find_if(findings.begin(), findings.end(), [](const auto& finding) {
      return finding.key == "frame.seat_angle";
    });
    REQUIRE(found != findings.end());
    CHECK(measure::Place{found->line, found->column} == row.place);
  }
}

// ---- rings: a key of a test, so that this part of the reader does not hang on the table ----

namespace {

std::optional<std::vector<plan::Measured<measure::Length>>>& rings_of(plan::Job&, std::size_t) {
  static std::optional<std::vector<plan::Measured<measure::Length>>> rings;
  return rings;
}

plan::Job ignored;

struct RingsRead {
  std::optional<std::vector<plan::Measured<measure::Length>>> rings;
  job::Outcome outcome;
};

RingsRead rings_from(const std::string& value) {
  std::vector<plan::Key> keys;
  for (const auto& key : plan::keys()) {
    if (key.belongs_to(plan::Kind::seatpost)) {
      keys.push_back(key);
    }
  }
  keys.push_back({"spacers.below",
                  "0",
                  plan::Kinds::every(),
                  plan::RingsSlot{rings_of},
                  {.range = plan::Range{0, 200}, .instrument = "caliper"}});
  rings_of(ignored, 0).reset();
  auto outcome = read_job(with_line("[spacers]\nbelow = " + value), "f", keys);
  return {rings_of(ignored, 0), std::move(outcome)};
}

}  // namespace

TEST_CASE("a list of rings has a row for each a sum has one") {
  const auto list = rings_from(R"([10, "1/2 in", { read = [5, 5.2], within = 0.2 }])");
  REQUIRE(list.outcome.job.has_value());
  REQUIRE(list.rings.has_value());
  REQUIRE(list.rings->size() == 3);
  CHECK(list.rings->at(1).nominal.in_mm() == doctest::Approx(12.7).epsilon(1e-12));
  CHECK(list.rings->at(2).nominal.in_mm() == doctest::Approx(5.1).epsilon(1e-12));
  CHECK(row_of(*list.outcome.job, "spacers.below-1").half_width_base == 0.1);
  CHECK(row_of(*list.outcome.job, "spacers.below-3").half_width_base == 0.2);

  for (const char* sum : {"25", "\"25 mm\"", "{ read = 25 }", "{ read = [25, 25] }"}) {
    CAPTURE(sum);
    const auto read = rings_from(sum);
    REQUIRE(read.outcome.job.has_value());
    REQUIRE(read.rings->size() == 1);
    CHECK(read.rings->front().nominal == measure::millimetres(25));
    CHECK(row_of(*read.outcome.job, "spacers.below").instrument == "caliper");
  }
  const auto empty = rings_from("[]");
  REQUIRE(empty.outcome.job.has_value());
  REQUIRE(empty.rings.has_value());
  CHECK(empty.rings->empty());
  CHECK(rings_from("0").outcome.job.has_value());
}

TEST_CASE("rings have their own range their sum and their number too") {
  const auto refused = [](const std::string& value) {
    const auto read = rings_from(value);
    CHECK_FALSE(read.rings.has_value());
    REQUIRE(read.outcome.findings.size() == 1);
    return job::message(read.outcome.findings[0]);
  };
  CHECK(refused("[10, 0.4]") ==
        "0.4 mm is not between 0.5 and 60 mm; "
        "if these are inches, write \"0.4 in\"; "
        "if centimetres, write \"0.4 cm\"");
  CHECK(refused("[60, 60, 60, 21]") ==
        "a sum of 201 mm is not between 0 and 200 mm; check the spacers and their unit");
  CHECK(refused("201") == "201 mm is not between 0 and 200 mm; check the figure and its unit");
  CHECK(refused("[[10, 10.1], 5, 5]") ==
        "a list is not one spacer; write several readings of it as { read = [10, 10.1] }");
  std::string many = "[1";
  for (int i = 1; i < 64; ++i) {
    many += ", 1";
  }
  CHECK(rings_from(many + "]").rings->size() == 64);
  CHECK(refused(many + ", 1]") ==
        "65 spacers, more than the 64 allowed; leave out what is not on this bicycle");
}
