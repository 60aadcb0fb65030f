#include <atomic>
#include <functional>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include <benchmark/benchmark.h>

#include "jobs.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/plan/rings.hpp"
#include "kerfmark/plan/trials.hpp"

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

/// A million trials of one job, as `plan --trials` makes them; the argument is the number of cores.
void trials(benchmark::State& state, std::string_view text) {
  const plan::Job job = bench::job_of(text);
  const plan::Plan plan = plan::plan_cut(job);
  const auto cores = static_cast<std::size_t>(state.range(0));
  const auto run_all = [cores](std::size_t count, const std::function<void(std::size_t)>& task) {
    std::atomic<std::size_t> next = 0;
    std::vector<std::jthread> threads;
    for (std::size_t i = 0; i < cores; ++i) {
      threads.emplace_back([&] {
        for (std::size_t at = next++; at < count; at = next++) {
          task(at);
        }
      });
    }
  };
  constexpr std::size_t count = 1'000'000;
  for (auto _ : state) {
    benchmark::DoNotOptimize(plan::run_trials(job, plan, {.count = count}, run_all));
  }
  state.SetItemsProcessed(state.iterations() * static_cast<int64_t>(count));
}
BENCHMARK_CAPTURE(trials, ordinary_post, bench::ordinary_post)
    ->Arg(1)
    ->Arg(2)
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK_CAPTURE(trials, full_post, bench::full_post)
    ->Arg(2)
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();
BENCHMARK_CAPTURE(trials, ordinary_fork, bench::ordinary_fork)
    ->Arg(2)
    ->Unit(benchmark::kMillisecond)
    ->UseRealTime();

}  // namespace
