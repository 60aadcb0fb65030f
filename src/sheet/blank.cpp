#include <algorithm>
#include <array>
#include <utility>

#include "flow.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/form.hpp"
#include "kerfmark/sheet/sheet.hpp"
#include "kind_sheets.hpp"
#include "page.hpp"
#include "pens.hpp"
#include "sketch.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Key;

// ---- measures of the form, in millimetres ----

constexpr double text_x = 6.4;  // of a row, behind its letter

/// How a row is parted: what is asked, and boxes to write in.
struct RowWidths {
  double question;
  double answer;
  double box;
};
constexpr RowWidths whole_row{122, 66, 28};
constexpr RowWidths wide_row{sketch_width_mm, sketch_width_mm - text_x,
                             0};  // ticks below the question
// Of two keys side by side: exact figures, and texts.
constexpr double between_halves = 4;
constexpr RowWidths half_figure{61, 31, 22};
constexpr RowWidths half_text{44, 48, 48};
constexpr double least_saved = 2;  // by two side by side, or they stand one below the other

constexpr double box_high = 7.2;
constexpr double box_gap = 2;
constexpr double notes_high = 12;
constexpr double tick_side = 3.2;
constexpr double bubble_radius = 2.2;
constexpr double row_gap = 0.35;

constexpr double label_pt = 9;
constexpr double how_pt = 9;
constexpr double intro_pt = 9.5;
constexpr double below_intro = 1;
constexpr Spot picture_note{0, 3};

constexpr double question_gap = 2;  // before the boxes
constexpr double label_gap = 2;     // between a label and what follows it
constexpr double bubble_inset = 0.3;
constexpr double bubble_pt = 8.5;
constexpr double half_cap = 0.365;  // of the em: capitals of the fonts of the sheet
constexpr Pen bubble_pen{.width_mm = 0.25};

// Boxes, and what stands in them or behind.
constexpr double box_inset = 0.15;
constexpr double line_inset = 0.3;  // at the right of one that is as wide as the answer
constexpr Pen box_pen{.width_mm = 0.3};
constexpr Spot corner_text{1, 3.4};
constexpr Spot fallback_text{1, 1.1};  // from the lower right corner
constexpr double parted_top = 0.3;     // of the line between two readings
constexpr double unit_left = 1.2;
constexpr double unit_baseline = 4.5;
constexpr double dash_left = 0.5;  // of the dash between two figures
constexpr double dash_right = 0.4;

// Choices to tick, in rows.
constexpr double above_unknown = 0.4;
constexpr double tick_row = 4.7;
constexpr double ticks_apart = 4;
constexpr double tick_to_text = 1.2;
constexpr Spot tick_inset{0.2, 0.4};
constexpr double tick_baseline = 3.2;

constexpr Pen below_row{.width_mm = 0.1, .grey = 0.5};
constexpr double rows_of_head_apart = 2;

// The warning at the head.
constexpr double warning_title_high = 5.6;
constexpr double warning_title_baseline = 4.1;
constexpr double warning_title_pt = 10.5;
constexpr double warning_above_text = 1;
constexpr double warning_below_text = 1.2;
constexpr double warning_inset = 2;
constexpr double warning_frame_inset = 0.2;
constexpr Pen warning_frame{.width_mm = 0.4};

constexpr std::size_t long_text = 1000;  // characters: more than a line is written
constexpr std::size_t boxes_in_a_row = 2;

Type grey_type(double size_pt) { return {Face::regular, size_pt, lightest_text_grey}; }

double width_of(Type type, std::string_view text) {
  return PdfCanvas::text_width_mm(type.face, type.size_pt, text);
}

bool is_repeated(const Key& key) { return plan::list_table(plan::table_of(key.path)) != nullptr; }
// Rows of a list on one form.
std::size_t repeated_most(const Key& key) {
  return plan::list_table(plan::table_of(key.path))->usual;
}
bool has_doubt(const Key& key) { return !key.instrument_for(plan::Job{}).empty(); }

