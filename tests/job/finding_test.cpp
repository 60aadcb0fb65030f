#include "kerfmark/job/finding.hpp"

#include <algorithm>
#include <iterator>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/text/printable.hpp"
#include "sample.hpp"
#include "shop_sample.hpp"

using namespace kerfmark;
using job::FindingCode;
using sample::findings_of;
using sample::replaced;

namespace {

struct Row {
  FindingCode code;
  std::string text;
  std::string shown;
};

std::string with(std::string_view from, std::string_view to) {
  return replaced(std::string(sample::extension_job), from, to);
}

std::string added(std::string_view lines) {
  return std::string(sample::extension_job) + std::string(lines);
}

std::string blockages(int count) {
  std::string text(sample::extension_job);
  for (int i = 0; i < count; ++i) {
    text += "[[frame.blockage]]\ndepth = 300\n";
  }
  return text;
}

// Exactly what stands on the terminal: the sentence, the line, the caret.
const std::vector<Row>& rows() {
  static const std::vector<Row> table = {
      {FindingCode::file_too_large, std::string(1024 * 1024 + 1, '\n'),
       "job.toml:1:1: the file is larger than 1 MiB, and no job is; check that this is the right "
       "file\n"},
      {FindingCode::line_too_long, "kind = \"seatpost\"\n# " + std::string(4095, 'x') + "\n",
       "job.toml:2:1: the line is longer than 4096 bytes; break it into shorter lines\n"
       "  # " +
           std::string(88, 'x') +
           "…\n"
           "  ^\n"},
      {FindingCode::not_text, "kind = \"seatpost\"\n# M\xFCller\n",
       "job.toml:2:4: this is not UTF-8 text; save the file as plain text in UTF-8\n"
       "  # M\xEF\xBF\xBDller\n"
       "     ^\n"},
      {FindingCode::not_toml, with("length = 400", "length = 400,5"),
       "job.toml:6:10: post.length: 400,5 has a decimal comma; write 400.5\n"
       "  length = 400,5\n"
       "           ^\n"},
      {FindingCode::unknown_key, with("height", "hieght"),
       "job.toml:4:1: saddle.hieght: there is no key \"hieght\" in [saddle]; write height\n"
       "  hieght = 140\n"
       "  ^\n"},
      {FindingCode::unknown_table, with("[post]", "[pots]"),
       "job.toml:5:2: pots: there is no table [pots] in a seatpost job; write [post]\n"
       "  [pots]\n"
       "   ^\n"},
      {FindingCode::of_other_kind, added("[stem]\nclamp = 40\n"),
       "job.toml:10:2: stem: belongs to a steerer job, and this is a seatpost job; take it out, or "
       "write kind = \"steerer\"\n"
       "  [stem]\n"
       "   ^\n"},
      {FindingCode::missing_key, with("diameter = 27.2\n", ""),
       "job.toml:5:1: post.diameter: is missing; write diameter = … under [post]\n"
       "  [post]\n"
       "  ^\n"},
      {FindingCode::not_filled_in, with("length = 400", "length = \"?\""),
       "job.toml:6:10: post.length: is not filled in yet; write your own figure or word in place "
       "of \"?\"\n"
       "  length = \"?\"\n"
       "           ^\n"},
      {FindingCode::wrong_type, with("length = 400", "length = true"),
       "job.toml:6:10: post.length: true is not a length; write a number of millimetres, or text "
       "with a unit such as \"8 3/8 in\"\n"
       "  length = true\n"
       "           ^\n"},
      {FindingCode::out_of_range, with("length = 400", "length = 13.5"),
       "job.toml:6:10: post.length: 13.5 mm is not between 50 and 700 mm; if these are inches, "
       "write \"13.5 in\"; if centimetres, write \"13.5 cm\"\n"
       "  length = 13.5\n"
       "           ^\n"},
      {FindingCode::unknown_word, with("aluminium", "alumnium"),
       "job.toml:9:12: post.material: \"alumnium\" is not one of the words to choose from; write "
       "\"aluminium\", \"carbon\", \"steel\" or \"titanium\"\n"
       "  material = \"alumnium\"\n"
       "             ^\n"},
      {FindingCode::not_finite, with("length = 400", "length = +inf"),
       "job.toml:6:10: post.length: inf is not a measurement; write a number of millimetres, or "
       "text "
       "with a unit such as \"8 3/8 in\"\n"
       "  length = +inf\n"
       "           ^\n"},
      {FindingCode::bad_quantity, with("length = 400", "length = \"400,5 mm\""),
       "job.toml:6:10: post.length: \"400,5 mm\" has a decimal comma; write \"400.5 mm\"\n"
       "  length = \"400,5 mm\"\n"
       "           ^\n"},
      {FindingCode::unknown_instrument,
       with("length = 400", "length = { read = 400, with = \"calliper\" }"),
       "job.toml:6:31: post.length.with: there is no instrument \"calliper\" for lengths; write "
       "\"caliper\", or add it to instruments under [measuring]\n"
       "  length = { read = 400, with = \"calliper\" }\n"
       "                                ^\n"},
      {FindingCode::wrong_instrument,
       with("length = 400", "length = { read = 400, with = \"angle gauge\" }"),
       "job.toml:6:31: post.length.with: \"angle gauge\" measures angles, and a length belongs "
       "here; write \"tape\", \"steel rule\", \"square and rule\", \"depth probe\" or \"caliper\", "
       "or give the half-width as within = …\n"
       "  length = { read = 400, with = \"angle gauge\" }\n"
       "                                ^\n"},
      {FindingCode::nameless_instrument, added("[measuring]\ninstruments = { \"\" = 2 }\n"),
       "job.toml:11:17: measuring.instruments: an instrument without a name; write its name before "
       "the =, such as \"my laser\" = 0.3\n"
       "  instruments = { \"\" = 2 }\n"
       "                  ^\n"},
      {FindingCode::empty_readings, with("length = 400", "length = []"),
       "job.toml:6:10: post.length: the list has no reading in it; write one or more, such as "
       "[212, 212.5], or take the key out\n"
       "  length = []\n"
       "           ^\n"},
      {FindingCode::empty_readings, with("length = 400", "length = { read = [] }"),
       "job.toml:6:19: post.length: the list has no reading in it; write one or more, such as "
       "[212, 212.5], or take the key out\n"
       "  length = { read = [] }\n"
       "                    ^\n"},
      {FindingCode::text_too_long, added("[job]\nby = \"" + std::string(201, 'x') + "\"\n"),
       "job.toml:11:6: job.by: the text has 201 characters, more than the 200 allowed; shorten it\n"
       "  by = \"" +
           std::string(84, 'x') +
           "…\n"
           "       ^\n"},
      {FindingCode::nul_character, added("[job]\nby = \"A\\u0000B\"\n"),
       "job.toml:11:6: job.by: there is a NUL character in the text; take \\u0000 out\n"
       "  by = \"A\\u0000B\"\n"
       "       ^\n"},
      {FindingCode::not_a_pair, added("grip = [60, 120, 180]\n"),
       "job.toml:10:8: post.grip: 3 values where two values belong; write both, the smaller "
       "first, such as [60, 180]\n"
       "  grip = [60, 120, 180]\n"
       "         ^\n"},
      {FindingCode::pair_reversed, added("grip = [180, 60]\n"),
       "job.toml:10:8: post.grip: 180 mm comes before 60 mm; write the smaller first\n"
       "  grip = [180, 60]\n"
       "         ^\n"},
      {FindingCode::too_many, blockages(65),
       "job.toml:138:1: frame.blockage: 65 blockages, more than the 64 allowed; keep those nearest "
       "to "
       "the collar edge\n"
       "  [[frame.blockage]]\n"
       "  ^\n"},
      {FindingCode::single_table, added("[frame.blockage]\ndepth = 300\n"),
       "job.toml:10:1: frame.blockage: is written as one table, but there may be several; write "
       "[[frame.blockage]]\n"
       "  [frame.blockage]\n"
       "  ^\n"},
      {FindingCode::out_of_order, with("height = 140", "height = 140\nlowest = 141"),
       "job.toml:5:10: saddle.lowest: 141 mm is more than saddle.height, 140 mm; write lowest, "
       "height and "
       "highest in that order of size\n"
       "  lowest = 141\n"
       "           ^\n"},
      {FindingCode::out_of_order, with("height = 140", "height = 140\nhighest = 139"),
       "job.toml:5:11: saddle.highest: 139 mm is less than saddle.height, 140 mm; write lowest, "
       "height "
       "and "
       "highest in that order of size\n"
       "  highest = 139\n"
       "            ^\n"},
      {FindingCode::axle_with_extension,
       with("height = 140", "height = 140\nfrom = \"pedal axle\"\ncrank = 170"),
       "job.toml:5:8: saddle.from: an extension is read off the post, not from an axle; take from "
       "out, "
       "or write measured = \"along tube\" or \"straight\"\n"
       "  from = \"pedal axle\"\n"
       "         ^\n"},
      {FindingCode::threaded_steerer,
       "kind = \"steerer\"\n[steerer]\nmaterial = \"steel\"\nthreaded = true\n[stem]\nclamp = 40\n"
       "[spacers]\nbelow = 25\n[mock_up]\nstands_proud = 20\n",
       "job.toml:4:12: steerer.threaded: a threaded steerer is not cut by this plan: its headset "
       "is "
       "held by nuts; ask the maker of the headset; write false only if there is no thread\n"
       "  threaded = true\n"
       "             ^\n"},
      {FindingCode::no_cut_wanted, added("[saw]\nwanted = 0\n"),
       "job.toml:11:10: saw.wanted: 0 mm is not a cut; write more than 0, or take wanted out\n"
       "  wanted = 0\n"
       "           ^\n"},
      {FindingCode::impossible_triangle,
       with("measured = \"extension\"\nheight = 140",
            "measured = \"to rails\"\nheight = 560\n[frame]\naxis_offset = 150\nseat_tube = 150"),
       "job.toml:7:13: frame.seat_tube: 150 mm is not possible with frame.axis_offset; measure "
       "again; it must be longer than 150 mm\n"
       "  seat_tube = 150\n"
       "              ^\n"},
      {FindingCode::crank_not_used,
       with("measured = \"extension\"\nheight = 140",
            "measured = \"to rails\"\nheight = 560\ncrank = 170\n[frame]\nseat_tube = 420"),
       "job.toml:5:9: saddle.crank: is not used, as the heights are taken from the BB centre; "
       "write "
       "from = \"pedal axle\" if they are taken from there\n"
       "  crank = 170\n"
       "          ^\n"},
  };
  return table;
}

// The same for what only a shop file can have.
const std::vector<Row>& rows_of_shops() {
  static const std::vector<Row> table = {
      {FindingCode::empty_text, "steps = [\"\"]\n",
       "shop.toml:1:10: steps-1: the text is empty; write it, or take it out\n"
       "  steps = [\"\"]\n"
       "           ^\n"},
      {FindingCode::text_too_short, "[texts]\nnote.scrap = \"Take care.\"\n",
       "shop.toml:2:14: texts.note.scrap: the text has 10 characters, and a safety note has 40 or "
       "more; say what the danger is and how to stay out of it\n"
       "  note.scrap = \"Take care.\"\n"
       "               ^\n"},
      {FindingCode::wrong_places, "[texts]\nstep.mark = \"Mark it at {off}.\"\n",
       "shop.toml:2:13: texts.step.mark: the text has no {left}; write {left} and {off} where the "
       "sheet puts its figures\n"
       "  step.mark = \"Mark it at {off}.\"\n"
       "              ^\n"},
  };
  return table;
}

}  // namespace

