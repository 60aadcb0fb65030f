// What a sheet is read by: print large and dark enough for the place where it is read, figures
// whole, pages worth their paper. Sizes are those that the canvas drew.

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "drawn_ink.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "measure_twice.hpp"
#include "sheets.hpp"
#include "steps.hpp"

using namespace kerfmark;
using plan::Kind;
using plan::Verdict;
using sheet::Ink;

namespace {

// Points at arm's length, in the hand, and beside a box to write in; common practice of workshop
// documents, decided for these sheets.
constexpr double steps_pt = 11;
constexpr double warnings_pt = 10;
constexpr double write_in_pt = 9;
// 7:1 on white paper: (1.05)/(L + 0.05) = 7 gives L = 0.1, in sRGB a grey of 0.349 (WCAG 2.1,
// 1.4.6 and the definition of relative luminance).
constexpr double lightest_grey = 0.349;
constexpr std::size_t least_lines = 6;
// Decision, two pages of work, true scale; without a cut no true scale.
constexpr int most_pages_of_cut = 4;
constexpr int most_pages_without = 3;

struct Printed {
  std::string name;
  plan::Job job;
  plan::Plan plan;
  sheet::SheetOptions options;
  sheet::PrintedSheet sheet;
};

std::string metal_or_carbon(std::string text, std::string_view material) {
  for (const std::string_view given : {"'carbon'", "'aluminium'"}) {
    if (const std::size_t at = text.find(given); at != std::string::npos) {
      text.replace(at, given.size(), "'" + std::string(material) + "'");
      return text;
    }
  }
  return text;
}

std::string after_the_cut(Kind kind, std::string_view verdict) {
  const bool post = kind == Kind::seatpost;
  const std::string_view left =
      verdict == "unfit" ? (post ? "220" : "213") : (post ? "362" : "229");
  return sheets::job_for(kind, Verdict::cut, "number = '2031'\n") +
         "[as_cut]\nlength = " + std::string(left) + (verdict == "hold" ? "\noffcut = 20\n" : "\n");
}

std::vector<std::pair<std::string, std::string>> jobs() {
  const std::string papers =
      "number = '2031'\nbike = 'grey road frame, size 50'\nowner = 'Oda Venn'\nby = 'Marrow'\n"
      "date = 2026-11-20\nnotes = 'Came with the 400 mm post of the larger sizes.'\n";
  std::vector<std::pair<std::string, std::string>> all;
  for (const Kind kind : {Kind::seatpost, Kind::steerer}) {
    const std::string part = kind == Kind::seatpost ? "post " : "steerer ";
    for (const Verdict verdict : {Verdict::cut, Verdict::keep, Verdict::hold, Verdict::reject}) {
      for (const char* material : {"carbon", "aluminium", "steel", "titanium"}) {
        all.emplace_back(part + std::string(report::word(verdict)) + " " + material,
                         metal_or_carbon(sheets::job_for(kind, verdict, papers), material));
      }
    }
    for (const char* verdict : {"fit", "hold", "unfit"}) {
      all.emplace_back(part + "after the cut " + verdict, after_the_cut(kind, verdict));
    }
  }
  return all;
}

std::vector<Printed> print_all() {
  std::vector<Printed> all;
  for (const auto& [name, text] : jobs()) {
    const plan::Job job = sheets::read(text);
    const plan::Plan plan = plan::plan_cut(job);
    for (const char* language : {"en", "de"}) {
      for (const sheet::Paper& paper : {sheet::a4, sheet::letter}) {
        const sheet::SheetOptions options = sheets::plain_options(language, paper);
        all.push_back({name + ", " + language + (paper.width_mm < 215 ? ", A4" : ", Letter"), job,
                       plan, options, sheet::print_sheet(job, plan, options)});
      }
    }
  }
  return all;
}

template <class Look>
std::size_t for_each_sheet(const Look& look) {
  static const std::vector<Printed> all = print_all();
  for (const Printed& printed : all) {
    CAPTURE(printed.name);
    look(printed);
  }
  return all.size();
}

// What the sheet is about, as its pages have it.
template <class Look>
void with_subject(const Printed& printed, const Look& look) {
  const plan::Plan& plan = printed.plan;
  const text::Words& words = printed.options.words;
  look(sheet::Subject{printed.job,
                      plan,
                      plan.now(),
                      printed.options,
                      report::statement_of({printed.job, plan, words}),
                      {}});
}

std::string dense(std::string_view text) {
  std::string without;
  for (const char c : text) {
    if (c != ' ' && c != '\n') {
      without += c;
    }
  }
  return without;
}

// Lines drawn one after the other that make up a text; the largest print that any run of them has
// is what it is read by. 0: it is nowhere.
double size_of(const std::vector<Ink>& ink, std::string_view text) {
  const std::string wanted = dense(text);
  double best = 0;
  for (std::size_t i = 0; i < ink.size(); ++i) {
    if (ink[i].what.empty() || ink[i].what.front() != wanted.front()) {
      continue;
    }
    std::string run;
    double smallest = 1000;
    for (std::size_t at = i; at < ink.size() && run.size() < wanted.size(); ++at) {
      if (drawn_ink::is_text(ink[at])) {
        run += dense(ink[at].what);
        smallest = std::min(smallest, ink[at].size_pt);
      }
      if (!wanted.starts_with(run)) {
        break;
      }
    }
    if (run == wanted) {
      best = std::max(best, smallest);
    }
  }
  return best;
}

double smallest_of(const Printed& printed, const std::vector<std::string>& texts) {
  double smallest = 1000;
  for (const std::string& text : texts) {
    const double size = size_of(printed.sheet.ink, text);
    INFO(text);
    CHECK(size > 0);
    smallest = std::min(smallest, size);
  }
  return smallest;
}

// From the title of a section to the next: all of it stands in the order in which it was drawn.
double smallest_between(const std::vector<Ink>& ink, const std::string& title,
                        const std::string& last) {
  auto at = std::ranges::find(ink, title, &Ink::what);
  double smallest = 1000;
  for (; at != ink.end() && !dense(at->what).ends_with(dense(last).substr(dense(last).size() - 4));
       ++at) {
    if (drawn_ink::is_text(*at)) {
      smallest = std::min(smallest, at->size_pt);
    }
  }
  return smallest;
}

std::vector<std::string> names_of_boxes(const Printed& printed) {
  const text::Words& words = printed.options.words;
  std::vector<std::string> names = {words.at("sheet.page.sheet_number")};
  for (const char* key : {"job", "bike", "owner", "date", "by", "checked_by"}) {
    names.push_back(words.at("sheet.decision." + std::string(key)));
  }
  with_subject(printed, [&](const sheet::Subject& subject) {
    for (const sheet::BenchStep& box : sheet::sign_off(subject)) {
      names.push_back(box.text);
    }
    if (subject.now.verdict == Verdict::cut) {
      for (const char* key : {"remaining", "offcut", "kerf", "sum", "original", "difference"}) {
        names.push_back(words.at("sheet.work." + std::string(key)));
      }
    }
  });
  return names;
}

// "216.4 mm" and its like, as they stand in a text.
std::vector<std::string> figures_with_units(const std::string& text) {
  std::vector<std::string> figures;
  for (const std::string_view unit : {" mm", " kg", " deg", " in", "°"}) {
    for (std::size_t at = text.find(unit); at != std::string::npos; at = text.find(unit, at + 1)) {
      std::size_t from = at;
      while (from > 0 && (std::isdigit(static_cast<unsigned char>(text[from - 1])) != 0 ||
                          text[from - 1] == '.' || text[from - 1] == ',')) {
        --from;
      }
      if (from < at) {
        figures.push_back(text.substr(from, at - from) + std::string(unit));
      }
    }
  }
  return figures;
}

bool on_one_line(const std::vector<Ink>& ink, const std::string& figure) {
  return std::ranges::any_of(
      ink, [&](const Ink& one) { return one.what.find(figure) != std::string::npos; });
}

// Lines of text that differ in their height on the page, without head and foot.
std::size_t lines_on(const std::vector<Ink>& ink, int page, const sheet::Paper& paper) {
  std::vector<double> bottoms;
  for (const Ink& one : ink) {
    const bool inside = one.box.top_mm > 25 && one.box.bottom_mm < paper.height_mm - 22;
    if (one.page == page && drawn_ink::is_text(one) && inside &&
        std::ranges::none_of(bottoms,
                             [&](double y) { return std::abs(y - one.box.bottom_mm) < 2; })) {
      bottoms.push_back(one.box.bottom_mm);
    }
  }
  return bottoms.size();
}

std::string too_light(const std::vector<Ink>& ink) {
  const auto found = std::ranges::find_if(ink, [](const Ink& one) {
    return drawn_ink::is_text(one) && one.grey > lightest_grey && one.grey < 1;
  });
  return found == ink.end() ? std::string() : found->what;
}

}  // namespace

