#include "random_job.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <numeric>
#include <utility>

namespace random_job {
namespace {

constexpr double mm_per_inch = 25.4;
constexpr double sixteenth = mm_per_inch / 16;
constexpr double kg_per_pound = 0.45359237;

class Dice {
 public:
  explicit Dice(Random& random) : random_(random) {}

  double between(double least, double most) {
    return std::uniform_real_distribution<double>(least, most)(random_);
  }
  std::size_t count(std::size_t least, std::size_t most) {
    return std::uniform_int_distribution<std::size_t>(least, most)(random_);
  }
  bool chance(double probability) { return between(0, 1) < probability; }
  template <class T>
  T one_of(const std::vector<T>& choices) {
    return choices.at(count(0, choices.size() - 1));
  }

 private:
  Random& random_;
};

double on_grid(double value, double step) {
  // Two divisions by whole numbers, so that a tenth comes out as a tenth.
  const double parts = std::round(1.0 / step);
  return std::round(value * parts) / parts;
}

/// One job in the making.
class Maker {
 public:
  explicit Maker(Random& random)
      : dice(random), step(dice.one_of<double>({1, 1, 0.5, 0.1, 0.001})) {
    twice = dice.chance(0.1);
  }

  Dice dice;
  double step;  // how finely the figures of this job are written
  bool twice;
  Tables tables;

  /// The table that the next keys go to, as it stands or a new one.
  void table(const std::string& name) {
    current_ = 0;
    while (current_ < tables.size() && tables[current_].name != name) {
      ++current_;
    }
    if (current_ == tables.size()) {
      tables.push_back({name, {}, false});
    }
  }
  void block(const std::string& name) {
    current_ = tables.size();
    tables.push_back({name, {}, true});
  }
  void word(std::string key, std::string text) {
    put(std::move(key), {.unit = Unit::none, .numbers = {}, .word = std::move(text)});
  }
  void exact(std::string key, double value, Unit unit = Unit::length) {
    put(std::move(key), {.unit = unit, .numbers = {value}});
  }
  /// Exact and written down twice, now and then: without a doubt to hide behind, both must be the
  /// same.
  void noted(std::string key, double value) {
    Value said{.unit = Unit::length, .numbers = {value}};
    if (dice.chance(0.04)) {
      said.numbers.push_back(value + dice.one_of<double>({0, 0, 0.5}));
    }
    put(std::move(key), spelled(std::move(said)));
  }
  void list(std::string key, std::vector<double> values, std::optional<double> again = {}) {
    put(std::move(key),
        {.unit = Unit::length, .numbers = std::move(values), .list = true, .again = again});
  }
  /// As it was measured, and well inside the range of its key: one reading or several, perhaps with
  /// an instrument or half-width of its own. `usual` is about the half-width of the key's
  /// instrument.
  void measured(std::string key, double value, double usual, Unit unit = Unit::length) {
    Value said{.unit = unit, .numbers = {value}};
    const double roll = dice.between(0, 1);
    double within = usual;
    if (roll < 0.12) {
      within = dice.one_of<double>({0, 0.2, 0.25, 1, 1.5});
      said.within = within;
    } else if (roll < 0.2) {
      const Tool tool = unit == Unit::angle
                            ? dice.one_of<Tool>({{"inclinometer", 0.2}, {"angle gauge", 0.5}})
                            : dice.one_of<Tool>({{"laser", 0.3},
                                                 {"laser", 0.3},
                                                 {"caliper", 0.1},
                                                 {"steel rule", 0.5},
                                                 {"tape", 1}});
      within = tool.half_width;
      said.instrument = tool.name;
    }
    if (dice.chance(twice ? 0.97 : 0.1)) {
      read_again(said, within, usual);
    }
    put(std::move(key), spelled(std::move(said)));
  }
  void weighed(std::string key, double kg) {
    Value said{.unit = Unit::mass, .numbers = {kg}};
    const double roll = dice.between(0, 1);
    if (roll < 0.15) {
      said.within = 1;
      said.numbers.push_back(kg + 0.5);
    } else if (roll < 0.25) {
      said.spelled = "lb";
    }
    put(std::move(key), std::move(said));
  }
  double rounded(double value) const { return on_grid(value, step); }

  /// How far a figure stays from its bound: mostly plenty, sometimes close, seldom broken.
  double slack() {
    const double roll = dice.between(0, 1);
    if (roll < 0.05) {
      return -dice.between(3, 40);
    }
    return roll < 0.17 ? dice.between(-3, 4) : dice.between(5, 60);
  }

