#include "kerfmark/report/json.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include <nlohmann/json.hpp>

#include "../plan/planned.hpp"
#include "../property/as_cut.hpp"
#include "../property/random_job.hpp"
#include "kerfmark/report/digest.hpp"

using namespace kerfmark;
using nlohmann::json;
using plan::Plan;

namespace {

using Keys = std::set<std::string>;

void check_keys(const json& object, const Keys& want) {
  REQUIRE(object.is_object());
  Keys found;
  for (const auto& item : object.items()) {
    found.insert(item.key());
  }
  CHECK(found == want);
}

void check_number(const json& value, const std::optional<double>& want) {
  if (want) {
    REQUIRE(value.is_number());
    CHECK(std::abs(value.get<double>() - *want) <= 0.5e-9 + 1e-12);  // nine decimals
  } else {
    CHECK(value.is_null());
  }
}

// Of every number in it, the most digits behind the point.
std::size_t most_decimals(const std::string& line) {
  std::size_t most = 0;
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    quoted = (line[i] == '"' && (i == 0 || line[i - 1] != '\\')) ? !quoted : quoted;
    if (quoted || line[i] != '.') {
      continue;
    }
    const std::size_t end = line.find_first_not_of("0123456789", i + 1);
    REQUIRE(line[end] != 'e');
    most = std::max(most, end - i - 1);
  }
  return most;
}

std::optional<double> mm(const std::optional<plan::Length>& length) {
  return length ? std::optional(length->in_mm()) : std::nullopt;
}

void check_span(const json& value, const std::optional<plan::Span>& want) {
  if (!want) {
    CHECK(value.is_null());
    return;
  }
  REQUIRE(value.is_array());
  REQUIRE(value.size() == 2);
  check_number(value[0], mm(want->lo));
  check_number(value[1], mm(want->hi));
}

bool is_one_of(const json& value, std::initializer_list<const char*> words) {
  return value.is_string() &&
         std::ranges::any_of(words, [&](const char* word) { return value == word; });
}

const Keys& heights() {
  static const Keys keys = {"lowest", "height", "highest"};
  return keys;
}

void check_limit(const json& limit, const plan::JudgedLimit& want) {
  check_keys(limit, {"id", "what", "origin", "source", "sense", "bound", "needs", "has", "unit",
                     "margin", "guard", "status", "odds", "governs", "doubt"});
  CHECK(limit["id"] == want.id());
  CHECK_FALSE(limit["what"].get<std::string>().empty());
  CHECK(is_one_of(limit["origin"], {"maker", "published", "measured", "practice", "wish"}));
  CHECK(limit["source"].is_string() == (limit["origin"] == "published"));
  CHECK(limit["sense"] == want.row().slope);
  CHECK(is_one_of(limit["bound"], {"at_least", "at_most"}));
  check_number(limit["needs"], want.needs);
  check_number(limit["has"], want.has);
  CHECK(limit["unit"] == (want.id().ends_with("-mass") ? "kg" : "mm"));
  check_number(limit["margin"], want.at.margin);
  check_number(limit["guard"], want.at.guard);
  CHECK(is_one_of(limit["status"], {"holds", "in_doubt", "broken"}));
  check_number(limit["odds"], want.at.odds);
  CHECK(limit["odds"].get<double>() >= 0.0);
  CHECK(limit["odds"].get<double>() <= 1.0);
  CHECK(limit["governs"] == want.governs);
  REQUIRE(limit["doubt"].is_array());
  double least = 1.0;
  for (const json& part : limit["doubt"]) {
    check_keys(part, {"reading", "within", "share"});
    CHECK_FALSE(part["reading"].get<std::string>().empty());
    CHECK(part["within"].get<double>() > 0.0);
    CHECK(part["share"].get<double>() <= least + planned::arithmetic);  // largest first
    least = part["share"].get<double>();
  }
}

