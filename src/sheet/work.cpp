#include "work.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "flow.hpp"
#include "kerfmark/report/inches.hpp"
#include "kerfmark/report/wording.hpp"
#include "kind_sheets.hpp"
#include "measure_twice.hpp"
#include "panel.hpp"
#include "steps.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Verdict;

// ---- measures of the page, in millimetres ----

constexpr double least_gap = 0.3;  // from anything to a box beside or below it

// A step: a box to tick, its number, its text.
constexpr double tick_side = 4.8;
constexpr double tick_left = 0.3;
constexpr double tick_to_text = 2;
constexpr double number_to_text = 1.4;
constexpr double number_spare = 1.8;  // of its column, beyond two figures and the point
constexpr double steps_apart = 0.7;
constexpr Pen tick_pen{.width_mm = 0.4};
// A text longer than this goes on in pieces; ours are shorter.
constexpr std::size_t most_lines = 12;

// What is asked for, and boxes for the answers.
constexpr double actions_apart = 1.2;
constexpr double below_reason = 0.8;
constexpr double answer_high = 8;  // of a line for what people answered
constexpr double answer_top = 0.5;
constexpr Spot answer_label{1.4, 4};
struct AnswerBox {
  std::string_view key;
  double part;  // of the width
};
constexpr auto answers =
    std::to_array<AnswerBox>({{"answer", 0.46}, {"who", 0.32}, {"when", 0.22}});

// A box for a figure, written with a glove on, and its unit behind it.
constexpr double write_in = 24;
constexpr double write_in_high = 7.5;
constexpr double write_in_column = write_in + 18;  // that texts beside it keep clear of
constexpr double text_to_write_in = 2;
constexpr double unit_gap = 1.2;
constexpr double unit_drop = 1.9;  // of its baseline, above the lower edge of the box
constexpr Pen field_pen{.width_mm = 0.35};
constexpr double field_inset = 0.2;  // so that the boxes of neighbours do not touch

// Safety notes side by side.
constexpr std::size_t most_abreast = 3;
constexpr double least_part_of_note = 0.22;  // of the width: a few words
constexpr double notes_apart = 3;
constexpr double rows_of_notes_apart = 1.6;

// The sum after the cut: what it is above each box, what was planned below it.
constexpr double sign_width = 5.5;
constexpr double sign_left = 0.8;
constexpr double sign_pt = warning_pt + 1.5;
constexpr double sum_unit_width = 9;
constexpr double unit_left = 0.8;
constexpr double label_spare = 1;  // to the sign of the next
constexpr double label_gap = 0.3;  // to the box
constexpr double planned_gap = 0.4;
constexpr double sum_drop = 5.2;  // of the baseline, below the upper edge of the boxes
constexpr double known_pt = warning_pt + 1;
constexpr double known_right = 0.5;
constexpr double sum_apart = 1.2;

// Signing off.
constexpr double sign_off_high = 12;
constexpr Spot sign_off_label{1.4, 3.8};
constexpr double sign_off_spare = 3;     // of a box, beyond its label
constexpr Spot sign_off_unit{1.6, 1.8};  // from the lower right corner
constexpr Pen sign_off_pen{.width_mm = 0.4};

std::string say(const Subject& subject, const std::string& key) {
  return subject.words().at("sheet.work." + key);
}

// ---- rows to tick ----

void tick(Block& block, double top) {
  constexpr double line_high = bench_pt * plain_leading * mm_per_pt;
  const double y = top + (line_high - tick_side) / 2;
  block.box({tick_left, y, tick_left + tick_side, y + tick_side}, tick_pen);
}

// A box to write in with its unit, ending at the right edge: beside the last lines where they leave
// room for it, else below them. Gives its lower edge.
double write_in_box(Block& block, const std::string& unit, double top, const Lines& text,
                    double text_x) {
  const Type type = regular(bench_pt);
  const double unit_width = PdfCanvas::text_width_mm(type.face, type.size_pt, unit) + unit_gap;
  const double right = block.width_mm() - unit_width;
  std::size_t beside = 0;  // lines from the last up that end before the box
  while (beside < text.texts.size()) {
    const std::string& line = text.texts[text.texts.size() - 1 - beside];
    const double end = text_x + PdfCanvas::text_width_mm(type.face, type.size_pt, line);
    if (end + text_to_write_in > right - write_in) {
      break;
    }
    ++beside;
  }
  const double free_from =
      top + text.leading_mm * static_cast<double>(text.texts.size() - beside) + least_gap;
  const double bottom = std::max(free_from + write_in_high, top + text.height_mm());
  block.box({right - write_in, bottom - write_in_high, right, bottom}, field_pen);
  block.text({right + unit_gap, bottom - unit_drop}, type, unit);
  return bottom;
}

