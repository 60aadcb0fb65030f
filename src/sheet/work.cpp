#include "work.hpp"

#include <algorithm>
#include <array>

#include "flow.hpp"
#include "kerfmark/measure/doubt.hpp"
#include "kerfmark/report/wording.hpp"
#include "measure_twice.hpp"
#include "panel.hpp"
#include "steps.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Verdict;

// ---- measures in millimetres ----

constexpr double tick_side = 4.6;
constexpr double write_in = 22;  // width of a box for a figure, written with a glove on
constexpr double write_in_high = 7.2;
constexpr double gutter = 5;
constexpr double above_foot = 4;

// Print of a page: the largest with which all of it stands on one page, else the last.
constexpr auto sizes_pt = std::to_array<double>({11, 10.5, 10, 9.5, 9});
constexpr double flowing_pt = 10;
// The page of a cut has two columns; widths of the left one, the first that will do.
constexpr auto left_widths = std::to_array<double>({98, 94, 90, 86, 82});
constexpr auto sizes_of_cut_pt = std::to_array<double>({10, 9.5, 9});

std::string say(const Subject& subject, const std::string& key) {
  return subject.words().at("sheet.work." + key);
}

// ---- rows to tick ----

void tick(Block& block, double top, double size_pt) {
  const double y = top + (size_pt * 1.25 * mm_per_pt - tick_side) / 2;
  block.box({0.3, y, 0.3 + tick_side, y + tick_side}, {.width_mm = 0.4});
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
  block.text({right + 1.2, bottom - 1.9}, type, unit);
  return bottom;
}

// A box to tick, a number where there is one, a text, and a box to write in where one is asked for.
// A text that is longer than any of ours goes on in pieces.
Row step_row(std::string number, BenchStep step, double size_pt) {
  return [=, number = std::move(number), step = std::move(step)](double width) {
    const double number_width =
        number.empty() ? 0 : PdfCanvas::text_width_mm(Face::bold, size_pt, "00.") + 1.8;
    const double text_x = tick_side + 2 + number_width;
    // Where there is room enough, boxes stand in a column of their own.
    const double beside = width > 120 && !step.write_in.empty() ? write_in + 18 : 0;
    Lines text = set_in_lines(regular(size_pt), width - text_x - beside, step.text);
    constexpr std::size_t most_lines = 12;
    Lines more = text;
    if (text.texts.size() > most_lines && step.write_in.empty()) {
      const auto from = text.texts.begin() + most_lines;
      more.texts.assign(from, text.texts.end());
      text.texts.resize(most_lines);
    } else {
      more.texts.clear();
    }
    Block block(width);
    const double top = std::max(0.0, (tick_side - text.leading_mm) / 2);
    tick(block, top, size_pt);
    if (!number.empty()) {
      block.text_up_to({text_x - 1.4, top + text.ascent_mm}, bold(size_pt), number);
    }
    block.lines_at({text_x, top}, text);
    double bottom = top + std::max(text.height_mm(), tick_side - top);
    if (!step.write_in.empty()) {
      bottom =
          std::max(bottom, write_in_box(block, regular(size_pt), step.write_in, top, text, text_x));
    }
    block.space(bottom);
    std::vector<Block> pieces = {std::move(block)};
    std::ranges::move(in_pieces(more, width, text_x), std::back_inserter(pieces));
    return pieces;
  };
}

Section steps(const Subject& subject, double size_pt) {
  Section section{.title = say(subject, "steps"), .apart_mm = 1};
  const std::vector<BenchStep> all = bench_steps(subject);
  for (std::size_t i = 0; i < all.size(); ++i) {
    section.rows.push_back(step_row(std::to_string(i + 1) + ".", all[i], size_pt));
  }
  return section;
}

