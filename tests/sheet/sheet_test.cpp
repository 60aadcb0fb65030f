#include "kerfmark/sheet/sheet.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "kerfmark/job/reader.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/report/statement.hpp"

using namespace kerfmark;
using sheet::Ink;
using sheet::PrintedSheet;

namespace {

// ---- jobs ----

// The worked shape of them all: a post that stands on a lip 225 mm below the collar edge.
struct PostJob {
  std::string paperwork = "number = '2031'\n";
  std::string measuring;
  std::string blockages = "[[frame.blockage]]\nwhat = 'lip'\ndepth = 225\n";
  std::string length = "400";
  std::string material = "aluminium";
  std::string cutting = "allowed";
  std::string more_of_post;
  std::string stock;
};

std::string text_of(const PostJob& job) {
  return "kind = 'seatpost'\n[job]\n" + job.paperwork + "[measuring]\n" + job.measuring +
         "[saddle]\nmeasured = 'extension'\nheight = 140\n" + job.blockages +
         "[post]\nlength = " + job.length + "\ndiameter = 27.2\nmark = 100\nmaterial = '" +
         job.material + "'\ncutting = '" + job.cutting + "'\n" + job.more_of_post + job.stock;
}

struct SteererJob {
  std::string paperwork = "number = '2032'\n";
  std::string length = "300";
  std::string material = "carbon";
  std::string below = "25";
  std::string above = "5";
  std::string more;
};

std::string text_of(const SteererJob& job) {
  return "kind = 'steerer'\n[job]\n" + job.paperwork + "[steerer]\nmaterial = '" + job.material +
         "'\nlength = " + job.length +
         "\n[frame]\nhead_tube = 150\n[headset]\nupper = 12\n[stem]\nclamp = 40\n[spacers]\nbelow "
         "= " +
         job.below + "\nabove = " + job.above + "\n" + job.more;
}

plan::Job read(const std::string& text) {
  job::Outcome outcome = job::read_job(text, "job.toml");
  for (const job::Finding& finding : outcome.findings) {
    INFO(job::one_line(finding));
    REQUIRE(outcome.job);
  }
  REQUIRE(outcome.job);
  return *outcome.job;
}

struct Printed {
  plan::Job job;
  plan::Plan plan;
  PrintedSheet sheet;
};

Printed print(const std::string& text) {
  Printed printed;
  printed.job = read(text);
  printed.plan = plan::plan_cut(printed.job);
  printed.sheet = sheet::print_sheet(printed.job, printed.plan);
  return printed;
}

std::string keep_post() {
  PostJob job;
  job.length = "350";
  return text_of(job);
}

std::string reject_post() {
  PostJob job;
  job.more_of_post = "max_cut = 30\n";
  return text_of(job);
}

std::string hold_post() {
  PostJob job;
  job.material = "carbon";
  job.cutting = "not stated";
  return text_of(job);
}

std::string hold_steerer() {
  SteererJob job;
  job.above = "0";
  return text_of(job);
}

std::string reject_steerer() {
  SteererJob job;
  job.below = "[10, 10, 15]";
  job.more = "max_below = 30\n";
  return text_of(job);
}

std::string keep_steerer() {
  return "kind = 'steerer'\n[steerer]\nmaterial = 'aluminium'\n[stem]\nclamp = 40\n[spacers]\n"
         "below = 25\nabove = 5\n[mock_up]\nstands_proud = -3\n";
}

struct Case {
  std::string name;
  std::string text;
  plan::Verdict verdict;
};

std::vector<Case> one_of_each() {
  return {{"cut post", text_of(PostJob{}), plan::Verdict::cut},
          {"keep post", keep_post(), plan::Verdict::keep},
          {"hold post", hold_post(), plan::Verdict::hold},
          {"reject post", reject_post(), plan::Verdict::reject},
          {"cut steerer", text_of(SteererJob{}), plan::Verdict::cut},
          {"keep steerer", keep_steerer(), plan::Verdict::keep},
          {"hold steerer", hold_steerer(), plan::Verdict::hold},
          {"reject steerer", reject_steerer(), plan::Verdict::reject}};
}

std::string paperwork(const std::string& value) {
  std::string text;
  for (const char* key : {"number", "bike", "owner", "by", "checked_by", "date"}) {
    text += std::string(key) + " = '" + value + "'\n";
  }
  return text;
}

std::string repeated(std::string_view piece, std::size_t times) {
  std::string text;
  for (std::size_t i = 0; i < times; ++i) {
    text += piece;
  }
  return text;
}

// ---- ink ----

bool is_text(const Ink& ink) {
  return ink.what != "line" && ink.what != "rectangle" && ink.what != "polygon" &&
         ink.what != "circle" && ink.what != "hatch";
}

// Boxes that touch do not overlap; a micrometre forgives binary fractions.
bool overlap(const sheet::Area& a, const sheet::Area& b) {
  constexpr double grain_mm = 0.001;
  return std::min(a.right_mm, b.right_mm) - std::max(a.left_mm, b.left_mm) > grain_mm &&
         std::min(a.bottom_mm, b.bottom_mm) - std::max(a.top_mm, b.top_mm) > grain_mm;
}

bool inside(const sheet::Area& a, const sheet::Area& outer) {
  return a.left_mm >= outer.left_mm && a.right_mm <= outer.right_mm && a.top_mm >= outer.top_mm &&
         a.bottom_mm <= outer.bottom_mm;
}

// One page; all ink 10 mm and more from the paper's edge; no text on another text, across a line or
// across the edge of a box.
std::string fault_of_layout(const PrintedSheet& sheet) {
  constexpr double edge_mm = 10;
  const sheet::Area paper{edge_mm, edge_mm, sheet::a4.width_mm - edge_mm,
                          sheet::a4.height_mm - edge_mm};
  for (std::size_t i = 0; i < sheet.ink.size(); ++i) {
    const Ink& one = sheet.ink[i];
    if (one.page != 1) {
      return "on page " + std::to_string(one.page) + ": " + one.what;
    }
    if (!inside(one.box, paper)) {
      return "too near the edge: " + one.what;
    }
    if (!is_text(one)) {
      continue;
    }
    for (std::size_t j = 0; j < sheet.ink.size(); ++j) {
      const Ink& other = sheet.ink[j];
      if (i == j || !overlap(one.box, other.box)) {
        continue;
      }
      const bool in_a_box = other.what == "rectangle" && inside(one.box, other.box);
      if (!in_a_box) {
        return "\"" + one.what + "\" meets " +
               (is_text(other) ? "\"" + other.what + "\"" : other.what);
      }
    }
  }
  return {};
}

// All text of the page, a line for each piece.
std::string words_of(const PrintedSheet& sheet) {
  std::string all;
  for (const Ink& ink : sheet.ink) {
    if (is_text(ink)) {
      all += ink.what + "\n";
    }
  }
  return all;
}

// The same without what stands in the smallest box around the text that begins as told.
std::string words_outside_box(const PrintedSheet& sheet, std::string_view begin) {
  const auto found = std::find_if(sheet.ink.begin(), sheet.ink.end(), [&](const Ink& ink) {
    return is_text(ink) && ink.what.starts_with(begin);
  });
  REQUIRE(found != sheet.ink.end());
  sheet::Area box{0, 0, sheet::a4.width_mm, sheet::a4.height_mm};
  for (const Ink& ink : sheet.ink) {
    if (ink.what == "rectangle" && inside(found->box, ink.box) && inside(ink.box, box)) {
      box = ink.box;
    }
  }
  REQUIRE(box.left_mm > 0);
  std::string all;
  for (const Ink& ink : sheet.ink) {
    if (is_text(ink) && !inside(ink.box, box)) {
      all += ink.what + "\n";
    }
  }
  return all;
}

// Lines of a paragraph joined again.
std::string joined(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

// What a program says about a PDF; "FILE" in the command stands for the PDF.
std::string ask(const std::string& pdf, std::string command) {
  std::string path = (std::filesystem::temp_directory_path() / "kerfmark-sheet-XXXXXX").string();
  REQUIRE(mkdtemp(path.data()) != nullptr);
  const std::filesystem::path folder = path;
  std::ofstream(folder / "sheet.pdf", std::ios::binary) << pdf;
  command.replace(command.find("FILE"), 4, (folder / "sheet.pdf").string());
  std::FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  std::array<char, 4096> part{};
  while (const std::size_t count = std::fread(part.data(), 1, part.size(), pipe)) {
    said.append(part.data(), count);
  }
  const int status = pclose(pipe);
  std::filesystem::remove_all(folder);
  CAPTURE(command);
  REQUIRE(status == 0);
  return said;
}

}  // namespace

TEST_CASE("a page of each verdict and kind says its verdict and keeps its place") {
  for (const Case& one : one_of_each()) {
    CAPTURE(one.name);
    const Printed printed = print(one.text);
    REQUIRE(printed.plan.verdict == one.verdict);
    CHECK(fault_of_layout(printed.sheet) == "");
    CHECK(printed.sheet.cautions.empty());
    const std::string text = ask(printed.sheet.pdf, "pdftotext -layout FILE -");
    const report::Statement says = report::statement_of(printed.job, printed.plan);
    CHECK(contains(text, says.verdict));
    CHECK(contains(joined(words_of(printed.sheet)), says.headline));
    CHECK(contains(ask(printed.sheet.pdf, "pdfinfo FILE"), "Pages:           1"));
    CHECK(contains(ask(printed.sheet.pdf, "qpdf --check FILE"), "No syntax or stream encoding"));
    // ISO 32000-1, 14.9.2: the language of a document stands in its catalog.
    CHECK(contains(ask(printed.sheet.pdf, "qpdf --qdf FILE -"), "/Lang (en)"));
    // Whoever reads the sheet need not be told to print it.
    CHECK_FALSE(contains(text, "--sheet"));
    // ANSI Z535.4-2007, 4.14: a part that can come off the bicycle is a warning.
    CHECK(contains(text, "WARNING"));
    CHECK(contains(text, "NOTICE"));
    CHECK(contains(text, "CAUTION") == (one.verdict == plan::Verdict::cut));
    CHECK(contains(text, "Measured by"));
    CHECK_FALSE(contains(text, "cannot be printed"));
    CHECK(contains(text, "Offcut") == (one.verdict == plan::Verdict::cut));
  }
}

TEST_CASE("a cut says what goes what stays and where the new line lies") {
  // By hand: 400 - 140 = 260 mm are in the frame and 225 - 2 are free below the collar edge, so 37
  // come off; 363 are left; the mark stays 100 above the end, 263 below the rail clamp centre.
  const std::string words = joined(words_of(print(text_of(PostJob{})).sheet));
  CHECK(contains(words, "CUT 37 mm"));
  CHECK(contains(words, "363 mm down from the rail clamp centre"));
  CHECK(contains(words, "37 mm up from the lower end"));
  CHECK(contains(words, "new line 100 mm above the new lower end"));
  CHECK(contains(words, "planned 223.0 mm"));  // 363 - 140
  // By hand: 150 + 12 + 25 + 40 + 5 = 232 mm of stack, the steerer 300, a gap of 3: 71 come off.
  const std::string steerer = joined(words_of(print(text_of(SteererJob{})).sheet));
  CHECK(contains(steerer, "CUT 71 mm"));
  CHECK(contains(steerer, "229 mm up from the crown race seat"));
  CHECK(contains(steerer, "71 mm down from the top"));
}

TEST_CASE("a hold or reject has no length to cut by outside of its own box") {
  const std::string hold = joined(words_of(print(hold_post()).sheet));
  // The figures of the cut above: they stand in the box, and only there.
  REQUIRE(contains(hold, "37 mm"));
  REQUIRE(contains(hold, "363 mm"));
  const std::string outside =
      joined(words_outside_box(print(hold_post()).sheet, "If the doubt is settled"));
  CHECK_FALSE(contains(outside, "37 mm"));
  CHECK_FALSE(contains(outside, "363 mm"));
  CHECK_FALSE(contains(outside, "Cut "));
  // A wanted cut that goes past the mark, with a maker's limit on the cut: what it "has" is the
  // cut.
  PostJob wanted;
  wanted.stock = "[saw]\nwanted = 171\n";
  wanted.more_of_post = "max_cut = 200\nmin_length = 150\n";
  const Printed refused = print(text_of(wanted));
  REQUIRE(refused.plan.verdict == plan::Verdict::reject);
  CHECK(fault_of_layout(refused.sheet) == "");
  CHECK_FALSE(contains(words_outside_box(refused.sheet, "If the doubt"), "171"));
  CHECK_FALSE(contains(words_outside_box(refused.sheet, "If the doubt"), "229"));  // 400 - 171
  for (const Case& one : one_of_each()) {
    if (one.verdict == plan::Verdict::hold || one.verdict == plan::Verdict::reject) {
      CAPTURE(one.name);
      const std::string words = joined(words_of(print(one.text).sheet));
      CHECK_FALSE(contains(words, "Steps, in this order"));
      CHECK_FALSE(contains(words, "Offcut"));
      CHECK_FALSE(contains(words, "Cut by"));
      CHECK_FALSE(contains(words, "CUT 3"));
      CHECK_FALSE(contains(words, "CUT 6"));
    }
  }
}

TEST_CASE("a stem is clamped after the cap has set the preload") {
  // Common practice: once the stem is clamped, the cap moves nothing.
  for (const std::string& text : {text_of(SteererJob{}), keep_steerer()}) {
    const std::string words = joined(words_of(print(text).sheet));
    const std::size_t gap = words.find("Confirm the gap");
    const std::size_t preload = words.find("preload:");
    const std::size_t torque = words.rfind("torque:");  // the expander has one before it
    REQUIRE(torque != std::string::npos);
    CHECK(words.find("Fork, rings and stem back") < gap);
    CHECK(gap < preload);
    CHECK(preload < torque);
    CHECK(torque < words.find("no play"));
  }
}

TEST_CASE("steps are those of the material") {
  PostJob carbon;
  carbon.material = "carbon";
  const std::string wet = joined(words_of(print(text_of(carbon)).sheet));
  // EN 149 and 42 CFR 84 name the masks.
  for (const char* word : {"FFP3", "P100", "wet", "No clamp on bare carbon", "Never blow",
                           "last fibres", "outside inward", "ISO 4210-2"}) {
    CAPTURE(word);
    CHECK(contains(wet, word == std::string_view("last fibres") ? "Last fibres" : word));
  }
  for (const char* material : {"aluminium", "steel", "titanium"}) {
    PostJob metal;
    metal.material = material;
    std::string dry = joined(words_of(print(text_of(metal)).sheet));
    std::transform(dry.begin(), dry.end(), dry.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c; });
    CAPTURE(material);
    CHECK(contains(dry, "deburr"));
    for (const char* word : {"carbon", "fibre", "slurry", "ffp3", "wet"}) {
      CAPTURE(word);
      CHECK_FALSE(contains(dry, word));
    }
  }
}

