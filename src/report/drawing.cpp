#include "kerfmark/report/drawing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "kerfmark/plan/places.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::Judgement;
using plan::Length;

// What is drawn, in ASCII and where the terminal knows more.
struct Sign {
  std::string_view ascii;
  std::string_view utf8;
};

constexpr Sign blank{" ", " "};
constexpr Sign part{"=", "═"};
constexpr Sign waste{"/", "╱"};
constexpr Sign cut_line{"|", "┃"};
constexpr Sign wall{"-", "─"};
constexpr Sign collar{"C", "C"};
constexpr Sign blockage{"#", "█"};
constexpr Sign rails{"o", "●"};
constexpr Sign lowest{"l", "l"};
constexpr Sign highest{"h", "h"};
constexpr Sign new_mark{"N", "N"};
constexpr Sign old_mark{"x", "x"};
constexpr Sign hang{".", "░"};
constexpr Sign crown{"S", "S"};
constexpr Sign headset{"u", "u"};
constexpr Sign ring{"r", "r"};
constexpr Sign ring_edge{"|", "|"};
constexpr Sign stem{"M", "▒"};
constexpr Sign bend{":", ":"};
constexpr Sign datum{"D", "D"};
constexpr Sign inside{"#", "█"};
constexpr Sign expander{"e", "e"};

// Rows of cells along one axis; places are millimetres from the left.
class Strip {
 public:
  Strip(double length_mm, const View& view) : utf8_(view.utf8) {
    const double cells_at_most = static_cast<double>(std::max<std::size_t>(view.width, 40) - 4);
    scale_ =
        *std::ranges::find_if(scales, [&](double s) { return length_mm / s <= cells_at_most; });
    columns_ = static_cast<std::size_t>(std::ceil(length_mm / scale_)) + 1;
  }

  void row() { rows_.emplace_back(columns_, blank); }

  // In the row started last, from one place up to another.
  void fill(double from_mm, double to_mm, const Sign& sign) {
    for (std::size_t i = column(from_mm); i < column(to_mm); ++i) {
      rows_.back()[i] = sign;
    }
  }
  void put(double at_mm, const Sign& sign) { rows_.back()[column(at_mm)] = sign; }

  [[nodiscard]] double scale() const { return scale_; }