TEST_CASE("steps warnings and what is filled in are large enough for where they are read") {
  const std::size_t sheets = for_each_sheet([](const Printed& printed) {
    with_subject(printed, [&](const sheet::Subject& subject) {
      std::vector<std::string> steps, warnings;
      for (const sheet::BenchStep& step : sheet::bench_steps(subject)) {
        steps.push_back(step.text);
      }
      for (const report::Step& step : subject.says.next) {
        if (step.on_sheet) {
          steps.push_back(step.action);
        }
      }
      for (const sheet::SafetyNote& note : sheet::safety_notes(subject)) {
        warnings.push_back(note.text);
      }
      CHECK(smallest_of(printed, steps) >= steps_pt);
      CHECK(smallest_of(printed, warnings) >= warnings_pt);
    });
    const text::Words& words = printed.options.words;
    CHECK(smallest_between(printed.sheet.ink, words.at("sheet.work.measure_twice"),
                           words.at("sheet.work.apart_says")) >= warnings_pt);
    CHECK(smallest_of(printed, names_of_boxes(printed)) >= write_in_pt);
    CHECK(too_light(printed.sheet.ink) == "");
  });
  CHECK(sheets == 2 * (4 * 4 + 3) * 2 * 2);
}

TEST_CASE("forms are as legible and their warning stands first") {
  for (const Kind kind : {Kind::seatpost, Kind::steerer}) {
    for (const char* language : {"en", "de"}) {
      for (const sheet::Paper& paper : {sheet::a4, sheet::letter}) {
        CAPTURE(language);
        const sheet::SheetOptions options = sheets::plain_options(language, paper);
        const sheet::PrintedSheet form = sheet::print_blank(kind, options);
        CHECK(size_of(form.ink, options.words.at("sheet.blank.warning")) >= warnings_pt);
        CHECK(too_light(form.ink) == "");
        const auto at = [&](const std::string& text) {
          return std::ranges::find_if(form.ink, [&](const Ink& one) {
            return one.page == 1 && text.starts_with(one.what) && one.what.size() > 6;
          });
        };
        const auto warning = at(options.words.at("sheet.blank.warning"));
        const auto letters = at(options.words.at("sheet.blank.legend"));
        REQUIRE(warning != form.ink.end());
        REQUIRE(letters != form.ink.end());
        CHECK(warning->box.bottom_mm < letters->box.top_mm);
        for (const Ink& one : form.ink) {
          const bool in_strip =
              one.box.bottom_mm < 22 || one.box.top_mm > paper.height_mm - 22;  // head and foot
          if (drawn_ink::is_text(one) && !in_strip && one.what.size() > 2) {
            CAPTURE(one.what);
            CHECK(one.size_pt >= write_in_pt);
          }
        }
      }
    }
  }
}