  void saw_and_measuring() {
    table("measuring");
    // Always those that a reading may name, sometimes built-in ones changed.
    word("instruments", std::string("{ inclinometer = \"0.2 deg\", laser = ") +
                            (dice.chance(0.5) ? "0.15" : "0.3") +
                            (dice.chance(0.1) ? ", \"steel rule\" = 0.3" : "") +
                            (dice.chance(0.1) ? ", tape = 1.5 }" : " }"));
    if (dice.chance(0.15)) {
      exact("coverage", dice.one_of<double>({1, 1.5, 3, 4}), Unit::none);
    }
    if (twice) {
      word("twice", "true");
    }
    table("saw");
    if (dice.chance(0.3)) {
      exact("kerf", dice.one_of<double>({0, 0.8, 1.4, 2}));
    }
    if (dice.chance(0.3)) {
      exact("within", dice.one_of<double>({0, 0.2, 1, 2}));
    }
    if (dice.chance(0.3)) {
      exact("step", dice.one_of<double>({0.1, 0.5, 2, 5, 10}));
    }
  }
  void wanted(double about) {
    if (dice.chance(0.2)) {
      exact("wanted", std::clamp(rounded(about + dice.between(-8, 30)), 1.0, 450.0));
    }
  }
  std::string material() {
    return dice.one_of<std::string>(
        {"\"carbon\"", "\"carbon\"", "\"aluminium\"", "\"steel\"", "\"titanium\""});
  }
  /// What the makers allow and what weighs on the part; either may be left unsaid.
  void masses(const std::string& part) {
    for (const std::string& from : {part, std::string("frame")}) {
      table(from);
      if (dice.chance(0.15)) {
        exact("max_rider", std::round(dice.between(80, 130)), Unit::mass);
      }
      if (dice.chance(0.15)) {
        weighed("max_system", std::round(dice.between(80, 140)));
      }
    }
    if (dice.chance(0.35)) {
      const double rider = std::round(dice.between(60, 105));
      const double roll = dice.between(0, 1);
      table("rider");
      if (roll < 0.8) {
        weighed("mass", rider);
      }
      if (roll > 0.5) {
        weighed("system_mass", std::round(rider + dice.between(8, 25)));
      }
    }
  }

 private:
  struct Tool {
    std::string name;
    double half_width;
  };

  std::size_t current_ = 0;

