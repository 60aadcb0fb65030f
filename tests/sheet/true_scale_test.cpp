#include "true_scale.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "../plan/planned.hpp"
#include "kerfmark/report/statement.hpp"

using namespace kerfmark;
using sheet::Ink;

namespace {

// The least room that the page is promised.
constexpr sheet::Room least_room{188, 235};
constexpr sheet::Spot corner{11, 20};

std::string post(std::string_view diameter, std::string_view more = "") {
  return "kind = 'seatpost'\n[job]\nnumber = '2031'\n[saddle]\nmeasured = 'extension'\nheight = "
         "140\n"
         "[[frame.blockage]]\ndepth = 225\n[post]\nlength = 400\nmark = 121\nmaterial = 'carbon'\n"
         "cutting = 'allowed'\ndiameter = " +
         std::string(diameter) + "\n" + std::string(more);
}

std::string steerer(std::string_view length, std::string_view more) {
  return "kind = 'steerer'\n[frame]\nhead_tube = 150\n[headset]\nlower = { read = 0, within = 0 "
         "}\nupper = 12\n[stem]\nclamp = 40\n"
         "[spacers]\nbelow = 25\nabove = 5\n[steerer]\nmaterial = 'aluminium'\nlength = " +
         std::string(length) + "\n" + std::string(more);
}

struct Printed {
  plan::Plan plan;
  std::size_t pages = 0;
  double height_mm = 0;
  std::vector<Ink> ink;
};

Printed print(const std::string& text, const text::Words& words, sheet::Room room = least_room) {
  const plan::Job job = planned::job_of(text);
  Printed printed;
  printed.plan = plan::plan_cut(job);
  const sheet::SheetOptions options{
      .paper = sheet::a4, .words = words, .shop = {}, .digest = {}, .record = {}};
  const sheet::Subject subject{job,
                               printed.plan,
                               printed.plan.now(),
                               options,
                               report::statement_of({job, printed.plan, words}),
                               {}};
  const std::vector<sheet::Block> pages = sheet::true_scale_pages(subject, room);
  printed.pages = pages.size();
  if (!pages.empty()) {
    printed.height_mm = pages.front().height_mm();
    sheet::PdfCanvas canvas("page", "en");
    canvas.start_page(sheet::a4);
    pages.front().draw(canvas, corner);
    printed.ink = canvas.ink();
  }
  return printed;
}

bool is_text(const Ink& ink) {
  return ink.what != "line" && ink.what != "rectangle" && ink.what != "polygon" &&
         ink.what != "circle" && ink.what != "hatch";
}

// Boxes that touch do not overlap; a micrometre forgives binary fractions.
constexpr double grain_mm = 0.001;

bool overlap(const sheet::Area& a, const sheet::Area& b) {
  return std::min(a.right_mm, b.right_mm) - std::max(a.left_mm, b.left_mm) > grain_mm &&
         std::min(a.bottom_mm, b.bottom_mm) - std::max(a.top_mm, b.top_mm) > grain_mm;
}

bool inside(const sheet::Area& a, const sheet::Area& outer) {
  return a.left_mm >= outer.left_mm - grain_mm && a.right_mm <= outer.right_mm + grain_mm &&
         a.top_mm >= outer.top_mm - grain_mm && a.bottom_mm <= outer.bottom_mm + grain_mm;
}

// What leaves the room, or a text that touches anything but the box that it stands in.
std::string fault_of_layout(const Printed& printed, sheet::Room room = least_room) {
  constexpr double half_a_pen_mm = 0.2;  // of lines along the edge of the room
  const sheet::Area within{corner.x_mm - half_a_pen_mm, corner.y_mm - half_a_pen_mm,
                           corner.x_mm + room.width_mm + half_a_pen_mm,
                           corner.y_mm + room.height_mm + half_a_pen_mm};
  for (const Ink& one : printed.ink) {
    if (!inside(one.box, within)) {
      return "outside: " + one.what;
    }
    if (!is_text(one)) {
      continue;
    }
    for (const Ink& other : printed.ink) {
      const bool around = other.what == "rectangle" && inside(one.box, other.box);
      if (&one != &other && overlap(one.box, other.box) && !around) {
        return one.what + " meets " + other.what;
      }
    }
  }
  return {};
}

std::string words_of(const Printed& printed) {
  std::string all;
  for (const Ink& ink : printed.ink) {
    all += is_text(ink) ? ink.what + " " : "";
  }
  return all;
}

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

struct Row {
  std::string what;
  std::string job;
  bool wrap;
};

// Diameters from the least to the largest that a job may name; offcuts that fit on the strip and
// some that do not.
std::vector<Row> cuts() {
  std::vector<Row> rows;
  for (const char* diameter : {"20", "25.4", "27.2", "31.6", "34.9", "27.25", "60"}) {
    rows.push_back({std::string("post ") + diameter, post(diameter), true});
  }
  rows.push_back({"oval post", post("31.6", "section = 'other'\n"), false});
  rows.push_back({"post, offcut 70", post("31.6", "[saw]\nwanted = 70\n"), true});
  rows.push_back({"post, offcut 71", post("31.6", "[saw]\nwanted = 71\n"), true});
  rows.push_back({"post, no kerf", post("31.6", "[saw]\nkerf = 0\n"), true});
  rows.push_back({"post, thick kerf", post("31.6", "[saw]\nkerf = 5\n"), true});
  for (const char* length : {"233", "240.5", "260", "400"}) {
    rows.push_back({std::string("steerer ") + length, steerer(length, "diameter = 28.6\n"), true});
  }
  rows.push_back({"wide steerer", steerer("260", "diameter = 60\n"), true});
  rows.push_back({"steerer of no diameter", steerer("260", ""), false});
  return rows;
}

}  // namespace