// How it would stand beside another; none for what takes a whole row.
const RowWidths* half_of(const Key& key) {
  const bool figure = std::holds_alternative<plan::LengthSlot>(key.slot) ||
                      std::holds_alternative<plan::AngleSlot>(key.slot) ||
                      std::holds_alternative<plan::MassSlot>(key.slot) ||
                      std::holds_alternative<plan::NumberSlot>(key.slot);
  if (is_repeated(key) || has_doubt(key) || key.spec.unknown != nullptr) {
    return nullptr;
  }
  const bool short_text =
      std::holds_alternative<plan::TextSlot>(key.slot) && key.spec.longest < long_text;
  return figure ? &half_figure : short_text ? &half_text : nullptr;
}

// ---- the answers ----

// What is written behind a key: boxes, lines, ticks. Each way of answering is one overload.
class AnswerField {
 public:
  AnswerField(const Key& key, const RowWidths& widths, const text::Words& words)
      : key_(key), widths_(widths), words_(words), block_(widths.answer) {}

  [[nodiscard]] Block block() {
    std::visit(*this, key_.slot);
    if (key_.spec.unknown != nullptr) {
      block_.space(above_unknown);
      ticks({{"unknown", false}});
    }
    return block_;
  }

  void operator()(plan::LengthSlot) { figure("language.unit.length"); }
  void operator()(plan::AngleSlot) { figure("language.unit.angle"); }
  void operator()(plan::MassSlot) { figure("language.unit.mass"); }
  void operator()(plan::NumberSlot) { figure(""); }
  void operator()(plan::FlagSlot) {
    ticks({{"false", key_.spec.fallback.has_value()}, {"true", false}});
  }
  void operator()(plan::TextSlot) {
    if (is_repeated(key_)) {
      boxes(repeated_most(key_), 1);
    } else {
      line(key_.spec.longest >= long_text ? notes_high : box_high);
    }
  }
  void operator()(plan::PairSlot) {
    boxes(2, 1);
    unit("language.unit.length", 2);
    block_.rule({widths_.box + dash_left, box_high / 2},
                {widths_.box + box_gap - dash_right, box_high / 2}, edge());
  }
  void operator()(plan::ListSlot) { list(); }
  void operator()(plan::RingsSlot) { list(); }
  void operator()(const plan::ChoiceSlot& choice) {
    std::vector<Tick> all;
    for (std::size_t i = 0; i < choice.words.size(); ++i) {
      all.push_back({choice.words[i], key_.spec.fallback == static_cast<double>(i)});
    }
    ticks(all);
  }
  void operator()(plan::InstrumentsSlot) { line(box_high); }

 private:
  struct Tick {
    std::string_view word;  // of the job file
    bool is_default;
  };

  [[nodiscard]] double left_of(std::size_t box) const {
    return static_cast<double>(box) * (widths_.box + box_gap);
  }

  void box(double left, double right, double high, double top = 0) {
    block_.box({left + box_inset, top + box_inset, right, top + high}, box_pen);
  }

  // In small grey print, in the corners of a box: what it is for, and what counts when it is empty.
  void corner(double left, const std::string& text, double top = 0) {
    block_.text({left + corner_text.x_mm, top + corner_text.y_mm}, grey_type(how_pt), text);
  }
  void fallback(double right) {
    if (key_.spec.fallback) {
      block_.text_up_to({right - fallback_text.x_mm, box_high - fallback_text.y_mm},
                        grey_type(how_pt), report::plain(*key_.spec.fallback, words_));
    }
  }

  // Boxes side by side, each parted for so many readings.
  void boxes(std::size_t count, std::size_t readings) {
    const auto top_of = [](std::size_t i) {
      const std::size_t row = i / boxes_in_a_row;
      return static_cast<double>(row) * (box_high + box_gap / 2);
    };
    for (std::size_t i = 0; i < count; ++i) {
      const double x = left_of(i % boxes_in_a_row);
      const double top = top_of(i);
      box(x, x + widths_.box, box_high, top);
      for (std::size_t part = 1; part < readings; ++part) {
        const double at =
            x + widths_.box * static_cast<double>(part) / static_cast<double>(readings);
        block_.rule({at, top + parted_top}, {at, top + box_high - box_inset}, phantom());
      }
      if (is_repeated(key_)) {
        corner(x, std::to_string(i + 1), top);
      }
    }
    block_.space(top_of(count - 1) + box_high);
  }

  void unit(std::string_view key, std::size_t behind_boxes) {
    block_.text({left_of(behind_boxes) - box_gap + unit_left, unit_baseline}, regular(label_pt),
                words_.at(key));
  }

