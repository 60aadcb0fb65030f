#include "kerfmark/sheet/sheet.hpp"

#include <algorithm>
#include <iterator>

#include "decision.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lacking.hpp"
#include "true_scale.hpp"
#include "work.hpp"

namespace kerfmark::sheet {
namespace {

// A hold or reject is not a cut sheet, and neither is what is printed after the cut.
std::string title_of(const Subject& subject) {
  const text::Words& words = subject.words();
  return subject.now.is_after()
             ? words.say("sheet.page.title_after", {{"verdict", subject.says.verdict}})
             : words.at("sheet.page.title." + std::string(report::word(subject.now.verdict)));
}

Strips strips_of(const Subject& subject) {
  const plan::Paperwork& p = subject.job.paperwork;
  const std::string number = text::harmless(p.number);
  const std::string bike = text::harmless(p.bike);
  return {title_of(subject),
          number.empty() || bike.empty() ? number + bike : number + " · " + bike};
}

void add(std::vector<Block>& pages, std::vector<Block> more) {
  std::ranges::move(more, std::back_inserter(pages));
}

// Behind the first page: the work, then what that page only begins, and what is spare.
PagesBehind behind_of(const Subject& subject, const LimitsTable& limits, Room room,
                      const Decision& decision, bool with_spare) {
  std::vector<Section> rest = decision.rest;
  std::vector<std::size_t> others = decision.telling;
  if (with_spare) {
    rest.push_back(decision.positions);
    others.insert(others.end(), decision.passive.begin(), decision.passive.end());
    std::ranges::sort(others);
  }
  rest.push_back(limits.section(subject.words().at("sheet.decision.other_limits"), others));
  return pages_behind(subject, limits, std::move(rest), room);
}

Elsewhere found_in(const PagesBehind& behind, bool with_spare) {
  return behind.begins.empty() ? Elsewhere{.with_spare = with_spare}
                               : Elsewhere{behind.begins.front(), behind.begins.back(), with_spare};
}

// What is spare fills a page that is there; it does not make one. On which pages things go on is
// only known once all is laid out: then the first page is set anew, unless it was guessed.
std::vector<Block> pages_of(const Subject& subject, Room room) {
  const LimitsTable limits(subject.says.limits, room.width_mm, subject.words());
  const bool cut = subject.now.verdict == plan::Verdict::cut;
  const int guess = cut ? 3 : 2;
  const Elsewhere guessed{guess, guess, true};
  Decision decision = decision_page(subject, limits, room, guessed);
  PagesBehind behind = behind_of(subject, limits, room, decision, true);
  bool with_spare = true;
  if (behind.pages.size() > 1) {
    PagesBehind needed = behind_of(subject, limits, room, decision, false);
    if (behind.pages.size() > needed.pages.size()) {
      with_spare = false;
      behind = std::move(needed);
    }
  }
  if (const Elsewhere found = found_in(behind, with_spare); found != guessed) {
    decision = decision_page(subject, limits, room, found);
    behind = behind_of(subject, limits, room, decision, with_spare);
  }
  std::vector<Block> pages = {std::move(decision.page)};
  add(pages, std::move(behind.pages));
  if (cut) {
    add(pages, true_scale_pages(subject, room));
  }
  return pages;
}

PrintedSheet printed_sheet(const Subject& subject) {
  PrintedSheet sheet = printed(pages_of(subject, room_on(subject.options.paper)),
                               strips_of(subject), subject.options);
  for (const std::string& list : subject.lacking) {
    sheet.cautions.push_back(subject.words().say("sheet.page.cannot_be_printed", {{"list", list}}));
  }
  return sheet;
}

}  // namespace

PrintedSheet print_sheet(const plan::Job& job, const plan::Plan& plan,
                         const SheetOptions& options) {
  return printed_sheet({job, plan, plan.now(), options,
                        report::statement_of({job, plan, options.words}),
                        lacking_characters(job, options)});
}

}  // namespace kerfmark::sheet
