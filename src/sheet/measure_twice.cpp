#include "measure_twice.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "kerfmark/measure/reading.hpp"
#include "kerfmark/plan/after.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/measuring_order.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Job;

// ---- measures of the table, in millimetres ----

constexpr double box_height = 7.5;  // for a figure written with a glove on
constexpr Pen box_pen{.width_mm = 0.35};
// Columns from the right; the first takes what they leave.
constexpr double initials_width = 20;
constexpr double apart_width = 17;
constexpr double again_width = 33;
constexpr double read_width = 29;
constexpr double how_width = 33;
// What each column leaves free before the next.
constexpr double head_gap = 0.5;
constexpr double text_gap = 1.5;
constexpr double figure_gap = 1;
constexpr double allowed_gap = 0.5;
constexpr double box_gap = 3;
constexpr double in_box = 1.2;  // of a figure that stands in the box
constexpr double last_gap = 0.2;
constexpr double below_heads = 0.8;
constexpr double rows_apart = 0.6;

// A key without the numbers that tell blockages and rings apart.
std::string key_of(std::string_view reading) {
  std::string key;
  for (std::size_t i = 0; i < reading.size(); ++i) {
    if (reading[i] == '-') {
      i = std::min(reading.find('.', i), reading.size()) - 1;
    } else {
      key += reading[i];
    }
  }
  return key;
}

// The bar that was wished chooses the rings.
bool may_hold_up_the_answer(std::string_view key, const Job& job) {
  const auto row = std::ranges::find(plan::keys(), key, &plan::Key::path);
  constexpr auto bar = std::to_array<std::string_view>(
      {"frame.stack", "frame.head_angle", "stem.length", "stem.angle", "headset.upper"});
  const bool wished = job.bar.height || job.bar.lowest || job.bar.highest;
  return (row != plan::keys().end() && row->spec.has_second_way) ||
         (key == "frame.blockage.depth" && job.mock_up.exposed_bottomed) ||
         (wished && std::ranges::find(bar, key) != bar.end());
}

bool has_a_share(std::size_t reading, const plan::Judgement& now) {
  return std::ranges::any_of(now.limits, [&](const plan::JudgedLimit& limit) {
    return std::ranges::any_of(limit.doubt, [&](const measure::Share& share) {
      return share.reading == reading && share.of_variance > 0;
    });
  });
}

// All rings of a stack stand below the stem at its highest or above it there: at any other height
// they are the same rings in other places.
bool is_ring_counted_already(std::string_view key, const Job& job) {
  return key == "spacers.lowest" || (key == "spacers.below" && job.spacers.highest);
}

// Millimetres go without saying: the note below the table names them.
std::string figure(const std::string& value, const measure::Reading& reading,
                   const text::Words& words) {
  switch (reading.dimension) {
    case measure::Dimension::length:
      return value;
    case measure::Dimension::angle:
      return value + "°";  // narrower than the word
    case measure::Dimension::mass:
    case measure::Dimension::ratio:
      break;
  }
  return report::with_unit(value, reading.dimension, words);
}

std::string figure(double value, const measure::Reading& reading, const text::Words& words) {
  return figure(report::plain(value, words), reading, words);
}

// Each as it was written where that was in inches, else in the base unit.
std::vector<std::string> as_written(const measure::Reading& reading, const text::Words& words) {
  std::vector<std::string> all;
  const std::string inches = text::harmless(reading.inches);
  constexpr std::string_view between = ", ";
  for (std::size_t at = 0; !inches.empty() && at < inches.size();) {
    const std::size_t end = std::min(inches.find(between, at), inches.size());
    all.push_back(inches.substr(at, end - at));
    at = end + between.size();
  }
  for (std::size_t i = 0; inches.empty() && i < reading.values_base.size(); ++i) {
    all.push_back(report::plain(reading.values_base[i], words));
  }
  return all;
}

// The unit of a figure that was not written in inches stands once, behind the last.
std::string with_its_unit(const std::string& text, const measure::Reading& reading,
                          const text::Words& words) {
  return reading.inches.empty() ? figure(text, reading, words) : text;
}

// What was read before: all but the second of two, which stands in the box of the second.
std::string first_readings(const measure::Reading& reading, const text::Words& words) {
  std::vector<std::string> all = as_written(reading, words);
  all.resize(all.size() == 2 ? 1 : all.size());
  std::string text;
  for (std::size_t i = 0; i + 1 < all.size(); ++i) {
    text += all[i] + words.at("sheet.work.and_then");
  }
  return text + with_its_unit(all.back(), reading, words);
}

std::string second_reading(const measure::Reading& reading, const text::Words& words) {
  const std::vector<std::string> all = as_written(reading, words);
  return all.size() == 2 ? with_its_unit(all[1], reading, words) : std::string();
}