TEST_CASE("every reading gets a box for a second one and what the two may differ by") {
  const std::string words = words_of(print(text_of(PostJob{})).sheet);
  CHECK(contains(words, "Measure twice\n"));
  CHECK(contains(words, "400 mm\n"));
  CHECK(contains(words, "225 mm\n"));
  CHECK(contains(words, "140 mm\n"));
  // JCGM 100:2008 4.3.7: k sqrt(2) w / sqrt(3); k 2; 0.5 by steel rule is 0.816, 1.0 by depth probe
  // 1.632; printed rounded down.
  CHECK(contains(words, "\n0.8\n"));
  CHECK(contains(words, "\n1.6\n"));
  PostJob twice;
  twice.length = "[400, 400.5]";
  CHECK(contains(words_of(print(text_of(twice)).sheet), "400, 400.5"));
}

TEST_CASE("readings that decide come first in their units and exact ones not at all") {
  PostJob job;
  job.more_of_post = "max_rider = 100\n[rider]\nmass = { read = 68, within = 1 }\n";
  const std::string words = words_of(print(text_of(job)).sheet);
  // By hand, from the half-widths: in what is free below the post, the probe has 1 of 1 + 0.25 +
  // 0.25 parts of the variance; length and extension the rest; the mark has none.
  const std::size_t depth = words.find("the depth of blockage");
  const std::size_t length = words.find("the length of the post");
  REQUIRE(depth != std::string::npos);
  REQUIRE(length != std::string::npos);
  CHECK(words.find("Measure twice\n") < depth);
  CHECK(depth < length);
  const std::size_t mark = words.find("the distance from");
  REQUIRE(mark != std::string::npos);
  CHECK(length < mark);
  CHECK(contains(words, "68 kg\n"));
  // Nominal diameters and allowances are exact.
  CHECK_FALSE(contains(words, "27.2 mm\n"));
  CHECK_FALSE(contains(words, "max_rider"));
  SteererJob steerer;
  steerer.more =
      "on_hand = [5, 10]\n[frame]\nhead_angle = 72\nstack = 560\nreach = 380\nhead_tube = 150\n";
  std::string text = text_of(steerer);
  const std::string_view first_frame = "[frame]\nhead_tube = 150\n";
  text.erase(text.find(first_frame), first_frame.size());
  CHECK(contains(words_of(print(text).sheet), "72 deg\n"));
}