void check_common(const json& line, const plan::Job& job, const Plan& plan) {
  CHECK(line["schema"] == 1);
  CHECK(line["number"].is_null() == job.paperwork.number.empty());
  CHECK(line["digest"] == report::digest_of(job));
  CHECK(is_one_of(line["verdict"], {"cut", "keep", "hold", "reject"}));
  const json& cut = line["cut"];
  check_keys(cut,
             {"at_mm", "planned_mm", "wanted_mm", "window_mm", "kerf_mm", "remaining_mm", "end"});
  check_number(cut["at_mm"], plan.before.at.in_mm());
  check_number(cut["planned_mm"], mm(plan.planned));
  check_number(cut["wanted_mm"], mm(plan.before.wanted));
  check_number(cut["kerf_mm"], plan.kerf.in_mm());
  check_number(cut["remaining_mm"], mm(plan.before.remaining));
  check_span(cut["window_mm"], plan.window
                                   ? std::optional(plan::Span{plan.window->lo, plan.window->hi})
                                   : std::nullopt);
  CHECK(cut["end"] == (plan.before.seatpost ? "lower" : plan.before.handlebar ? "both" : "top"));
  REQUIRE(line["limits"].size() == plan.before.limits.size());
  for (std::size_t i = 0; i < plan.before.limits.size(); ++i) {
    check_limit(line["limits"][i], plan.before.limits[i]);
  }
  REQUIRE(line["holds"].is_array());
  CHECK(line["holds"].empty() == (plan.before.verdict != plan::Verdict::hold));
  for (const json& hold : line["holds"]) {
    check_keys(hold, {"why", "do"});
    CHECK_FALSE(hold["why"].get<std::string>().empty());
    CHECK_FALSE(hold["do"].get<std::string>().empty());
  }
  if (plan.before.conflict) {
    check_keys(line["conflict"], {"lower", "upper", "short_mm"});
    CHECK(line["conflict"]["lower"] == plan.before.limits[plan.before.conflict->lower].id());
    CHECK(line["conflict"]["upper"] == plan.before.limits[plan.before.conflict->upper].id());
    check_number(line["conflict"]["short_mm"], plan.before.conflict->short_by.in_mm());
  } else {
    CHECK(line["conflict"].is_null());
  }
  REQUIRE(line["cautions"].is_array());
  CHECK(line["cautions"].size() >= plan.cautions.size());
  CHECK(line["after"].is_null());
  CHECK(line["trials"].is_null());
}

void check_seatpost(const json& line, const plan::SeatpostFigures& post) {
  check_keys(line,
             {"schema", "kind", "number", "bike", "digest", "verdict", "cut", "limits", "holds",
              "conflict", "cautions", "insertion_mm", "extension_mm", "scale_reading",
              "saddle_range_mm", "uncut_fit", "new_mark_mm", "after", "trials"});
  CHECK(line["kind"] == "seatpost");
  check_keys(line["insertion_mm"], heights());
  check_keys(line["extension_mm"], heights());
  check_number(line["insertion_mm"]["lowest"], post.insertion.lowest.in_mm());
  check_number(line["insertion_mm"]["highest"], post.insertion.highest.in_mm());
  check_number(line["extension_mm"]["height"], post.extension.height.in_mm());
  if (post.scale_reading) {
    check_keys(line["scale_reading"], heights());
    check_number(line["scale_reading"]["lowest"], (*post.scale_reading)[0]);
    check_number(line["scale_reading"]["highest"], (*post.scale_reading)[2]);
  } else {
    CHECK(line["scale_reading"].is_null());
  }
  check_keys(line["saddle_range_mm"], {"uncut", "cut"});
  check_span(line["saddle_range_mm"]["uncut"], post.saddle_range_uncut);
  check_span(line["saddle_range_mm"]["cut"], post.saddle_range_cut);
  if (post.uncut_fit) {
    check_keys(line["uncut_fit"], {"length_mm", "stock_mm"});
    check_span(line["uncut_fit"]["length_mm"], post.uncut_fit->length);
    CHECK(line["uncut_fit"]["stock_mm"].size() == post.uncut_fit->stock.size());
  } else {
    CHECK(line["uncut_fit"].is_null());
  }
  if (post.new_mark) {
    check_keys(line["new_mark_mm"], {"from_lower_end", "from_rails"});
    check_number(line["new_mark_mm"]["from_lower_end"], post.new_mark->from_lower_end.in_mm());
    check_number(line["new_mark_mm"]["from_rails"], post.new_mark->from_rails.in_mm());
  } else {
    CHECK(line["new_mark_mm"].is_null());
  }
}