TEST_CASE("each kind of finding has its exact text and caret") {
  for (const Row& row : rows()) {
    CAPTURE(row.shown);
    const auto findings = job::read_job(row.text, "job.toml").findings;
    REQUIRE_FALSE(findings.empty());
    CHECK(findings[0].code == row.code);
    // A misspelt table leaves nothing else to say; of all others there is one finding.
    CHECK(findings_of(row.text) == row.shown);
  }
}

TEST_CASE("so has each kind of finding that only a shop file can have") {
  for (const Row& row : rows_of_shops()) {
    CAPTURE(row.shown);
    const auto findings = job::read_shop(row.text, "shop.toml", sample::few_sentences()).findings;
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].code == row.code);
    CHECK(job::with_source_line(findings[0], row.text) == row.shown);
  }
}

TEST_CASE("every code has a row of its own") {
  std::set<FindingCode> tested;
  for (const auto& table : {rows(), rows_of_shops()}) {
    for (const Row& row : table) {
      tested.insert(row.code);
    }
  }
  std::set<std::string_view> names;
  for (const auto& row : job::finding_codes()) {
    CAPTURE(row.name);
    CHECK(tested.contains(row.code));
    CHECK(names.insert(row.name).second);
  }
  CHECK(job::finding_codes().size() == tested.size());
}

