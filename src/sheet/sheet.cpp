#include "kerfmark/sheet/sheet.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "block.hpp"
#include "kerfmark/measure/reading.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"
#include "lacking.hpp"
#include "steps.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Job;
using plan::Plan;
using plan::Verdict;
using report::Figure;
using report::LimitLine;
using report::Statement;

// ---- measures of the page, in millimetres ----

constexpr double margin = 11;  // every printer reaches this far, common practice
constexpr double page_width = a4.width_mm - 2 * margin;
constexpr double page_height = a4.height_mm - 2 * margin;
constexpr double left_width = 96;
constexpr double gutter = 5;
constexpr double right_width = page_width - left_width - gutter;
constexpr double band_height = 18;
constexpr double between = 3;    // between blocks
constexpr double tick_side = 4;  // of a box to tick
constexpr double write_in = 19;  // width of a box for a figure, written with a glove on
constexpr double write_in_high = 6;

/// What the blocks may take.
struct Room {
  double size_pt;
  std::size_t limits, notes, readings, actions, positions;  ///< rows
  std::size_t lines;        ///< of one sentence that a job's texts can lengthen
  std::size_t paper_lines;  ///< of one of the job's own texts; 0: what finds room in a third of one
  std::size_t remarks;      ///< lines of the job's notes
  std::size_t lacking;      ///< lines that name characters which cannot be printed
};

// A sheet starts roomy. Print gets smaller first, down to `easy_pt`; then rows give way, down to
// what is still a good sheet; last print and rows go down to the least that a bench can work with.
constexpr Room roomy{11, 12, 8, 12, 12, 4, 6, 3, 8, 5};
constexpr double easy_pt = 8;
constexpr double step_pt = 0.5;
constexpr Room close{easy_pt, 5, 1, 6, 5, 0, 4, 2, 2, 5};
constexpr Room closest{smallest_pt, 3, 0, 3, 2, 0, 2, 0, 0, 1};

struct Subject {
  const Job& job;
  const Plan& plan;
  Statement says;
  std::vector<std::string> lacking;
};

Type regular(double size_pt) { return {Face::regular, size_pt, 0}; }
Type bold(double size_pt) { return {Face::bold, size_pt, 0}; }

double smaller(const Room& room) { return std::max(smallest_pt, room.size_pt - 1); }

// ---- blocks ----

Block titled(double width, const Room& room, std::string_view title) {
  Block block(width);
  block.paragraph(0, set_in_lines(bold(room.size_pt + 1), width, title));
  block.space(0.4);
  block.rule({0, block.height_mm()}, {width, block.height_mm()}, {.width_mm = 0.4});
  block.space(1.2);
  return block;
}

void left_out(Block& block, const Room& room, std::size_t count, std::string_view what) {
  if (count > 0) {
    block.space(0.4);
    block.paragraph(0, set_in_lines(bold(smaller(room)), block.width_mm(),
                                    "+ " + std::to_string(count) + " more " + std::string(what)));
  }
}

// The sign of a verdict, for those who do not read the word: scissors, a tick, two bars, a cross.
void sign(Block& band, Verdict verdict, double grey) {
  const Spot spot{5, 13};
  switch (verdict) {
    case Verdict::cut:
      band.text(spot, {Face::regular, 32, grey}, "✂");
      return;
    case Verdict::keep:
      band.text(spot, {Face::regular, 32, grey}, "✓");
      return;
    case Verdict::hold:
      band.fill({6, 4, 9.4, 14}, grey);
      band.fill({12, 4, 15.4, 14}, grey);
      return;
    case Verdict::reject:
      band.text(spot, {Face::regular, 32, grey}, "✗");
      return;
  }
}