  void put(std::string key, Value value) {
    tables.at(current_).entries.push_back({std::move(key), std::move(value)});
  }
  void read_again(Value& said, double within, double usual) {
    const double value = said.numbers.front();
    const bool disagree = dice.chance(0.03);
    // A half of the half-width apart at most agree, whatever the coverage. What disagrees does so
    // by less than rings and saddle heights that have an order lie apart.
    const double apart = !disagree ? 0.5 * within : usual > 0.1 ? 2.4 : 0.9;
    said.numbers.assign(dice.count(2, 3), value);
    said.numbers.back() += apart * dice.between(-1, 1);
    said.numbers.front() -= disagree ? apart : 0.0;
  }
  /// Now and then in another unit; in inches as a rule has them, in sixteenths.
  Value spelled(Value said) {
    const bool plain_number = !said.within && said.instrument.empty() && said.numbers.size() == 1;
    if (said.unit == Unit::length && plain_number && said.numbers.front() > 10 &&
        dice.chance(0.05)) {
      said.spelled = dice.one_of<std::string>({"mm", "cm", "in"});
    }
    if (said.spelled == "in") {
      said.numbers.front() = std::round(said.numbers.front() / sixteenth) * sixteenth;
    }
    return said;
  }
};

struct PostFigures {
  double E, E_low, E_high, P, hang, reach;
};

// `head` is the table of what holds the rails.
void saddle_and_frame(Maker& m, PostFigures& f, const std::string& head) {
  Dice& d = m.dice;
  const auto way =
      d.one_of<std::string>({"along tube", "straight", "to rails", "extension", "extension"});
  const bool by_saddle_top = way == "along tube" || way == "straight";
  const bool axle = way != "extension" && d.chance(0.25);
  const double T = m.rounded(d.between(380, 600));
  const double theta = on_grid(d.between(68, 78), 0.1);
  const double a = d.chance(0.4) ? m.rounded(d.between(-30, 70)) : 0.0;
  const double b = d.chance(0.5) ? m.rounded(d.between(-20, 25)) : 0.0;
  const double h = m.rounded(d.between(35, 55));
  const double crank = d.one_of<double>({165, 170, 172.5, 175});
  const double sine = std::sin(theta * std::numbers::pi / 180);
  const double cosine = std::cos(theta * std::numbers::pi / 180);
  f.E = d.between(70, 260);
  const double s_c = std::sqrt(T * T - a * a);
  double H = f.E;
  if (way == "to rails") {
    H += s_c;
  } else if (way == "along tube") {
    H += s_c + (a - b) * cosine / sine + h / sine;
  } else if (way == "straight") {
    H = std::hypot(H + s_c + h * sine, a - b + h * cosine);
  }
  const double height = m.rounded(H + (axle ? crank : 0.0));
  // Apart by more than readings of the two may scatter: lowest, height and highest stay in order.
  const double down = d.chance(0.3) ? m.rounded(d.between(5.5, 20)) : 0.0;
  const double up = d.chance(0.3) ? m.rounded(d.between(5.5, 20)) : 0.0;
  f.E_low = f.E - down;
  f.E_high = f.E + up;

  m.table("saddle");
  if (way != "along tube" || d.chance(0.5)) {
    m.word("measured", "\"" + way + "\"");
  }
  m.measured("height", height, 0.5);
  if (down > 0) {
    m.measured("lowest", height - down, 0.5);
  }
  if (up > 0) {
    m.measured("highest", height + up, 0.5);
  }
  if (axle) {
    m.word("from", "\"pedal axle\"");
    m.exact("crank", crank);
  }
  if (by_saddle_top) {
    m.measured("rail_to_top", h, 1);
  }
  m.table("frame");
  if (way != "extension") {
    m.measured("seat_tube", T, 1);
    if (a != 0.0) {
      m.measured("axis_offset", a, 1);
    }
  }
  if (by_saddle_top) {
    m.measured("seat_angle", theta, 0.5, Unit::angle);
  }
  m.table(head);
  if (b != 0.0) {
    m.measured("setback", b, 0.5);
  }
}

/// What the frame asks of a post, and the post's grip, which the depth of the clamp moves.
void frame_limits(Maker& m, const PostFigures& f, double diameter) {
  Dice& d = m.dice;
  double held = 0.0;
  m.table("frame");
  if (d.chance(0.2)) {
    m.noted("min_insertion", m.rounded(d.between(60, 130)));
  }
  if (d.chance(0.15)) {
    const double off = d.chance(0.2) ? d.between(-0.4, 0.4) : d.between(-0.08, 0.08);
    m.exact("bore", on_grid(diameter + off, 0.01));
  }
  if (d.chance(0.2)) {
    m.measured("junction", m.rounded(d.between(5, 90)), 0.5);
  }
  if (d.chance(0.2)) {
    held = d.chance(0.15) ? 0.0 : m.rounded(d.between(5, 145));
    // At 0 a limit ends: a reading there, and what it might have been, have different limits.
    held > 0.0 ? m.measured("clamp_below", held, 1)
               : m.word("clamp_below", "{ read = 0, within = 0 }");
  }
  if (d.chance(0.15)) {
    const double from = std::max(0.0, m.rounded(f.E_low + held - m.slack()));
    m.table("post");
    m.list("grip", {from, std::max(from + 10, m.rounded(f.E_high + held + m.slack()))});
  }
}

void post_maker(Maker& m) {
  Dice& d = m.dice;
  m.word("material", m.material());
  if (d.chance(0.8)) {
    m.word("cutting", d.chance(0.93) ? "\"allowed\"" : "\"forbidden\"");
  }
  if (d.chance(0.04)) {
    m.word("build", d.one_of<std::string>({"\"dropper\"", "\"suspension\"", "\"rigid\""}));
  }
  if (d.chance(0.15)) {
    m.word("section", "\"other\"");
  }
  if (d.chance(0.05)) {
    m.word("shim", "true");
  }
}

void post_scale(Maker& m) {
  Dice& d = m.dice;
  m.table("post.scale");
  m.measured("zero_at", m.rounded(d.between(10, 300)), 0.5);
  if (d.chance(0.5)) {
    m.exact("per_unit", d.one_of<double>({1, 5, 10}));
  }
  if (d.chance(0.5)) {
    m.word("rising", d.one_of<std::string>({"\"up\"", "\"down\""}));
  }
}

void post_and_limits(Maker& m, PostFigures& f) {
  Dice& d = m.dice;
  const double diameter = d.one_of<double>({25.4, 27.2, 30.9, 31.6, 34.9});
  const double mark = m.rounded(d.between(70, 130));
  f.hang = d.chance(0.2) ? m.rounded(d.between(8, 60)) : 0.0;
  f.P = std::clamp(m.rounded(f.E_high + mark + m.slack() + d.between(0, 90)), 60.0, 690.0);
  f.reach = f.P - f.E_low + f.hang;
  m.measured("length", f.P, 0.5);
  m.noted("diameter", diameter);
  if (d.chance(0.05)) {
    m.word("mark", "\"unknown\"");
  } else {
    m.measured("mark", mark, 0.5);
  }
  post_maker(m);
  if (f.hang > 0) {
    m.measured("hang", f.hang, 0.5);
  }
  if (d.chance(0.2)) {
    m.measured("head", std::clamp(m.rounded(f.E_low - m.slack()), 10.0, 140.0), 0.5);
  }
  if (d.chance(0.2)) {
    m.noted("min_insertion", m.rounded(d.between(60, 140)));
  }
  if (d.chance(0.15)) {
    m.noted("min_length", std::clamp(m.rounded(f.P - m.slack() - d.between(0, 80)), 52.0, 699.0));
  }
  frame_limits(m, f, diameter);
  if (d.chance(0.15)) {
    post_scale(m);
  }
  m.masses("post");
}

void blockages(Maker& m, const PostFigures& f) {
  Dice& d = m.dice;
  std::vector<double> depths;
  const std::size_t count = d.chance(0.15) ? 0 : d.one_of<std::size_t>({1, 1, 2, 3});
  for (std::size_t i = 0; i < count; ++i) {
    // Mostly in the way: by more than a saw takes off.
    const double in_the_way = d.chance(0.75) ? d.between(1, 60) : m.slack() - 20;
    double depth = std::clamp(m.rounded(f.reach - in_the_way), 30.0, 670.0);
    // Apart by more than readings may scatter: the mock-up is of the nearest one.
    while (std::ranges::any_of(depths, [&](double at) { return std::abs(at - depth) < 7; })) {
      depth += 7;
    }
    depths.push_back(depth);
    m.block("frame.blockage");
    m.measured("depth", depth, 1);
    if (d.chance(0.1)) {
      m.word("what", "\"bottle boss\"");
    }
    if (d.chance(0.2)) {
      m.exact("clearance", d.one_of<double>({0, 1, 5}));
    }
  }
  const double nearest = count == 0 ? 0.0 : std::ranges::min(depths);
  const double need = count == 0 ? 20.0 : f.reach - nearest + 2;
  if (d.chance(0.15)) {
    m.table("mock_up");
    const bool fitted = d.chance(0.3);
    const double off = d.chance(0.08) ? d.between(-6, 6) : d.between(-0.5, 0.5);
    const double exposed = (count == 0 ? f.P - f.reach + d.between(5, 40) : f.P - nearest + off) +
                           (fitted ? f.hang : 0.0);
    m.measured("exposed_bottomed", std::clamp(m.rounded(exposed), 10.0, 590.0), 0.5);
    if (fitted) {
      m.word("hang_fitted", "true");
    }
  }
  m.table("post");
  if (d.chance(0.15)) {
    const double max_cut = m.rounded(need + (d.chance(0.5) ? d.between(-3, 3) : d.between(2, 60)));
    m.noted("max_cut", std::clamp(max_cut, 0.0, 449.0));
  }
  m.saw_and_measuring();
  m.wanted(need);
}

void stock(Maker& m) {
  std::vector<double> lengths(m.dice.one_of<std::size_t>({1, 4}));
  for (double& length : lengths) {
    length = m.rounded(m.dice.between(180, 430));
  }
  m.table("stock");
  m.list("lengths", lengths);
}

std::vector<double> rings(Maker& m, std::size_t least, std::size_t most) {
  std::vector<double> list(m.dice.count(least, most));
  for (double& ring : list) {
    ring = m.dice.one_of<double>({2, 2.5, 3, 5, 5, 10, 10, 15, 20});
  }
  return list;
}

double sum_of(const std::vector<double>& list) {
  return std::accumulate(list.begin(), list.end(), 0.0);
}

/// A sum as one number or as its rings.
void say_rings(Maker& m, const std::string& key, const std::vector<double>& list) {
  if (list.size() < 2 || m.dice.chance(0.6)) {
    m.list(key, list, m.twice ? std::optional(0.05) : std::nullopt);
  } else {
    m.measured(key, sum_of(list), 0.1);
  }
}

struct Fork {
  double Q, K, S, proud;
  std::vector<double> below, lowest, highest, above;
  bool bar;
};

void fork_maker(Maker& m, const Fork& f, bool length) {
  Dice& d = m.dice;
  m.word("material", m.material());
  if (d.chance(0.25)) {
    m.word("cutting", d.one_of<std::string>(
                          {"\"allowed\"", "\"not stated\"", "\"not stated\"", "\"forbidden\""}));
  }
  if (d.chance(0.15)) {
    m.noted("max_cut",
            std::clamp(m.rounded(f.proud + 3 + (d.chance(0.4) ? d.between(-3, 3) : m.slack())), 0.0,
                       449.0));
  }
  if (length && d.chance(0.15)) {
    m.noted("min_length", std::clamp(m.rounded(f.S - f.proud - m.slack()), 52.0, 499.0));
  }
}

void fork_parts(Maker& m, const Fork& f, double head_tube, double lower, double upper) {
  Dice& d = m.dice;
  const bool parts = d.chance(0.75);
  const bool length = parts || d.chance(0.5);
  m.table("steerer");
  if (length) {
    m.measured("length", f.S, 0.5);
  }
  fork_maker(m, f, length);
  m.table("frame");
  if (parts) {
    m.measured("head_tube", head_tube, 0.5);
  }
  if (f.bar) {
    m.exact("stack", 560);
    m.measured("reach", 380, 1);
    m.measured("head_angle", 72, 0.5, Unit::angle);
  }
  m.table("headset");
  if (d.chance(0.94)) {
    m.measured("lower", lower, 0.1);
  }
  if (parts || f.bar) {
    m.measured("upper", upper, 0.1);
  }
  // Now and then neither route to the gap is there.
  if (d.chance(parts ? 0.25 : 0.85)) {
    m.table("mock_up");
    const double off = d.chance(0.1) ? d.between(-5, 5) : d.between(-0.4, 0.4);
    // Now and then it was read on another fork, one that is far too long for this stack.
    const double slip = length && !parts && d.chance(0.1) ? 250 : 0;
    m.measured("stands_proud", std::clamp(m.rounded(f.proud + off + slip), -50.0, 290.0), 0.5);
  }
  m.masses("steerer");
}

void ring_limits(Maker& m, const Fork& f) {
  Dice& d = m.dice;
  const double below = sum_of(f.highest);
  const double above = sum_of(f.above);
  const auto limit = [&](const char* key, double value) {
    if (d.chance(0.2)) {
      m.exact(key, std::clamp(value, 0.0, 200.0));
    }
  };
  limit("max_below", below + m.slack() / 4);
  limit("min_above", above - m.slack() / 8);
  // Broken more often: rings that go below the stem mend it.
  limit("max_above", above + below - sum_of(f.lowest) + m.slack() / 4 - 3);
}

void cap_and_expander(Maker& m, const Fork& f) {
  Dice& d = m.dice;
  m.table("cap");
  if (d.chance(0.3)) {
    m.exact("gap", d.one_of<double>({2, 2.5, 4, 8}));
  }
  if (d.chance(0.2)) {
    m.exact("gap_min", d.one_of<double>({0, 1, 2}));
  }
  if (d.chance(0.2)) {
    m.exact("gap_max", d.one_of<double>({4, 6, 8}));
  }
  const double above = sum_of(f.above);
  m.table("expander");
  if (d.chance(0.25)) {
    m.exact("to", std::clamp(m.rounded(f.K + above + sum_of(f.highest) - sum_of(f.lowest) - 3 +
                                       m.slack() / 2),
                             10.0, 150.0));
    if (d.chance(0.5)) {
      m.exact("from", std::clamp(m.rounded(above - 3 - m.slack() / 4), 0.0, 9.0));
    }
  }
  if (d.chance(0.15)) {
    const double flange = d.one_of<double>({0, 1, 1.5, 2, 2.5});
    flange == 0.0 ? m.exact("flange", flange) : m.measured("flange", flange, 0.1);
  }
}

void fork_stack(Maker& m, const Fork& f) {
  Dice& d = m.dice;
  m.table("stem");
  m.measured("clamp", f.K, 0.1);
  if (f.bar) {
    m.measured("length", 100, 0.5);
    m.measured("angle", d.one_of<double>({-6, 7, 17}), 0.5, Unit::angle);
  }
  if (d.chance(0.2)) {
    m.exact("recess_max", d.one_of<double>({0, 1, 3, 5}));
  }
  m.table("spacers");
  if (!f.bar) {
    say_rings(m, "below", f.below);
    if (f.lowest != f.below) {
      say_rings(m, "lowest", f.lowest);
    }
    if (f.highest != f.below) {
      say_rings(m, "highest", f.highest);
    }
  }
  if (!f.above.empty() || d.chance(0.7)) {
    say_rings(m, "above", f.above);
  }
  if (f.bar || d.chance(0.4)) {
    std::vector<double> bench = f.highest;
    bench.insert(bench.end(), f.above.begin(), f.above.end());
    if (d.chance(0.3)) {
      bench.push_back(3);
    }
    if (bench.empty()) {
      bench.push_back(5);
    }
    m.list("on_hand", bench);
  }
  ring_limits(m, f);
  cap_and_expander(m, f);
  if (f.bar) {
    // Off any tie between two sums of rings.
    const double height = 560 + 10 + d.between(40, 110);
    m.table("bar");
    m.exact("height", height);
    if (d.chance(0.5)) {
      m.exact("lowest", height - d.between(0, 20));
      m.exact("highest", height + d.between(0, 20));
    }
  }
  m.saw_and_measuring();
  m.wanted(f.proud + 3);
}

struct Bar {
  double width, off, controls;
  bool narrow;  // at the least that the standard has
};

void bar_figures(Maker& m, const Bar& b, std::size_t controls) {
  Dice& d = m.dice;
  const double wanted = std::clamp(m.rounded(b.width - 2 * b.off), 305.0, 990.0);
  m.measured("width", b.width, 1);
  if (d.chance(0.4)) {
    const double skew = d.chance(0.1) ? d.between(2, 6) : d.between(-0.6, 0.6);
    const double slip = d.chance(0.06) ? d.between(-4, 4) : 0.0;
    m.measured("left", on_grid((b.width + skew) / 2 + slip, 0.1), 0.5);
    m.measured("right", on_grid((b.width - skew) / 2, 0.1), 0.5);
  }
  m.exact("wanted", wanted);
  if (d.chance(0.3)) {
    m.exact("narrowest", std::max(300.0, wanted - d.one_of<double>({0, 1, 10})));
    m.exact("widest", wanted + d.one_of<double>({0, 1, 10}));
  }
  const double must_stay = b.controls + b.off;
  if (controls > 0 || d.chance(0.5)) {
    m.measured("straight", std::clamp(m.rounded(must_stay + m.slack()), 40.0, 390.0), 0.5);
  }
  if (d.chance(0.2)) {
    m.noted("grip_zone", std::clamp(m.rounded(must_stay + m.slack()), 32.0, 399.0));
  }
  if (d.chance(0.2)) {
    m.measured("to_mark", std::clamp(m.rounded(b.off + m.slack() / 2), 10.0, 140.0), 0.5);
  }
  if (d.chance(0.3)) {
    m.exact("air", d.one_of<double>({0, 2, 3, 5}));
  }
  if (d.chance(0.2)) {
    m.noted("min_width", std::clamp(m.rounded(wanted - m.slack()), 302.0, 999.0));
  }
}

void bar_maker(Maker& m, const Bar& b) {
  Dice& d = m.dice;
  m.word("material", m.material());
  if (d.chance(0.85)) {
    m.word("cutting", d.chance(0.93) ? "\"allowed\"" : "\"forbidden\"");
  }
  if (d.chance(0.5)) {
    m.exact("diameter", 22.2);
  }
  if (d.chance(0.15)) {
    m.noted("max_cut", std::clamp(m.rounded(b.off + m.slack() / 2), 0.0, 449.0));
  }
}

std::string plain(double value) {
  std::array<char, 400> text{};
  return {
      text.data(),
      std::to_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed).ptr};
}

/// "8 3/16 in" where the value is one of so many sixteenths.
std::string in_inches(double value) {
  const double parts = std::round(value / sixteenth);
  const double whole = std::floor(parts / 16);
  return std::abs(parts * sixteenth - value) > 1e-9 || parts == whole * 16
             ? plain(value / mm_per_inch) + " in"
             : plain(whole) + " " + plain(parts - whole * 16) + "/16 in";
}

/// As a plain number in mm, deg or kg, or as a text with its unit.
std::string quantity(double value, const Value& said, Units units) {
  const bool imperial = units == Units::imperial;
  if (imperial ? said.unit == Unit::mass : said.spelled == "lb") {
    return "\"" + plain(value / kg_per_pound) + " lb\"";
  }
  if (imperial && said.unit == Unit::length) {
    return "\"" + plain(value / mm_per_inch) + " in\"";
  }
  if (imperial && said.unit == Unit::angle) {
    return "\"" + plain(value) + " deg\"";
  }
  if (imperial || said.spelled.empty()) {
    return plain(value);
  }
  return "\"" +
         (said.spelled == "in"   ? in_inches(value)
          : said.spelled == "cm" ? plain(value / 10) + " cm"
                                 : plain(value) + " mm") +
         "\"";
}

// Several readings of a sum of rings need a table: a list there would be one of rings.
std::string written(const Value& value, Units units, bool rings) {
  if (!value.word.empty()) {
    return value.word;
  }
  std::string read;
  for (const double number : value.numbers) {
    const std::string once = quantity(number, value, units);
    read += read.empty() ? "" : ", ";
    read += value.again
                ? "{ read = [" + once + ", " + quantity(number + *value.again, value, units) + "] }"
                : once;
  }
  if (value.list || value.numbers.size() != 1) {
    read = "[" + read + "]";
  }
  if (value.within) {
    return "{ read = " + read + ", within = " + quantity(*value.within, value, units) + " }";
  }
  if (!value.instrument.empty()) {
    return "{ read = " + read + ", with = \"" + value.instrument + "\" }";
  }
  return rings && !value.list && value.numbers.size() > 1 ? "{ read = " + read + " }" : read;
}

// The topper's own table is the one that is being written.
void mast_and_topper(Maker& m, const PostFigures& f) {
  Dice& d = m.dice;
  const double t = std::clamp(on_grid(d.between(20, 45), 0.1), 17.0, f.E_low - 30);
  const double stop = f.E_low - t;  // of the topper at the saddle's lowest
  const double range = f.E_high - f.E_low;
  const double over = d.chance(0.75) ? d.between(4, 60) : d.between(-25, 4);
  const double M = std::clamp(m.rounded(stop + over), 30.0, 390.0);
  const double keep = std::clamp(m.rounded(stop - m.slack()), 10.0, 390.0);
  const bool keeps = d.chance(0.4);
  const bool into = d.chance(0.3);
  const double free = stop - (into && keeps ? keep : 0.0);
  const double J = std::clamp(on_grid(free - m.slack(), 0.1), 20.0, 120.0);
  m.measured("rise", t, 0.1);
  if (d.chance(0.9)) {
    m.exact("spacers_most", std::clamp(m.rounded(range + m.slack()), 0.0, 120.0));
  }
  if (d.chance(0.8)) {
    m.word("goes", into ? "\"into\"" : "\"over\"");
  }
  if (d.chance(0.6)) {
    m.measured("grip", J, 0.1);
  }
  if (d.chance(0.6)) {
    m.noted("min_grip", std::clamp(m.rounded(J - range - m.slack()), 0.0, 249.0));
  }
  m.table("saddle");
  if (d.chance(0.3)) {
    m.exact("near", m.rounded(d.between(0, 8)));
  }
  m.table("mast");
  m.measured("length", M, 0.5);
  m.word("material", m.material());
  m.word("cutting", d.one_of<std::string>({"\"allowed\"", "\"allowed\"", "\"allowed\"",
                                           "\"not stated\"", "\"forbidden\""}));
  if (keeps) {
    m.measured("keep", keep, 0.5);
  }
  if (d.chance(0.2)) {
    m.noted("max_cut", std::clamp(m.rounded(over + m.slack()), 0.0, 449.0));
  }
  if (d.chance(0.2)) {
    m.noted("min_length", std::clamp(m.rounded(stop - m.slack()), 22.0, 399.0));
  }
  if (d.chance(0.3)) {
    m.word("section", d.one_of<std::string>({"\"round\"", "\"other\""}));
    m.exact("diameter", 34.9);
  }
  m.masses("mast");
  m.saw_and_measuring();
  m.wanted(std::max(over, 2.0));
}

}  // namespace