TEST_CASE("the page at true scale keeps its room and nothing overlaps") {
  for (const Row& row : cuts()) {
    for (const text::Words* words : {&planned::english(), &planned::german()}) {
      for (const double height : {235.0, 246.0, 262.0}) {
        CAPTURE(row.what);
        CAPTURE(words->at("language.tag"));
        CAPTURE(height);
        const sheet::Room room{least_room.width_mm, height};
        const Printed printed = print(row.job, *words, room);
        REQUIRE(printed.plan.before.verdict == plan::Verdict::cut);
        CHECK(printed.pages == 1);
        CHECK(printed.height_mm <= height + grain_mm);
        CHECK(fault_of_layout(printed, room) == "");
      }
    }
  }
}

TEST_CASE("a part that is round and has a diameter gets a wrap and any other is told why not") {
  for (const Row& row : cuts()) {
    CAPTURE(row.what);
    CHECK(sheet::has_wrap(planned::job_of(row.job)) == row.wrap);
    const std::string words = words_of(print(row.job, planned::english()));
    CHECK(contains(words, "overlap line") == row.wrap);
    CHECK(contains(words, "No wrap") == !row.wrap);
    CHECK(contains(words, "100 mm"));
    CHECK(contains(words, "do not use this page"));
  }
}

TEST_CASE("figures on the page are written as the language writes them") {
  // By hand: pi (27.2 + 0.1) = 85.765...
  const std::string english = words_of(print(post("27.2"), planned::english()));
  CHECK(contains(english, "85.8 mm"));
  CHECK(contains(english, "Ø 27.2 mm"));
  const std::string german = words_of(print(post("27.2"), planned::german()));
  CHECK(contains(german, "85,8 mm"));
  CHECK(contains(german, "Ø 27,2 mm"));
  CHECK_FALSE(contains(german, "27.2"));
}

TEST_CASE("sides are named by the kind of part") {
  const std::string of_post = words_of(print(post("27.2"), planned::english()));
  CHECK(contains(of_post, "▲ rail side"));
  CHECK(contains(of_post, "▼ waste side"));
  const std::string of_steerer =
      words_of(print(steerer("260", "diameter = 28.6\n"), planned::english()));
  CHECK(contains(of_steerer, "▲ waste side"));
  CHECK(contains(of_steerer, "▼ crown side"));
}

TEST_CASE("only a cut has a page at true scale") {
  const std::vector<std::pair<std::string, plan::Verdict>> others = {
      {planned::replaced(post("27.2"), "length = 400", "length = 360"), plan::Verdict::keep},
      {planned::replaced(post("27.2"), "cutting = 'allowed'", "cutting = 'not stated'"),
       plan::Verdict::hold},
      {post("27.2", "max_cut = 10\n"), plan::Verdict::reject},
  };
  for (const auto& [job, verdict] : others) {
    const Printed printed = print(job, planned::english());
    REQUIRE(printed.plan.before.verdict == verdict);
    CHECK(printed.pages == 0);
  }
}

TEST_CASE("a long number does not leave the wrap") {
  std::string number;
  for (int i = 0; i < 20; ++i) {
    number += "ẲĢ Wil ạ";
  }
  const std::string job = planned::replaced(post("20"), "2031", number);
  CHECK(fault_of_layout(print(job, planned::german())) == "");
}