TEST_CASE("the line of a steerer is found in three ways and stem positions do not crowd") {
  SteererJob steerer;
  steerer.more = "lowest = 0\non_hand = [" + repeated("1, ", 33) + "1]\n";
  const Printed printed = print(text_of(steerer));
  REQUIRE(printed.plan.verdict == plan::Verdict::cut);
  const std::string words = joined(words_of(printed.sheet));
  // By hand: 71 off, 229 left (see above), the gap 3 by default.
  CHECK(contains(words, "Line from below 229 mm above the crown race seat"));
  CHECK(contains(words, "Line from above 71 mm below the top"));
  CHECK(contains(words, "Line by mock-up 3.0 mm below the top"));
  CHECK(contains(words, "The marks must agree"));
  CHECK(contains(words, "Never a pipe cutter"));
  REQUIRE(printed.plan.steerer->positions.size() > 10);
  CHECK(contains(words, "more positions"));
  CHECK(fault_of_layout(printed.sheet) == "");
}

TEST_CASE("the same job gives the same bytes and the title names the job") {
  const std::string text = text_of(PostJob{});
  const Printed first = print(text);
  CHECK(first.sheet.pdf == print(text).sheet.pdf);
  CHECK(contains(ask(first.sheet.pdf, "pdfinfo FILE"), "Cut sheet 2031"));
}

