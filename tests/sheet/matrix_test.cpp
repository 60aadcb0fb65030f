// Every kind of sheet, with texts and lists from nothing to the most that a job may hold: on each
// page nothing lies on anything else or near the edge, nothing of what is to be said is missing,
// and no sheet that lets nobody cut names a length to cut by.

#include <algorithm>
#include <array>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include <doctest/doctest.h>

#include "drawn_ink.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "sheets.hpp"
#include "steps.hpp"

using namespace kerfmark;
using plan::Kind;
using plan::Verdict;

namespace {

constexpr std::size_t most_bytes = 100'000;
constexpr double edge_mm = 10;  // every printer reaches this far, common practice

enum class Lists { none, one, most };

struct Filling {
  std::string name;  // in each field of the paperwork
  Lists lists = Lists::one;
  std::size_t shop_texts = 0;  // own steps and own notes of the shop, so many of each
};

// W is the widest letter; U+1EB2 the tallest and U+0122 among the deepest of the fonts.
std::vector<Filling> fillings() {
  return {{"x", Lists::none, 0},
          {"grey road frame, 50 ", Lists::one, 1},
          {sheets::repeated("Wim van W ", 8), Lists::most, 0},
          {sheets::repeated("W", 200), Lists::most, 0},
          {sheets::repeated("\u1EB2\u0122 ", 66), Lists::one, 24}};
}

struct Cell {
  Kind kind;
  Verdict verdict;
  sheet::Paper paper;
  std::string language;
};

std::vector<Cell> cells() {
  std::vector<Cell> all;
  for (const Kind kind : {Kind::seatpost, Kind::steerer, Kind::handlebar, Kind::mast}) {
    for (const Verdict verdict : {Verdict::cut, Verdict::keep, Verdict::hold, Verdict::reject}) {
      for (const sheet::Paper& paper : {sheet::a4, sheet::letter}) {
        for (const char* language : {"en", "de"}) {
          all.push_back({kind, verdict, paper, language});
        }
      }
    }
  }
  return all;
}

// ---- jobs ----

bool begins_a_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

// The first so many characters.
std::string first(std::string_view text, std::size_t count) {
  std::size_t end = 0;
  for (; end < text.size(); ++end) {
    if (begins_a_character(text[end]) && count-- == 0) {
      break;
    }
  }
  return std::string(text.substr(0, end));
}

std::string papers(const Filling& filling) {
  const auto characters = std::ranges::count_if(filling.name, begins_a_character);
  const std::size_t most_of_notes = 1900;
  return sheets::paperwork(filling.name) + "notes = \"\"\"" +
         sheets::repeated(filling.name, most_of_notes / static_cast<std::size_t>(characters)) +
         "\nlast line\"\"\"\n";
}

// Depths from 224.7 mm down, each a millimetre deeper. The first decides, in tenths, so that the
// cut is a figure that no other stands for: 400 - 140 = 260 mm are in the frame, 224.7 - 2 are
// free.
std::string blockages(const Filling& filling) {
  std::string text;
  for (std::size_t i = 0; i < (filling.lists == Lists::most ? plan::most_blockages : 1); ++i) {
    text += "[[frame.blockage]]\nwhat = '" + first(filling.name, 80) +
            "'\ndepth = " + std::to_string(224 + i) + ".7\n";
  }
  return text;
}

std::string post(Verdict verdict, const Filling& filling) {
  sheets::PostJob job{.paperwork = papers(filling)};
  job.more = "[saw]\nstep = 0.1\n";
  if (filling.lists == Lists::none) {  // the tube is not probed: a mock-up tells
    job.blockages = "";
    job.more += "[mock_up]\nexposed_bottomed = 175.3\n";
  } else {
    job.blockages = blockages(filling);
  }
  if (verdict == Verdict::keep) {
    job.length = "350";
    job.more = "[saw]\nstep = 0.1\n";
  } else if (verdict == Verdict::hold) {
    job.material = "carbon";
    job.cutting = "not stated";
  } else if (verdict == Verdict::reject) {
    job.more_of_post = "max_cut = 30\n";
  }
  return sheets::text_of(job);
}

// 64 rings of half a millimetre are 32 mm below the stem, and as many on hand make 65 positions.
std::string steerer(Verdict verdict, const Filling& filling) {
  sheets::SteererJob job{.paperwork = papers(filling), .material = "aluminium", .above = "5.2"};
  job.more = "[saw]\nstep = 0.1\n";
  std::string rings;
  double below_mm = 0;
  switch (filling.lists) {
    case Lists::none:
      job.below = "[]";
      break;
    case Lists::one:
      job.below = "25";
      below_mm = 25;
      break;
    case Lists::most:
      job.below = "[" + sheets::repeated("0.5, ", plan::most_rings - 1) + "0.5]";
      rings =
          "lowest = 0\non_hand = [" + sheets::repeated("0.5, ", plan::most_rings - 1) + "5.2]\n";
      below_mm = 32;
      break;
  }
  if (verdict == Verdict::keep) {  // a gap of 3 mm without a cut
    job.length = std::to_string(150 + 12 + 40 + 5 + static_cast<int>(below_mm) - 3);
  } else if (verdict == Verdict::hold) {
    job.material = "carbon";
    job.above = "0";
  } else if (verdict == Verdict::reject) {
    rings += "min_above = 10\n";
  }
  job.more = rings + job.more;
  return sheets::text_of(job);
}

sheet::SheetOptions options_of(const Cell& cell, const Filling& filling) {
  sheet::SheetOptions options = sheets::plain_options(cell.language, cell.paper);
  options.digest = "0123456789abcdef";
  if (filling.shop_texts > 0) {
    options.shop.name = filling.name;
    options.shop.line = filling.name;
    options.record = sheet::RecordIdentity{1'000'000, std::string(64, 'a')};
  }
  for (std::size_t i = 0; i < filling.shop_texts; ++i) {
    const std::string number = std::to_string(i + 1);
    options.shop.steps.push_back("Own step " + number + " " + filling.name);
    options.shop.notes.push_back("Own note " + number + " " + filling.name);
  }
  return options;
}

// ---- what must be there ----

// Without blanks: where a line ends, one may be lost or won.
std::string dense(std::string_view text) {
  std::string without;
  for (const char c : text) {
    if (c != ' ' && c != '\n' && c != '\t') {
      without += c;
    }
  }
  return without;
}

std::string printed_text(const std::vector<sheet::Ink>& ink, int page = 0) {
  std::string all;
  for (const sheet::Ink& one : ink) {
    if (drawn_ink::is_text(one) && (page == 0 || one.page == page)) {
      all += one.what;
    }
  }
  return dense(all);
}

// The longest beginning of a text that is printed somewhere.
std::size_t printed_beginning(const std::string& printed, std::string_view text) {
  std::size_t least = 0;
  std::size_t most = text.size();
  while (least < most) {
    const std::size_t half = (least + most + 1) / 2;
    if (printed.find(text.substr(0, half)) == std::string::npos) {
      most = half - 1;
    } else {
      least = half;
    }
  }
  return least;
}

// A long text may be parted once or twice, by the end of a column or a page; a part is some lines.
bool has(const std::string& printed, std::string_view text) {
  constexpr int most_parts = 3;
  constexpr std::size_t least_of_a_part = 60;  // bytes, a line or more
  const std::string whole = dense(text);
  std::string_view left = whole;
  for (int part = 0; part < most_parts && !left.empty(); ++part) {
    const std::size_t found = printed_beginning(printed, left);
    if (found < std::min(left.size(), least_of_a_part)) {
      return false;
    }
    left.remove_prefix(found);
  }
  return left.empty();
}

// Everything that the sheet has to say, from the statement, the steps and the job.
std::vector<std::string> to_be_said(const sheet::Subject& subject) {
  const report::Statement& says = subject.says;
  std::vector<std::string> all = {says.verdict, says.headline, says.because};
  const auto add = [&](const std::vector<report::Figure>& figures) {
    for (const report::Figure& figure : figures) {
      if (!figure.in_brief) {
        continue;  // printed where a page has room
      }
      all.push_back(figure.label);
      all.push_back(figure.value);
    }
  };
  // On a sheet to cut by, headline and drawing have some of them.
  add(subject.now.verdict == Verdict::cut ? std::vector<report::Figure>{} : says.figures);
  for (const report::Figure& figure : says.job) {
    all.push_back(figure.value);
  }
  for (const report::LimitLine& limit : says.limits) {
    if (!limit.stands_out) {
      continue;  // printed where a page has room
    }
    all.push_back(limit.name);
    all.push_back(limit.what);
    all.push_back(limit.source);
    all.push_back(limit.bound);
  }
  for (const report::Step& step : says.next) {
    if (step.on_sheet) {
      all.push_back(step.why);
      all.push_back(step.action);
    }
  }
  for (const std::string& caution : says.cautions) {
    const bool is_first_step = plan::is_yes(subject.now.verdict) &&
                               caution == subject.words().at("report.caution.maker_first");
    all.push_back(is_first_step ? std::string() : caution);
  }
  for (const sheet::BenchStep& step : sheet::bench_steps(subject)) {
    all.push_back(step.text);
  }
  for (const sheet::SafetyNote& note : sheet::safety_notes(subject)) {
    all.push_back(note.text);
  }
  return all;
}

std::string first_missing(const sheet::Subject& subject, const std::string& printed) {
  for (const std::string& text : to_be_said(subject)) {
    if (!has(printed, text)) {
      return text;
    }
  }
  return {};
}

// Names of limits are cells of their own: one ink each.
std::size_t count_of(const std::vector<sheet::Ink>& ink, const std::string& text) {
  return static_cast<std::size_t>(
      std::ranges::count_if(ink, [&](const sheet::Ink& one) { return one.what == text; }));
}

std::string first_limit_missing(const report::Statement& says, const std::vector<sheet::Ink>& ink) {
  for (const report::LimitLine& limit : says.limits) {
    if (limit.stands_out && count_of(ink, limit.name) == 0) {
      return limit.name;
    }
  }
  return {};
}

std::string wrong_page_number(const sheet::PrintedSheet& sheet, const text::Words& words) {
  const int pages = sheet.ink.back().page;
  for (int page = 1; page <= pages; ++page) {
    const std::string want = words.say(
        "sheet.page.page_of", {{"page", std::to_string(page)}, {"pages", std::to_string(pages)}});
    const auto found = std::ranges::count_if(
        sheet.ink, [&](const sheet::Ink& one) { return one.page == page && one.what == want; });
    if (found != 1) {
      return want;
    }
  }
  return {};
}

// ---- no length to cut by ----

// The lengths that a saw could go by, with their unit. What would be left of a post may stand on
// any sheet, as the length of posts that would fit uncut.
std::vector<std::string> lengths_to_cut_by(const plan::Plan& plan, const text::Words& words) {
  std::vector<std::string> lengths = {report::mm(plan.before.at, words)};
  if (plan.planned) {
    lengths.push_back(report::mm(*plan.planned, words));
  }
  if (plan.before.remaining && plan.before.steerer) {
    lengths.push_back(report::mm(*plan.before.remaining, words));
  }
  return lengths;
}

std::string cut_on_a_sheet_without(const sheet::Subject& subject,
                                   const std::vector<sheet::Ink>& ink) {
  if (plan::is_yes(subject.now.verdict) || subject.now.at.in_mm() == 0) {
    return {};
  }
  const std::string text = printed_text(ink);
  for (const std::string& length : lengths_to_cut_by(subject.plan, subject.words())) {
    const std::size_t at = text.find(dense(length));
    if (at != std::string::npos) {
      return text.substr(at < 60 ? 0 : at - 60, 120);
    }
  }
  return {};
}

}  // namespace

