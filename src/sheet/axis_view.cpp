#include "axis_view.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <optional>
#include <utility>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/report/wording.hpp"

namespace kerfmark::sheet {
namespace {

// Reductions of ISO 5455:1979 with 1:2.5 between; the last takes anything a job can hold.
constexpr auto scales = std::to_array<double>({1, 2, 2.5, 5, 10, 20, 50, 100});

// So many tags or dimensions that are needed, and no more, are worth less than a larger drawing.
constexpr std::size_t few_needed = 2;

// Millimetres of paper.
constexpr double thinnest = 4.4;      // a part drawn thinner is a line
constexpr double tag_gap = 0.9;       // leader to text
constexpr double clear = 0.7;         // any text to any line of another
constexpr double between_tags = 2.0;  // two texts in one row
constexpr double leaders_apart = 1.9;
constexpr double fan_high = 3.0;  // where leaders spread
constexpr double first_level = 5.4;
constexpr double level_high = 5.7;
constexpr double arrow_long = 2.3;
constexpr double arrow_wide = 1.1;
constexpr double tail = 4.2;             // of an arrow that points inward from outside
constexpr double text_above_line = 1.5;  // clear of arrows, "g" and "," included
constexpr double rows_clear = 0.3;       // of two rows of tags
constexpr double dot_radius = 0.55;      // at the tip of a tag
constexpr double shortest_line = 0.001;  // a shorter one is none
constexpr double least_lean = 0.01;      // of a leader; one that leans less stands upright
constexpr double least_shaft = 0.6;      // of two arrows that point outward
constexpr double over_arrow = 0.8;       // of the lines that a dimension line stands on
constexpr double below_levels = 0.9;
constexpr double caption_gap = 2.2;
// Of the em: from the lower edge of a tag up to its baseline, and from there to the top of its
// leader.
constexpr double tag_drop = 0.28;
constexpr double tag_high = 0.72;
constexpr Pen leader_pen{.width_mm = 0.15};
constexpr Pen measure_pen{.width_mm = 0.18};
constexpr double caption_pt = 8;
constexpr double measure_pt = 9.5;

const Type name_type = regular(measure_pt);
const Type figure_type = bold(measure_pt);

struct Interval {
  double lo = 0;
  double hi = 0;
};

bool apart(Interval a, Interval b, double gap) { return a.hi + gap <= b.lo || b.hi + gap <= a.lo; }

double width_of(Type type, std::string_view text) {
  return PdfCanvas::text_width_mm(type.face, type.size_pt, text);
}

Type type_of(const Tag& tag) {
  return tag.weight == Weight::vital ? bold(tag_pt) : regular(tag_pt);
}

// ---- tags ----

// Where leaders stand above the fan: as near to their tips as keeps them apart. The tips are in
// order; neighbours that would be too near are moved together (isotonic regression, pooling
// adjacent violators).
std::vector<double> spread(const std::vector<Tag>& tags) {
  struct Pool {
    double sum;
    std::size_t count;
    [[nodiscard]] double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Pool> pools;
  for (std::size_t i = 0; i < tags.size(); ++i) {
    pools.push_back({tags[i].tip.x_mm - static_cast<double>(i) * leaders_apart, 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back().sum += last.sum;
      pools.back().count += last.count;
    }
  }
  std::vector<double> anchors;
  for (const Pool& pool : pools) {
    for (std::size_t i = 0; i < pool.count; ++i) {
      anchors.push_back(pool.mean() + static_cast<double>(anchors.size()) * leaders_apart);
    }
  }
  return anchors;
}

struct TagPlace {
  double anchor_mm = 0;
  Interval text;
  std::size_t row = 0;  // 0 is the lowest
};

// The text stands right of its leader, or left of it.
std::optional<std::vector<TagPlace>> beside(const std::vector<double>& anchors,
                                            const std::vector<double>& widths, std::size_t lefts,
                                            double room) {
  std::vector<TagPlace> places;
  for (std::size_t i = 0; i < anchors.size(); ++i) {
    const bool left = ((lefts >> i) & 1U) != 0;
    const double from = left ? anchors[i] - tag_gap - widths[i] : anchors[i] + tag_gap;
    if (from < 0 || from + widths[i] > room) {
      return std::nullopt;
    }
    places.push_back({anchors[i], {from, from + widths[i]}, 0});
  }
  return places;
}

// A text over the leader of another stands higher than that one; texts side by side may share a
// row. False: leaders and texts are in each other's way.
bool give_rows(std::vector<TagPlace>& places) {
  const std::size_t most_rounds = 4 * places.size();
  bool changed = true;
  for (std::size_t round = 0; changed; ++round) {
    if (round > most_rounds) {
      return false;
    }
    changed = false;
    for (TagPlace& over : places) {
      for (TagPlace& under : places) {
        if (&over == &under) {
          continue;
        }
        const bool covers =
            over.text.lo - clear < under.anchor_mm && under.anchor_mm < over.text.hi + clear;
        const bool in_one_row =
            over.row == under.row && !apart(over.text, under.text, between_tags);
        if ((covers && over.row <= under.row) || (in_one_row && &over < &under)) {
          over.row = under.row + 1;
          changed = true;
        }
      }
    }
  }
  return true;
}

std::size_t rows_of(const std::vector<TagPlace>& places) {
  std::size_t rows = 0;
  for (const TagPlace& place : places) {
    rows = std::max(rows, place.row + 1);
  }
  return rows;
}

// Sides are tried one and all: there are few tags. Fewest rows win, then the lowest tags.
constexpr std::size_t most_tags = 11;

std::optional<std::vector<TagPlace>> places_of(const std::vector<Tag>& tags, double room) {
  require(tags.size() <= most_tags, "a drawing has few tags");
  const std::vector<double> anchors = spread(tags);
  std::vector<double> widths;
  widths.reserve(tags.size());
  for (const Tag& tag : tags) {
    widths.push_back(width_of(type_of(tag), tag.text));
  }
  std::optional<std::vector<TagPlace>> best;
  std::pair<std::size_t, std::size_t> least{};
  for (std::size_t lefts = 0; lefts < (std::size_t{1} << tags.size()); ++lefts) {
    auto places = beside(anchors, widths, lefts, room);
    if (!places || !give_rows(*places)) {
      continue;
    }
    const std::size_t sum =
        std::accumulate(places->begin(), places->end(), std::size_t{0},
                        [](std::size_t total, const TagPlace& p) { return total + p.row; });
    const std::pair cost{rows_of(*places), sum};
    if (!best || cost < least) {
      best = std::move(places);
      least = cost;
    }
  }
  return best;
}

double tag_row_high(const std::vector<Tag>& tags) {
  constexpr double row_wide = 1000;  // one line, however long
  double high = 0;
  for (const Tag& tag : tags) {
    high = std::max(high, set_in_lines(type_of(tag), row_wide, tag.text, 1).leading_mm);
  }
  return high + rows_clear;
}

// A line of no length is none.
void rule_if_long(Block& block, Spot from, Spot to, const Pen& pen) {
  if (std::hypot(to.x_mm - from.x_mm, to.y_mm - from.y_mm) > shortest_line) {
    block.rule(from, to, pen);
  }
}

void dot(Block& block, Spot middle) {
  constexpr int corners = 12;
  std::vector<Spot> round;
  for (int i = 0; i < corners; ++i) {
    const double turn = 2 * std::numbers::pi * i / corners;
    round.push_back(
        {middle.x_mm + dot_radius * std::cos(turn), middle.y_mm + dot_radius * std::sin(turn)});
  }
  block.polygon(std::move(round), 0);
}

// `fan` is the y at which leaders begin to spread, the axis being 0.
void draw_tags(Block& block, const std::vector<Tag>& tags, const std::vector<TagPlace>& places,
               double fan, double row_high) {
  for (std::size_t i = 0; i < tags.size(); ++i) {
    const TagPlace& place = places[i];
    const double bottom = fan - fan_high - static_cast<double>(place.row) * row_high;
    const double baseline = bottom - tag_drop * tag_pt * mm_per_pt;
    block.text({place.text.lo, baseline}, type_of(tags[i]), tags[i].text);
    const Spot top{place.anchor_mm, baseline - tag_high * tag_pt * mm_per_pt};
    const Spot tip = tags[i].tip;
    if (tags[i].dot) {
      dot(block, tip);
    }
    if (std::abs(place.anchor_mm - tip.x_mm) < least_lean) {
      rule_if_long(block, {tip.x_mm, top.y_mm}, tip, leader_pen);
      continue;
    }
    rule_if_long(block, top, {place.anchor_mm, fan - fan_high}, leader_pen);
    rule_if_long(block, {place.anchor_mm, fan - fan_high}, {tip.x_mm, fan}, leader_pen);
    rule_if_long(block, {tip.x_mm, fan}, tip, leader_pen);
  }
}

// ---- dimension lines ----

struct MeasurePlace {
  std::size_t level = 0;
  double text_mm = 0;  // where name and figure begin
  Interval takes;      // of its level: line, arrows and text
};

Interval line_of(const Measure& measure) {
  return {std::min(measure.from.x_mm, measure.to.x_mm),
          std::max(measure.from.x_mm, measure.to.x_mm)};
}

bool arrows_inside(Interval line) { return line.hi - line.lo >= 2 * arrow_long + least_shaft; }

// With its arrows, where those stand outside.
Interval with_arrows(Interval line) {
  return arrows_inside(line) ? line : Interval{line.lo - tail, line.hi + tail};
}

double text_width(const Measure& measure) {
  return width_of(name_type, measure.name + " ") + width_of(figure_type, measure.figure);
}

// Where a text may begin, the best first: within the line from its middle outward, else on either
// side.
std::vector<double> starts_of(const Measure& measure, double room) {
  const Interval line = line_of(measure);
  const Interval whole = with_arrows(line);
  const double width = text_width(measure);
  std::vector<double> starts;
  const double middle = (line.lo + line.hi - width) / 2;
  constexpr double step = 1.0;
  for (double off = 0; middle - off >= line.lo + clear; off += step) {
    starts.push_back(middle + off);
    starts.push_back(middle - off);
  }
  starts.push_back(whole.hi + clear);
  starts.push_back(whole.lo - clear - width);
  std::erase_if(starts, [&](double start) { return start < 0 || start + width > room; });
  return starts;
}

class Levels {
 public:
  Levels(const std::vector<Measure>& measures, double room)
      : measures_(measures), room_(room), places_(measures.size()) {}

  // False: one of them finds no place.
  bool place_all() {
    std::vector<std::size_t> waiting(measures_.size());
    std::iota(waiting.begin(), waiting.end(), std::size_t{0});
    std::ranges::stable_sort(waiting, {}, [&](std::size_t i) {
      const Interval line = line_of(measures_[i]);
      return line.hi - line.lo;
    });
    // First those whose text keeps clear of every line that may yet pass, then what is left, each
    // on a level of its own below the others.
    std::erase_if(waiting, [&](std::size_t i) { return place_on_any_level(i); });
    while (!waiting.empty()) {
      const auto placed =
          std::ranges::find_if(waiting, [&](std::size_t i) { return place_below(i, waiting); });
      if (placed == waiting.end()) {
        return false;
      }
      waiting.erase(placed);
    }
    return true;
  }

  [[nodiscard]] std::vector<MeasurePlace> places() const {
    std::vector<MeasurePlace> all;
    for (const auto& place : places_) {
      all.push_back(*place);
    }
    return all;
  }

 private:
  // The lines of a measure from the part down to its own level.
  [[nodiscard]] bool passes(std::size_t measure, Interval text) const {
    const Interval line = line_of(measures_[measure]);
    return !apart({line.lo, line.lo}, text, clear) || !apart({line.hi, line.hi}, text, clear);
  }

  [[nodiscard]] bool is_free(std::size_t i, std::size_t level, Interval text,
                             Interval takes) const {
    for (std::size_t other = 0; other < measures_.size(); ++other) {
      const auto& place = places_[other];
      if (other == i) {
        continue;
      }
      const bool may_pass = !place || place->level > level;
      if ((may_pass && passes(other, text)) ||
          (place && place->level == level && !apart(place->takes, takes, between_tags))) {
        return false;
      }
    }
    return true;
  }

  bool place_at(std::size_t i, std::size_t level, double start) {
    const Measure& measure = measures_[i];
    const Interval text{start, start + text_width(measure)};
    const Interval whole = with_arrows(line_of(measure));
    const Interval takes{std::min(whole.lo, text.lo), std::max(whole.hi, text.hi)};
    // An arrow from outside must stay on the page; its own lines must not run through the texts of
    // levels above.
    if (whole.lo < 0 || whole.hi > room_ || !is_free(i, level, text, takes)) {
      return false;
    }
    for (std::size_t other = 0; other < measures_.size(); ++other) {
      const auto& place = places_[other];
      if (place && place->level < level &&
          passes(i, {place->text_mm, place->text_mm + text_width(measures_[other])})) {
        return false;
      }
    }
    places_[i] = MeasurePlace{level, start, takes};
    count_ = std::max(count_, level + 1);
    return true;
  }

  bool place_on_any_level(std::size_t i) {
    const std::vector<double> starts = starts_of(measures_[i], room_);
    for (std::size_t level = 0; level <= count_; ++level) {
      for (const double start : starts) {
        if (place_at(i, level, start)) {
          return true;
        }
      }
    }
    return false;
  }

  // Only those that wait can still pass its level.
  bool place_below(std::size_t i, const std::vector<std::size_t>& waiting) {
    for (const double start : starts_of(measures_[i], room_)) {
      const Interval text{start, start + text_width(measures_[i])};
      const bool passed = std::ranges::any_of(
          waiting, [&](std::size_t other) { return other != i && passes(other, text); });
      if (!passed && place_at(i, count_, start)) {
        return true;
      }
    }
    return false;
  }

  const std::vector<Measure>& measures_;
  double room_;
  std::vector<std::optional<MeasurePlace>> places_;
  std::size_t count_ = 0;
};

void arrow(Block& block, Spot tip, bool points_right) {
  const double back = points_right ? -arrow_long : arrow_long;
  block.polygon({tip,
                 {tip.x_mm + back, tip.y_mm - arrow_wide / 2},
                 {tip.x_mm + back, tip.y_mm + arrow_wide / 2}},
                0);
}

void draw_measure(Block& block, const Measure& measure, const MeasurePlace& place, double below) {
  const double y = below + first_level + static_cast<double>(place.level) * level_high;
  const Interval line = line_of(measure);
  for (const Spot end : {measure.from, measure.to}) {
    rule_if_long(block, end, {end.x_mm, y + over_arrow}, measure_pen);
  }
  const Interval whole = with_arrows(line);
  const double name = width_of(name_type, measure.name + " ");
  const double text_end = place.text_mm + name + width_of(figure_type, measure.figure);
  rule_if_long(block, {std::min(whole.lo, place.text_mm), y}, {std::max(whole.hi, text_end), y},
               measure_pen);
  const bool inside = arrows_inside(line);
  arrow(block, {line.lo, y}, !inside);
  arrow(block, {line.hi, y}, inside);
  block.text({place.text_mm, y - text_above_line}, name_type, measure.name);
  block.text({place.text_mm + name, y - text_above_line}, figure_type, measure.figure);
}

// ---- the whole ----

Axis axis_for(const Extent& extent, double scale, double width) {
  Axis axis;
  axis.scale = scale;
  axis.across = std::max(1 / scale, thinnest / extent.diameter_mm);
  const double spare = width - extent.width_mm(scale);
  axis.zero_mm = spare / 2 + extent.left_mm - extent.from_mm / scale;
  return axis;
}

Block caption_block(const Caption& caption, const Axis& axis, const text::Words& words,
                    double width) {
  const bool true_across = axis.across <= 1 / axis.scale + 1e-9;  // of a ratio: rounding only
  const std::string text =
      words.say(true_across ? "sheet.drawing.scale" : "sheet.drawing.scale_along",
                {{"scale", "1:" + report::plain(axis.scale, words)}, {"title", caption.title}});
  Block block(width);
  block.paragraph(0, set_in_lines(bold(caption_pt), width, text));
  std::string legend = words.at("sheet.drawing.in_mm");
  for (const std::string& entry : caption.legend) {
    legend += "; " + entry;
  }
  block.paragraph(0, set_in_lines(regular(caption_pt), width, legend));
  return block;
}

// What may be left out at these scales so that a drawing fits: up to a weight, and of the heaviest
// no more than so many.
struct Pass {
  std::vector<double> scales;
  Weight heaviest;
  std::size_t most_of_heaviest;
};

// Tags and dimensions with their places, as far as they fit.
class Arrangement {
 public:
  Arrangement(Scene scene, double width) : scene_(std::move(scene)), width_(width) {
    std::ranges::stable_sort(scene_.tags, {}, [](const Tag& tag) { return tag.tip.x_mm; });
  }

  // False: nothing of so little weight is left to give way.
  bool shrink_to(double high, const Pass& pass) {
    std::size_t dropped = 0;  // of the heaviest
    while (true) {
      const bool tags = arrange_tags();
      const bool measures = arrange_measures();
      if (tags && measures && height() <= high) {
        return true;
      }
      const auto weight = !tags       ? drop(scene_.tags, pass.heaviest)
                          : !measures ? drop(scene_.measures, pass.heaviest)
                                      : drop_lightest(pass.heaviest);
      if (weight == pass.heaviest) {
        ++dropped;
      }
      if (!weight || dropped > pass.most_of_heaviest) {
        return false;
      }
    }
  }

  [[nodiscard]] double height() const {
    return over() + scene_.above_mm + scene_.below_mm + under();
  }

  [[nodiscard]] Block drawn() const {
    Block on_axis(width_);
    on_axis.inset(scene_.part, {0, 0});
    draw_tags(on_axis, scene_.tags, tags_, -scene_.above_mm, tag_row_high(scene_.tags));
    for (std::size_t i = 0; i < scene_.measures.size(); ++i) {
      draw_measure(on_axis, scene_.measures[i], measures_[i], scene_.below_mm);
    }
    Block whole(width_);
    whole.inset(on_axis, {0, over() + scene_.above_mm});
    whole.space(height());
    return whole;
  }

 private:
  bool arrange_tags() {
    auto places = scene_.tags.size() > most_tags ? std::nullopt : places_of(scene_.tags, width_);
    tags_ = places ? *std::move(places) : std::vector<TagPlace>{};
    return tags_.size() == scene_.tags.size();
  }

  bool arrange_measures() {
    Levels levels(scene_.measures, width_);
    const bool placed = levels.place_all();
    measures_ = placed ? levels.places() : std::vector<MeasurePlace>{};
    return placed;
  }

  // Leaves out the lightest, if it is no heavier than that, and says how heavy it was.
  template <class Items>
  static std::optional<Weight> drop(Items& items, Weight heaviest) {
    const auto lightest =
        std::ranges::min_element(items, {}, [](const auto& i) { return i.weight; });
    if (lightest == items.end() || lightest->weight > heaviest) {
      return std::nullopt;
    }
    const Weight weight = lightest->weight;
    items.erase(lightest);
    return weight;
  }

  // Of tags and dimensions alike; of two that weigh the same, the tag.
  std::optional<Weight> drop_lightest(Weight heaviest) {
    for (const Weight weight : {Weight::fine, Weight::useful, Weight::needed, Weight::vital}) {
      if (weight <= heaviest) {
        if (drop(scene_.tags, weight) || drop(scene_.measures, weight)) {
          return weight;
        }
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] double over() const {
    return scene_.tags.empty()
               ? 0
               : fan_high + static_cast<double>(rows_of(tags_)) * tag_row_high(scene_.tags);
  }
  [[nodiscard]] double under() const {
    std::size_t last = 0;
    for (const MeasurePlace& place : measures_) {
      last = std::max(last, place.level);
    }
    return measures_.empty() ? 0
                             : first_level + static_cast<double>(last) * level_high + below_levels;
  }

  Scene scene_;
  double width_;
  std::vector<TagPlace> tags_;
  std::vector<MeasurePlace> measures_;
};

// At one scale; empty where something too heavy would have to be left out.
std::optional<Block> drawn_at(double scale, const Extent& extent, const SceneMaker& scene_at,
                              const Caption& caption, const text::Words& words, Room room,
                              const Pass& pass) {
  const Axis axis = axis_for(extent, scale, room.width_mm);
  Arrangement arrangement(scene_at(axis), room.width_mm);
  const Block below = caption_block(caption, axis, words, room.width_mm);
  if (!arrangement.shrink_to(room.height_mm - caption_gap - below.height_mm(), pass)) {
    return std::nullopt;
  }
  Block block = arrangement.drawn();
  block.space(caption_gap);
  block.append(below);
  return block;
}

}  // namespace

void SceneTools::across(double along_mm, double half_mm, const Pen& pen) {
  scene_.part.rule({x(along_mm), -half_mm}, {x(along_mm), half_mm}, pen);
}

void SceneTools::tag(double along_mm, double off_axis_mm, std::string text, Weight weight,
                     bool dot) {
  scene_.tags.push_back({{x(along_mm), off_axis_mm}, std::move(text), weight, dot});
}

void SceneTools::tag_on_paper(Spot tip, std::string text, Weight weight) {
  scene_.tags.push_back({tip, std::move(text), weight});
}

void SceneTools::measure(double from_mm, double to_mm, std::string_view name, std::string figure,
                         Weight weight) {
  scene_.measures.push_back(
      {{x(from_mm), radius_}, {x(to_mm), radius_}, words_.at(name), std::move(figure), weight});
}

Scene SceneTools::finished(double half_mm) {
  scene_.above_mm = half_mm;
  scene_.below_mm = half_mm;
  return std::move(scene_);
}

void draw_saddle(Block& block, double rails_x_mm, SaddleLies side) {
  const double away = side == SaddleLies::left ? -1 : 1;
  // Its outline from the nose: how far beyond the rails, how far below them.
  constexpr auto outline = std::to_array<Spot>({{3.2, -saddle_half_mm},
                                                {4.4, -saddle_half_mm + 0.3},
                                                {4.3, -3},
                                                {4.9, 5},
                                                {6.2, 10},
                                                {5.2, saddle_half_mm},
                                                {3.2, 9},
                                                {2.7, 0}});
  std::vector<Spot> corners;
  for (const Spot& corner : outline) {
    corners.push_back({rails_x_mm + away * corner.x_mm, corner.y_mm});
  }
  constexpr double grey = 0.3;
  block.polygon(corners, grey);
}

void draw_seat_tube(Block& block, const Axis& axis, const SeatTube& tube) {
  constexpr double clamp_long = 12;  // along the tube
  constexpr double clamp_least = 3;  // of paper
  constexpr double break_stands = 1;
  constexpr double wall_grey = 0.75;
  constexpr double clamp_grey = 0.35;
  // A collar holds at the edge; what grips deeper inside ends where the job says.
  const bool collar = tube.clamp_below_mm == 0;
  const double edge_x = axis.x(0);
  const double clamp_to = collar ? edge_x + std::max(clamp_least, clamp_long / axis.scale)
                                 : axis.x(tube.clamp_below_mm);
  const double clamp_from = collar ? edge_x : std::max(edge_x, clamp_to - clamp_long / axis.scale);
  for (const double side : {-1.0, 1.0}) {
    const double in = side * tube.inner_mm;
    const double out = side * tube.outer_mm;
    const double clamp = side * (tube.outer_mm + seat_clamp_high_mm);
    block.fill({edge_x, std::min(in, out), tube.end_x_mm, std::max(in, out)}, wall_grey);
    block.rule({edge_x, in}, {tube.end_x_mm, in}, thin());
    block.rule({edge_x, out}, {tube.end_x_mm, out}, edge());
    const double far = collar ? clamp : in;
    block.fill({clamp_from, std::min(out, far), clamp_to, std::max(out, far)}, clamp_grey);
    block.rule({edge_x, in}, {edge_x, clamp}, strong());
  }
  broken_off(block, tube.end_x_mm, tube.outer_mm + break_stands);
}

void waste(Block& block, Area area) {
  constexpr double spacing = 1.1;  // mm of paper: plain to see, and light enough for a line over it
  block.hatch(area, spacing, thin());
  block.box(area, ghost());
}

void broken_off(Block& block, double x_mm, double half_mm) {
  const double third = half_mm / 3;
  const double out = break_deep_mm / 2;
  const std::vector<Spot> corners{{x_mm, -half_mm},        {x_mm, -third}, {x_mm + out, -third / 3},
                                  {x_mm - out, third / 3}, {x_mm, third},  {x_mm, half_mm}};
  for (std::size_t i = 1; i < corners.size(); ++i) {
    block.rule(corners[i - 1], corners[i], thin());
  }
}

Block drawn_to_scale(const Extent& extent, const SceneMaker& scene_at, const Caption& caption,
                     const text::Words& words, Room room) {
  std::vector<double> fitting(scales.begin(), scales.end());
  std::erase_if(fitting, [&](double s) { return extent.width_mm(s) > room.width_mm; });
  if (fitting.empty()) {
    return Block(room.width_mm);
  }
  const std::vector<double> largest{fitting.front()};
  const std::size_t all = std::numeric_limits<std::size_t>::max();
  const std::vector<Pass> passes{{largest, Weight::useful, all},
                                 {largest, Weight::needed, few_needed},
                                 {fitting, Weight::useful, all},
                                 {fitting, Weight::needed, all},
                                 {fitting, Weight::vital, all}};
  for (const Pass& pass : passes) {
    for (const double scale : pass.scales) {
      if (auto block = drawn_at(scale, extent, scene_at, caption, words, room, pass)) {
        return *std::move(block);
      }
    }
  }
  return Block(room.width_mm);
}

std::string clipped(Type type, double width_mm, std::string_view text) {
  const Lines lines = set_in_lines(type, width_mm, text, 1);
  return lines.texts.empty() ? std::string() : lines.texts.front();
}

}  // namespace kerfmark::sheet