TEST_CASE("characters that the fonts lack are named and on the page too") {
  PostJob job;
  job.paperwork = "number = '7'\nowner = 'Ada \u05D0\u05D1'\nbike = '\u81EA'\n";
  job.blockages = "[[frame.blockage]]\nwhat = 'stop \U0001F6D1'\ndepth = 225\n";
  const Printed printed = print(text_of(job));
  const auto& cautions = printed.sheet.cautions;
  REQUIRE(cautions.size() == 3);
  CHECK(contains(cautions[0], "job.bike: U+81EA"));
  CHECK(contains(cautions[1], "job.owner: U+05D0 (Hebrew), U+05D1 (Hebrew)"));
  CHECK(contains(cautions[2], "U+1F6D1"));
  CHECK(contains(cautions[2], "what"));
  const std::string words = words_of(printed.sheet);
  CHECK(contains(words, "U+05D0"));
  CHECK(contains(words, "U+81EA"));
  CHECK(fault_of_layout(printed.sheet) == "");

  job.paperwork = "owner = 'Zo\u00EB \u010Capek \u03A9 \u0416 \u1EBF'\n";
  job.blockages = "[[frame.blockage]]\ndepth = 225\n";
  CHECK(print(text_of(job)).sheet.cautions.empty());
}

TEST_CASE("long names two accents on a letter and words without a blank find their place") {
  // W is the widest letter; U+1EB2 the tallest, U+0122 among the deepest; each text is as long as
  // a text may be.
  const std::vector<std::string> names = {
      "x",
      repeated("W", 200),
      repeated("Wim van W ", 20),
      repeated("\u1EB2\u0122 ", 66),
      repeated("\u81EA", 200),
  };
  for (const std::string& name : names) {
    CAPTURE(name);
    PostJob post;
    post.material = "carbon";
    post.paperwork = paperwork(name);
    post.blockages = "[[frame.blockage]]\nwhat = '" + repeated("Wg", 40) + "'\ndepth = 225\n";
    post.stock = "[stock]\nlengths = [350, 300, 310, 320]\n";
    CHECK(fault_of_layout(print(text_of(post)).sheet) == "");
    post.cutting = "not stated";
    CHECK(fault_of_layout(print(text_of(post)).sheet) == "");
    SteererJob steerer;
    steerer.paperwork = paperwork(name) + "notes = '" + repeated("many words ", 180) + "'\n";
    CHECK(fault_of_layout(print(text_of(steerer)).sheet) == "");
    steerer.above = "0";
    CHECK(fault_of_layout(print(text_of(steerer)).sheet) == "");
  }
}