Tables seatpost(Random& random) {
  Maker m(random);
  m.table("");
  m.word("kind", "\"seatpost\"");
  PostFigures f{};
  saddle_and_frame(m, f, "post");
  post_and_limits(m, f);
  blockages(m, f);
  if (m.dice.chance(0.3)) {
    stock(m);
  }
  return m.tables;
}

Tables steerer(Random& random) {
  Maker m(random);
  Dice& d = m.dice;
  m.table("");
  m.word("kind", "\"steerer\"");
  Fork f{};
  f.bar = d.chance(0.2);
  const double head_tube = m.rounded(d.between(90, 200));
  // Some of it may stand in a recess of the head tube, or nothing at all.
  const double lower = d.one_of<double>({0, -4, 2.5, 8, 11.3});
  const double upper = on_grid(d.between(7, 20), 0.1);
  f.Q = lower + head_tube + upper;
  f.K = on_grid(d.between(35, 50), 0.1);
  f.below = rings(m, 0, 3);
  f.lowest = f.below;
  f.highest = f.below;
  if (d.chance(0.25) && !f.below.empty()) {
    f.lowest.pop_back();
  }
  if (d.chance(0.25)) {
    f.highest.push_back(5);
  }
  f.above = rings(m, 0, d.one_of<std::size_t>({0, 1, 2, 2}));
  const double stack = f.Q + sum_of(f.highest) + f.K + sum_of(f.above);
  f.proud = d.chance(0.7) ? d.between(3, 90) : d.between(-12, 3);
  f.S = std::clamp(m.rounded(stack + f.proud), 50.0, 500.0);
  f.proud = f.S - stack;
  fork_parts(m, f, head_tube, lower, upper);
  fork_stack(m, f);
  return m.tables;
}