TEST_CASE("no figure leaves its unit or is broken") {
  std::size_t seen = 0;
  for_each_sheet([&](const Printed& printed) {
    with_subject(printed, [&](const sheet::Subject& subject) {
      std::vector<std::string> texts = {subject.says.headline, subject.says.because};
      for (const sheet::BenchStep& step : sheet::bench_steps(subject)) {
        texts.push_back(step.text);
      }
      for (const report::Step& step : subject.says.next) {
        texts.push_back(step.on_sheet ? step.action : std::string());
      }
      for (const std::string& text : texts) {
        for (const std::string& figure : figures_with_units(text)) {
          CAPTURE(figure);
          CHECK(on_one_line(printed.sheet.ink, figure));
          ++seen;
        }
      }
    });
    // No line begins with a unit that its figure has been left by.
    for (const Ink& one : printed.sheet.ink) {
      CAPTURE(one.what);
      CHECK_FALSE((one.what.starts_with("mm ") && !one.what.starts_with("mm ±")));
    }
  });
  CHECK(seen > 500);
}

TEST_CASE("a figure of many decimals stays whole in the table to measure by") {
  // 8 7/8 in are 225.425 mm.
  const std::string text = sheets::text_of(
      sheets::PostJob{.blockages = "[[frame.blockage]]\ndepth = ['225.425 mm', '225.425 mm']\n"});
  const plan::Job job = sheets::read(text);
  for (const char* language : {"en", "de"}) {
    const sheet::SheetOptions options = sheets::plain_options(language);
    const sheet::PrintedSheet sheet = sheet::print_sheet(job, plan::plan_cut(job), options);
    const std::string figure = report::plain(225.425, options.words);
    CHECK(std::ranges::count(sheet.ink, figure, &Ink::what) == 2);
  }
}