TEST_CASE("other things that a finding can say") {
  struct Said {
    std::string text;
    std::string message;
  };
  const std::vector<Said> said = {
      {with("kind = \"seatpost\"\n", ""),
       "job.toml:1:1: kind: is missing; write kind = \"seatpost\", kind = \"steerer\", kind = "
       "\"handlebar\" or kind = \"mast\" at the top "
       "of the file\n"},
      {with("\"seatpost\"", "\"seatpst\""),
       "job.toml:1:8: kind: \"seatpst\" is not one of the words to choose from; write "
       "\"seatpost\", "
       "\"steerer\", \"handlebar\" or \"mast\"\n"},
      {with("height = 140", "height = 140\ndiameter = 3"),
       "job.toml:5:1: saddle.diameter: there is no key \"diameter\" in [saddle]; write diameter "
       "under [post]\n"},
      {with("height = 140", "height = 140\nkind = 3"),
       "job.toml:5:1: saddle.kind: there is no key \"kind\" in [saddle]; write kind at the top of "
       "the file\n"},
      {with("height = 140", "height = 140\nmin_insertion = 3"),
       "job.toml:5:1: saddle.min_insertion: there is no key \"min_insertion\" in [saddle]; write "
       "min_insertion under [frame] or under [post]\n"},
      {with("height = 140", "height = 140\nwhatever = 3"),
       "job.toml:5:1: saddle.whatever: there is no key \"whatever\" in [saddle]; what can be "
       "written here is height, lowest, highest, measured, from, crank or rail_to_top\n"},
      {with("extension", "along tube") + "[frame]\nseat_tube = 420\nseat_angle = 73\n",
       "job.toml:2:1: saddle.rail_to_top: is missing, needed with measured = \"along tube\" or "
       "\"straight\"; "
       "write rail_to_top = … under [saddle]\n"
       "job.toml:4:10: saddle.height: 140 mm is not between 300 and 1100 mm; check the figure and "
       "its unit\n"},
      {with("mark = 100\n", ""),
       "job.toml:5:1: post.mark: is missing; write mark = … or mark = \"unknown\" under [post]\n"},
      {with("material = \"aluminium\"\n", ""),
       "job.toml:5:1: post.material: is missing; write material = \"carbon\", \"aluminium\", "
       "\"steel\" or \"titanium\" under [post]\n"},
      {added("[[frame.blockage]]\nwhat = \"lip\"\n"),
       "job.toml:10:1: frame.blockage-1.depth: is missing; write depth = … under "
       "[[frame.blockage]]\n"},
      {with("mark = 100", "mark = \"none\""),
       "job.toml:8:8: post.mark: \"none\" does not start with a number; write a number of "
       "millimetres, or text with a unit such as \"8 3/8 in\", or \"unknown\"\n"},
      {with("length = 400", "length = { within = 1 }"),
       "job.toml:6:10: post.length.read: is missing; write what was measured, such as "
       "{ read = 212, within = 0.3 }\n"},
      {with("length = 400", "length = { read = 400, within = 21, whith = 3 }"),
       "job.toml:6:33: post.length.within: 21 mm is not between 0 and 20 mm; check the figure and "
       "its unit\n"
       "job.toml:6:37: post.length.whith: there is no key \"whith\" in a reading; write with\n"},
      {with("length = 400", "length = [400,5]"),
       "job.toml:6:15: post.length: 5 mm is not between 50 and 700 mm; if the comma is a decimal "
       "comma, write 400.5\n"},
      {with("length = 400", "length = \"400 kg\""),
       "job.toml:6:10: post.length: \"400 kg\" is a mass, and a length belongs here; write a "
       "number "
       "of millimetres, or text with a unit such as \"8 3/8 in\"\n"},
      {with("length = 400", "length = \"400\""),
       "job.toml:6:10: post.length: \"400\" has no unit; write \"400 mm\"\n"},
      {with("length = 400", "length = \"31/2 in\""),
       "job.toml:6:10: post.length: \"31/2 in\" has a fraction that is not less than 1: a space "
       "may "
       "be lost; write \"15.5 in\" or \"3 1/2 in\", whichever was measured\n"},
      {with("length = 400", "length = { read = [400, '87/8\"'] }"),
       "job.toml:6:25: post.length: \"87/8\"\" has a fraction that is not less than 1: a space may "
       "be lost; write \"10.875 in\" or \"8 7/8 in\", whichever was measured\n"},
      {with("mark = 100", "mark = \"3 5/3 in\""),
       "job.toml:8:8: post.mark: \"3 5/3 in\" has 3 below in its fraction, where 2, 4, 8, 16, 32 "
       "or "
       "64 can stand; write \"4.666667 in\", if that was measured\n"},
      {added("[measuring]\ninstruments = { tape = 2, Tape = 0.5 }\n"),
       "job.toml:11:27: measuring.instruments: \"Tape\" is \"tape\" once more, and one half-width "
       "for each belongs here; keep one of the two\n"},
      {with("length = 400", "length = \"400 cm\""),
       "job.toml:6:10: post.length: \"400 cm\", 4000 mm, is not between 50 and 700 mm; check the "
       "figure and its unit\n"},
      {added("[rider]\nmass = 350\n"),
       "job.toml:11:8: rider.mass: 350 kg is not between 10 and 300 kg; if these are pounds, write "
       "\"350 lb\"\n"},
      {added("[job]\nnumber = 2031\n"),
       "job.toml:11:10: job.number: 2031 is not text; write \"2031\"\n"},
      {added("[job]\nnumber = 2026-05-01\n"),
       "job.toml:11:10: job.number: 2026-05-01 is not text; write \"2026-05-01\"\n"},
      {added("[job]\ndate = 2026-05-01T10:00:00\n"),
       "job.toml:11:8: job.date: a day with a time is not text; write \"2026-05-01\"\n"},
      {added("shim = \"yes\"\n"),
       "job.toml:10:8: post.shim: \"yes\" is not true or false; write true or false, without "
       "quotes\n"},
      {added("[stock]\nlengths = 350\n"),
       "job.toml:11:11: stock.lengths: 350 is not a list; write [350]\n"},
      {added("[measuring]\ncoverage = \"2\"\n"),
       "job.toml:11:12: measuring.coverage: \"2\" is not a plain number; write a number without a "
       "unit and without quotes\n"},
      {added("scale = 5\n"),
       "job.toml:10:9: post.scale: 5 is not a table; write [post.scale] on a line of its own and "
       "the "
       "keys below it\n"},
      {"saddle = 5\nkind = \"seatpost\"\n[post]\nlength = 400\nmark = 100\ndiameter = 27.2\n"
       "material = \"steel\"\n[frame]\nseat_angle = 73\nseat_tube = 420\n",
       "job.toml:1:10: saddle: 5 is not a table; write [saddle] on a line of its own and the keys "
       "below it\n"},
      {added("\"post.length\" = 3\n"),
       "job.toml:10:1: post.post.length: there is no key \"post.length\" in [post]; write length "
       "under [post]\n"},
  };
  for (const Said& row : said) {
    CAPTURE(row.text);
    std::string shown;
    for (const auto& finding : job::read_job(row.text, "job.toml").findings) {
      shown += job::one_line(finding) + "\n";
    }
    CHECK(shown == row.message);
  }
}