TEST_CASE("many limits and readings give way and the page says how many") {
  PostJob job;
  job.paperwork = paperwork(repeated("W", 200));
  job.blockages.clear();
  for (int i = 0; i < 64; ++i) {
    job.blockages += "[[frame.blockage]]\nwhat = '" + repeated("\u1EB2", 80) +
                     "'\ndepth = " + std::to_string(225 + i) + "\n";
  }
  const Printed printed = print(text_of(job));
  CHECK(fault_of_layout(printed.sheet) == "");
  const std::string words = joined(words_of(printed.sheet));
  CHECK(contains(words, "more limits"));
  CHECK(contains(words, "more readings"));
  // The limit that decides is there in any case: the shallowest blockage.
  CHECK(contains(words, "blockage-1 "));

  // Readings of every blockage contradict each other: a reason and a remedy for each.
  job.blockages.clear();
  for (int i = 0; i < 64; ++i) {
    job.blockages += "[[frame.blockage]]\ndepth = [" + std::to_string(225 + i) + ", 300.5]\n";
  }
  const Printed hold = print(text_of(job));
  CHECK(hold.plan.verdict == plan::Verdict::hold);
  CHECK(fault_of_layout(hold.sheet) == "");

  SteererJob steerer;
  steerer.paperwork = paperwork(repeated("g", 200));
  steerer.length = "330";
  steerer.below = "[" + repeated("0.5, ", 63) + "0.5]";
  steerer.more = "on_hand = [" + repeated("0.5, 1, 2, 5, ", 15) + "10]\n";
  CHECK(fault_of_layout(print(text_of(steerer)).sheet) == "");
}