  void figure(std::string_view unit_key) {
    const std::size_t readings = has_doubt(key_) ? 2 : 1;
    const std::size_t count = is_repeated(key_) ? repeated_most(key_) : readings;
    boxes(count, is_repeated(key_) ? readings : 1);
    for (std::size_t i = 0; i < (is_repeated(key_) ? boxes_in_a_row : 1); ++i) {
      fallback(left_of(i) + widths_.box);
    }
    if (!is_repeated(key_) && readings > 1) {
      corner(0, words_.at("sheet.blank.first"));
      corner(left_of(1), words_.at("sheet.blank.second"));
    }
    if (!unit_key.empty()) {
      unit(unit_key, std::min(count, boxes_in_a_row));
    }
  }

  void line(double high) {
    box(0, widths_.answer - line_inset, high);
    block_.space(high);
  }

  void list() {
    const double right = left_of(2) - box_gap;
    box(0, right, box_high);
    fallback(right);
    unit("language.unit.length", 2);
    block_.space(box_high);
  }

  // The word as people say it, and as the job file has it where that is another.
  [[nodiscard]] std::string said(std::string_view word) const {
    const std::string text = words_.at("sheet.blank.choice." + std::string(word));
    return text == word ? text : text + " (" + std::string(word) + ")";
  }

  // In rows as long as they fit; the default in grey.
  void ticks(const std::vector<Tick>& all) {
    double x = 0;
    double top = block_.height_mm();
    for (const Tick& tick : all) {
      const std::string text = said(tick.word);
      const Type type = tick.is_default ? grey_type(label_pt) : regular(label_pt);
      const double width = tick_side + tick_to_text + width_of(type, text);
      if (x > 0 && x + width > widths_.answer) {
        x = 0;
        top += tick_row;
      }
      const Spot corner{x + tick_inset.x_mm, top + tick_inset.y_mm};
      block_.box({corner.x_mm, corner.y_mm, corner.x_mm + tick_side, corner.y_mm + tick_side},
                 box_pen);
      block_.text({corner.x_mm + tick_side + tick_to_text, top + tick_baseline}, type, text);
      x += width + ticks_apart;
    }
    block_.space(top + tick_row - block_.height_mm());
  }

  const Key& key_;
  const RowWidths& widths_;
  const text::Words& words_;
  Block block_;
};

// ---- the rows ----

std::string star(const Key& key) {
  switch (key.spec.needed) {
    case plan::Needed::always:
      return " *";
    case plan::Needed::in_its_table:
    case plan::Needed::by_choice:
    case plan::Needed::one_of_table:
      return " (*)";
    case plan::Needed::no:
      break;
  }
  return {};
}

// A figure and its unit stay on one line.
std::string unbroken(std::string text) {
  for (std::size_t at = text.find(' '); at != std::string::npos; at = text.find(' ', at)) {
    text.replace(at, 1, "\u00a0");
  }
  return text;
}

// "tape ±1 mm"; empty where a figure is only read off or asked for.
std::string instrument_of(const Key& key, const text::Words& words) {
  const std::string_view name = key.instrument_for(plan::Job{});
  const plan::Instrument* known = plan::instrument_named(name);
  if (known == nullptr) {
    return {};
  }
  const bool angle = known->dimension == measure::Dimension::angle;
  const std::string within =
      words.say(angle ? "language.with_unit.angle" : "language.with_unit.length",
                {{"figure", report::plain(known->half_width_base, words)}});
  return words.say("sheet.blank.by",
                   {{"instrument", words.at("sheet.work.instrument." + std::string(name))},
                    {"within", unbroken(within)}});
}

void bubble(Block& block, Spot centre, const std::string& sign) {
  const Type type = bold(bubble_pt);
  block.circle(centre, bubble_radius, bubble_pen);
  block.text(
      {centre.x_mm - width_of(type, sign) / 2, centre.y_mm + half_cap * type.size_pt * mm_per_pt},
      type, sign);
}

// What follows a label: on its line as long as there is room, then on lines of its own.
class AfterLabel {
 public:
  AfterLabel(Block& block, const Lines& label)
      : block_(block),
        baseline_(block.height_mm() - label.leading_mm + label.ascent_mm),
        x_(text_x + width_of(label.type, label.texts.back()) + label_gap) {}

