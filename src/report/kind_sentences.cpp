#include "kind_sentences.hpp"

#include <array>

namespace kerfmark::report {
namespace {

// In the order of the enumerators.
constexpr auto table = std::to_array<KindSentences>({
    {.headline_cut = "report.headline.cut_post",
     .headline_keep = "report.headline.keep_post",
     .too_short = "report.headline.reject_post_too_short",
     .misfit = "report.headline.reject_post_misfit",
     .no_cut = "report.headline.reject_post_no_cut",
     .value_cut = "report.value.cut_post",
     .in_short = "sheet.page.off_one_end",
     .unsettled = "report.value.unsettled_post",
     .limits_uncut = "report.title.limits_uncut_post",
     .next_keep = "report.next.keep_post",
     .from_end_that_stays = "report.saw_at.from_rails",
     .from_end_that_goes = "report.saw_at.from_lower_end",
     .confirmed = "report.saw_at.confirmed",
     .left_after = "report.after.value.left_post",
     .fit = "report.after.do.fit_post",
     .surplus = "report.after.do.look_for_surplus_post",
     .ask_maker = "report.remedy.ask_maker_of_post",
     .other_part = "report.remedy.other_post"},
    {.headline_cut = "report.headline.cut_steerer",
     .headline_keep = "report.headline.keep_steerer",
     .too_short = "report.headline.reject_steerer_too_short",
     .misfit = "report.headline.reject_steerer_misfit",
     .no_cut = "report.headline.reject_steerer_no_cut",
     .value_cut = "report.value.cut_steerer",
     .in_short = "sheet.page.off_one_end",
     .unsettled = "report.value.unsettled_steerer",
     .limits_uncut = "report.title.limits_uncut_steerer",
     .next_keep = "report.next.keep_steerer",
     .from_end_that_stays = "report.saw_at.from_crown",
     .from_end_that_goes = "report.saw_at.from_top",
     .confirmed = "report.saw_at.confirmed",
     .left_after = "report.after.value.left_steerer",
     .fit = "report.after.do.fit_steerer",
     .surplus = "report.after.do.look_for_surplus_steerer",
     .ask_maker = "report.remedy.ask_maker_of_fork",
     .other_part = "report.remedy.other_steerer"},
    {.headline_cut = "report.headline.cut_handlebar",
     .headline_keep = "report.headline.keep_handlebar",
     .too_short = "report.headline.reject_handlebar_too_short",
     .misfit = "report.headline.reject_handlebar_misfit",
     .no_cut = "report.headline.reject_handlebar_no_cut",
     .value_cut = "report.value.cut_handlebar",
     .in_short = "sheet.page.off_both_ends",
     .unsettled = "report.value.unsettled_handlebar",
     .limits_uncut = "report.title.limits_uncut_handlebar",
     .next_keep = "report.next.keep_handlebar",
     .from_end_that_stays = "report.saw_at.from_middle",
     .from_end_that_goes = "report.saw_at.from_each_end",
     .confirmed = "report.saw_at.confirmed_ends",
     .left_after = "report.after.value.left_handlebar",
     .fit = "report.after.do.fit_handlebar",
     .surplus = "report.after.do.look_for_surplus_handlebar",
     .ask_maker = "report.remedy.ask_maker_of_handlebar",
     .other_part = "report.remedy.other_handlebar"},
});

}  // namespace

const KindSentences& sentences_of(plan::Kind kind) {
  return table.at(static_cast<std::size_t>(kind));
}

}  // namespace kerfmark::report