Block verdict_band(const Subject& subject) {
  Block band(page_width);
  const bool dark = subject.plan.verdict == Verdict::cut;
  const double ink = dark ? 1 : 0;
  if (dark) {
    band.fill({0, 0, page_width, band_height}, 0);
  } else {
    band.box({0.6, 0.6, page_width - 0.6, band_height - 0.6}, {.width_mm = 1.2});
  }
  if (subject.plan.verdict == Verdict::reject) {  // framed twice
    band.box({2.1, 2.1, page_width - 2.1, band_height - 2.1}, {.width_mm = 0.4});
  }
  sign(band, subject.plan.verdict, ink);
  const double verdict_pt = 30;
  const Type big{Face::bold, verdict_pt, ink};
  band.text({21, 12.8}, big, subject.says.verdict);
  if (dark) {
    const double x = 21 + PdfCanvas::text_width_mm(Face::bold, verdict_pt, subject.says.verdict);
    band.text({x + 7, 12.8}, big, report::mm(subject.plan.at));
  }
  const bool post = subject.job.kind == plan::Kind::seatpost;
  const double edge = page_width - 5;
  band.text_up_to({edge, 7.7}, {Face::bold, 11, ink}, post ? "Seatpost" : "Steerer");
  const std::string number = text::harmless(subject.job.paperwork.number);
  const bool short_one = PdfCanvas::text_width_mm(Face::regular, 11, "cut sheet " + number) < 45;
  band.text_up_to({edge, 13.1}, {Face::regular, 11, ink},
                  number.empty() || !short_one ? "cut sheet" : "cut sheet " + number);
  band.space(band_height);
  return band;
}

// As large as it fits on one line, else wrapped.
Lines headline(const Subject& subject) {
  for (const double size : {15.0, 14.0, 13.0, 12.0}) {
    Lines lines = set_in_lines(bold(size), page_width, subject.says.headline);
    if (lines.texts.size() == 1) {
      return lines;
    }
  }
  return set_in_lines(bold(12), page_width, subject.says.headline);
}

bool is_remark(const Figure& figure) { return figure.label == "Notes" || figure.label.empty(); }

double label_width(const std::vector<Figure>& figures, double size_pt) {
  double width = 0;
  for (const Figure& figure : figures) {
    width = std::max(width, PdfCanvas::text_width_mm(Face::bold, size_pt, figure.label));
  }
  return width + 2;
}

// Short texts stand three in a row, a long one has a row of its own.
Block paperwork(const Subject& subject, const Room& room) {
  Block block(page_width);
  const double size = room.size_pt;
  const double cell = page_width / 3;
  std::size_t column = 0;
  double row_height = 0;
  const auto end_row = [&] {
    block.space(row_height);
    column = 0;
    row_height = 0;
  };
  for (const Figure& figure : subject.says.job) {
    if (is_remark(figure)) {
      continue;
    }
    const double label = PdfCanvas::text_width_mm(Face::bold, size, figure.label) + 1.8;
    const double value = PdfCanvas::text_width_mm(Face::regular, size, figure.value);
    const bool wide = room.paper_lines > 0 && label + value > cell - 3;
    if (wide || column == 3) {
      end_row();
    }
    const double x = cell * static_cast<double>(column);
    const double width = wide ? page_width - label : cell - 2 - label;
    const Lines lines = set_in_lines(regular(size), width, figure.value,
                                     std::max<std::size_t>(room.paper_lines, 1));
    Lines name = set_in_lines(bold(size), label, figure.label, 1);
    name.ascent_mm = lines.ascent_mm;
    block.lines_at({x, block.height_mm()}, name);
    block.lines_at({x + label, block.height_mm()}, lines);
    row_height = std::max(row_height, lines.height_mm());
    ++column;
    if (wide) {
      end_row();
    }
  }
  end_row();
  return block;
}

Block lacking_lines(const Subject& subject, const Room& room) {
  Block block(page_width);
  if (subject.lacking.empty()) {
    return block;
  }
  std::string text = "⚠ These " + std::string(cannot_be_printed) + ": ";
  for (std::size_t i = 0; i < subject.lacking.size(); ++i) {
    text += (i == 0 ? "" : "; ") + subject.lacking[i];
  }
  block.paragraph(0, set_in_lines(bold(smallest_pt), page_width, text, room.lacking));
  return block;
}

void rule_off(Block& block) {
  block.space(1.4);
  block.rule({0, block.height_mm()}, {block.width_mm(), block.height_mm()}, {.width_mm = 0.25});
  block.space(1.4);
}

Block head_of(const Subject& subject, const Room& room) {
  Block block(page_width);
  block.append(verdict_band(subject));
  block.space(2);
  block.paragraph(0, headline(subject));
  block.space(0.6);
  block.paragraph(
      0, set_in_lines(regular(room.size_pt + 0.5), page_width, subject.says.because, room.lines));
  rule_off(block);
  if (const Block papers = paperwork(subject, room); papers.height_mm() > 0) {
    block.append(papers);
    block.append(lacking_lines(subject, room));
    rule_off(block);
  } else if (!subject.lacking.empty()) {
    block.append(lacking_lines(subject, room));
    rule_off(block);
  }
  return block;
}