  [[nodiscard]] std::string text() const {
    std::string out;
    for (const auto& cells : rows_) {
      std::string line = "  ";
      for (const Sign& sign : cells) {
        line += utf8_ ? sign.utf8 : sign.ascii;
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out += line + "\n";
    }
    return out;
  }

 private:
  // Millimetres a character; the last covers anything a job can hold on the narrowest page.
  static constexpr auto scales =
      std::to_array<double>({1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 1000});

  [[nodiscard]] std::size_t column(double mm) const {
    const double at =
        std::clamp(std::floor(mm / scale_ + 0.5), 0.0, static_cast<double>(columns_ - 1));
    return static_cast<std::size_t>(at);
  }

  bool utf8_;
  double scale_ = 1.0;
  std::size_t columns_ = 0;
  std::vector<std::vector<Sign>> rows_;
};

struct Legend {
  Sign sign;
  std::string name;
  std::string figure = {};  ///< goes on from the name, where there is one
};

std::string shown(const Sign& sign, const View& view) {
  return std::string(view.utf8 ? sign.utf8 : sign.ascii);
}

// Names side by side, none of them broken.
std::string brief_legend(const std::vector<Legend>& legend, const View& view) {
  std::string out;
  std::string line;
  for (const Legend& entry : legend) {
    const std::string one = "  " + shown(entry.sign, view) + " " + entry.name;
    if (!line.empty() && text::cells(line) + text::cells(one) > view.width) {
      out += line + "\n";
      line.clear();
    }
    line += one;
  }
  return out + line + "\n";
}

std::string with_legend(const std::string& title, const Strip& strip,
                        const std::vector<Legend>& legend, Extent extent, const View& view,
                        const text::Words& words) {
  std::string out =
      wrapped("", title + ", 1 character = " + plain(strip.scale(), words) + " mm", view.width);
  out += strip.text();
  if (extent == Extent::brief) {
    return out + brief_legend(legend, view);
  }
  for (const Legend& entry : legend) {
    out += wrapped("  " + shown(entry.sign, view) + "  ", entry.name + entry.figure, view.width);
  }
  return out;
}

bool cut_is_shown(const Judgement& now) { return now.verdict == plan::Verdict::cut; }

// By how much the part was longer when its mark was measured.
double cut_made_mm(const Judgement& now) {
  return now.made && now.made->cut ? now.made->cut->in_mm() : 0.0;
}

// Places along a post, from the rail clamp centre of the highest saddle position down.
struct PostPlaces {
  double rails_highest = 0.0, rails = 0.0, rails_lowest = 0.0;
  double collar = 0.0;
  double end_uncut = 0.0, end = 0.0;
  double hang = 0.0;  // below the end, cut or not
  std::optional<double> old_mark, new_mark;
  std::vector<double> blockages;
  double last = 0.0;
};

PostPlaces places_of(const Job& job, const Judgement& now) {
  const plan::SeatpostFigures& post = *now.seatpost;
  PostPlaces p;
  const double cut = cut_is_shown(now) ? now.at.in_mm() : 0.0;
  // A collar above the rails, which no frame has, is still drawn where the figures put it.
  p.rails_highest = std::max(0.0, -post.extension.highest.in_mm());
  p.collar = p.rails_highest + post.extension.highest.in_mm();
  p.rails = p.collar - post.extension.height.in_mm();
  p.rails_lowest = p.collar - post.extension.lowest.in_mm();
  p.end_uncut = p.collar + post.insertion_uncut.height.in_mm();
  p.end = p.end_uncut - cut;
  if (job.post.mark) {
    p.old_mark = p.end_uncut + cut_made_mm(now) - job.post.mark->nominal.in_mm();
  }
  if (p.old_mark && now.is_after() && *p.old_mark >= p.end) {
    p.old_mark.reset();  // it went with the offcut
  }
  if ((cut > 0.0 || now.is_after()) && post.new_mark) {
    p.new_mark = p.end - post.new_mark->from_lower_end.in_mm();
  }
  p.hang = job.post.hang->nominal.in_mm();
  p.last = p.end + p.hang;
  p.last = std::max(p.last, p.end_uncut);
  for (const plan::JudgedLimit& limit : now.limits) {
    if (limit.rule == plan::Rule::blockage) {
      p.blockages.push_back(p.collar + limit.needs);
      p.last = std::max(p.last, p.blockages.back());
    }
  }
  return p;
}

Strip strip_of_post(const PostPlaces& p, const View& view) {
  Strip strip(p.last + 10.0, view);  // a little of the tube below the last thing in it
  strip.row();
  strip.fill(p.collar, p.last + 10.0, wall);
  strip.put(p.collar, collar);
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    strip.put(p.rails_highest, highest);
    strip.put(p.rails_lowest, lowest);
  }
  for (const double at : p.blockages) {
    strip.put(at, blockage);
  }
  strip.row();
  strip.fill(p.rails, p.end, part);
  if (p.end < p.end_uncut) {
    strip.fill(p.end, p.end_uncut, waste);
    strip.put(p.end, cut_line);
  }
  if (p.old_mark) {
    strip.put(*p.old_mark, old_mark);
  }
  if (p.new_mark) {
    strip.put(*p.new_mark, new_mark);
  }
  strip.put(p.rails, rails);
  if (p.hang > 0.0) {
    strip.row();
    strip.fill(p.end, p.end + p.hang, hang);
  }
  strip.row();
  strip.fill(p.collar, p.last + 10.0, wall);
  strip.put(p.collar, collar);
  for (const double at : p.blockages) {
    strip.put(at, blockage);
  }
  return strip;
}

