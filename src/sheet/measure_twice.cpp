#include "measure_twice.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <utility>

#include "kerfmark/measure/reading.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Job;
using plan::Plan;

constexpr double box_height = 7;  // mm, for a figure written with a glove on

// How much a reading weighs: its largest part in the doubt of a limit that governs or does not
// hold.
double weight(std::size_t reading, bool is_mark, const Plan& plan) {
  double most = 0;
  for (const plan::JudgedLimit& limit : plan.limits) {
    const bool telling = limit.governs || limit.at.status != measure::Status::holds ||
                         limit.uncut.status != measure::Status::holds;
    for (const measure::Share& share : limit.doubt) {
      if (share.reading == reading) {
        most = std::max(most, (telling ? 1.0 : 0.0) + share.of_variance);
      }
    }
  }
  // The new line is measured off by the old mark's distance: it counts as a tenth of what governs.
  const bool line = is_mark && plan.seatpost && plan.seatpost->new_mark;
  return line ? std::max(most, 1.1) : most;
}

// Exact values have no doubt that a second reading could lessen.
std::vector<std::size_t> to_read_again(const Subject& subject) {
  std::vector<std::size_t> rows;
  const measure::Readings& readings = subject.job.readings;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool reserved = i == Job::saw_row || i == Job::stock_row;
    if (!reserved && readings[i].half_width_base > 0 && !readings[i].values_base.empty()) {
      rows.push_back(i);
    }
  }
  const auto& mark = subject.job.post.mark;
  std::vector<double> weights(readings.size());
  for (const std::size_t i : rows) {
    weights[i] = weight(i, mark && mark->reading == i, subject.plan);
  }
  std::ranges::stable_sort(rows, std::greater<>(), [&](std::size_t i) { return weights[i]; });
  return rows;
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

// What was read before: all but the second of two, which stands in the box of the second.
std::string first_readings(const measure::Reading& reading, const text::Words& words) {
  const std::size_t count = reading.values_base.size() == 2 ? 1 : reading.values_base.size();
  std::string text;
  for (std::size_t i = 0; i + 1 < count; ++i) {
    text += report::plain(reading.values_base[i], words) + words.at("sheet.work.and_then");
  }
  return text + figure(reading.values_base[count - 1], reading, words);
}

std::string second_reading(const measure::Reading& reading, const text::Words& words) {
  return reading.values_base.size() == 2 ? figure(reading.values_base[1], reading, words)
                                         : std::string();
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

// Where the columns of the table begin. In a narrow table the instrument stands behind the name.
struct Desk {
  explicit Desk(double width_mm)
      : wide(width_mm > 120),
        initials(width_mm - (wide ? 21 : 10)),
        apart(initials - (wide ? 19 : 9.5)),
        again(apart - (wide ? 34 : 20)),
        read(again - (wide ? 26 : 13)),
        how(wide ? read - 38 : read) {}
  bool wide;
  double initials, apart, again, read, how;

  [[nodiscard]] double end_of_box() const { return apart - (wide ? 4 : 1.5); }
};

Block heads(double width, double size_pt, const text::Words& words) {
  const Desk desk(width);
  Block row(width);
  double height = 0;
  const auto head = [&](double x, double to, const std::string& key) {
    const Lines lines = set_in_lines(bold(desk.wide ? size_pt - 0.5 : smallest_pt + 0.5),
                                     to - x - 0.5, words.at("sheet.work." + key));
    row.lines_at({x, 0}, lines);
    height = std::max(height, lines.height_mm());
  };
  head(0, desk.how, desk.wide ? "value" : "value_and_instrument");
  if (desk.wide) {
    head(desk.how, desk.read, "how");
  }
  head(desk.read, desk.again, "read");
  head(desk.again, desk.apart, "again");
  head(desk.apart, desk.initials, "apart");
  head(desk.initials, width, "who");
  row.space(height + 0.8);
  return row;
}

Block reading_row(const Subject& subject, std::size_t place, double size_pt, double width) {
  const Desk desk(width);
  const text::Words& words = subject.words();
  const measure::Reading& reading = subject.job.readings[place];
  const double allowed =
      measure::repeat_allowance(reading.half_width_base, subject.job.measuring.coverage);
  const std::string name = report::bench_name(reading.key, words);
  const std::string how = instrument_of(reading, words);
  struct Cell {
    double left, right;
    Type type;
    std::string text;
  };
  const std::array<Cell, 5> cells = {{
      {0, desk.how - 1.5, regular(desk.wide ? size_pt : size_pt - 0.5),
       desk.wide ? name : words.say("sheet.work.value_by", {{"value", name}, {"instrument", how}})},
      {desk.how, desk.read - 1.5, regular(size_pt), desk.wide ? how : std::string()},
      {desk.read, desk.again - 1, bold(size_pt), first_readings(reading, words)},
      {desk.again + 1.2, desk.end_of_box() - 1, regular(size_pt), second_reading(reading, words)},
      {desk.apart, desk.initials - 0.5, regular(size_pt),
       figure(report::one_decimal(allowed, report::Rounding::down, words), reading, words)},
  }};
  std::vector<Lines> lines;
  double height = box_height;
  for (const Cell& cell : cells) {
    lines.push_back(set_in_lines(cell.type, std::max(1.0, cell.right - cell.left), cell.text));
    height = std::max(height, lines.back().height_mm());
  }
  Block block(width);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    block.lines_at({cells[i].left, (height - lines[i].height_mm()) / 2}, lines[i]);
  }
  const double box_top = (height - box_height) / 2;
  for (const auto& [left, right] :
       {std::pair{desk.again, desk.end_of_box()}, std::pair{desk.initials, width - 0.2}}) {
    block.box({left, box_top, right, box_top + box_height}, {.width_mm = 0.35});
  }
  block.space(height);
  return block;
}

}  // namespace

Section measure_twice(const Subject& subject, double size_pt) {
  const text::Words& words = subject.words();
  Section section{
      .title = words.at("sheet.work.measure_twice"),
      .columns = [size_pt, &words](double width) { return heads(width, size_pt, words); },
      .apart_mm = 1};
  for (const std::size_t place : to_read_again(subject)) {
    section.rows.push_back(row([&subject, place, size_pt](double width) {
      return reading_row(subject, place, size_pt, width);
    }));
  }
  if (!section.rows.empty()) {
    section.rows.push_back(text_row(regular(size_pt - 0.5), words.at("sheet.work.apart_says")));
  }
  return section;
}

}  // namespace kerfmark::sheet