void figure_rows(Block& block, const std::vector<Figure>& figures, double inset, double size_pt,
                 std::size_t most_lines) {
  const double label = label_width(figures, size_pt);
  for (const Figure& figure : figures) {
    const double top = block.height_mm();
    block.lines_at({inset, top}, set_in_lines(bold(size_pt), label, figure.label, 1));
    block.paragraph(inset + label,
                    set_in_lines(regular(size_pt), block.width_mm() - label - 2 * inset,
                                 figure.value, most_lines));
    block.space(0.5);
  }
}

// A job whose texts or lists are long must not push the rest of its figures off the page.
constexpr std::size_t most_lines_of_a_figure = 5;

// Where the rows with the positions of the stem begin; they stand together, named by the first.
std::size_t first_position(const std::vector<Figure>& figures) {
  const auto found =
      std::find_if(figures.begin(), figures.end(), [](const Figure& f) { return f.label.empty(); });
  return found == figures.begin() || found == figures.end()
             ? figures.size()
             : static_cast<std::size_t>(found - figures.begin()) - 1;
}

Block key_figures(const Subject& subject, const Room& room) {
  Block block = titled(left_width, room, "Figures");
  std::vector<Figure> figures = subject.says.figures;
  const std::size_t first = first_position(figures);
  std::size_t last = first;
  while (last < figures.size() && (last == first || figures[last].label.empty())) {
    ++last;
  }
  const std::size_t shown = std::min(first + room.positions, last);
  const auto place = [&](std::size_t i) {
    return figures.begin() + static_cast<std::ptrdiff_t>(i);
  };
  figures.erase(place(shown), place(last));
  figure_rows(block, figures, 0, room.size_pt, most_lines_of_a_figure);
  left_out(block, room, last - shown,
           shown == first ? "positions of the stem in the report" : "positions in the report");
  return block;
}

// Those that govern, then those that do not hold, then the rest; each group in its order.
std::vector<LimitLine> most_telling(std::vector<LimitLine> limits, std::size_t most) {
  if (limits.size() > most) {
    std::stable_partition(limits.begin(), limits.end(),
                          [](const LimitLine& line) { return line.stands_out; });
    std::stable_partition(limits.begin(), limits.end(),
                          [](const LimitLine& line) { return line.governs; });
    limits.resize(most);
  }
  return limits;
}

struct Column {
  std::string_view title;
  std::string LimitLine::*cell;
  bool right;
};

constexpr auto limit_columns = std::to_array<Column>({
    {"limit", &LimitLine::id, false},
    {"needs", &LimitLine::bound, false},
    {"has", &LimitLine::has, true},
    {"margin", &LimitLine::margin, true},
    {"doubt", &LimitLine::doubt, true},
    {"status", &LimitLine::status, false},
    {"origin", &LimitLine::origin, false},
});

constexpr std::size_t columns_needed = limit_columns.size() - 1;  // all but the origin

struct Widths {
  std::array<double, limit_columns.size()> of{};
  std::size_t count = limit_columns.size();  ///< of columns that fit
  double sum = 0;
};

constexpr double column_gap = 2;
constexpr double governs_width = 3.4;

// As wide as their widest cells; where the page is too narrow the origin gives way.
Widths widths_of(const std::vector<LimitLine>& limits, double size_pt, double width) {
  Widths widths;
  for (std::size_t i = 0; i < limit_columns.size(); ++i) {
    const Column& column = limit_columns[i];
    widths.of[i] = PdfCanvas::text_width_mm(Face::bold, size_pt, column.title);
    for (const LimitLine& line : limits) {
      const Face face = column.cell == &LimitLine::id ? Face::bold : Face::regular;
      widths.of[i] =
          std::max(widths.of[i], PdfCanvas::text_width_mm(face, size_pt, line.*column.cell));
    }
    const double more = widths.of[i] + (i == 0 ? governs_width : column_gap);
    if (widths.sum + more > width) {
      widths.count = i;
      break;
    }
    widths.sum += more;
  }
  return widths;
}