// The instrument by its word in the language, or as the job calls it; its half-width where the
// job gives no name.
std::string instrument_of(const measure::Reading& reading, const text::Words& words) {
  const std::string key = "sheet.work.instrument." + reading.instrument;
  if (reading.instrument.empty()) {
    const bool length = reading.dimension == measure::Dimension::length;
    return "±" + figure(reading.half_width_base, reading, words) + (length ? " mm" : "");
  }
  return words.has(key) ? words.at(key) : text::harmless(reading.instrument);
}

// Where the columns of the table begin.
struct Columns {
  explicit Columns(double width_mm)
      : initials(width_mm - initials_width),
        apart(initials - apart_width),
        again(apart - again_width),
        read(again - read_width),
        how(read - how_width) {}
  double initials, apart, again, read, how;

  [[nodiscard]] double end_of_box() const { return apart - box_gap; }
};

Block heads(double width, double size_pt, const text::Words& words) {
  const Columns columns(width);
  Block row(width);
  double height = 0;
  const auto head = [&](double x, double to, const std::string& key) {
    const Lines lines =
        set_in_lines(bold(size_pt), to - x - head_gap, words.at("sheet.work." + key));
    row.lines_at({x, 0}, lines);
    height = std::max(height, lines.height_mm());
  };
  head(0, columns.how, "value");
  head(columns.how, columns.read, "how");
  head(columns.read, columns.again, "read");
  head(columns.again, columns.apart, "again");
  head(columns.apart, columns.initials, "apart");
  head(columns.initials, width, "who");
  row.space(height + below_heads);
  return row;
}

Block reading_row(const Subject& subject, std::size_t place, double size_pt, double width) {
  const Columns columns(width);
  const text::Words& words = subject.words();
  const measure::Reading& reading = subject.job.readings[place];
  const double allowed =
      measure::repeat_allowance(reading.half_width_base, subject.job.measuring.coverage);
  struct Cell {
    double left, right;
    Type type;
    std::string text;
  };
  const std::array<Cell, 5> cells = {{
      {0, columns.how - text_gap, regular(size_pt), report::bench_name(reading.key, words)},
      {columns.how, columns.read - text_gap, regular(size_pt), instrument_of(reading, words)},
      {columns.read, columns.again - figure_gap, bold(size_pt), first_readings(reading, words)},
      {columns.again + in_box, columns.end_of_box() - figure_gap, regular(size_pt),
       second_reading(reading, words)},
      {columns.apart, columns.initials - allowed_gap, regular(size_pt),
       figure(report::one_decimal(allowed, report::Rounding::down, words), reading, words)},
  }};
  std::vector<Lines> lines;
  const bool is_read_twice = reading.values_base.size() > 1;
  double height = is_read_twice ? 0 : box_height;
  for (const Cell& cell : cells) {
    lines.push_back(set_in_lines(cell.type, cell.right - cell.left, cell.text));
    height = std::max(height, lines.back().height_mm());
  }
  Block block(width);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    block.lines_at({cells[i].left, (height - lines[i].height_mm()) / 2}, lines[i]);
  }
  block.space(height);
  if (is_read_twice) {
    return block;
  }
  const double box_top = (height - box_height) / 2;
  for (const auto& [left, right] : {std::pair{columns.again, columns.end_of_box()},
                                    std::pair{columns.initials, width - last_gap}}) {
    block.box({left, box_top, right, box_top + box_height}, box_pen);
  }
  return block;
}

}  // namespace

std::vector<measure::ReadingIndex> to_read_again(const Subject& subject) {
  std::vector<std::size_t> rows;
  const measure::Readings& readings = subject.job.readings;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool reserved = i == Job::saw_row || i == Job::stock_row;
    const std::string key = key_of(readings[i].key);
    const bool counts = !is_ring_counted_already(key, subject.job) &&
                        !(subject.now.is_after() && plan::is_gone(readings[i])) &&
                        (has_a_share(i, subject.now) || may_hold_up_the_answer(key, subject.job));
    if (!reserved && counts && readings[i].half_width_base > 0 &&
        !readings[i].values_base.empty()) {
      rows.push_back(i);
    }
  }
  std::ranges::stable_sort(rows, {},
                           [&](std::size_t i) { return place_in_order(key_of(readings[i].key)); });
  return rows;
}

Section measure_twice(const Subject& subject) {
  const double size_pt = warning_pt;
  const text::Words& words = subject.words();
  Section section{
      .title = words.at("sheet.work.measure_twice"),
      .columns = [size_pt, &words](double width) { return heads(width, size_pt, words); },
      .apart_mm = rows_apart};
  for (const std::size_t place : to_read_again(subject)) {
    section.rows.push_back(row([&subject, place, size_pt](double width) {
      return reading_row(subject, place, size_pt, width);
    }));
  }
  if (!section.rows.empty()) {
    section.rows.push_back(text_row(regular(size_pt), words.at("sheet.work.apart_says")));
  }
  return section;
}

}  // namespace kerfmark::sheet