  void add(Type type, const std::string& text) {
    if (text.empty()) {
      return;
    }
    if (x_ + width_of(type, text) <= block_.width_mm()) {
      block_.text({x_, baseline_}, type, text);
      x_ += width_of(type, text) + label_gap;
      return;
    }
    block_.paragraph(text_x, set_in_lines(type, block_.width_mm() - text_x, text));
    x_ = block_.width_mm();
  }

 private:
  Block& block_;
  double baseline_;
  double x_;
};

Block question(const Key& key, const RowWidths& widths, const Letters& letters,
               const text::Words& words) {
  Block block(widths.question - question_gap);
  const double width = block.width_mm() - text_x;
  const std::string path(key.path);
  const Lines label =
      set_in_lines(bold(label_pt), width, words.at("key." + path + ".label") + star(key));
  if (const auto found = letters.find(path); found != letters.end()) {
    bubble(block, {bubble_radius + bubble_inset, bubble_radius + bubble_inset}, found->second);
  }
  block.paragraph(text_x, label);
  AfterLabel after(block, label);
  after.add(grey_type(how_pt), path);
  after.add(regular(how_pt), instrument_of(key, words));
  after.add(regular(how_pt), words.at("key." + path + ".how"));
  return block;
}

void end_row(Block& block) {
  block.space(row_gap);
  block.rule({0, block.height_mm()}, {block.width_mm(), block.height_mm()}, below_row);
}

// Choices stand below what is asked, one beside the other.
Block choice_row(const Key& key, const Letters& letters, const text::Words& words, double width) {
  Block block(width);
  block.space(row_gap);
  block.append(question(key, wide_row, letters, words));
  block.append(AnswerField(key, wide_row, words).block(), text_x);
  end_row(block);
  return block;
}

// One key, or two side by side.
Block key_row(const std::vector<const Key*>& keys, const Letters& letters, const text::Words& words,
              double width) {
  if (std::holds_alternative<plan::ChoiceSlot>(keys.front()->slot)) {
    return choice_row(*keys.front(), letters, words, width);
  }
  Block block(width);
  double x = 0;
  double high = 0;
  for (const Key* key : keys) {
    const RowWidths& widths = keys.size() == 1 ? whole_row : *half_of(*key);
    const Block left = question(*key, widths, letters, words);
    const Block right = AnswerField(*key, widths, words).block();
    block.inset(left, {x, row_gap});
    block.inset(right, {x + widths.question, row_gap});
    high = std::max({high, left.height_mm(), right.height_mm()});
    x += widths.question + widths.answer + between_halves;
  }
  block.space(high + row_gap);
  end_row(block);
  return block;
}

// Whether the two stand better side by side.
bool pair_up(const FormKey& one, const FormKey& other, const Letters& letters,
             const text::Words& words) {
  if (one.stage != other.stage || half_of(*one.key) == nullptr ||
      half_of(*one.key) != half_of(*other.key)) {
    return false;
  }
  const auto height = [&](const std::vector<const Key*>& keys) {
    return key_row(keys, letters, words, sketch_width_mm).height_mm();
  };
  return height({one.key, other.key}) + least_saved <= height({one.key}) + height({other.key});
}

// ---- the whole ----

// In the order of the form, one for each key that has a place in the picture. I and O would be read
// as figures.
Letters letters_for(plan::Kind kind, const std::vector<FormKey>& keys) {
  constexpr std::string_view alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ";
  const std::vector<std::string> places = sketch_of(kind, {}).places();
  Letters letters;
  for (const FormKey& form : keys) {
    if (std::ranges::find(places, form.key->path) != places.end()) {
      const std::size_t next = letters.size();
      const std::string once(1, alphabet[next % alphabet.size()]);
      letters.emplace(form.key->path, next < alphabet.size() ? once : once + once);
    }
  }
  return letters;
}

Block introduction(plan::Kind kind, const text::Words& words, double width) {
  Block block(width);
  const std::string command = "kerfmark new " + std::string(plan::word(kind)) + " job.toml";
  block.paragraph(
      0, set_in_lines(regular(intro_pt), width,
                      words.say("sheet.blank.intro",
                                {{"kind", std::string(plan::word(kind))}, {"command", command}})));
  block.space(below_intro);
  block.paragraph(0, set_in_lines(regular(how_pt), width, words.at("sheet.blank.legend")));
  return block;
}