void limit_row(Block& block, const Widths& widths, double size_pt, const LimitLine* line) {
  const double baseline = block.height_mm() + size_pt * mm_per_pt;
  // What room is left goes between the columns.
  const double spread = (block.width_mm() - widths.sum) /
                        static_cast<double>(std::max<std::size_t>(widths.count, 2) - 1);
  double x = governs_width;
  for (std::size_t i = 0; i < widths.count; ++i) {
    const Column& column = limit_columns[i];
    const bool strong = line == nullptr || column.cell == &LimitLine::id;
    const Type type = strong ? bold(size_pt) : regular(size_pt);
    const std::string_view text = line == nullptr ? column.title : line->*column.cell;
    if (column.right) {
      block.text_up_to({x + widths.of[i], baseline}, type, text);
    } else {
      block.text({x, baseline}, type, text);
    }
    x += widths.of[i] + column_gap + spread;
  }
  if (line != nullptr && line->governs) {
    block.text({0, baseline}, bold(size_pt), "▶");
  }
  block.space(size_pt * 1.25 * mm_per_pt + 0.35);
  block.rule({0, block.height_mm() - 0.2}, {block.width_mm(), block.height_mm() - 0.2},
             {.width_mm = 0.1, .grey = 0.5});
}

Block limits_table(const Subject& subject, const Room& room) {
  const std::vector<LimitLine>& all = subject.says.limits;
  const std::vector<LimitLine> shown = most_telling(all, room.limits);
  Block block = titled(left_width, room, subject.says.limits_title);
  double size = smaller(room);
  Widths widths = widths_of(shown, size, left_width);
  while (widths.count < columns_needed && size > smallest_pt) {
    size = std::max(smallest_pt, size - step_pt);
    widths = widths_of(shown, size, left_width);
  }
  limit_row(block, widths, size, nullptr);
  for (const LimitLine& line : shown) {
    limit_row(block, widths, size, &line);
  }
  block.space(0.6);
  block.paragraph(0, set_in_lines(regular(size), left_width,
                                  "mm or kg; ▶ governs; doubt counts against the margin."));
  std::size_t notes = 0;
  for (const LimitLine& line : shown) {
    if (line.stands_out && notes < room.notes) {
      const std::string source = line.source.empty() ? line.origin : line.source;
      block.paragraph(0,
                      set_in_lines(regular(size), left_width,
                                   line.id + ": " + line.what + " [" + source + "]", room.lines));
      ++notes;
    }
  }
  left_out(block, room, all.size() - shown.size(), "limits in the report");
  return block;
}

// ---- measure twice ----

// How much a reading weighs: its largest part in the doubt of a limit that governs or does not
// hold.
double weight(std::size_t reading, std::optional<std::size_t> mark, const Plan& plan) {
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
  const bool line = plan.seatpost && plan.seatpost->new_mark && reading == mark;
  return line ? std::max(most, 1.1) : most;
}

struct Again {
  std::vector<std::size_t> rows;  ///< of Job::readings, weightiest first
  std::size_t left_out = 0;
};

// Exact values have no doubt that a second reading could lessen.
Again to_read_again(const Subject& subject, std::size_t most) {
  Again again;
  const measure::Readings& readings = subject.job.readings;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const bool reserved = i == Job::saw_row || i == Job::stock_row;
    if (!reserved && readings[i].half_width_base > 0 && !readings[i].values_base.empty()) {
      again.rows.push_back(i);
    }
  }
  const auto& given = subject.job.post.mark;
  const auto mark = given ? given->reading : std::nullopt;
  std::stable_sort(again.rows.begin(), again.rows.end(), [&](std::size_t a, std::size_t b) {
    return weight(a, mark, subject.plan) > weight(b, mark, subject.plan);
  });
  if (again.rows.size() > most) {
    again.left_out = again.rows.size() - most;
    again.rows.resize(most);
  }
  return again;
}

std::string read_so_far(const measure::Reading& reading) {
  std::string text;
  for (const double value : reading.values_base) {
    text += (text.empty() ? "" : ", ") + report::plain(value);
  }
  return text + " " + std::string(report::unit_of(reading));
}