// Boxes for what somebody answered, who, and when.
Block answer_boxes(const Subject& subject, double width) {
  Block block(width);
  const Type type = regular(fill_in_pt);
  double x = 0;
  for (const AnswerBox& box : answers) {
    const double right = x + box.part * width;
    block.box({x + field_inset, answer_top, right - field_inset, answer_high}, field_pen);
    block.text({x + answer_label.x_mm, answer_label.y_mm}, type,
               say(subject, "asked." + std::string(box.key)));
    x = right;
  }
  block.space(answer_high + answer_top);
  return block;
}

// A box to tick, a number where there is one, a text, and a box to write in where one is asked for,
// at the right.
std::vector<Block> step_pieces(const std::string& number, const BenchStep& step, double width) {
  const double number_width =
      number.empty() ? 0 : PdfCanvas::text_width_mm(Face::bold, bench_pt, "00.") + number_spare;
  const double text_x = tick_side + tick_to_text + number_width;
  const double beside = step.write_in.empty() ? 0 : write_in_column;
  Lines text = set_in_lines(regular(bench_pt), width - text_x - beside, step.text);
  Lines more = text;
  if (text.texts.size() > most_lines && step.write_in.empty()) {
    more.texts.erase(more.texts.begin(), more.texts.begin() + most_lines);
    text.texts.resize(most_lines);
  } else {
    more.texts.clear();
  }
  Block block(width);
  const double top = std::max(0.0, (tick_side - text.leading_mm) / 2);
  tick(block, top);
  if (!number.empty()) {
    block.text_up_to({text_x - number_to_text, top + text.ascent_mm}, bold(bench_pt), number);
  }
  block.lines_at({text_x, top}, text);
  double bottom = top + std::max(text.height_mm(), tick_side - top);
  if (!step.write_in.empty()) {
    bottom = std::max(bottom, write_in_box(block, step.write_in, top, text, text_x));
  }
  block.space(bottom);
  std::vector<Block> pieces = {std::move(block)};
  std::ranges::move(in_pieces(more, width, text_x), std::back_inserter(pieces));
  return pieces;
}

Section steps(const Subject& subject) {
  Section section{.title = say(subject, "steps"), .apart_mm = steps_apart};
  const std::vector<BenchStep> all = bench_steps(subject);
  for (std::size_t i = 0; i < all.size(); ++i) {
    section.rows.emplace_back([number = std::to_string(i + 1) + ".", step = all[i]](double width) {
      return step_pieces(number, step, width);
    });
  }
  return section;
}

// The reason above what it asks for, and below that boxes for what people answer.
std::vector<Block> action_pieces(const Subject& subject, const report::Step& step,
                                 const std::string& why, double width) {
  const bool measured = step.answer == report::StepAnswer::figure;
  std::vector<Block> pieces =
      step_pieces("", {step.action, measured ? say(subject, "found") : std::string()}, width);
  if (!why.empty()) {
    Block first(width);
    first.paragraph(0, set_in_lines(bold(bench_pt), width, why));
    first.space(below_reason);
    first.append(pieces.front());
    pieces.front() = std::move(first);
  }
  if (step.answer == report::StepAnswer::people) {
    const double indent = tick_side + tick_to_text;
    pieces.back().append(answer_boxes(subject, width - indent), indent);
  }
  return pieces;
}

// What to measure, ask or do, most effective first.
Section actions(const Subject& subject) {
  const Verdict verdict = subject.now.verdict;
  Section section{.title = say(subject, verdict == Verdict::cut ? "before_any_saw"
                                        : plan::is_no(verdict)  ? "what_else"
                                                                : "what_to_do"),
                  .apart_mm = actions_apart};
  std::string last;
  for (const report::Step& step : subject.says.next) {
    if (step.on_sheet) {
      section.rows.emplace_back(
          [&subject, step, why = step.why == last ? std::string() : step.why](double width) {
            return action_pieces(subject, step, why, width);
          });
      last = step.why;
    }
  }
  return section;
}

// ---- safety ----

