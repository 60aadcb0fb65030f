#include "kerfmark/report/cut_line.hpp"

#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::report {
namespace {

using text::Sentence;

std::string master(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const LengthsToMark marks = lengths_to_mark(telling);
  switch (plan.line->master) {
    case plan::MarkFrom::end_that_stays:
      return words.say(telling.own("report.saw_at.from_end_that_stays"), {{"left", marks.left}});
    case plan::MarkFrom::end_that_goes:
      return words.say(telling.own("report.saw_at.from_end_that_goes"), {{"cut", marks.cut}});
    case plan::MarkFrom::mock_up:
      return words.say("report.saw_at.by_mock_up", {{"gap", marks.gap}});
  }
  return {};
}

Sentence harmless(const plan::CutLine& line) {
  if (line.less_is_harmless) {
    return line.more_is_harmless ? Sentence("report.saw_at.harmless")
                                 : Sentence("report.saw_at.less_is_harmless");
  }
  return line.more_is_harmless ? Sentence("report.saw_at.more_is_harmless")
                               : Sentence("report.saw_at.not_harmless");
}

}  // namespace

std::string cut_in_short(const Telling& telling) {
  return telling.words.say(telling.own("sheet.page.off_end"),
                           {{"cut", mm(telling.now.at, telling.words)}});
}

std::string where_to_saw(const Telling& telling) {
  const auto& [job, plan, now, words] = telling;
  const plan::CutLine& line = *plan.line;
  const Sentence others = line.confirm.empty()       ? Sentence("report.saw_at.alone")
                          : line.confirm.size() == 1 ? telling.own("report.saw_at.confirmed")
                                                     : Sentence("report.saw_at.confirmed_twice");
  return words.say(others, {{"master", master(telling)},
                            {"less", one_decimal(line.less_mm, Rounding::down, words)},
                            {"more", one_decimal(line.more_mm, Rounding::down, words)}});
}

std::string safer_way(const plan::CutLine& line, const text::Words& words) {
  return words.at(harmless(line));
}

}  // namespace kerfmark::report
