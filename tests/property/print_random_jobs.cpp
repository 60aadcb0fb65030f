#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <string>

#include "random_job.hpp"

/// The random jobs as job files, each behind a comment with its kind and seed, for the checks from
/// outside: random_jobs KIND FIRST-SEED COUNT
namespace {

std::string job_of(random_job::Make make, unsigned seed) {
  random_job::Random random(seed);
  return random_job::text_of(make(random));
}

}  // namespace

int main(int argc, char** argv) {
  const std::string kind = argc == 4 ? argv[1] : "";
  const auto* const make =
      std::ranges::find_if(random_job::makers, [&](random_job::Make candidate) {
        return job_of(candidate, 1).starts_with("kind = \"" + kind + "\"\n");
      });
  if (make == random_job::makers.end()) {
    std::cerr << "random_jobs KIND FIRST-SEED COUNT\n";
    return EXIT_FAILURE;
  }
  const auto first = static_cast<unsigned>(std::stoul(argv[2]));
  const auto end = first + static_cast<unsigned>(std::stoul(argv[3]));
  for (unsigned seed = first; seed < end; ++seed) {
    std::cout << "# " << kind << " " << seed << "\n" << job_of(*make, seed) << "\n";
  }
}