TEST_CASE("random jobs fit on their page") {
  constexpr unsigned seed = 20310;
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto up_to = [&](std::size_t most) {
    return static_cast<std::size_t>(random() % (most + 1));
  };
  const std::array<std::string, 6> pieces = {"W", "il ", "\u1EB2y ", "g-", "\u81EA", "a b "};
  const auto some_text = [&](std::size_t most) {
    std::string text = "x";
    for (std::size_t n = up_to(most / 4); n > 0; --n) {
      text += pieces[up_to(pieces.size() - 1)];
    }
    return text;
  };
  const std::array<std::string, 4> materials = {"carbon", "aluminium", "steel", "titanium"};
  const std::array<std::string, 3> words_on_cutting = {"allowed", "forbidden", "not stated"};
  std::array<int, 4> seen{};
  for (int round = 0; round < 150; ++round) {
    std::string papers;
    for (const char* key : {"number", "bike", "owner", "by", "checked_by", "date"}) {
      if (up_to(3) > 0) {
        papers += std::string(key) + " = '" + some_text(199) + "'\n";
      }
    }
    papers += "notes = \"\"\"" + some_text(1990) + "\n" + some_text(9) + "\"\"\"\n";
    std::string text;
    if (up_to(1) == 0) {
      PostJob job;
      job.paperwork = papers;
      job.material = materials[up_to(3)];
      job.cutting = words_on_cutting[up_to(2)];
      job.length = std::to_string(200 + up_to(250));
      job.blockages.clear();
      for (std::size_t n = up_to(up_to(1) == 0 ? 3 : 64); n > 0; --n) {
        job.blockages += "[[frame.blockage]]\nwhat = '" + some_text(79) +
                         "'\ndepth = " + std::to_string(150 + up_to(200)) + "\n";
      }
      job.measuring = up_to(1) == 0 ? "twice = true\n" : "";
      job.more_of_post = up_to(1) == 0 ? "max_cut = 60\nmin_length = 250\nhang = 20\n" : "";
      job.stock = up_to(1) == 0 ? "[stock]\nlengths = [250, 270, 300, 320, 350, 400]\n" : "";
      text = text_of(job);
    } else {
      SteererJob job;
      job.paperwork = papers;
      job.material = materials[up_to(3)];
      job.length = std::to_string(220 + up_to(100));
      job.below = up_to(1) == 0 ? "[10, 10, 5, 2.5]" : std::to_string(up_to(60));
      job.above = std::to_string(up_to(10));
      job.more = up_to(1) == 0 ? "max_below = 30\non_hand = [2.5, 5, 5, 10, 10, 20]\n" : "";
      text = text_of(job);
    }
    CAPTURE(text);
    const Printed printed = print(text);
    ++seen[static_cast<std::size_t>(printed.plan.verdict)];
    REQUIRE(fault_of_layout(printed.sheet) == "");
  }
  // A mix that never meets a verdict would prove nothing about it.
  for (const int count : seen) {
    CHECK(count > 5);
  }
}