Panel panel_of(const Subject& subject, const SafetyNote& note, double width) {
  return set_in_panel(
      note.text,
      note.signal ? signal_word(*note.signal, subject.words()) : say(subject, "note_of_shop"),
      note.signal == Signal::warning, width, warning_pt);
}

// As wide as their texts are long, so that all are about as high; none narrower than a few words.
std::vector<double> widths_abreast(const std::vector<SafetyNote>& notes, double width) {
  std::vector<double> parts;
  double all = 0;
  for (const SafetyNote& note : notes) {
    parts.push_back(PdfCanvas::text_width_mm(Face::regular, warning_pt, note.text));
    all += parts.back();
  }
  double sum = 0;
  for (double& part : parts) {
    part = std::max(least_part_of_note, part / all);
    sum += part;
  }
  for (double& part : parts) {
    part *= width / sum;
  }
  return parts;
}

Block abreast(const Subject& subject, const std::vector<SafetyNote>& notes, double width) {
  const std::vector<double> widths =
      widths_abreast(notes, width - notes_apart * static_cast<double>(notes.size() - 1));
  std::vector<Panel> panels;
  double highest = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    panels.push_back(panel_of(subject, notes[i], widths[i]));
    highest = std::max(highest, panels.back().height_mm());
  }
  Block block(width);
  double x = 0;
  for (std::size_t i = 0; i < panels.size(); ++i) {
    put_panel(block, panels[i], x, x + widths[i], highest);
    x += widths[i] + notes_apart;
  }
  block.space(highest);
  return block;
}

Section safety(const Subject& subject) {
  Section section{.apart_mm = rows_of_notes_apart};
  const std::vector<SafetyNote> notes = safety_notes(subject);
  for (std::size_t at = 0; at < notes.size(); at += most_abreast) {
    const auto from = notes.begin() + static_cast<std::ptrdiff_t>(at);
    const auto count = static_cast<std::ptrdiff_t>(std::min(most_abreast, notes.size() - at));
    section.rows.push_back(row([&subject, some = std::vector<SafetyNote>(from, from + count)](
                                   double width) { return abreast(subject, some, width); }));
  }
  return section;
}

// ---- after the cut ----

Block figures_row(const Subject& subject, const std::vector<SumFigure>& figures, double width) {
  double parts = 0;
  for (const SumFigure& figure : figures) {
    parts += figure.part;
  }
  const double part_mm = width / parts;
  const Type plain = regular(warning_pt);
  std::vector<Lines> labels, plans;
  double label_height = 0;
  double plan_height = 0;
  for (const SumFigure& figure : figures) {
    const double room = figure.part * part_mm - sign_width - label_spare;
    labels.push_back(set_in_lines(plain, room, say(subject, std::string(figure.key))));
    plans.push_back(set_in_lines(bold(warning_pt), room, figure.planned));
    label_height = std::max(label_height, labels.back().height_mm());
    plan_height = std::max(plan_height, plans.back().height_mm());
  }
  Block block(width);
  const double top = label_height + label_gap;
  const double baseline = top + sum_drop;
  double x = 0;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    const double left = x + sign_width;
    x += figures[i].part * part_mm;
    const double right = x - sum_unit_width;
    block.lines_at({left, label_height - labels[i].height_mm()}, labels[i]);
    block.text({left - sign_width + sign_left, baseline}, bold(sign_pt), figures[i].sign);
    if (figures[i].known.empty()) {
      block.box({left, top, right, top + write_in_high}, field_pen);
    } else {
      block.text_up_to({right - known_right, baseline}, bold(known_pt), figures[i].known);
    }
    block.text({right + unit_left, baseline}, plain, "mm");
    block.lines_at({left, top + write_in_high + planned_gap}, plans[i]);
  }
  block.space(top + write_in_high + (plan_height > 0 ? plan_height + planned_gap : 0));
  return block;
}

// The closure as a sum on paper: original = remaining + offcut + kerf. The offcut is what goes less
// what the saw turns to dust.
std::vector<SumFigure> sum_of(const Subject& subject) {
  const plan::Plan& plan = subject.plan;
  const plan::Judgement& now = subject.now;
  const bool known = now.remaining.has_value();
  const report::LengthsToMark marks = report::lengths_to_mark(subject.telling());
  const std::string left = known ? planned(subject, marks.left) : std::string();
  if (const auto own = sheet_of(subject.job.kind).sum; own != nullptr) {
    if (auto figures = own(subject, left); !figures.empty()) {
      return figures;
    }
  }
  return {
      {"", "remaining", 1.7, "",
       known && now.gap() ? left + "\n" + say(subject, "gap_included") : left},
      {"+", "offcut", 1.6, "", planned(subject, report::mm(now.at - plan.kerf, subject.words()))},
      {"+", "kerf", 1.1, report::plain(plan.kerf.in_mm(), subject.words())},
      {"=", "sum", 1.05},
      {"−", "original", 1, original_of(subject)},
      {"=", "difference", 1.15}};
}