Block picture(plan::Kind kind, const Letters& letters, const text::Words& words) {
  Block block = sketch_of(kind, letters).block();
  block.text(picture_note, grey_type(how_pt), words.at("sheet.blank.not_to_scale"));
  return block;
}

Block warning(const text::Words& words, double width) {
  Block block(width);
  block.space(warning_title_high + warning_above_text);
  block.paragraph(warning_inset, set_in_lines(regular(warning_pt), width - 2 * warning_inset,
                                              words.at("sheet.blank.warning")));
  block.space(warning_below_text);
  block.fill({0, 0, width, warning_title_high}, 0);
  block.box({warning_frame_inset, warning_frame_inset, width - warning_frame_inset,
             block.height_mm() - warning_frame_inset},
            warning_frame);
  block.text({warning_inset, warning_title_baseline}, {Face::bold, warning_title_pt, 1},
             "⚠ " + words.at("sheet.blank.signal"));
  return block;
}

std::vector<Section> sections_of(plan::Kind kind, const text::Words& words) {
  const std::vector<FormKey> keys = form_keys(kind);
  const Letters letters = letters_for(kind, keys);
  std::vector<Section> sections(1);
  sections[0].apart_mm = rows_of_head_apart;
  sections[0].rows.push_back(row([&words](double width) { return warning(words, width); }));
  sections[0].rows.push_back(
      row([&words, kind](double width) { return introduction(kind, words, width); }));
  sections[0].rows.push_back(
      row([&words, kind, letters](double) { return picture(kind, letters, words); }));
  for (std::size_t i = 0; i < keys.size(); ++i) {
    if (i == 0 || keys[i].stage != keys[i - 1].stage) {
      sections.push_back({.title = words.at("sheet.blank.stage." + std::string(plan::word(kind)) +
                                            "." + std::string(word(keys[i].stage)))});
    }
    std::vector<const Key*> shown{keys[i].key};
    if (i + 1 < keys.size() && pair_up(keys[i], keys[i + 1], letters, words)) {
      shown.push_back(keys[++i].key);
    }
    sections.back().rows.push_back(row(
        [shown, &words, letters](double width) { return key_row(shown, letters, words, width); }));
  }
  return sections;
}

}  // namespace

Sketch sketch_of(plan::Kind kind, const Letters& letters) { return sheet_of(kind).sketch(letters); }

std::vector<plan::Kind> form_kinds() {
  std::vector<plan::Kind> kinds;
  for (std::size_t i = 0; i < plan::kind_words().size(); ++i) {
    kinds.push_back(static_cast<plan::Kind>(i));
  }
  return kinds;
}

std::span<const Stage> stages() {
  static constexpr std::array all{Stage::job,     Stage::maker, Stage::bike,
                                  Stage::mock_up, Stage::tube,  Stage::bench,
                                  Stage::shop,    Stage::after, Stage::more};
  return all;
}

Letters letters_of(plan::Kind kind) { return letters_for(kind, form_keys(kind)); }

std::string_view word(Stage stage) {
  switch (stage) {
    case Stage::job:
      return "job";
    case Stage::maker:
      return "maker";
    case Stage::bike:
      return "bike";
    case Stage::mock_up:
      return "mock_up";
    case Stage::tube:
      return "tube";
    case Stage::bench:
      return "bench";
    case Stage::shop:
      return "shop";
    case Stage::after:
      return "after";
    case Stage::more:
      return "more";
  }
  return {};
}

std::vector<FormKey> form_keys(plan::Kind kind) {
  std::vector<FormKey> keys;
  for (const Key& key : plan::keys()) {
    if (key.belongs_to(kind) && key.path != "kind") {
      keys.push_back({&key, plan::turn_of(key.path).stage});
    }
  }
  std::ranges::sort(keys, {}, [](const FormKey& one) { return place_in_order(one.key->path); });
  return keys;
}

PrintedSheet print_blank(plan::Kind kind, const SheetOptions& options) {
  const text::Words& words = options.words;
  const Room room = room_on(options.paper);
  const std::string title = words.at("sheet.blank.title." + std::string(plan::word(kind)));
  const std::string& reminder = words.at("sheet.blank.reminder");
  const Heads heads{page_title(room.width_mm, title, reminder, false), Block(room.width_mm)};
  return printed(paged(sections_of(kind, words), heads, room, words).pages,
                 {title + ", " + reminder, {}}, options);
}

}  // namespace kerfmark::sheet
