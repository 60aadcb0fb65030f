#pragma once

#include <cstdlib>
#include <iostream>
#include <string>
#include <string_view>

#include "kerfmark/job/reader.hpp"

/// The jobs that are timed: what a workshop plans on an ordinary day, and the heaviest of its kind.
namespace bench {

/// A long post, a lip in the seat tube, the height by tape along the tube.
inline constexpr std::string_view ordinary_post = R"(kind = "seatpost"
[saddle]
height = 607
rail_to_top = 45
[frame]
seat_tube = 420
seat_angle = 73
[[frame.blockage]]
what = "lip"
depth = 225
[post]
length = 400
diameter = 27.2
mark = 100
material = "aluminium"
cutting = "allowed"
)";

/// The same with every limit there is, saddle range, stock and a second route to the depth.
inline constexpr std::string_view full_post = R"(kind = "seatpost"
[saddle]
height = [607, 607.5]
lowest = 600
highest = 615
measured = "straight"
rail_to_top = 45
[frame]
seat_tube = 420
seat_angle = 73
axis_offset = -3
bore = 27.2
min_insertion = 80
max_rider = 110
[[frame.blockage]]
what = "lip"
depth = 225
[[frame.blockage]]
what = "boss"
depth = 300
clearance = 5
[post]
length = 400
diameter = 27.2
mark = 100
material = "carbon"
cutting = "allowed"
setback = 20
head = 35
hang = 5
min_insertion = 90
max_cut = 80
min_length = 250
max_rider = 100
grip = [60, 390]
scale = { zero_at = 100 }
[mock_up]
exposed_bottomed = 180
hang_fitted = true
[stock]
lengths = [250, 300, 350]
[rider]
mass = 75
)";

/// A fork by its parts.
inline constexpr std::string_view ordinary_fork = R"(kind = "steerer"
[steerer]
length = 300
material = "carbon"
[frame]
head_tube = 150
[headset]
lower = { read = 0, within = 0 }
upper = 12
[stem]
clamp = 40
[spacers]
below = [10, 10, 5]
above = 5
)";

inline kerfmark::plan::Job job_of(std::string_view text) {
  const auto outcome = kerfmark::job::read_job(text, "job.toml");
  if (!outcome.job) {
    std::cerr << "a job of the benchmark cannot be read: "
              << kerfmark::job::one_line(outcome.findings.front()) << '\n';
    std::exit(1);
  }
  return *outcome.job;
}

}  // namespace bench