TEST_CASE("in German no part of a finding is left in English") {
  const text::Words german = text::words_in("de");
  std::vector<job::Finding> findings;
  for (const Row& row : rows()) {
    std::ranges::copy(job::read_job(row.text, "j").findings, std::back_inserter(findings));
  }
  for (const Row& row : rows_of_shops()) {
    std::ranges::copy(job::read_shop(row.text, "s", sample::few_sentences()).findings,
                      std::back_inserter(findings));
  }
  for (const job::Finding& finding : findings) {
    const std::string message = job::message(finding, german);
    CAPTURE(message);
    CHECK(message != job::message(finding));
    for (const std::string_view english : {"write ", " the ", " is ", "take ", " belongs "}) {
      CHECK(message.find(english) == std::string::npos);
    }
  }
}

TEST_CASE("a saddle height of 29 asks whether these are inches") {
  const auto text =
      with("extension\"\nheight = 140", "to rails\"\nheight = 29") + "[frame]\nseat_tube = 420\n";
  const auto findings = job::read_job(text, "job.toml").findings;
  REQUIRE(findings.size() == 1);
  CHECK(job::message(findings[0]) ==
        "29 mm is not between 300 and 1100 mm; if these are inches, write \"29 in\"");
}

TEST_CASE("control characters never reach the terminal") {
  CHECK(text::harmless("a\x1B[31m\tb\n\x7F") == "a␛[31m b␊␡");
  // U+0085, U+202E and U+2028; a byte that is no UTF-8.
  CHECK(text::harmless("\xC2\x85\xE2\x80\xAE\xE2\x80\xA8\xFF") ==
        "\xEF\xBF\xBD\xEF\xBF\xBD"
        "\xEF\xBF\xBD\xEF\xBF\xBD");
  CHECK(text::harmless("Zoë Čapek 漢 ±½″") == "Zoë Čapek 漢 ±½″");
  const auto text = with("length = 400", "length = \"4\\u001B[31m0\"");
  const auto shown = findings_of(text);
  CHECK(shown.find('\x1B') == std::string::npos);
  CHECK(shown.find("4␛[31m0") != std::string::npos);
  const auto finding = job::read_job("\"\\u001B\" = 1\n", "j\x1Bob").findings.at(0);
  CHECK(job::one_line(finding).find('\x1B') == std::string::npos);
}