// What to measure, ask or do, most effective first. A hold has a box for what was found; a reason
// stands above what it asks for.
Section actions(const Subject& subject, double size_pt) {
  const Verdict verdict = subject.plan.verdict;
  Section section{.title = say(subject, verdict == Verdict::cut      ? "before_any_saw"
                                        : verdict == Verdict::reject ? "what_else"
                                                                     : "what_to_do"),
                  .apart_mm = 1.2};
  std::string last;
  for (const report::Step& step : subject.says.next) {
    if (!step.on_sheet) {
      continue;
    }
    const std::string why = step.why == last ? std::string() : step.why;
    last = step.why;
    const Row to_do = step_row(
        "", {step.action, verdict == Verdict::hold ? say(subject, "found") : std::string()},
        size_pt);
    section.rows.emplace_back([=](double width) {
      std::vector<Block> pieces = to_do(width);
      if (!why.empty()) {
        Block first(width);
        first.paragraph(0, set_in_lines(bold(size_pt), width, why));
        first.space(0.8);
        first.append(pieces.front());
        pieces.front() = std::move(first);
      }
      return pieces;
    });
  }
  return section;
}

// ---- safety ----

Panel panel_of(const Subject& subject, const SafetyNote& note, double width, double size_pt) {
  return set_in_panel(
      note.text,
      note.signal ? signal_word(*note.signal, subject.words()) : say(subject, "note_of_shop"),
      note.signal == Signal::warning, width, size_pt);
}

Block abreast(const Subject& subject, const std::vector<SafetyNote>& notes, double width,
              double size_pt) {
  constexpr double apart = 3;
  const auto count = static_cast<double>(notes.size());
  const double panel_width = (width - apart * (count - 1)) / count;
  std::vector<Panel> panels;
  double highest = 0;
  for (const SafetyNote& note : notes) {
    panels.push_back(panel_of(subject, note, panel_width, size_pt));
    highest = std::max(highest, panels.back().height_mm());
  }
  Block block(width);
  double x = 0;
  for (const Panel& panel : panels) {
    put_panel(block, panel, x, x + panel_width, highest);
    x += panel_width + apart;
  }
  block.space(highest);
  return block;
}

// So many side by side.
Section safety(const Subject& subject, double size_pt, std::size_t most_abreast) {
  Section section{.apart_mm = 1.6};
  const std::vector<SafetyNote> notes = safety_notes(subject);
  for (std::size_t at = 0; at < notes.size(); at += most_abreast) {
    const auto from = notes.begin() + static_cast<std::ptrdiff_t>(at);
    const auto count = static_cast<std::ptrdiff_t>(std::min(most_abreast, notes.size() - at));
    section.rows.push_back(
        row([&subject, size_pt, some = std::vector<SafetyNote>(from, from + count)](double width) {
          return abreast(subject, some, width, size_pt);
        }));
  }
  return section;
}

// ---- after the cut ----

// The reading of the whole part, before anything came off; empty where nobody measured it.
std::optional<measure::ReadingIndex> row_of_whole(const plan::Job& job) {
  const plan::Maybe<plan::Length>& whole =
      job.kind == plan::Kind::seatpost ? job.post.length : job.steerer.length;
  return whole ? whole->reading : std::nullopt;
}

// What original and the sum of the pieces may differ by: original − (remaining + offcut + kerf) is
// zero within its guard, the two pieces measured like a new post (JCGM 106:2012 8.3).
double closure_allowed_mm(const plan::Job& job) {
  measure::Readings readings = job.readings;
  readings.push_back(readings[plan::Job::stock_row]);
  const auto remaining = static_cast<std::uint32_t>(plan::Job::stock_row);
  const auto offcut = static_cast<std::uint32_t>(readings.size() - 1);
  measure::Slopes slopes = measure::combined(-1, {{remaining, 1}}, -1, {{offcut, 1}});
  if (const auto whole = row_of_whole(job)) {
    slopes = measure::combined(1, slopes, 1, {{static_cast<std::uint32_t>(*whole), 1}});
  }
  return measure::guard(slopes, readings, job.measuring.coverage);
}

std::string original_of(const Subject& subject) {
  const plan::Plan& plan = subject.plan;
  return plan.remaining ? report::plain((*plan.remaining + plan.at).in_mm(), subject.words())
                        : std::string();
}

// A figure of the sum: the sign before it, what it is, and a box where it is not known.
struct Figure {
  std::string_view sign;
  std::string_view key;
  std::string known = {};
};

constexpr std::size_t figures_abreast = 3;