Section after_cut(const Subject& subject) {
  const text::Words& words = subject.words();
  Section section{.title = say(subject, "after_the_cut"), .apart_mm = sum_apart};
  section.rows.push_back(
      row([&subject](double width) { return figures_row(subject, sum_of(subject), width); }));
  const std::string allowed =
      report::one_decimal(subject.plan.line->closure_allowed_mm, report::Rounding::down, words);
  section.rows.push_back(
      text_row(regular(warning_pt), words.say("sheet.work.closure_says", {{"allowed", allowed}})));
  return section;
}

// ---- signing off ----

Section signing(const Subject& subject) {
  Section section;
  section.rows.push_back(row([&subject](double width) {
    std::vector<BenchStep> boxes = sign_off(subject);
    // Left and offcut have their places in the sum.
    if (const std::vector<BenchStep> measured = results(subject); !measured.empty()) {
      boxes.push_back(measured.back());
    }
    std::vector<double> widths;
    double spare = width;
    for (const BenchStep& box : boxes) {
      widths.push_back(PdfCanvas::text_width_mm(Face::bold, fill_in_pt, box.text) + sign_off_spare);
      spare -= widths.back();
    }
    Block block(width);
    double x = 0;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      const double right = x + widths[i] + spare / static_cast<double>(boxes.size());
      block.box({x + field_inset, field_inset, right - field_inset, sign_off_high - field_inset},
                sign_off_pen);
      block.text({x + sign_off_label.x_mm, sign_off_label.y_mm}, bold(fill_in_pt), boxes[i].text);
      block.text_up_to({right - sign_off_unit.x_mm, sign_off_high - sign_off_unit.y_mm},
                       regular(fill_in_pt), boxes[i].write_in);
      x = right;
    }
    block.space(sign_off_high);
    return block;
  }));
  return section;
}

// ---- pages ----

std::string title_of(const Subject& subject) {
  const Verdict verdict = subject.now.verdict;
  return say(subject, verdict == Verdict::cut    ? "title.cut"
                      : plan::is_yes(verdict)    ? "title.keep"
                      : verdict == Verdict::hold ? "title.hold"
                                                 : "title.reject");
}

std::vector<Section> sections_of(const Subject& subject, const LimitsTable& limits) {
  const bool cut = subject.now.verdict == Verdict::cut;
  std::vector<Section> sections = {safety(subject)};
  if (plan::is_no(subject.now.verdict)) {
    sections.push_back(limits.section(say(subject, "collides"), limits_in_question(subject.now)));
  }
  sections.push_back(actions(subject));
  sections.push_back(measure_twice(subject));
  sections.push_back(steps(subject));
  if (cut) {
    sections.push_back(after_cut(subject));
  }
  sections.push_back(signing(subject));
  return sections;
}

}  // namespace

std::string original_of(const Subject& subject) {
  const plan::Judgement& now = subject.now;
  return now.remaining ? report::plain((*now.remaining + now.at).in_mm(), subject.words())
                       : std::string();
}

std::string planned(const Subject& subject, const std::string& figure) {
  return subject.words().say("sheet.work.planned", {{"figure", figure}});
}

PagesBehind pages_behind(const Subject& subject, const LimitsTable& limits,
                         std::vector<Section> rest, Room room) {
  std::erase_if(rest, [](const Section& section) { return section.rows.empty(); });
  std::vector<Section> sections = sections_of(subject, limits);
  sections.insert(sections.end(), rest.begin(), rest.end());
  const Paged paged =
      sheet::paged(std::move(sections), heads_of(subject, title_of(subject), room.width_mm), room,
                   subject.words());
  constexpr int first_page = 2;
  std::vector<int> begins;
  for (std::size_t i = paged.begins.size() - rest.size(); i < paged.begins.size(); ++i) {
    begins.push_back(first_page + static_cast<int>(paged.begins[i]));
  }
  return {paged.pages, std::move(begins)};
}

}  // namespace kerfmark::sheet