std::vector<Legend> legend_of_post(const Telling& telling, const PostPlaces& p) {
  const auto& [job, plan, now, words] = telling;
  const plan::SeatpostFigures& post = *now.seatpost;
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  std::vector<Legend> legend;
  legend.push_back({rails, "rail clamp centre"});
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    legend.push_back({highest, "saddle highest",
                      ": rails " + figure(post.extension.highest.in_mm()) + " above the collar"});
    legend.push_back({lowest, "saddle lowest",
                      ": rails " + figure(post.extension.lowest.in_mm()) + " above the collar"});
  }
  const double below = p.collar - p.rails;
  legend.push_back(
      {collar, "collar edge",
       ", " + figure(std::abs(below)) + (below < 0.0 ? " above the rails" : " below the rails")});
  if (p.old_mark) {
    legend.push_back({old_mark, std::string("printed mark") + (p.new_mark ? ", void" : ""),
                      ", " + figure(*p.old_mark - p.rails) + " below the rails"});
  }
  if (p.new_mark) {
    legend.push_back(
        {new_mark, "new mark", ", " + figure(*p.new_mark - p.rails) + " below the rails"});
  }
  if (p.end < p.end_uncut) {
    legend.push_back({cut_line, "cut line", ", " + figure(p.end - p.rails) + " below the rails"});
    legend.push_back({waste, "waste", ", " + mm(now.at, words)});
  } else {
    legend.push_back({part, "post", ", down to " + figure(p.end - p.rails) + " below the rails"});
  }
  if (p.hang > 0.0) {
    legend.push_back({hang, "what hangs in the post",
                      ", " + figure(p.hang) + " below its end" +
                          (p.end < p.end_uncut ? ", here as after the cut" : "")});
  }
  for (std::size_t i = 0; i < p.blockages.size(); ++i) {
    const bool called = i < job.frame.blockages.size() && !job.frame.blockages[i].what.empty();
    legend.push_back({blockage, "blockage " + std::to_string(i + 1),
                      (called ? ", " + text::harmless(job.frame.blockages[i].what) : "") + ", " +
                          figure(p.blockages[i] - p.collar) + " below the collar"});
  }
  return legend;
}

// Places along a steerer, from the crown race seat, or where the parts below the rings are not
// known, from the lower edge of the rings, up.
struct SteererPlaces {
  double rings_from = 0.0, stem_from = 0.0, stem_to = 0.0, top_of_stack = 0.0;
  double head_from = 0.0, head_to = 0.0;
  double top_uncut = 0.0, top = 0.0;
  bool from_crown = false;
};

SteererPlaces places_of_steerer(const Job& job, const Judgement& now) {
  const plan::SteererFigures& s = *now.steerer;
  SteererPlaces p;
  const auto value = [](const plan::Maybe<Length>& given) {
    return given ? given->nominal.in_mm() : 0.0;
  };
  p.from_crown = job.frame.head_tube && job.headset.lower && job.headset.upper;
  if (p.from_crown) {
    p.head_from = value(job.headset.lower);
    p.head_to = p.head_from + value(job.frame.head_tube);
    p.rings_from = p.head_to + value(job.headset.upper);
  }
  const double below = s.target->below.in_mm();
  p.stem_from = p.rings_from + below;
  p.stem_to = p.stem_from + s.clamp.in_mm();
  p.top_of_stack = p.rings_from + (s.below_high + s.above).in_mm() + s.clamp.in_mm();
  const Length gap = *s.gap_uncut;
  p.top_uncut = std::max(0.0, p.top_of_stack - gap.in_mm());
  p.top = cut_is_shown(now) ? std::max(0.0, p.top_of_stack - s.gap->in_mm()) : p.top_uncut;
  return p;
}