// "the saddle height (saddle.height)" without the key, which is for the file and not for the bench.
std::string bench_name(const std::string& key) {
  std::string name = report::name_of_reading(key);
  const std::string tail = " (" + key + ")";
  if (name.ends_with(tail)) {
    name.erase(name.size() - tail.size());
  }
  return name;
}

// The columns of the table are set for print of this size at most.
constexpr double largest_reading_pt = 8.5;
double reading_size(const Room& room) { return std::min(smaller(room), largest_reading_pt); }

// Where the columns of the table begin; the name stands before them.
struct Desk {
  double read = 37;
  double again = 59;
  double differ = 78;
  double initials = 86;
};

void reading_row(Block& block, const Room& room, const Job& job, const measure::Reading& reading) {
  const Desk desk;
  const double size = reading_size(room);
  const Lines name = set_in_lines(regular(size), desk.read - 1.5, bench_name(reading.key), 3);
  const Lines read =
      set_in_lines(bold(size), desk.again - desk.read - 1.5, read_so_far(reading), 3);
  const double high =
      std::max({write_in_high, name.height_mm() + 0.6, read.height_mm() + 0.6}) + 0.8;
  const double top = block.height_mm();
  const double box_top = top + (high - 0.8 - write_in_high) / 2;
  const auto centred = [&](const Lines& lines) {
    return top + (high - 0.8 - lines.height_mm()) / 2;
  };
  block.lines_at({0, centred(name)}, name);
  block.lines_at({desk.read, centred(read)}, read);
  const double allowed = measure::repeat_allowance(reading.half_width_base, job.measuring.coverage);
  const Lines differ = set_in_lines(regular(size), desk.initials - desk.differ,
                                    report::one_decimal(allowed, report::Rounding::down));
  block.box({desk.again, box_top, desk.differ - 2, box_top + write_in_high}, {.width_mm = 0.35});
  block.lines_at({desk.differ, centred(differ)}, differ);
  block.box({desk.initials + 1, box_top, block.width_mm() - 0.3, box_top + write_in_high},
            {.width_mm = 0.35});
  block.space(high);
}

Block measure_twice(const Subject& subject, const Room& room) {
  const Again again = to_read_again(subject, room.readings);
  if (again.rows.empty()) {
    return Block(left_width);
  }
  Block block = titled(left_width, room, "Measure twice");
  const Desk desk;
  const double size = reading_size(room);
  const double baseline = block.height_mm() + size * mm_per_pt;
  block.text({0, baseline}, bold(size), "value");
  block.text({desk.read, baseline}, bold(size), "read");
  block.text({desk.again, baseline}, bold(size), "again");
  block.text({desk.differ - 1, baseline}, bold(size), "apart");
  block.text_up_to({left_width - 0.3, baseline}, bold(size), "who");
  block.space(size * 1.25 * mm_per_pt + 0.5);
  for (const std::size_t row : again.rows) {
    reading_row(block, room, subject.job, subject.job.readings[row]);
  }
  block.paragraph(0, set_in_lines(regular(size), left_width,
                                  "apart: what two readings of the value may differ by. If it is "
                                  "more, stop: measure again and plan again."));
  left_out(block, room, again.left_out, "readings, which weigh less, in the job file");
  return block;
}

// ---- what to do ----

void tick(Block& block, double x, double top, double size_pt) {
  const double y = top + (size_pt * 1.25 * mm_per_pt - tick_side) / 2;
  block.box({x, y, x + tick_side, y + tick_side}, {.width_mm = 0.4});
}

// A box to write in with its unit, ending at the right edge: beside the last lines where they leave
// room for it, else below them. Gives its lower edge.
double write_in_box(Block& block, Type type, const std::string& unit, double top, const Lines& text,
                    double text_x) {
  const double unit_width = PdfCanvas::text_width_mm(type.face, type.size_pt, unit) + 1.2;
  const double right = block.width_mm() - unit_width;
  std::size_t beside = 0;  // lines from the last up that end before the box
  while (beside < text.texts.size()) {
    const std::string& line = text.texts[text.texts.size() - 1 - beside];
    const double end = text_x + PdfCanvas::text_width_mm(type.face, type.size_pt, line);
    if (end + 2 > right - write_in) {
      break;
    }
    ++beside;
  }
  const double free_from =
      top + text.leading_mm * static_cast<double>(text.texts.size() - beside) + 0.3;
  const double bottom = std::max(free_from + write_in_high, top + text.height_mm());
  block.box({right - write_in, bottom - write_in_high, right, bottom}, {.width_mm = 0.35});
  block.text({right + 1.2, bottom - 1.6}, type, unit);
  return bottom;
}