TEST_CASE("a sheet keeps its number of pages and no page is nearly empty") {
  for_each_sheet([](const Printed& printed) {
    const int pages = printed.sheet.ink.back().page;
    const bool cut = !printed.plan.after && printed.plan.before.verdict == Verdict::cut;
    CHECK(pages <= (cut ? most_pages_of_cut : most_pages_without));
    for (int page = 1; page <= pages; ++page) {
      CAPTURE(page);
      CHECK(lines_on(printed.sheet.ink, page, printed.options.paper) >= least_lines);
    }
  });
}

TEST_CASE("the new mark is second among the figures on the first page") {
  std::size_t seen = 0;
  for_each_sheet([&](const Printed& printed) {
    const text::Words& words = printed.options.words;
    if (!printed.plan.before.seatpost || printed.plan.before.verdict != Verdict::cut ||
        printed.plan.after) {
      return;
    }
    // Labels of figures stand at the left edge, below the title of their section.
    const auto title =
        std::ranges::find(printed.sheet.ink, words.at("sheet.decision.figures"), &Ink::what);
    REQUIRE(title != printed.sheet.ink.end());
    std::map<double, std::string> labels;
    for (const Ink& one : printed.sheet.ink) {
      if (one.page == 1 && drawn_ink::is_text(one) && one.box.top_mm > title->box.bottom_mm &&
          std::abs(one.box.left_mm - title->box.left_mm) < 1) {
        labels.emplace(one.box.top_mm, one.what);
      }
    }
    REQUIRE(labels.size() > 2);
    CHECK(std::next(labels.begin())->second == words.at("report.label.new_mark"));
    ++seen;
  });
  CHECK(seen >= 4 * 2 * 2);
}

TEST_CASE("a hold has boxes for who answered what and when") {
  std::size_t seen = 0;
  for_each_sheet([&](const Printed& printed) {
    with_subject(printed, [&](const sheet::Subject& subject) {
      const auto asked = std::ranges::count_if(subject.says.next, [](const report::Step& step) {
        return step.on_sheet && step.answer == report::StepAnswer::people;
      });
      for (const char* key : {"answer", "who", "when"}) {
        CHECK(std::ranges::count(printed.sheet.ink,
                                 subject.words().at("sheet.work.asked." + std::string(key)),
                                 &Ink::what) >= asked);
      }
      seen += static_cast<std::size_t>(asked);
    });
  });
  CHECK(seen > 0);
}

TEST_CASE("what was planned stands beside the boxes of what is measured after the cut") {
  // By hand: 400 long, 140 out, 225 to the lip with 2 of air: 37 off, 363 left; 1 of it is dust.
  const plan::Job job = sheets::read(sheets::job_for(Kind::seatpost, Verdict::cut, ""));
  const sheet::PrintedSheet sheet =
      sheet::print_sheet(job, plan::plan_cut(job), sheets::plain_options());
  CHECK(std::ranges::count(sheet.ink, "planned 363 mm", &Ink::what) == 1);
  CHECK(std::ranges::count(sheet.ink, "planned 36 mm", &Ink::what) == 1);
}

