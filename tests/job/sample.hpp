#pragma once

#include <string>
#include <string_view>

#include "kerfmark/job/reader.hpp"

namespace sample {

/// The shortest job that can be planned: heights are extensions. One key a line.
inline constexpr std::string_view extension_job = R"(kind = "seatpost"
[saddle]
measured = "extension"
height = 140
[post]
length = 400
diameter = 27.2
mark = 100
material = "aluminium"
)";

/// One that uses every table.
inline constexpr std::string_view full_job = R"(kind = "seatpost"
[job]
number = "2031"
bike = "grey gravel"
owner = "A. Rider"
by = "one"
checked_by = "two"
date = 2026-05-01
notes = "none"
[saddle]
height = [607, 607.5]
lowest = 600
highest = { read = "24 in", within = 0.3 }
measured = "along tube"
from = "pedal axle"
crank = 172.5
rail_to_top = 45
[frame]
seat_tube = { read = 420, with = "my laser" }
seat_angle = "73 deg"
axis_offset = -3
bore = 27.2
min_insertion = 80
junction = 45
clamp_below = 30
max_rider = "230 lb"
max_system = 125
[[frame.blockage]]
what = "lip"
depth = 225
[[frame.blockage]]
what = "boss"
depth = [300, "30.1 cm"]
clearance = 5
[post]
length = 400
mark = 100
diameter = 27.2
material = "carbon"
cutting = "allowed"
section = "other"
build = "rigid"
setback = 20
head = 35
hang = 5
min_insertion = 90
max_cut = 60
min_length = 250
max_rider = 100
max_system = 120
grip = [60, "390 mm"]
shim = true
scale = { zero_at = 100, per_unit = 5, rising = "up" }
[mock_up]
exposed_bottomed = 175
hang_fitted = true
[stock]
lengths = [350, "11 in"]
[rider]
mass = 75
system_mass = 90
[saw]
kerf = 1.5
within = 0.4
step = 0.5
wanted = 40
[measuring]
coverage = 3
twice = true
instruments = { tape = 2, "my laser" = 0.3, "my gauge" = "0.2 deg" }
[as_cut]
length = 361
offcut = { read = 37.4, with = "caliper" }
kerf = 1.6
by = "one"
checked_by = "two"
date = 2026-05-02
)";

inline std::string replaced(std::string text, std::string_view from, std::string_view to) {
  text.replace(text.find(from), from.size(), to);
  return text;
}

/// What stands on the terminal.
inline std::string findings_of(std::string_view text) {
  std::string shown;
  for (const auto& finding : kerfmark::job::read_job(text, "job.toml").findings) {
    shown += kerfmark::job::with_source_line(finding, text);
  }
  return shown;
}

}  // namespace sample