TEST_CASE("every kind of sheet with texts and lists from nothing to the most keeps its place") {
  std::size_t with_a_cut_to_hide = 0;
  std::size_t largest = 0;
  for (const Cell& cell : cells()) {
    CAPTURE(cell.language);
    CAPTURE(cell.paper.height_mm);
    for (const Filling& filling : fillings()) {
      CAPTURE(filling.name);
      const std::string text = cell.kind == Kind::seatpost ? post(cell.verdict, filling)
                                                           : steerer(cell.verdict, filling);
      CAPTURE(text);
      const plan::Job job = sheets::read(text);
      const plan::Plan plan = plan::plan_cut(job);
      REQUIRE(plan.before.verdict == cell.verdict);
      const sheet::SheetOptions options = options_of(cell, filling);
      const sheet::PrintedSheet sheet = sheet::print_sheet(job, plan, options);
      const sheet::Subject subject{
          job, plan, plan.now(), options, report::statement_of({job, plan, options.words}), {}};

      CHECK(drawn_ink::text_in_the_way(sheet.ink) == "");
      CHECK(drawn_ink::ink_outside(sheet.ink, {edge_mm, edge_mm, cell.paper.width_mm - edge_mm,
                                               cell.paper.height_mm - edge_mm}) == "");
      CHECK(wrong_page_number(sheet, options.words) == "");
      CHECK(first_missing(subject, printed_text(sheet.ink)) == "");
      CHECK(first_limit_missing(subject.says, sheet.ink) == "");
      CHECK(cut_on_a_sheet_without(subject, sheet.ink) == "");
      CAPTURE(sheet.ink.back().page);
      CHECK(sheet.pdf.size() < most_bytes);
      CHECK(sheet.cautions.empty());
      with_a_cut_to_hide +=
          !plan::is_yes(plan.before.verdict) && plan.before.at.in_mm() > 0 ? 1U : 0U;
      largest = std::max(largest, sheet.pdf.size());
    }
  }
  // A matrix in which no hold or reject has a cut to hide would prove nothing about hiding it.
  CHECK(with_a_cut_to_hide > 30);
  MESSAGE("largest sheet: ", largest, " bytes");
}