void check_steerer(const json& line, const plan::SteererFigures& steerer) {
  check_keys(line, {"schema", "kind", "number", "bike", "digest", "verdict", "cut", "limits",
                    "holds", "conflict", "cautions", "gap_mm", "positions", "after", "trials"});
  CHECK(line["kind"] == "steerer");
  check_keys(line["gap_mm"], {"uncut", "cut"});
  check_number(line["gap_mm"]["uncut"], mm(steerer.gap_uncut));
  check_number(line["gap_mm"]["cut"], mm(steerer.gap));
  REQUIRE(line["positions"].is_array());
  REQUIRE(line["positions"].size() == steerer.positions.size());
  for (std::size_t i = 0; i < steerer.positions.size(); ++i) {
    const json& position = line["positions"][i];
    check_keys(position, {"below", "above", "height_mm", "reach_mm"});
    check_number(position["below"], steerer.positions[i].below.in_mm());
    check_number(position["above"], steerer.positions[i].above.in_mm());
    check_number(position["height_mm"], mm(steerer.positions[i].bar_height));
    check_number(position["reach_mm"], mm(steerer.positions[i].bar_reach));
  }
}

void check_handlebar(const json& line, const plan::HandlebarFigures& bar) {
  check_keys(line,
             {"schema", "kind", "number", "bike", "digest", "verdict", "cut", "limits", "holds",
              "conflict", "cautions", "width_mm", "off_centre_mm", "after", "trials"});
  CHECK(line["kind"] == "handlebar");
  CHECK(line["cut"]["end"] == "both");
  check_keys(line["width_mm"], {"uncut", "cut"});
  check_number(line["width_mm"]["uncut"], bar.width_uncut.in_mm());
  check_number(line["width_mm"]["cut"], bar.width.in_mm());
  check_number(line["off_centre_mm"], mm(bar.off_centre));
}

void check_mast(const json& line, const plan::MastFigures& mast) {
  check_keys(line, {"schema", "kind", "number", "bike", "digest", "verdict", "cut", "limits",
                    "holds", "conflict", "cautions", "extension_mm", "spacers_mm",
                    "saddle_range_mm", "after", "trials"});
  CHECK(line["kind"] == "mast");
  CHECK(line["cut"]["end"] == "top");
  check_keys(line["extension_mm"], heights());
  check_keys(line["spacers_mm"], heights());
  check_number(line["extension_mm"]["height"], mast.extension.height.in_mm());
  check_number(line["spacers_mm"]["lowest"], mast.spacers.lowest.in_mm());
  check_number(line["spacers_mm"]["height"], mast.spacers.height.in_mm());
  check_number(line["spacers_mm"]["highest"], mast.spacers.highest.in_mm());
  check_keys(line["saddle_range_mm"], {"uncut", "cut"});
  check_span(line["saddle_range_mm"]["uncut"], mast.saddle_range_uncut);
  check_span(line["saddle_range_mm"]["cut"], mast.saddle_range_cut);
}

