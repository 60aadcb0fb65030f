#include "kind_rows.hpp"

#include <array>

#include "after.hpp"
#include "handlebar.hpp"
#include "kerfmark/plan/saddle_height.hpp"
#include "kerfmark/plan/seatpost.hpp"
#include "kerfmark/plan/steerer.hpp"
#include "limits_for_readings.hpp"
#include "mast.hpp"

namespace kerfmark::plan {
namespace {

bool always(const Job& /*job*/) { return true; }

bool triangles_exist(const Job& job) { return impossible_triangles(job).empty(); }

// In the order of the enumerators.
constexpr auto table = std::to_array<KindRow>({
    {Kind::seatpost, plan_seatpost,
     [](const Job& job, const Judgement& before) { return seatpost_after(job, *before.seatpost); },
     [](const Job& job, const Judgement& before) {
       return seatpost_limits(job, before.seatpost->by_mock_up);
     },
     triangles_exist},
    {Kind::steerer, plan_steerer,
     [](const Job& job, const Judgement& before) { return steerer_after(job, *before.steerer); },
     [](const Job& job, const Judgement& before) {
       return steerer_limits(job, before.steerer->gap_by == GapRoute::mock_up);
     },
     always},
    {Kind::handlebar, plan_handlebar,
     [](const Job& job, const Judgement&) { return handlebar_after(job); },
     [](const Job& job, const Judgement& before) {
       return handlebar_limits(job, before.handlebar->by_halves);
     },
     always},
    {Kind::mast, plan_mast, [](const Job& job, const Judgement&) { return mast_after(job); },
     [](const Job& job, const Judgement&) { return mast_limits(job); }, triangles_exist, true},
});

}  // namespace

const KindRow& row_of(Kind kind) { return table.at(static_cast<std::size_t>(kind)); }

}  // namespace kerfmark::plan