Tables mast(Random& random) {
  Maker m(random);
  m.table("");
  m.word("kind", "\"mast\"");
  PostFigures f{};
  saddle_and_frame(m, f, "topper");
  mast_and_topper(m, f);
  return m.tables;
}

Tables handlebar(Random& random) {
  Maker m(random);
  Dice& d = m.dice;
  m.table("");
  m.word("kind", "\"handlebar\"");
  Bar b{};
  b.narrow = d.chance(0.06);
  b.width = m.rounded(b.narrow ? d.between(330, 400) : d.between(560, 820));
  b.off = b.narrow ? d.between(2, 20) : d.chance(0.75) ? d.between(4, 60) : d.between(-12, 4);
  std::vector<double> controls(d.chance(0.08) ? 0 : d.count(1, 3));
  for (double& width : controls) {
    width = on_grid(b.narrow ? d.between(8, 20) : d.between(10, 60), 0.1);
    b.controls += width;
  }
  m.table("handlebar");
  bar_figures(m, b, controls.size());
  bar_maker(m, b);
  for (const double width : controls) {
    m.block("controls");
    m.measured("width", width, 0.1);
  }
  m.masses("handlebar");
  m.saw_and_measuring();
  m.wanted(std::max(b.off, 2.0));
  return m.tables;
}

std::string text_of(const Tables& tables, Units units) {
  std::string text;
  for (const Table& table : tables) {
    if (!table.name.empty()) {
      text += (table.repeated ? "[[" : "[") + table.name + (table.repeated ? "]]\n" : "]\n");
    }
    for (const Entry& entry : table.entries) {
      text += entry.key + " = " + written(entry.value, units, table.name == "spacers") + "\n";
    }
  }
  return text;
}

Tables in_other_order(Tables tables, Random& random) {
  Tables blocks;
  for (Table& table : tables) {
    std::ranges::shuffle(table.entries, random);
    if (table.repeated) {
      blocks.push_back(table);
    }
  }
  // The top of a file has no header and stays the top.
  std::shuffle(tables.begin() + 1, tables.end(), random);
  std::size_t next = 0;
  for (Table& table : tables) {
    if (table.repeated) {
      table = blocks.at(next++);
    }
  }
  return tables;
}

Tables with_rings_mixed(Tables tables, Random& random) {
  for (Table& table : tables) {
    for (Entry& entry : table.entries) {
      if (table.name == "spacers" && entry.value.list) {
        std::ranges::shuffle(entry.value.numbers, random);
      }
    }
  }
  return tables;
}

}  // namespace random_job