TEST_CASE("the caret stands below its place") {
  job::Finding finding;
  finding.file = "f";
  finding.hint = std::string("h");
  finding.said = std::string("s");
  const auto below = [&](std::string_view text, int line, int column) {
    finding.line = line;
    finding.column = column;
    const auto shown = job::with_source_line(finding, text);
    return shown.substr(shown.find('\n') + 1);
  };
  CHECK(below("\tx = 1\n", 1, 2) == "  \tx = 1\n  \t^\n");
  // Two columns for a wide character, none for a combining one.
  CHECK(below("漢 = 1\n", 1, 3) == "  漢 = 1\n     ^\n");
  CHECK(below("e\xCC\x81 = 1\n", 1, 4) == "  e\xCC\x81 = 1\n    ^\n");
  CHECK(below("a = 1\r\nb = 2\r\n", 2, 1) == "  b = 2\n  ^\n");
  CHECK(below("\xEF\xBB\xBFkind\n", 1, 1) == "  kind\n  ^\n");
  CHECK(below("a", 1, 99) == "  a\n   ^\n");
  CHECK(below("a", 7, 1).empty());
  CHECK(below("", 1, 1).empty());
  const std::string row(200, 'x');
  const std::string part(90, 'x');
  CHECK(below(row, 1, 1) == "  " + part + "…\n  ^\n");
  CHECK(below(row, 1, 100) == "  …" + part + "…\n   " + std::string(45, ' ') + "^\n");
  CHECK(below(row, 1, 200) ==
        "  …" + std::string(46, 'x') + "\n   " + std::string(45, ' ') + "^\n");
}