// Three figures, their labels above them.
Block figures_row(const Subject& subject, const std::array<Figure, figures_abreast>& figures,
                  double width, double size_pt) {
  constexpr double sign_width = 4.5;
  constexpr double unit_width = 7;
  const double cell = width / figures_abreast;
  Block block(width);
  std::vector<Lines> labels;
  double label_height = 0;
  for (const Figure& figure : figures) {
    labels.push_back(set_in_lines(regular(size_pt), cell - sign_width - 1,
                                  say(subject, std::string(figure.key))));
    label_height = std::max(label_height, labels.back().height_mm());
  }
  const double top = label_height + 0.3;
  const double baseline = top + 5;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    const double left = cell * static_cast<double>(i) + sign_width;
    const double right = left + cell - sign_width - unit_width;
    block.lines_at({left, label_height - labels[i].height_mm()}, labels[i]);
    block.text({left - sign_width + 0.6, baseline}, bold(size_pt + 1.5), figures[i].sign);
    if (figures[i].known.empty()) {
      block.box({left, top, right, top + write_in_high}, {.width_mm = 0.35});
    } else {
      block.text_up_to({right - 0.5, baseline}, bold(size_pt + 1), figures[i].known);
    }
    block.text({right + 0.8, baseline}, regular(size_pt), "mm");
  }
  block.space(top + write_in_high);
  return block;
}

// The closure as a sum on paper: original = remaining + offcut + kerf.
Section after_cut(const Subject& subject, double size_pt) {
  const text::Words& words = subject.words();
  Section section{.title = say(subject, "after_the_cut"), .apart_mm = 1.2};
  const std::array<Figure, figures_abreast> pieces = {
      {{"", "remaining"},
       {"+", "offcut"},
       {"+", "kerf", report::plain(subject.plan.kerf.in_mm(), words)}}};
  const std::array<Figure, figures_abreast> whole = {
      {{"=", "sum"}, {"−", "original", original_of(subject)}, {"=", "difference"}}};
  for (const auto& figures : {pieces, whole}) {
    section.rows.push_back(row([&subject, figures, size_pt](double width) {
      return figures_row(subject, figures, width, size_pt);
    }));
  }
  const std::string allowed =
      report::one_decimal(closure_allowed_mm(subject.job), report::Rounding::down, words);
  section.rows.push_back(
      text_row(regular(size_pt), words.say("sheet.work.closure_says", {{"allowed", allowed}})));
  return section;
}

// ---- signing off ----

Section signing(const Subject& subject) {
  Section section;
  section.rows.push_back(row([&subject](double width) {
    constexpr double label_pt = 8.5;
    constexpr double height = 13;
    std::vector<BenchStep> boxes = sign_off(subject);
    // Left and offcut have their places in the sum.
    if (const std::vector<BenchStep> measured = results(subject); !measured.empty()) {
      boxes.push_back(measured.back());
    }
    std::vector<double> widths;
    double spare = width;
    for (const BenchStep& box : boxes) {
      widths.push_back(PdfCanvas::text_width_mm(Face::bold, label_pt, box.text) + 3);
      spare -= widths.back();
    }
    Block block(width);
    double x = 0;
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      const double right = x + widths[i] + spare / static_cast<double>(boxes.size());
      block.box({x + 0.2, 0.2, right - 0.2, height - 0.2}, {.width_mm = 0.4});
      block.text({x + 1.4, 3.8}, bold(label_pt), boxes[i].text);
      block.text_up_to({right - 1.6, height - 1.8}, regular(label_pt), boxes[i].write_in);
      x = right;
    }
    block.space(height);
    return block;
  }));
  return section;
}

// ---- pages ----

// As large as it fits on one page, else flowing on.
template <class SectionsOfSize>
Paged as_large_as_it_fits(const Subject& subject, Room room, const Heads& heads,
                          SectionsOfSize sections) {
  const auto size = std::ranges::find_if(sizes_pt, [&](double size_pt) {
    return fit_on_a_page(sections(size_pt), heads, room, subject.words());
  });
  return paged(sections(size == sizes_pt.end() ? flowing_pt : *size), heads, room, subject.words());
}