// A box to tick, a number where there is one, a text, and a box to write in where one is asked for.
void step_row(Block& block, const Room& room, const std::string& number, const BenchStep& step,
              std::size_t most_lines) {
  const double size = room.size_pt;
  const double number_width = PdfCanvas::text_width_mm(Face::bold, size, "00.");
  const double text_x = tick_side + (number.empty() ? 2 : number_width + 2.8);
  const Lines text = set_in_lines(regular(size), block.width_mm() - text_x, step.text, most_lines);
  const double top = block.height_mm();
  tick(block, 0.3, top, size);
  if (!number.empty()) {
    block.text_up_to({text_x - 1.2, top + size * mm_per_pt}, bold(size), number);
  }
  block.lines_at({text_x, top}, text);
  double bottom = top + std::max(text.height_mm(), tick_side);
  if (!step.write_in.empty()) {
    bottom = std::max(bottom, write_in_box(block, regular(size), step.write_in, top, text, text_x));
  }
  block.space(bottom - top + 1);
}

Block numbered_steps(const Subject& subject, const Room& room) {
  const std::vector<BenchStep> steps = bench_steps(subject.job, subject.plan);
  if (steps.empty()) {
    return Block(right_width);
  }
  Block block = titled(right_width, room, "Steps, in this order");
  for (std::size_t i = 0; i < steps.size(); ++i) {
    step_row(block, room, std::to_string(i + 1) + ".", steps[i], no_limit);
  }
  return block;
}

// A hold has a box to tick and one for what was found, the others one to tick. What the numbered
// steps say in their own place is not said twice.
Block next_actions(const Subject& subject, const Room& room) {
  std::vector<report::Step> next = subject.says.next;
  std::erase_if(next, [](const report::Step& step) { return !step.on_sheet; });
  if (next.empty()) {
    return Block(right_width);
  }
  const Verdict verdict = subject.plan.verdict;
  Block block =
      titled(right_width, room, verdict == Verdict::cut ? "Before any saw" : "What to do");
  const std::size_t shown = std::min(next.size(), room.actions);
  std::string last;
  for (std::size_t i = 0; i < shown; ++i) {
    const report::Step& step = next[i];
    if (!step.why.empty() && step.why != last) {
      block.paragraph(0, set_in_lines(bold(smaller(room)), right_width, step.why, room.lines));
      block.space(0.8);
    }
    last = step.why;
    step_row(block, room, "", {step.action, verdict == Verdict::hold ? "found" : ""}, room.lines);
  }
  left_out(block, room, next.size() - shown, "things to do in the report");
  return block;
}

Block if_settled(const Subject& subject) {
  if (subject.says.if_settled.empty()) {
    return Block(right_width);
  }
  Block block(right_width);
  const double size = smallest_pt;
  block.space(1.2);
  block.paragraph(1.5, set_in_lines(bold(size), right_width - 3,
                                    subject.says.if_settled_title + " (do not mark, do not cut):"));
  block.space(0.4);
  figure_rows(block, subject.says.if_settled, 1.5, size, most_lines_of_a_figure);
  block.space(0.7);
  block.box({0.15, 0.15, right_width - 0.15, block.height_mm() - 0.15},
            {.width_mm = 0.3, .dash_pt = {3, 2}});
  return block;
}

Block remarks(const Subject& subject, const Room& room, double width) {
  std::string text;
  for (const Figure& figure : subject.says.job) {
    if (is_remark(figure)) {
      text += (text.empty() ? "" : "\n") + figure.value;
    }
  }
  if (text.empty()) {
    return Block(width);
  }
  Block block = titled(width, room, "Notes");
  const Lines all = set_in_lines(regular(smaller(room)), width, text);
  block.paragraph(0, set_in_lines(regular(smaller(room)), width, text, room.remarks));
  if (all.texts.size() > room.remarks) {
    block.paragraph(0, set_in_lines(bold(smaller(room)), width, "+ the rest in the report"));
  }
  return block;
}

// ---- foot ----

