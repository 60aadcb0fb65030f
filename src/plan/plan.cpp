#include "kerfmark/plan/plan.hpp"

#include "kerfmark/plan/seatpost.hpp"
#include "kerfmark/plan/steerer.hpp"

namespace kerfmark::plan {

Plan plan_cut(const Job& job) {
  return job.kind == Kind::seatpost ? plan_seatpost(job) : plan_steerer(job);
}

}  // namespace kerfmark::plan