namespace {

// Keys of the values in the table to measure by, in their order.
std::vector<std::string> measured_in(const std::string& text) {
  const plan::Job job = sheets::read(text);
  const plan::Plan plan = plan::plan_cut(job);
  const sheet::SheetOptions options = sheets::plain_options();
  const Printed printed{"", job, plan, options, {}};
  std::vector<std::string> keys;
  with_subject(printed, [&](const sheet::Subject& subject) {
    for (const measure::ReadingIndex one : sheet::to_read_again(subject)) {
      keys.push_back(subject.job.readings[one].key);
    }
  });
  return keys;
}

}  // namespace

using Keys = std::vector<std::string>;

TEST_CASE("values to measure again stand in the order of measuring with the bicycle whole first") {
  CHECK(measured_in(sheets::job_for(Kind::seatpost, Verdict::cut, "")) ==
        Keys{"saddle.height", "frame.blockage-1.depth", "post.length", "post.mark"});
  // The stack stands on the steerer before anything comes off.
  const Keys steerer = measured_in(sheets::job_for(Kind::steerer, Verdict::cut, "") +
                                   "[mock_up]\nstands_proud = 68\n");
  REQUIRE(!steerer.empty());
  CHECK(steerer.front() == "mock_up.stands_proud");
}

TEST_CASE("each ring of a stack is measured again once and nothing that moves no limit") {
  // 10 and 5 below the stem are two of the 10, 5 and 5 at its highest; without a wished bar the
  // angle of the stem moves nothing.
  std::string text = sheets::text_of(
      sheets::SteererJob{.below = "[10, 5]", .more = "highest = [10, 5, 5]\nlowest = [10]\n"});
  text.replace(text.find("clamp = 40\n"), 11, "clamp = 40\nlength = 90\nangle = -6\n");
  const Keys keys = measured_in(text);
  for (const char* key : {"spacers.highest-1", "spacers.highest-2", "spacers.highest-3",
                          "spacers.above", "stem.clamp", "steerer.length"}) {
    CAPTURE(key);
    CHECK(std::ranges::count(keys, key) == 1);
  }
  for (const std::string& key : keys) {
    CAPTURE(key);
    CHECK_FALSE(key.starts_with("spacers.below"));
    CHECK_FALSE(key.starts_with("spacers.lowest"));
    CHECK_FALSE(key.starts_with("stem.angle"));
    CHECK_FALSE(key.starts_with("stem.length"));
  }
}

TEST_CASE("after the cut nothing is asked for that the saw has taken") {
  const Keys post = measured_in(after_the_cut(Kind::seatpost, "fit"));
  for (const char* gone : {"post.length", "post.mark"}) {
    CAPTURE(gone);
    CHECK(std::ranges::count(post, gone) == 0);
  }
  for (const char* there : {"as_cut.length", "frame.blockage-1.depth", "saddle.height"}) {
    CAPTURE(there);
    CHECK(std::ranges::count(post, there) == 1);
  }
  const Keys steerer = measured_in(after_the_cut(Kind::steerer, "fit"));
  CHECK(std::ranges::count(steerer, "steerer.length") == 0);
  CHECK(std::ranges::count(steerer, "as_cut.length") == 1);
}

TEST_CASE("what went with the offcut is not asked for after the cut") {
  // Readings of the whole part cannot be taken again; those of what is left and of the frame can.
  CHECK(measured_in(sheets::job_for(Kind::seatpost, Verdict::cut, "") +
                    "[as_cut]\nlength = 363\noffcut = 36\n") ==
        Keys{"saddle.height", "frame.blockage-1.depth", "as_cut.length", "as_cut.offcut"});
  for (const std::string& key : measured_in(sheets::job_for(Kind::steerer, Verdict::cut, "") +
                                            "[mock_up]\nstands_proud = 68\n[as_cut]\ngap = 3\n")) {
    CAPTURE(key);
    CHECK(key != "steerer.length");
    CHECK(key != "mock_up.stands_proud");
  }
}