std::string_view signal_word(Signal signal) {
  switch (signal) {
    case Signal::warning:
      return "⚠ WARNING";
    case Signal::caution:
      return "⚠ CAUTION";
    case Signal::notice:
      return "NOTICE";  // no alert symbol: nobody gets hurt
  }
  return {};
}

double foot_size(const Room& room) { return std::max(smallest_pt, room.size_pt - 1.5); }

Block cautions(const Subject& subject, const Room& room) {
  const double indent = 3;
  Block block(page_width);
  for (const std::string& caution : subject.says.cautions) {
    const Lines lines =
        set_in_lines(regular(foot_size(room)), page_width - indent, caution, room.lines);
    block.text({0, block.height_mm() + lines.ascent_mm}, bold(foot_size(room)), "•");
    block.paragraph(indent, lines);
    block.space(0.2);
  }
  return block;
}

Block safety_panels(const Subject& subject, const Room& room) {
  const std::vector<SafetyNote> notes = safety_notes(subject.job, subject.plan.verdict);
  const auto count = static_cast<double>(notes.size());
  const double apart = 3;
  const double width = (page_width - apart * (count - 1)) / count;
  const double title_high = 5.4;
  std::vector<Lines> texts;
  double high = 0;
  for (const SafetyNote& note : notes) {
    texts.push_back(set_in_lines(regular(foot_size(room)), width - 3, note.text));
    high = std::max(high, texts.back().height_mm());
  }
  Block block(page_width);
  const double bottom = title_high + high + 1.8;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double x = static_cast<double>(i) * (width + apart);
    const bool dark = notes[i].signal == Signal::warning;
    if (dark) {
      block.fill({x, 0, x + width, title_high}, 0);
    } else {
      block.rule({x, title_high}, {x + width, title_high}, {.width_mm = 0.3});
    }
    block.box({x + 0.2, 0.2, x + width - 0.2, bottom - 0.2}, {.width_mm = 0.4});
    block.text({x + 1.5, 4}, {Face::bold, 10.5, dark ? 1.0 : 0.0}, signal_word(notes[i].signal));
    block.lines_at({x + 1.5, title_high + 0.8}, texts[i]);
  }
  block.space(bottom);
  return block;
}

Block signing(const Subject& subject) {
  const std::vector<BenchStep> boxes = sign_off(subject.job.kind, subject.plan.verdict);
  std::vector<double> widths;
  double spare = page_width;
  for (const BenchStep& box : boxes) {
    widths.push_back(PdfCanvas::text_width_mm(Face::bold, smallest_pt, box.text) + 3);
    spare -= widths.back();
  }
  const double high = 12.5;
  Block block(page_width);
  double x = 0;
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    const double right = x + widths[i] + spare / static_cast<double>(boxes.size());
    block.box({x + 0.2, 0.2, right - 0.2, high - 0.2}, {.width_mm = 0.4});
    block.text({x + 1.4, 3.6}, bold(smallest_pt), boxes[i].text);
    block.text_up_to({right - 1.6, high - 1.6}, regular(smallest_pt), boxes[i].write_in);
    x = right;
  }
  block.space(high);
  return block;
}

Block foot_of(const Subject& subject, const Room& room) {
  Block block(page_width);
  block.rule({0, 0}, {page_width, 0}, {.width_mm = 0.25});
  block.space(1.2);
  block.append(cautions(subject, room));
  block.space(1.6);
  block.append(safety_panels(subject, room));
  block.space(2);
  block.append(signing(subject));
  return block;
}

// ---- the page ----

void stack(Block& column, const Block& block) {
  if (block.height_mm() > 0) {
    if (column.height_mm() > 0) {
      column.space(between);
    }
    column.append(block);
  }
}

struct Page {
  Block head, left, right, foot;

  [[nodiscard]] double room_mm() const {
    return page_height - head.height_mm() - between - foot.height_mm();
  }
  [[nodiscard]] bool fits() const {
    return left.height_mm() <= room_mm() && right.height_mm() <= room_mm();
  }
};

Page set_page(const Subject& subject, const Room& room) {
  Page page{head_of(subject, room), Block(left_width), Block(right_width), foot_of(subject, room)};
  stack(page.left, key_figures(subject, room));
  stack(page.left, limits_table(subject, room));
  stack(page.left, measure_twice(subject, room));
  stack(page.right, next_actions(subject, room));
  stack(page.right, numbered_steps(subject, room));
  stack(page.right, if_settled(subject));
  Block& shorter = page.left.height_mm() < page.right.height_mm() ? page.left : page.right;
  stack(shorter, remarks(subject, room, shorter.width_mm()));
  return page;
}

