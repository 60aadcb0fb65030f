#include "limits_table.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <optional>

namespace kerfmark::sheet {
namespace {

using report::LimitLine;

struct Field {
  std::string_view title;  // key of its word below sheet.decision
  std::string LimitLine::*cell;
  bool right;  // figures stand flush right
};

// What a limit asks for stands second and takes the room that the others leave.
constexpr std::size_t what_column = 1;
constexpr auto fields = std::to_array<Field>({
    {"sheet.decision.limit", &LimitLine::name, false},
    {"sheet.decision.asks_for", &LimitLine::what, false},
    {"sheet.decision.needs", &LimitLine::bound, true},
    {"sheet.decision.has", &LimitLine::has, true},
    {"sheet.decision.margin", &LimitLine::margin, true},
    {"sheet.decision.doubt", &LimitLine::doubt, true},
    {"sheet.decision.status", &LimitLine::status, false},
    {"sheet.decision.origin", &LimitLine::origin, false},
});

constexpr auto sizes_pt = std::to_array<double>({9, 8.5, 8, smallest_pt});
constexpr double head_less_pt = 1;    // than the rows; never below the smallest
constexpr double gap = 2.6;           // between columns, mm
constexpr double governs_width = 4;   // of the sign before the first column
constexpr double least_of_what = 52;  // of the sentence, mm
constexpr double above_rule = 0.5;    // mm
constexpr double heads_above_rule = 0.4;
constexpr double below_rule = 0.5;
constexpr Pen below_heads{.width_mm = 0.25};
constexpr Pen below_row{.width_mm = 0.1, .grey = 0.5};

Type type_of(const LimitLine& line, const Field& field, double size_pt) {
  const bool telling = field.cell == &LimitLine::name || (line.standing != measure::Status::holds &&
                                                          field.cell == &LimitLine::status);
  return telling ? bold(size_pt) : regular(size_pt);
}

Type type_of_heads(double size_pt) { return bold(std::max(smallest_pt, size_pt - head_less_pt)); }

double width_of(Type type, std::string_view text) {
  return PdfCanvas::text_width_mm(type.face, type.size_pt, text);
}

}  // namespace

std::vector<std::size_t> limits_in_question(const plan::Judgement& now) {
  std::vector<std::size_t> places;
  const auto add = [&](std::optional<std::size_t> place) {
    if (place && std::ranges::find(places, *place) == places.end()) {
      places.push_back(*place);
    }
  };
  if (plan::is_no(now.verdict)) {
    for (const plan::JudgedLimit* limit : plan::in_the_way(now)) {
      add(static_cast<std::size_t>(limit - now.limits.data()));
    }
    if (places.empty() && now.conflict) {
      add(now.conflict->lower);
      add(now.conflict->upper);
    }
  }
  for (const plan::Hold& hold : now.holds) {
    add(hold.limit);
    add(hold.second);
  }
  return places;
}

// In the largest print that leaves room for the sentences.
LimitsTable::LimitsTable(const std::vector<LimitLine>& all, double width_mm,
                         const text::Words& words)
    : all_(all), words_(words), width_mm_(width_mm) {
  for (const double size_pt : sizes_pt) {
    size_pt_ = size_pt;
    double others = governs_width + gap * static_cast<double>(fields.size() - 1);
    widths_mm_.clear();
    for (const Field& field : fields) {
      double widest = width_of(type_of_heads(size_pt), words.at(field.title));
      for (const LimitLine& line : all) {
        if (field.cell != &LimitLine::what) {
          widest = std::max(widest, width_of(type_of(line, field, size_pt), line.*field.cell));
        }
      }
      others += field.cell == &LimitLine::what ? 0 : widest;
      widths_mm_.push_back(widest);
    }
    widths_mm_[what_column] = width_mm - others;
    if (widths_mm_[what_column] >= least_of_what) {
      return;
    }
  }
}

Block LimitsTable::heads() const {
  Block row(width_mm_);
  double x = governs_width;
  const Lines line = set_in_lines(type_of_heads(size_pt_), width_mm_, "x");
  for (std::size_t i = 0; i < fields.size(); ++i) {
    const std::string& title = words_.at(fields[i].title);
    const Spot spot{fields[i].right ? x + widths_mm_[i] : x, line.ascent_mm};
    if (fields[i].right) {
      row.text_up_to(spot, line.type, title);
    } else {
      row.text(spot, line.type, title);
    }
    x += widths_mm_[i] + gap;
  }
  row.space(line.height_mm() + heads_above_rule);
  row.rule({0, row.height_mm()}, {width_mm_, row.height_mm()}, below_heads);
  row.space(below_rule);
  return row;
}

Block LimitsTable::line(std::size_t place) const {
  const LimitLine& limit = all_[place];
  const std::string asks =
      limit.source.empty() ? limit.what : limit.what + " [" + limit.source + "]";
  const Lines what = set_in_lines(regular(size_pt_), widths_mm_[what_column], asks);
  Block row(width_mm_);
  const double baseline = what.ascent_mm;
  if (limit.governs) {
    row.text({0, baseline}, bold(size_pt_), "▶");
  }
  double x = governs_width;
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (i == what_column) {
      row.lines_at({x, 0}, what);
    } else if (fields[i].right) {
      row.text_up_to({x + widths_mm_[i], baseline}, type_of(limit, fields[i], size_pt_),
                     limit.*fields[i].cell);
    } else {
      row.text({x, baseline}, type_of(limit, fields[i], size_pt_), limit.*fields[i].cell);
    }
    x += widths_mm_[i] + gap;
  }
  row.space(what.height_mm() + above_rule);
  row.rule({0, row.height_mm()}, {width_mm_, row.height_mm()}, below_row);
  row.space(below_rule);
  return row;
}

Section LimitsTable::section(std::string title, const std::vector<std::size_t>& places) const {
  Section section{.title = std::move(title), .columns = [this](double) { return heads(); }};
  for (const std::size_t place : places) {
    section.rows.push_back(row([this, place](double) { return line(place); }));
  }
  return section;
}

double LimitsTable::height_of_row(std::size_t place) const { return line(place).height_mm(); }

double LimitsTable::height_of_heads() const { return heads().height_mm(); }

}  // namespace kerfmark::sheet
