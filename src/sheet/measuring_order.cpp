#include "kerfmark/sheet/measuring_order.hpp"

#include <array>

namespace kerfmark::sheet {
namespace {

// What needs the bicycle whole comes before what needs it apart: once the post or the fork is out,
// nobody can read it off again.
struct Place {
  Stage stage;
  std::string_view path;  // of a key, or of a table for those of its keys that are not named
};

constexpr auto order = std::to_array<Place>({
    {Stage::job, "job"},

    {Stage::maker, "post.material"},
    {Stage::maker, "post.build"},
    {Stage::maker, "post.cutting"},
    {Stage::maker, "post.max_cut"},
    {Stage::maker, "post.min_length"},
    {Stage::maker, "post.min_insertion"},
    {Stage::maker, "frame.min_insertion"},
    {Stage::maker, "post.max_rider"},
    {Stage::maker, "post.max_system"},
    {Stage::maker, "steerer.material"},
    {Stage::maker, "steerer.threaded"},
    {Stage::maker, "steerer.cutting"},
    {Stage::maker, "steerer.max_cut"},
    {Stage::maker, "steerer.min_length"},
    {Stage::maker, "steerer.max_rider"},
    {Stage::maker, "steerer.max_system"},
    {Stage::maker, "handlebar.material"},
    {Stage::maker, "handlebar.cutting"},
    {Stage::maker, "handlebar.max_cut"},
    {Stage::maker, "handlebar.min_width"},
    {Stage::maker, "handlebar.grip_zone"},
    {Stage::maker, "handlebar.max_rider"},
    {Stage::maker, "handlebar.max_system"},
    {Stage::maker, "mast.material"},
    {Stage::maker, "mast.cutting"},
    {Stage::maker, "mast.max_cut"},
    {Stage::maker, "mast.min_length"},
    {Stage::maker, "topper.spacers_most"},
    {Stage::maker, "topper.min_grip"},
    {Stage::maker, "mast.max_rider"},
    {Stage::maker, "mast.max_system"},
    {Stage::maker, "frame.max_rider"},
    {Stage::maker, "frame.max_system"},
    {Stage::maker, "rider"},
    {Stage::maker, "post.grip"},
    {Stage::maker, "stem.recess_max"},
    {Stage::maker, "spacers.max_below"},
    {Stage::maker, "spacers.min_above"},
    {Stage::maker, "spacers.max_above"},
    {Stage::maker, "cap"},

    {Stage::bike, "saddle.measured"},
    {Stage::bike, "saddle.from"},
    {Stage::bike, "saddle.height"},
    {Stage::bike, "saddle"},
    {Stage::bike, "frame.seat_tube"},
    {Stage::bike, "frame.seat_angle"},
    {Stage::bike, "frame.axis_offset"},
    {Stage::bike, "post.setback"},
    {Stage::bike, "frame"},
    {Stage::bike, "bar"},
    {Stage::bike, "handlebar"},
    {Stage::bike, "topper.setback"},

    {Stage::mock_up, "mock_up"},

    {Stage::tube, "frame.bore"},
    {Stage::tube, "post.shim"},
    {Stage::tube, "frame.junction"},
    {Stage::tube, "frame.clamp_below"},
    {Stage::tube, "frame.blockage"},

    {Stage::bench, "post.length"},
    {Stage::bench, "post"},
    {Stage::bench, "post.scale"},
    {Stage::bench, "frame.head_tube"},
    {Stage::bench, "headset"},
    {Stage::bench, "spacers.below"},
    {Stage::bench, "spacers"},
    {Stage::bench, "stem"},
    {Stage::bench, "expander"},
    {Stage::bench, "steerer"},
    {Stage::bench, "handlebar.straight"},
    {Stage::bench, "handlebar.to_mark"},
    {Stage::bench, "handlebar.air"},
    {Stage::bench, "handlebar.diameter"},
    {Stage::bench, "controls"},
    {Stage::bench, "mast"},
    {Stage::bench, "topper"},

    {Stage::shop, "stock"},
    {Stage::shop, "saw"},
    {Stage::shop, "measuring"},

    {Stage::after, "as_cut"},
});

// How well a place suits a path: the longer what they share, the better; 0 is not at all.
std::size_t suits(const Place& place, std::string_view path) {
  const bool whole = path == place.path;
  const bool table =
      path.starts_with(place.path) && path.substr(place.path.size()).starts_with('.');
  return whole || table ? place.path.size() : 0;
}

}  // namespace

std::size_t place_in_order(std::string_view path) {
  std::size_t best = order.size();
  std::size_t length = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    if (const std::size_t suit = suits(order[i], path); suit > length) {
      best = i;
      length = suit;
    }
  }
  return best;
}

bool needs_bike_whole(Stage stage) { return stage == Stage::bike || stage == Stage::mock_up; }

Stage stage_of(std::string_view path) {
  const std::size_t place = place_in_order(path);
  return place < order.size() ? order[place].stage : Stage::more;
}

}  // namespace kerfmark::sheet