bool one_less(std::size_t& rows, std::size_t least) {
  if (rows <= least) {
    return false;
  }
  --rows;
  return true;
}

// Takes the row that will be missed least from a column that is too high; false: there is none.
bool give_way(Room& room, const Room& least, const Page& page) {
  if (page.left.height_mm() > page.room_mm()) {
    if (one_less(room.notes, least.notes) || one_less(room.positions, least.positions)) {
      return true;
    }
    std::size_t& more = room.readings > room.limits ? room.readings : room.limits;
    std::size_t& fewer = room.readings > room.limits ? room.limits : room.readings;
    if (one_less(more, &more == &room.limits ? least.limits : least.readings) ||
        one_less(fewer, &fewer == &room.limits ? least.limits : least.readings)) {
      return true;
    }
  } else if (one_less(room.remarks, least.remarks) || one_less(room.actions, least.actions)) {
    return true;
  }
  return one_less(room.lines, least.lines) || one_less(room.paper_lines, least.paper_lines) ||
         one_less(room.remarks, least.remarks) || one_less(room.actions, least.actions) ||
         one_less(room.notes, least.notes) || one_less(room.lacking, least.lacking);
}

// What comes back, first to last, where giving way has left room.
constexpr auto comes_back = std::to_array<std::size_t Room::*>(
    {&Room::readings, &Room::limits, &Room::actions, &Room::positions, &Room::notes, &Room::lacking,
     &Room::remarks});

Page grown(const Subject& subject, Room room, Page page) {
  for (std::size_t Room::*const rows : comes_back) {
    while (room.*rows < roomy.*rows) {
      ++(room.*rows);
      Page larger = set_page(subject, room);
      if (!larger.fits()) {
        --(room.*rows);
        break;
      }
      page = std::move(larger);
    }
  }
  return page;
}

Page page_that_fits(const Subject& subject) {
  Room room = roomy;
  Page page = set_page(subject, room);
  while (!page.fits() && room.size_pt > easy_pt) {
    room.size_pt -= step_pt;
    page = set_page(subject, room);
  }
  while (!page.fits() && give_way(room, close, page)) {
    page = set_page(subject, room);
  }
  if (!page.fits()) {
    room.size_pt = smallest_pt;
    page = set_page(subject, room);
  }
  while (!page.fits() && give_way(room, closest, page)) {
    page = set_page(subject, room);
  }
  if (!page.fits()) {
    // Every text is bounded by the reader and clipped by now; if a job is too much all the same, no
    // sheet is better than half of one.
    throw Trouble("print", "the sheet", "the texts of the job are too long for one page");
  }
  return grown(subject, room, std::move(page));
}

std::string title_of(const Job& job) {
  return job.paperwork.number.empty() ? "Cut sheet"
                                      : "Cut sheet " + text::harmless(job.paperwork.number);
}

}  // namespace

PrintedSheet print_sheet(const Job& job, const Plan& plan) {
  const Subject subject{job, plan, report::statement_of(job, plan), lacking_characters(job)};
  const Page page = page_that_fits(subject);
  PdfCanvas canvas(title_of(job), "en");
  canvas.start_page(a4);
  const double columns = margin + page.head.height_mm();
  const double foot = a4.height_mm - margin - page.foot.height_mm();
  page.head.draw(canvas, {margin, margin});
  page.left.draw(canvas, {margin, columns});
  page.right.draw(canvas, {margin + left_width + gutter, columns});
  const double rule_x = margin + left_width + gutter / 2;
  canvas.line({rule_x, columns}, {rule_x, foot - between}, {.width_mm = 0.15, .grey = 0.4});
  page.foot.draw(canvas, {margin, foot});
  std::string pdf = canvas.bytes();
  std::vector<std::string> cautions;
  for (const std::string& where : subject.lacking) {
    cautions.push_back(where + " " + std::string(cannot_be_printed));
  }
  return {std::move(pdf), std::move(cautions), canvas.ink()};
}

}  // namespace kerfmark::sheet
