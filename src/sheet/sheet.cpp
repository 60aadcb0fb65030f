#include "kerfmark/sheet/sheet.hpp"

#include <algorithm>
#include <iterator>

#include "as_cut.hpp"
#include "decision.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lacking.hpp"
#include "true_scale.hpp"
#include "work.hpp"

namespace kerfmark::sheet {
namespace {

// A hold or reject is no cut sheet, and what is said after the cut is none any more.
std::string title_of(const Subject& subject) {
  const text::Words& words = subject.words();
  return subject.plan.after
             ? words.say("sheet.page.title_after", {{"verdict", subject.says.verdict}})
             : words.at("sheet.page.title." + std::string(report::word(subject.plan.verdict)));
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

// What found no room on the first two pages comes last.
std::vector<Block> cut_sheet(const Subject& subject, const LimitsTable& limits, Room room) {
  const text::Words& words = subject.words();
  const std::vector<Block> true_scale = true_scale_pages(subject, room);
  const int page_of_rest = static_cast<int>(true_scale.size()) + 3;
  Decision decision = decision_page(subject, limits, room, page_of_rest);
  Work work = work_of_cut(subject, room, page_of_rest);
  std::vector<Block> pages = {std::move(decision.page), std::move(work.page)};
  add(pages, true_scale);
  std::vector<Section> rest = std::move(work.rest);
  std::ranges::move(decision.rest, std::back_inserter(rest));
  add(pages, paged(std::move(rest), heads_of(subject, words.at("sheet.page.more"), room.width_mm),
                   room, words)
                 .pages);
  return pages;
}

// What found no room on the first page follows where the work ends; on which page, only the layout
// of both tells.
std::vector<Block> sheet_without_cut(const Subject& subject, const LimitsTable& limits, Room room) {
  constexpr int second_page = 2;
  Decision decision = decision_page(subject, limits, room, second_page);
  Behind behind = pages_without_cut(subject, limits, decision.rest, room);
  if (behind.page_of_rest != second_page) {
    decision = decision_page(subject, limits, room, behind.page_of_rest);
    behind = pages_without_cut(subject, limits, std::move(decision.rest), room);
  }
  std::vector<Block> pages = {std::move(decision.page)};
  add(pages, std::move(behind.pages));
  return pages;
}

std::vector<Block> pages_of(const Subject& subject, Room room) {
  const LimitsTable limits(subject.says.limits, room.width_mm, subject.words());
  return subject.plan.verdict == plan::Verdict::cut ? cut_sheet(subject, limits, room)
                                                    : sheet_without_cut(subject, limits, room);
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
  const std::vector<std::string> lacking = lacking_characters(job, options);
  if (!plan.after) {
    return printed_sheet(
        {job, plan, options, report::statement_of(job, plan, options.words), lacking});
  }
  const AsCut now = as_cut(job, plan, options.words);
  return printed_sheet({now.job, now.plan, options, now.says, lacking});
}

}  // namespace kerfmark::sheet