Strip strip_of_steerer(const Job& job, const Judgement& now, const SteererPlaces& p,
                       const View& view) {
  Strip strip(std::max(p.top_uncut, p.top_of_stack) + 5.0, view);
  strip.row();
  if (p.from_crown) {
    strip.fill(0.0, p.rings_from, headset);
    strip.fill(p.head_from, p.head_to, wall);
  }
  strip.fill(p.rings_from, p.top_of_stack, ring);
  if (now.steerer->rings) {
    double edge = p.rings_from;
    for (const Length one : now.steerer->rings->below) {
      strip.put(edge, ring_edge);
      edge += one.in_mm();
    }
    edge = p.stem_to;
    for (const Length one : now.steerer->rings->above) {
      edge += one.in_mm();
      strip.put(edge, ring_edge);
    }
  }
  strip.fill(p.stem_from, p.stem_to, stem);
  strip.row();
  strip.fill(0.0, p.top, part);
  if (p.top < p.top_uncut) {
    strip.fill(p.top, p.top_uncut, waste);
    strip.put(p.top, cut_line);
  }
  if (p.from_crown) {
    strip.put(0.0, crown);
  }
  if (job.expander.to) {
    const double from = job.expander.from ? job.expander.from->nominal.in_mm() : 0.0;
    strip.row();
    strip.fill(p.top - job.expander.to->nominal.in_mm(), p.top - from, expander);
  }
  return strip;
}

std::vector<Legend> legend_of_steerer(const Telling& telling, const SteererPlaces& p) {
  const auto& [job, plan, now, words] = telling;
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  const std::string origin =
      p.from_crown ? " above the crown race seat" : " above the upper headset cover";
  std::vector<Legend> legend;
  if (p.from_crown) {
    legend.push_back({crown, "crown race seat"});
    legend.push_back({headset, "headset"});
    legend.push_back({wall, "head tube"});
  }
  legend.push_back(
      {ring, "spacers", "; " + figure((now.steerer->target->below).in_mm()) + " below the stem"});
  legend.push_back({stem, "stem", ", top at " + figure(p.stem_to) + origin});
  if (p.top < p.top_uncut) {
    legend.push_back({cut_line, "cut line", ", " + figure(p.top) + origin});
    legend.push_back({waste, "waste", ", " + mm(now.at, words)});
  } else {
    legend.push_back({part, "steerer", ", up to " + figure(p.top) + origin});
  }
  if (job.expander.to) {
    legend.push_back({expander, "zone that the expander holds",
                      ", down to " + mm(job.expander.to->nominal, words) + " below the top"});
  }
  return legend;
}

// ---- a handlebar ----

Strip strip_of_handlebar(const plan::HandlebarPlaces& p, const View& view) {
  constexpr double stem_half = 22.0;  // mm, for the eye only
  Strip strip(p.right_uncut, view);
  strip.row();
  for (const plan::Stretch& control : p.controls) {
    strip.fill(control.from, control.to, stem);
  }
  strip.fill(p.middle - stem_half, p.middle + stem_half, headset);
  strip.row();
  strip.fill(p.left, p.right, part);
  if (p.left > p.left_uncut) {
    strip.fill(p.left_uncut, p.left, waste);
    strip.fill(p.right, p.right_uncut, waste);
    strip.put(p.left, cut_line);
    strip.put(p.right, cut_line);
  }
  if (p.straight) {
    strip.put(p.straight->from, bend);
    strip.put(p.straight->to, bend);
  }
  return strip;
}