void check_trials(const json& trials, const Plan& plan, const plan::Trials& want) {
  check_keys(trials, {"n", "seed", "at_mm", "impossible", "limits"});
  CHECK(trials["n"] == want.count);
  CHECK(trials["seed"] == want.seed);
  CHECK(trials["impossible"] == want.impossible);
  check_number(trials["at_mm"], want.at.in_mm());
  REQUIRE(trials["limits"].size() == plan.before.limits.size());
  for (std::size_t i = 0; i < plan.before.limits.size(); ++i) {
    const json& limit = trials["limits"][i];
    const plan::LimitTrials& one = want.limits.at(i);
    check_keys(limit, {"id", "unit", "low", "high", "mean", "sd", "holds", "beyond_guard",
                       "first_order", "tolerance", "validates"});
    CHECK(limit["id"] == plan.before.limits[i].id());
    CHECK(limit["unit"] == (plan.before.limits[i].id().ends_with("-mass") ? "kg" : "mm"));
    check_number(limit["low"], one.margin.interval.low);
    check_number(limit["high"], one.margin.interval.high);
    check_number(limit["mean"], one.margin.mean);
    check_number(limit["sd"], one.margin.standard_deviation);
    check_number(limit["holds"], one.holds);
    check_number(limit["beyond_guard"], one.beyond_guard);
    check_number(limit["first_order"][0], one.first_order.low);
    check_number(limit["first_order"][1], one.first_order.high);
    check_number(limit["tolerance"], one.tolerance);
    CHECK(limit["validates"].is_null() == !one.validates.has_value());
    if (one.validates) {
      CHECK(limit["validates"] == *one.validates);
    }
  }
}

/// JSON knows −0, a length of the trade does not.
bool has_minus_zero(const json& value) {
  if (value.is_number_float()) {
    return value.get<double>() == 0.0 && std::signbit(value.get<double>());
  }
  return value.is_structured() && std::ranges::any_of(value, has_minus_zero);
}

json line_of(std::string_view text) {
  const plan::Job job = planned::job_of(text);
  return json::parse(report::json_line({job, plan::plan_cut(job), planned::english()}));
}

}  // namespace

TEST_CASE("a line of JSON has the keys of its kind and the figures of the plan") {
  std::size_t checked = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(400); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string text = random_job::text_of(make(random));
      CAPTURE(text);
      const plan::Job job = planned::job_of(text);
      const Plan plan = plan::plan_cut(job);
      const std::string line = report::json_line({job, plan, planned::english()});
      CHECK(std::ranges::all_of(line, [](char c) { return c >= ' ' && c <= '~'; }));
      const json parsed = json::parse(line);
      CHECK_FALSE(has_minus_zero(parsed));
      check_common(parsed, job, plan);
      if (plan.before.seatpost) {
        check_seatpost(parsed, *plan.before.seatpost);
      } else if (plan.before.mast) {
        check_mast(parsed, *plan.before.mast);
      } else if (plan.before.handlebar) {
        check_handlebar(parsed, *plan.before.handlebar);
      } else {
        check_steerer(parsed, *plan.before.steerer);
      }
      ++checked;
    }
  }
  CHECK(checked == random_job::makers.size() * random_job::jobs(400));
}

