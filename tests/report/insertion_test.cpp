#include "kerfmark/report/insertion.hpp"

#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "../languages.hpp"
#include "../plan/planned.hpp"
#include "kerfmark/report/json.hpp"
#include "kerfmark/text/printable.hpp"

using namespace kerfmark;
using measure::millimetres;
using nlohmann::json;
using plan::Length;
using planned::Near;

namespace {

plan::InsertionCheck check(const plan::PostAsItStands& post) { return plan::check_insertion(post); }

plan::InsertionCheck inserted(double mm) {
  return check({.inserted = millimetres(mm), .mark = millimetres(100)});
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = text.find('\n', start);
    lines.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  return lines;
}

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

// Readings by steel rule, ±0.5 each: inserted and mark together 2·√(0.5/3) = 0.8165.
TEST_CASE("the answer says how much is in and must be and what to do") {
  const auto& words = planned::english();
  const auto reject = report::insertion_statement(inserted(70), words);
  CHECK(has(reject.headline, "70.0 mm"));
  CHECK(has(reject.headline, "100.0 mm"));
  CHECK(has(reject.action, "Do not ride it"));
  CHECK(has(reject.action, "30.9 mm"));  // 30.8165, up
  CHECK(has(reject.verdict, "DO NOT RIDE"));

  const auto hold = report::insertion_statement(inserted(100.5), words);
  CHECK(has(hold.action, "0.4 mm"));  // 0.3165, up
  CHECK(has(hold.action, "Do not ride it yet"));

  const auto keep = report::insertion_statement(inserted(112), words);
  CHECK(has(keep.action, "Ride it"));
  CHECK(has(keep.figures.at(2).value, "11.1 mm"));  // 11.1835, down
  CHECK(has(keep.figures.at(0).value, "0.5 mm"));

  // Nobody knows the line: no yes, and no figure to aim at, 54.4 or 54.9 as twice the diameter.
  for (const auto line : {std::optional<plan::LineSeen>(), std::optional(plan::LineSeen::hidden),
                          std::optional(plan::LineSeen::none)}) {
    const auto unknown =
        check({.inserted = millimetres(60), .diameter = millimetres(27.2), .line = line});
    const auto says = report::insertion_statement(unknown, words);
    CHECK(has(says.headline, "its line is not known; ask the maker"));
    CHECK(has(says.action, "ask the maker"));
    CHECK(has(says.action, "Do not ride it yet"));
    CHECK_FALSE(says.shows_limits);
    const report::View view{.width = 80, .utf8 = true, .colour = false};
    const std::string report = report::insertion_report(unknown, view, words);
    CHECK_FALSE(has(report, "54."));
    CHECK(has(report, "HOLD. "));
  }

  const auto seen = report::insertion_statement(check({.line = plan::LineSeen::above}), words);
  CHECK(has(seen.verdict, "DO NOT RIDE"));
  CHECK(has(seen.action, "until the line is inside the frame"));
  CHECK(seen.figures.size() == 1);
  // 100 needed, 90 in by rule: 10.8165 more.
  const auto seen_by = report::insertion_statement(
      check({.inserted = millimetres(90), .mark = millimetres(100), .line = plan::LineSeen::above}),
      words);
  CHECK(has(seen_by.action, "10.9 mm, and until the line is inside"));

  const auto too_short = report::insertion_statement(
      check({.length = millimetres(90), .exposed = millimetres(20), .mark = millimetres(100)}),
      words);
  CHECK(has(too_short.action, "longer post"));
  CHECK_FALSE(has(too_short.action, "ower the saddle"));
}

TEST_CASE("the report asks for the line first and then begins with the verdict") {
  for (const bool utf8 : {true, false}) {
    const report::View view{.width = 80, .utf8 = utf8, .colour = false};
    const auto report = [&](double mm, std::optional<plan::LineSeen> line) {
      return report::insertion_report(
          check({.inserted = millimetres(mm), .mark = millimetres(100), .line = line}), view,
          planned::english());
    };
    CHECK(report(112, plan::LineSeen::hidden).starts_with("KEEP. "));
    CHECK(report(100, plan::LineSeen::hidden).starts_with("HOLD. "));
    CHECK(report(70, plan::LineSeen::hidden).starts_with("REJECT. "));
    CHECK(report(112, plan::LineSeen::above).starts_with("REJECT. "));
    const std::string asked = report(112, std::nullopt);
    CHECK(asked.starts_with("Look at the post: can you see the line? "));
    CHECK(has(asked, "\n\nKEEP. "));
    CHECK((asked == text::in_ascii(asked)) != utf8);
  }
}

TEST_CASE("the picture is to the scale that it states") {
  const report::View view{.width = 80, .utf8 = false, .colour = false};
  for (const double mm : {0.0, 3.0, 20.0, 45.0, 70.0, 99.0, 100.0, 101.0, 112.0, 250.0, 699.0}) {
    for (const double mark : {20.0, 60.0, 100.0, 300.0}) {
      CAPTURE(mm);
      CAPTURE(mark);
      const auto lines = lines_of(
          report::insertion_report(check({.inserted = millimetres(mm), .mark = millimetres(mark)}),
                                   view, planned::english()));
      double scale = 0;
      std::optional<long> collar, line, end, row;
      for (const std::string& text : lines) {
        const std::string_view title = "Side view, 1 row = ";
        if (text.starts_with(title)) {
          scale = std::stod(text.substr(title.size()));
          row = 0;
        } else if (row && !text.empty()) {
          ++*row;
          collar = has(text, "collar edge") ? row : collar;
          line = has(text, "line, ") ? row : line;
          end = has(text, "lower end, ") ? row : end;
        } else if (row) {
          break;
        }
      }
      REQUIRE((scale > 0 && collar && line && end));
      CHECK(*row <= 21);  // 16 rows of post, some air, the last scale a little more
      // Each place is rounded to a row of its own.
      CHECK(std::abs(static_cast<double>(*end - *collar) * scale - mm) <= scale / 2 + 1e-9);
      CHECK(std::abs(static_cast<double>(*line - *collar) * scale - (mm - mark)) <=
            scale / 2 + 1e-9);
    }
  }
}

TEST_CASE("the check as JSON has the limits of a plan and keys of its own") {
  const auto keys_of = [](const json& object) {
    std::set<std::string> keys;
    for (const auto& item : object.items()) {
      keys.insert(item.key());
    }
    return keys;
  };
  const auto reject = check({.length = millimetres(350),
                             .exposed = millimetres(260),
                             .mark = millimetres(100),
                             .minimum = millimetres(80),
                             .diameter = millimetres(27.2)});
  const auto line = json::parse(report::json_line(reject, planned::english()));
  CHECK(keys_of(line) == std::set<std::string>{"schema", "kind", "verdict", "line", "with",
                                               "inserted_mm", "within_mm", "lower_by_mm", "limits",
                                               "cautions"});
  CHECK(line["schema"] == 1);
  CHECK(line["kind"] == "insertion");
  CHECK(line["verdict"] == "reject");
  CHECK(line["inserted_mm"].get<double>() == Near{90});
  CHECK(line["within_mm"].get<double>() == Near{1});
  CHECK(line["lower_by_mm"].get<double>() == Near{10 + 2 * std::sqrt(0.75 / 3)});
  REQUIRE(line["limits"].size() == 3);

  // The shape is the one of a plan's limits.
  const auto plan_line = json::parse(report::json_line(
      {planned::job_of("kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = 260\n"
                       "[post]\nlength = 350\nmark = 100\ndiameter = 27.2\nmaterial = \"steel\"\n"),
       planned::plan_of(
           "kind = \"seatpost\"\n[saddle]\nmeasured = \"extension\"\nheight = 260\n"
           "[post]\nlength = 350\nmark = 100\ndiameter = 27.2\nmaterial = \"steel\"\n"),
       planned::english()}));
  const json& mark = line["limits"][0];
  CHECK(keys_of(mark) == keys_of(plan_line["limits"][0]));
  CHECK(mark["id"] == "mark");
  CHECK(mark["needs"].get<double>() == Near{100});
  CHECK(mark["has"].get<double>() == Near{90});
  CHECK(mark["margin"].get<double>() == Near{-10});
  CHECK(mark["governs"] == true);
  CHECK(line["limits"][2]["governs"] == false);
  std::set<std::string> readings;
  for (const json& part : mark["doubt"]) {
    readings.insert(part["reading"]);
  }
  CHECK(readings == std::set<std::string>{"length", "exposed", "mark"});

  const auto keep = json::parse(report::json_line(inserted(120), planned::english()));
  CHECK(keep["verdict"] == "keep");
  CHECK(keep["lower_by_mm"].is_null());
  CHECK(keep["line"].is_null());
  CHECK(keep["with"] == "steel rule");

  // Nothing to aim at: the limit stands there for programs, the way down does not.
  const auto unknown = json::parse(report::json_line(
      check({.inserted = millimetres(40), .diameter = millimetres(27.2), .instrument = "tape"}),
      planned::english()));
  CHECK(unknown["verdict"] == "reject");
  CHECK(unknown["lower_by_mm"].is_null());
  CHECK(unknown["with"] == "tape");
  CHECK(unknown["limits"][0]["needs"].get<double>() == Near{54.4});

  const auto seen =
      json::parse(report::json_line(check({.line = plan::LineSeen::above}), planned::english()));
  CHECK(seen["verdict"] == "reject");
  CHECK(seen["line"] == "above");
  CHECK(seen["inserted_mm"].is_null());
  CHECK(seen["within_mm"].is_null());
  CHECK(seen["limits"].empty());
}

TEST_CASE("the check says all it can and in German without an English word or a decimal point") {
  const auto mm = millimetres;
  const std::vector<plan::InsertionCheck> checks = {
      inserted(120.5),
      inserted(100.5),
      inserted(70.5),
      check({.inserted = mm(90.5), .minimum = mm(80), .diameter = mm(27.2)}),
      check({.inserted = mm(90.5), .diameter = mm(27.2)}),
      check({.inserted = mm(90.5), .line = plan::LineSeen::none, .instrument = "tape"}),
      check({.inserted = mm(40.5), .diameter = mm(27.2)}),
      check({.inserted = mm(40.5), .diameter = mm(27.2), .line = plan::LineSeen::none}),
      check({.line = plan::LineSeen::above}),
      check({.inserted = mm(120.5), .mark = mm(100), .line = plan::LineSeen::above}),
      check({.inserted = mm(70.5), .mark = mm(100), .line = plan::LineSeen::above}),
      check({.inserted = mm(70.5), .mark = mm(100), .line = plan::LineSeen::hidden}),
      check({.length = mm(90.5), .exposed = mm(20), .mark = mm(100)}),
  };
  const auto told = [](const plan::InsertionCheck& one, const text::Words& words) {
    const auto says = report::insertion_statement(one, words);
    std::vector<std::string> all = {says.look, says.verdict, says.headline, says.action, says.how};
    for (const report::Figure& figure : says.figures) {
      all.push_back(figure.label);
      all.push_back(figure.value);
    }
    for (const report::LimitLine& limit : says.limits) {
      all.insert(all.end(), {limit.name, limit.bound, limit.has, limit.margin, limit.doubt,
                             limit.status, limit.origin, limit.what});
    }
    all.insert(all.end(), says.cautions.begin(), says.cautions.end());
    return all;
  };
  const std::set<std::string> forbidden = languages::english_only();
  const text::Words keys = languages::told_by_key();
  std::set<std::string> said;
  std::size_t looked_at = 0;
  for (const auto& one : checks) {
    for (const std::string& text : told(one, keys)) {
      languages::note_keys(text, said);
    }
    languages::note_keys(report::insertion_report(one, {.width = 1000}, keys), said);
    for (const std::string& text : told(one, planned::german())) {
      CAPTURE(text);
      for (const std::string& word : languages::words_in(text)) {
        CHECK_FALSE_MESSAGE(forbidden.contains(word), word);
        ++looked_at;
      }
      CHECK_FALSE(languages::has_decimal_point(text));
    }
  }
  CHECK(looked_at > 300);
  for (const std::string_view key : kerfmark::text::sentence_keys) {
    if (key.starts_with("report.insertion.")) {
      CHECK_MESSAGE(said.contains(std::string(key)), key);
    }
  }
}
