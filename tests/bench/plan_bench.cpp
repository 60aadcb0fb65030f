#include <string>
#include <string_view>
#include <vector>

#include <benchmark/benchmark.h>

#include "jobs.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/plan/rings.hpp"

using namespace kerfmark;

namespace {

/// One job after another on one core, read before: the counter is jobs a second.
void plan_job(benchmark::State& state, std::string_view text) {
  const plan::Job job = bench::job_of(text);
  for (auto _ : state) {
    benchmark::DoNotOptimize(plan::plan_cut(job));
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK_CAPTURE(plan_job, ordinary_post, bench::ordinary_post);
BENCHMARK_CAPTURE(plan_job, full_post, bench::full_post);
BENCHMARK_CAPTURE(plan_job, ordinary_fork, bench::ordinary_fork);

/// From text to a job: a mechanic's file, a few hundred bytes.
void read_job(benchmark::State& state, std::string_view text) {
  for (auto _ : state) {
    benchmark::DoNotOptimize(job::read_job(text, "job.toml"));
  }
  state.SetItemsProcessed(state.iterations());
  state.SetBytesProcessed(state.iterations() * static_cast<int64_t>(text.size()));
}
BENCHMARK_CAPTURE(read_job, ordinary_post, bench::ordinary_post);
BENCHMARK_CAPTURE(read_job, full_post, bench::full_post);
BENCHMARK_CAPTURE(read_job, ordinary_fork, bench::ordinary_fork);

/// The most rings a job may list, of the heights that are sold, and no two sums alike where it can
/// be helped.
std::vector<plan::Length> bench_of_rings(std::size_t count) {
  std::vector<plan::Length> rings;
  for (std::size_t i = 0; i < count; ++i) {
    rings.push_back(measure::millimetres(2.0 + 0.7 * static_cast<double>(i % 13)));
  }
  return rings;
}

void positions(benchmark::State& state) {
  const auto rings = bench_of_rings(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) {
    benchmark::DoNotOptimize(plan::ring_splits(rings, measure::Length{}, measure::millimetres(100),
                                               measure::millimetres(140)));
  }
}
BENCHMARK(positions)->Arg(6)->Arg(16)->Arg(64)->Unit(benchmark::kMicrosecond);

}  // namespace