TEST_CASE("what was measured after the cut has its own part of the line") {
  std::size_t unfit = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(60); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      std::string text = random_job::text_of(make(random));
      const plan::Kind kind = planned::job_of(text).kind;
      const bool post = kind == plan::Kind::seatpost;
      const bool bar = kind == plan::Kind::handlebar;
      text += "\n[as_cut]\n" + as_cut::left(kind, std::to_string((bar ? 400 : 120) + 4 * seed)) +
              (seed % 3 == 0 ? as_cut::offcut(kind, "40") : "");
      CAPTURE(text);
      const plan::Job job = planned::job_of(text);
      const Plan plan = plan::plan_cut(job);
      const plan::Judgement& want = *plan.after;
      const json after = json::parse(report::json_line({job, plan, planned::english()}))["after"];
      Keys keys = {"verdict",          "remaining_mm", "cut_mm", "closure_mm",
                   "closure_guard_mm", "limits",       "holds",  "remedies"};
      keys.merge(post                       ? Keys{"insertion_mm", "saddle_range_mm", "new_mark_mm"}
                 : bar                      ? Keys{}
                 : kind == plan::Kind::mast ? Keys{"spacers_mm", "saddle_range_mm"}
                                            : Keys{"gap_mm"});
      check_keys(after, keys);
      CHECK(is_one_of(after["verdict"], {"fit", "hold", "unfit"}));
      CHECK((after["verdict"] == "fit") == (want.verdict == plan::Verdict::fit));
      CHECK((after["verdict"] == "hold") == (want.verdict == plan::Verdict::hold));
      check_number(after["remaining_mm"], mm(want.remaining));
      check_number(after["cut_mm"], mm(want.made->cut));
      const bool closed = want.made->closure.has_value();
      check_number(after["closure_mm"], closed ? mm(want.made->closure->off) : std::nullopt);
      check_number(after["closure_guard_mm"],
                   closed ? std::optional(want.made->closure->guard_mm) : std::nullopt);
      REQUIRE(after["limits"].size() == want.limits.size());
      for (std::size_t i = 0; i < want.limits.size(); ++i) {
        check_limit(after["limits"][i], want.limits[i]);
      }
      CHECK(after["holds"].empty() == (after["verdict"] != "hold"));
      for (const json& hold : after["holds"]) {
        check_keys(hold, {"why", "do"});
      }
      CHECK(after["remedies"].empty() == (after["verdict"] != "unfit"));
      unfit += after["verdict"] == "unfit" ? 1U : 0U;
      if (post) {
        check_keys(after["insertion_mm"], heights());
        check_span(after["saddle_range_mm"], want.seatpost->saddle_range_uncut);
      } else if (bar) {
        CHECK(want.remaining.has_value());  // what is left is the width
      } else if (want.mast) {
        check_keys(after["spacers_mm"], heights());
        check_number(after["spacers_mm"]["lowest"], want.mast->spacers.lowest.in_mm());
        check_span(after["saddle_range_mm"], want.mast->saddle_range_uncut);
      } else {
        check_number(after["gap_mm"], mm(want.steerer->gap));
      }
    }
  }
  CHECK(unfit > 10);
}

TEST_CASE("readings - blockages and rings are named by their key and number") {
  const json post = line_of(R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
frame = { blockage = [{ depth = 225 }, { depth = 230 }] }
post = { length = 400, diameter = 27.2, mark = 100, material = "steel", cutting = "allowed" }
)");
  std::set<std::string> named;
  for (const json& limit : post["limits"]) {
    named.insert(limit["id"].get<std::string>());
    for (const json& part : limit["doubt"]) {
      named.insert(part["reading"].get<std::string>());
    }
  }
  for (const auto* const name :
       {"blockage-1", "blockage-2", "clearance-2", "frame.blockage-1.depth",
        "frame.blockage-2.depth", "saddle.height", "post.length", "post.mark", "saw.within"}) {
    CAPTURE(name);
    CHECK(named.count(name) == 1);
  }
  const json fork = line_of(R"(kind = "steerer"
steerer = { length = 300, material = "steel" }
frame = { head_tube = 150 }
headset = { lower = { read = 0, within = 0 }, upper = 12 }
stem = { clamp = 40 }
spacers = { below = [10, 10, 5], above = 5 }
)");
  std::set<std::string> rings;
  for (const json& part : fork["limits"][0]["doubt"]) {
    rings.insert(part["reading"].get<std::string>());
  }
  CHECK(rings.count("spacers.below-1") == 1);
  CHECK(rings.count("spacers.below-3") == 1);
  CHECK(fork["positions"] == json::array());
}

TEST_CASE("text of a job comes back from JSON as it was") {
  const json line = line_of(R"(kind = "seatpost"
job = { number = "7/B \"é\" \u001b[2J" }
saddle = { measured = "extension", height = 140 }
post = { length = 400, diameter = 27.2, mark = 100, material = "steel" }
)");
  CHECK(line["number"] == "7/B \"\xC3\xA9\" \x1B[2J");
}