std::string title_of(const Subject& subject) {
  return say(subject, "title." + std::string(report::word(subject.plan.verdict)));
}

// Two columns: what to know, to measure and to reckon, and what to do.
struct Desk {
  double left_width = 0;
  Column left, right;
  Block sum;
};

Desk desk_of(const Subject& subject, Room room, double size_pt, double left_width,
             int page_of_rest) {
  const text::Words& words = subject.words();
  const double small = size_pt - 0.5;
  Block sum = filled({after_cut(subject, small)}, {left_width, room.height_mm}, words).block;
  Column left = filled(
      {safety(subject, size_pt - 1, 1), actions(subject, small), measure_twice(subject, small)},
      {left_width, room.height_mm - sum.height_mm() - above_foot}, words, page_of_rest);
  Column right = filled({steps(subject, size_pt)},
                        {room.width_mm - left_width - gutter, room.height_mm}, words, page_of_rest);
  return {left_width, std::move(left), std::move(right), std::move(sum)};
}

// As large as all of it fits; else small, with all the steps on the page, or as many as can be.
Desk best_desk(const Subject& subject, Room room, int page_of_rest) {
  std::vector<double> widths_with_all;
  std::optional<Desk> best;
  for (const double left_width : left_widths) {
    Desk desk = desk_of(subject, room, sizes_of_cut_pt.back(), left_width, page_of_rest);
    if (desk.left.rest.empty() && desk.right.rest.empty()) {
      widths_with_all.push_back(left_width);
    }
    if (!best || !best->right.rest.empty()) {
      best = std::move(desk);
    }
  }
  for (const double size_pt : sizes_of_cut_pt) {
    for (const double left_width : widths_with_all) {
      Desk desk = desk_of(subject, room, size_pt, left_width, page_of_rest);
      if (desk.left.rest.empty() && desk.right.rest.empty()) {
        return desk;
      }
    }
  }
  return *std::move(best);
}

}  // namespace

Work work_of_cut(const Subject& subject, Room room, int page_of_rest) {
  Block page(room.width_mm);
  page.append(heads_of(subject, title_of(subject), room.width_mm).first);
  const double top = page.height_mm() + above_foot;
  const Block sign = filled({signing(subject)}, room, subject.words()).block;
  const double bottom = room.height_mm - sign.height_mm() - above_foot;
  Desk desk = best_desk(subject, {room.width_mm, bottom - top}, page_of_rest);
  page.inset(desk.left.block, {0, top});
  page.inset(desk.sum, {0, bottom - desk.sum.height_mm()});
  page.inset(desk.right.block, {desk.left_width + gutter, top});
  const double rule_x = desk.left_width + gutter / 2;
  page.rule({rule_x, top}, {rule_x, bottom}, {.width_mm = 0.15, .grey = 0.4});
  page.inset(sign, {0, room.height_mm - sign.height_mm()});
  std::vector<Section> rest = std::move(desk.left.rest);
  std::ranges::move(desk.right.rest, std::back_inserter(rest));
  return {std::move(page), std::move(rest)};
}

Behind pages_without_cut(const Subject& subject, const LimitsTable& limits,
                         std::vector<Section> rest, Room room) {
  std::erase_if(rest, [](const Section& section) { return section.rows.empty(); });
  const Paged paged = as_large_as_it_fits(
      subject, room, heads_of(subject, title_of(subject), room.width_mm), [&](double size_pt) {
        std::vector<Section> sections = {safety(subject, size_pt - 1, 3)};
        if (subject.plan.verdict == Verdict::reject) {
          sections.push_back(
              limits.section(say(subject, "collides"), limits_in_question(subject.plan)));
        }
        sections.push_back(actions(subject, size_pt));
        sections.push_back(steps(subject, size_pt));
        sections.push_back(measure_twice(subject, size_pt - 0.5));
        sections.push_back(signing(subject));
        sections.insert(sections.end(), rest.begin(), rest.end());
        return sections;
      });
  constexpr int first_page = 2;
  const std::size_t begins = rest.empty() ? 0 : paged.begins[paged.begins.size() - rest.size()];
  return {paged.pages, first_page + static_cast<int>(begins)};
}

}  // namespace kerfmark::sheet