std::vector<Legend> legend_of_handlebar(const Judgement& now, const plan::HandlebarPlaces& p,
                                        const text::Words& words) {
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  std::vector<Legend> legend;
  if (!p.controls.empty()) {
    legend.push_back({stem, "grips, levers and clamps"});
  }
  legend.push_back({headset, "stem"});
  if (p.left > p.left_uncut) {
    legend.push_back({cut_line, "cut lines", ", " + figure(p.right - p.left) + " apart"});
    legend.push_back({waste, "waste", ", " + mm(now.at, words) + " at each end"});
  } else {
    legend.push_back({part, "handlebar", ", " + figure(p.right - p.left) + " wide"});
  }
  if (p.straight) {
    legend.push_back({bend, "straight up to here"});
  }
  return legend;
}

// ---- a mast ----

Strip strip_of_mast(const plan::MastPlaces& p, const View& view) {
  Strip strip(std::max(p.top_uncut, p.rails_highest) + 5.0, view);
  strip.row();
  strip.fill(std::max(0.0, p.topper_from), p.rails, stem);
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    strip.put(p.rails_lowest, lowest);
    strip.put(p.rails_highest, highest);
  }
  strip.put(p.rails, rails);
  strip.row();
  strip.fill(0.0, p.top, part);
  if (p.inside) {
    strip.fill(0.0, *p.inside, inside);
  }
  if (p.spacers) {
    strip.fill(p.spacers->from, p.spacers->to, ring);
  }
  if (p.top < p.top_uncut) {
    strip.fill(p.top, p.top_uncut, waste);
    strip.put(p.top, cut_line);
  }
  strip.put(0.0, datum);
  return strip;
}

std::vector<Legend> legend_of_mast(const Telling& telling, const plan::MastPlaces& p) {
  const auto& [job, plan, now, words] = telling;
  const auto figure = [&](double value) { return one_decimal(value, words) + " mm"; };
  std::vector<Legend> legend = {{datum, "datum"}};
  if (p.inside) {
    legend.push_back({inside, "what must stay inside", ", up to " + figure(*p.inside)});
  }
  if (p.top < p.top_uncut) {
    legend.push_back({cut_line, "cut line", ", " + figure(p.top) + " above the datum"});
    legend.push_back({waste, "waste", ", " + mm(now.at, words)});
  } else {
    legend.push_back({part, "mast", ", up to " + figure(p.top) + " above the datum"});
  }
  if (p.spacers) {
    legend.push_back({ring, "spacers", ", " + figure(p.spacers->to - p.spacers->from)});
  }
  legend.push_back({stem, "topper"});
  legend.push_back({rails, "rail clamp centre", ", " + figure(p.rails) + " above the datum"});
  if (p.rails_highest != p.rails || p.rails_lowest != p.rails) {
    legend.push_back({lowest, "saddle lowest", ": rails at " + figure(p.rails_lowest)});
    legend.push_back({highest, "saddle highest", ": rails at " + figure(p.rails_highest)});
  }
  return legend;
}

}  // namespace

std::string side_view(const Telling& telling, Extent extent, const View& view) {
  const auto& [job, plan, now, words] = telling;
  if (now.handlebar) {
    const plan::HandlebarPlaces p = plan::handlebar_places(job, now);
    return with_legend("Seen from the saddle, left end left", strip_of_handlebar(p, view),
                       legend_of_handlebar(now, p, words), extent, view, words);
  }
  if (now.mast) {
    const plan::MastPlaces p = plan::mast_places(job, now);
    return with_legend("Side view, datum left, top right", strip_of_mast(p, view),
                       legend_of_mast(telling, p), extent, view, words);
  }
  if (now.seatpost) {
    const PostPlaces p = places_of(job, now);
    return with_legend("Side view, saddle left, lower end right", strip_of_post(p, view),
                       legend_of_post(telling, p), extent, view, words);
  }
  if (!now.steerer->gap_uncut) {
    return {};  // nothing is known of where the steerer ends
  }
  const SteererPlaces p = places_of_steerer(job, now);
  return with_legend("Side view, crown left, top right", strip_of_steerer(job, now, p, view),
                     legend_of_steerer(telling, p), extent, view, words);
}

}  // namespace kerfmark::report