// RFC 8259, section 7: the G clef, U+1D11E, is a pair of surrogates.
TEST_CASE("a line names its file and has the cautions of the reader behind those of the plan") {
  const plan::Job job = planned::job_of(R"(kind = "seatpost"
saddle = { measured = "extension", height = 140 }
post = { length = 400, diameter = 27.2, mark = 100, material = "steel" }
)");
  const plan::Plan plan = plan::plan_cut(job);
  const std::string name = "\\ \"\b\f\n\r\t\x01\x7F \xF0\x9D\x84\x9E \xE2\x82\xAC.toml";
  const std::string line =
      report::json_line({job, plan, planned::english()}, {name, {"saddle.crank: is not used"}});
  CHECK(std::ranges::all_of(line, [](char c) { return c >= ' ' && c <= '~'; }));
  CHECK(line.find("\\ud834\\udd1e") != std::string::npos);
  const json parsed = json::parse(line);
  CHECK(parsed["file"] == name);
  CHECK(parsed["bike"].is_null());
  const json alone = json::parse(report::json_line({job, plan, planned::english()}));
  CHECK(!alone.contains("file"));
  CHECK(parsed["cautions"].size() == alone["cautions"].size() + 1);
  CHECK(parsed["cautions"].back() == "saddle.crank: is not used");
}

TEST_CASE("a bad file has a line of its own") {
  const std::array<text::FindingLine, 2> findings = {
      {{3, 7, "post.length", "no"}, {std::nullopt, std::nullopt, std::nullopt, "cannot read it"}}};
  const std::string line = report::json_line("caf\xE9.toml", findings);
  CHECK(std::ranges::all_of(line, [](char c) { return c >= ' ' && c <= '~'; }));
  const json parsed = json::parse(line);
  check_keys(parsed, {"schema", "file", "findings"});
  REQUIRE(parsed["findings"].size() == 2);
  for (const json& finding : parsed["findings"]) {
    check_keys(finding, {"line", "column", "key", "message"});
  }
  CHECK(parsed["findings"][0]["line"] == 3);
  CHECK(parsed["findings"][0]["column"] == 7);
  CHECK(parsed["findings"][0]["key"] == "post.length");
  CHECK(parsed["findings"][1]["line"].is_null());
  CHECK(parsed["findings"][1]["key"].is_null());
  const json more = json::parse(report::json_line("job.toml", findings, 7));
  check_keys(more, {"schema", "file", "findings", "findings_left_out"});
  CHECK(more["findings_left_out"] == 7);
}

TEST_CASE("trials stand at the top of a line - or null") {
  std::size_t undecided = 0;
  for (const auto make : random_job::makers) {
    for (unsigned seed = 1; seed <= random_job::jobs(30); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const plan::Job job = planned::job_of(random_job::text_of(make(random)));
      const Plan plan = plan::plan_cut(job);
      const plan::Trials trials =
          plan::run_trials(job, plan, {.count = plan::fewest_trials},
                           [](std::size_t count, const std::function<void(std::size_t)>& task) {
                             for (std::size_t i = 0; i < count; ++i) {
                               task(i);
                             }
                           });
      const json line =
          json::parse(report::json_line({job, plan, planned::english()}, {}, &trials));
      CHECK_FALSE(has_minus_zero(line));
      check_trials(line["trials"], plan, trials);
      undecided += static_cast<std::size_t>(std::ranges::count_if(
          trials.limits, [](const plan::LimitTrials& l) { return !l.validates; }));
      const json without = json::parse(report::json_line({job, plan, planned::english()}));
      REQUIRE(without.contains("trials"));
      CHECK(without["trials"].is_null());
    }
  }
  CHECK(undecided > 10);  // null is among what was looked at
}

TEST_CASE("numbers have nine decimals at the most and no minus zero") {
  const auto line_of = [](const plan::Job& job) {
    return report::json_line({job, plan::plan_cut(job), planned::english()});
  };
  for (const auto make : random_job::makers) {
    std::size_t most = 0;
    for (unsigned seed = 1; seed <= random_job::jobs(100); ++seed) {
      CAPTURE(seed);
      random_job::Random random(seed);
      const std::string line = line_of(planned::job_of(random_job::text_of(make(random))));
      most = std::max(most, most_decimals(line));
      CHECK(line.find("-0.0,") == std::string::npos);
      CHECK(line.find("-0,") == std::string::npos);
    }
    CHECK(most == 9);
  }
}
