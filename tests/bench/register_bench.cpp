#include <filesystem>
#include <string>
#include <system_error>

#include <benchmark/benchmark.h>

#include "bare_register.hpp"
#include "kerfmark/register/chain.hpp"
#include "kerfmark/register/register.hpp"

using namespace kerfmark;

namespace {

/// On the disk that is to be measured: each record is flushed to it. In the working folder, because
/// the one for temporary files may be memory.
class File {
 public:
  File() : path_("register-bench-" + records::fresh_salt().substr(0, 8) + ".db") {}
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  ~File() {
    std::error_code ignored;
    for (const char* end : {"", "-wal", "-shm"}) {
      std::filesystem::remove(path_ + end, ignored);
    }
  }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// One record after the other, each for good: the counter is records a second.
void add_record(benchmark::State& state) {
  const File file;
  auto book = records::Register::open_or_create(file.path());
  std::int64_t number = 0;
  for (auto _ : state) {
    (void)book.add(bench::entry(++number));
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(add_record)->UseRealTime();

/// The bare transaction: the same tables, index, guards and full text, without hashes.
void add_bare(benchmark::State& state) {
  const File file;
  bench::BareRegister bare(file.path());
  std::int64_t number = 0;
  for (auto _ : state) {
    bare.begin();
    bare.insert(bench::entry(++number));
    bare.commit();
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(add_bare)->UseRealTime();

/// What both of them spend on the entry itself.
void make_entry(benchmark::State& state) {
  std::int64_t number = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(bench::entry(++number));
  }
}
BENCHMARK(make_entry);

}  // namespace
