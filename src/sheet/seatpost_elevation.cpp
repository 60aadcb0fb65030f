// Places along a post count from the collar edge, growing into the frame, in millimetres: the rails
// lie at minus the extension, the lower end at the insertion.

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

#include "axis_view.hpp"
#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "seatpost.hpp"

namespace kerfmark::sheet {
namespace {

using plan::JudgedLimit;
using plan::Rule;

// Millimetres of the bicycle. A blockage that lies farther below the post does not belong to the
// picture; it is told beside the break of the tube.
constexpr double far_below = 60;
constexpr double head_stands = 1.5;  // of the head beyond the post, for the eye

// Millimetres of paper.
constexpr double wedge_long = 1.6;
constexpr double cut_stands = 2;      // of the saw line, out of the tube
constexpr double line_stands = 1;     // of the line of least insertion
constexpr double widest_cross = 2.2;  // over a mark that is void
// The clamp above and below the rails, toward the saddle.
constexpr Spot clamp_above{-3, -8.2};
constexpr Spot clamp_below_rails{-3.2, 8.8};
constexpr double rail_half = 2;

// Parts of the radius.
constexpr double hang_part = 0.55;
constexpr double grip_part = 0.7;
constexpr double wedge_part = 0.45;  // of the bore, that a blockage leaves

constexpr double hang_grey = 0.85;
constexpr double grip_grey = 0.85;
constexpr double trouble_grey = 0.6;  // of what is in the way

constexpr std::size_t most_named = 3;  // blockages; the others are wedges without a name

struct BlockagePlace {
  double at = 0;
  std::size_t number = 0;
  bool tells = false;  // governs, is in doubt or broken
};

struct PostPlaces {
  double rails = 0, rails_lowest = 0, rails_highest = 0;
  double end_uncut = 0, end = 0;
  double end_lowest = 0, end_highest = 0;  // the end as drawn, the saddle at its lowest, highest
  double hang = 0;
  bool ranges = false;  // the saddle has more than one height
  std::optional<double> old_mark, new_mark;
  double least = 0;  // insertion that all limits together ask for
  std::vector<BlockagePlace> blockages;
  std::optional<double> other_route;  // to a blockage, where probe and mock-up disagree
  double first = 0, last = 0;
};

// The part that clamps is drawn where it is.
bool asks_for_insertion(Rule rule) {
  return plan::row_of(rule).quantity == plan::Quantity::insertion && rule != Rule::clamp_held;
}

bool holds(const JudgedLimit& limit, const plan::Judgement& now) {
  return plan::as_judged(limit, now).status == measure::Status::holds;
}

void add_limits(const plan::Judgement& now, PostPlaces& p) {
  for (const JudgedLimit& limit : now.limits) {
    if (limit.rule == Rule::blockage) {
      p.blockages.push_back({limit.needs, limit.number, limit.governs || !holds(limit, now)});
    } else if (asks_for_insertion(limit.rule)) {
      p.least = std::max(p.least, limit.needs);
    }
  }
}

// The depth that was not used, where the two contradict each other.
void add_other_route(const Subject& subject, PostPlaces& p) {
  if (subject.now.is_after()) {
    return;  // the mock-up was made with the post as it was before
  }
  for (const plan::Hold& hold : subject.now.holds) {
    if (hold.reason == plan::HoldReason::routes_disagree && hold.limit) {
      const plan::Job& job = subject.job;
      const double probed = job.frame.blockages[*hold.limit].depth->nominal.in_mm();
      const double rested = p.end_uncut - p.rails - job.mock_up.exposed_bottomed->nominal.in_mm() +
                            (job.mock_up.hang_fitted ? p.hang : 0);
      p.other_route = subject.now.seatpost->by_mock_up ? probed : rested;
    }
  }
}

void add_ends(PostPlaces& p) {
  p.first = std::min({p.rails_highest, 0.0, p.end, p.old_mark.value_or(0), p.new_mark.value_or(0)});
  p.last = std::max({p.end_uncut, p.end + p.hang, p.end_lowest + p.hang, 0.0, p.least,
                     p.other_route.value_or(0)});
  p.first = std::min(p.first, p.other_route.value_or(0));
  const double horizon = p.last + far_below;
  for (const BlockagePlace& blockage : p.blockages) {
    p.first = std::min(p.first, blockage.at);
    p.last = blockage.at <= horizon ? std::max(p.last, blockage.at) : p.last;
  }
}

PostPlaces places_of(const Subject& subject) {
  const plan::SeatpostFigures& post = *subject.now.seatpost;
  const double cut = subject.is_cut() ? subject.now.at.in_mm() : 0;
  PostPlaces p;
  p.rails = -post.extension.height.in_mm();
  p.rails_lowest = -post.extension.lowest.in_mm();
  p.rails_highest = -post.extension.highest.in_mm();
  p.ranges = p.rails_lowest != p.rails || p.rails_highest != p.rails;
  p.end_uncut = post.insertion_uncut.height.in_mm();
  p.end = p.end_uncut - cut;
  p.end_lowest = post.insertion_uncut.lowest.in_mm() - cut;
  p.end_highest = post.insertion_uncut.highest.in_mm() - cut;
  p.hang = subject.job.post.hang->nominal.in_mm();
  if (subject.job.post.mark) {
    p.old_mark = p.end_uncut - subject.job.post.mark->nominal.in_mm();
  }
  if ((subject.is_cut() || subject.now.is_after()) && post.new_mark) {
    p.new_mark = p.end - post.new_mark->from_lower_end.in_mm();
  }
  if (p.old_mark && subject.now.made && subject.now.made->cut) {
    // The printed mark stayed where it was, or went with the offcut.
    *p.old_mark += subject.now.made->cut->in_mm();
    p.old_mark = *p.old_mark < p.end ? p.old_mark : std::nullopt;
  }
  add_limits(subject.now, p);
  add_other_route(subject, p);
  add_ends(p);
  return p;
}

// Those that tell first, then the shallowest.
std::vector<BlockagePlace> named_ones(const PostPlaces& p) {
  std::vector<BlockagePlace> named = p.blockages;
  std::ranges::stable_sort(named, {}, &BlockagePlace::at);
  std::stable_partition(named.begin(), named.end(),
                        [](const BlockagePlace& blockage) { return blockage.tells; });
  named.resize(std::min(named.size(), most_named));
  return named;
}

// The first blockage that a part which is held back does not clear.
std::optional<BlockagePlace> struck(const Subject& subject, const PostPlaces& p) {
  std::optional<BlockagePlace> first;
  for (const BlockagePlace& blockage : p.blockages) {
    if (blockage.at < p.end_lowest + p.hang && (!first || blockage.at < first->at)) {
      first = blockage;
    }
  }
  return plan::is_yes(subject.now.verdict) ? std::nullopt : first;
}

class Picture : SceneTools {
 public:
  Picture(const Subject& subject, const PostPlaces& places, const Axis& axis)
      : SceneTools(axis, subject.job.post.diameter->nominal.in_mm(), subject.words()),
        subject_(subject),
        post_(subject.job.post),
        p_(places),
        inner_(radius() + seat_tube_play_mm),
        outer_(inner_ + seat_tube_wall_mm),
        tube_end_(axis.x(places.last + seat_tube_below_mm)) {}

  Scene scene() {
    draw_tube();
    draw_post();
    draw_marks();
    draw_blockages();
    draw_saddle();
    const double half = std::max(saddle_half_mm, outer_ + seat_clamp_high_mm) + air_mm;
    add_tags();
    add_measures();
    return finished(half);
  }

 private:
  [[nodiscard]] std::string one_decimal(double mm) const {
    return report::one_decimal(mm, words());
  }
  [[nodiscard]] std::string plain(double mm) const { return report::plain(mm, words()); }
  [[nodiscard]] bool cut() const { return subject_.is_cut(); }
  [[nodiscard]] bool shown(double along) const { return x(along) + wedge_long < tube_end_; }

  // Whether a limit of this rule does not hold.
  [[nodiscard]] bool fails(Rule rule) const {
    return std::ranges::any_of(subject_.now.limits, [&](const JudgedLimit& limit) {
      return limit.rule == rule && !holds(limit, subject_.now);
    });
  }

  // ---- lines ----

  [[nodiscard]] double clamp_below() const {
    const auto& below = subject_.job.frame.clamp_below;
    return below ? below->nominal.in_mm() : 0;
  }

  void draw_tube() { draw_seat_tube(part(), axis(), {inner_, outer_, tube_end_, clamp_below()}); }

  void draw_post() {
    Block& b = part();
    const double top = x(p_.rails);
    const double end = x(p_.end);
    draw_hang();
    draw_zones();
    if (cut()) {
      waste(b, {end, -radius(), x(p_.end_uncut), radius()});
    }
    for (const double side : {-radius(), radius()}) {
      b.rule({top, side}, {end, side}, edge());
    }
    across(p_.end, radius(), edge());
    if (p_.ranges) {
      across(p_.end_lowest, radius(), phantom());
      across(p_.end_highest, radius(), phantom());
    }
    if (cut()) {
      across(p_.end, outer_ + cut_stands, saw_line());
    }
  }

  void draw_hang() {
    if (p_.hang > 0) {
      const Area area{x(p_.end), -hang_part * radius(), x(p_.end + p_.hang), hang_part * radius()};
      part().fill(area, hang_grey);
      part().box(area, thin());
    }
  }

  // What lies within the post or on it: its grip and head where they are in the way, and what a
  // blockage does not let in.
  void draw_zones() {
    Block& b = part();
    if (fails(Rule::grip_upper) || fails(Rule::grip_lower)) {
      const double to = std::min(p_.end, p_.rails + (*post_.grip)[1].in_mm());
      const double from = std::min(to, p_.rails + (*post_.grip)[0].in_mm());
      b.fill({x(from), -grip_part * radius(), x(to), grip_part * radius()}, grip_grey);
    }
    if (fails(Rule::head)) {
      const double half = radius() + head_stands * axis().across;
      b.fill({x(p_.rails), -half, x(p_.rails + post_.head->nominal.in_mm()), half}, trouble_grey);
    }
    if (const auto first = struck(subject_, p_)) {
      b.fill({x(first->at), -radius(), x(p_.end_lowest + p_.hang), radius()}, trouble_grey);
    }
  }

  void draw_marks() {
    Block& b = part();
    if (p_.old_mark) {
      across(*p_.old_mark, radius(), edge());
    }
    if (p_.old_mark && p_.new_mark) {
      const double at = x(*p_.old_mark);
      const double arm = std::min(radius(), widest_cross);
      b.rule({at - arm, -arm}, {at + arm, arm}, edge());
      b.rule({at - arm, arm}, {at + arm, -arm}, edge());
    }
    if (p_.new_mark) {
      across(*p_.new_mark, radius(), strong());
    }
    across(p_.least, outer_ + line_stands, chain());
  }

  void draw_blockages() {
    for (const BlockagePlace& blockage : p_.blockages) {
      if (!shown(blockage.at)) {
        continue;
      }
      const double at = x(blockage.at);
      for (const double side : {-inner_, inner_}) {
        part().polygon({{at, side}, {at, wedge_part * side}, {at + wedge_long, side}}, 0);
      }
    }
    if (p_.other_route) {
      across(*p_.other_route, inner_, ghost());
    }
  }

  void draw_saddle() {
    Block& b = part();
    const double at = x(p_.rails);
    if (p_.ranges) {
      across(p_.rails_lowest, saddle_half_mm, phantom());
      across(p_.rails_highest, saddle_half_mm, phantom());
    }
    sheet::draw_saddle(b, at, SaddleLies::left);
    b.rule({at + clamp_above.x_mm, clamp_above.y_mm}, {at, -rail_clamp_high_mm}, edge());
    b.rule({at, -rail_clamp_high_mm}, {at, rail_clamp_low_mm}, strong());
    b.rule({at, rail_clamp_low_mm}, {at + clamp_below_rails.x_mm, clamp_below_rails.y_mm}, edge());
    b.circle({at, 0}, rail_eye_mm, edge());
    b.rule({at - rail_half, 0}, {at + rail_half, 0}, thin());
  }

  // ---- tags ----

  void add_tags() {
    tag(0, -outer_ - seat_clamp_high_mm, words().at("sheet.drawing.collar"), Weight::vital);
    if (clamp_below() > 0 && shown(clamp_below())) {
      tag(clamp_below(), -outer_,
          words().say("sheet.drawing.clamp_below", {{"figure", plain(clamp_below())}}),
          fails(Rule::clamp_held) ? Weight::vital : Weight::needed);
    }
    tag(p_.rails, -rail_clamp_high_mm, words().at("sheet.drawing.rails"), Weight::useful);
    if (p_.ranges) {
      tag(p_.rails_highest, -saddle_half_mm, words().at("sheet.drawing.highest"), Weight::useful);
      tag(p_.rails_lowest, -saddle_half_mm, words().at("sheet.drawing.lowest"), Weight::useful);
    }
    if (cut()) {
      tag(p_.end, -outer_ - cut_stands, words().at("sheet.drawing.cut_line"), Weight::vital);
    }
    add_mark_tags();
    add_trouble_tags();
    add_blockage_tags();
  }

  void add_mark_tags() {
    if (p_.old_mark) {
      tag(*p_.old_mark, -radius(),
          words().at(p_.new_mark ? "sheet.drawing.mark_void" : "sheet.drawing.mark"),
          Weight::needed);
    } else if (!post_.mark) {
      tag(p_.end_uncut, -radius(), words().at("sheet.drawing.mark_unknown"), Weight::vital);
    }
    if (p_.new_mark) {
      tag(*p_.new_mark, -radius(), words().at("sheet.drawing.new_mark"), Weight::vital);
    }
    const bool kept = !plan::is_yes(subject_.now.verdict) && p_.end_highest < p_.least;
    tag(p_.least, -outer_ - line_stands,
        words().say("sheet.drawing.least", {{"figure", one_decimal(p_.least)}}),
        kept ? Weight::vital : Weight::needed);
  }

  void add_trouble_tags() {
    if (const auto first = struck(subject_, p_)) {
      tag((first->at + p_.end_lowest + p_.hang) / 2, -radius(),
          words().say("sheet.drawing.collides", {{"number", std::to_string(first->number)}}),
          Weight::vital);
    }
    if (fails(Rule::head)) {
      tag(p_.rails + post_.head->nominal.in_mm(), -radius(), words().at("sheet.drawing.head"),
          Weight::vital);
    }
    if (fails(Rule::grip_upper) || fails(Rule::grip_lower)) {
      const double to = std::min(p_.end, p_.rails + (*post_.grip)[1].in_mm());
      tag(to, -grip_part * radius(), words().at("sheet.drawing.grip"), Weight::vital);
    }
    if (p_.other_route) {
      tag(*p_.other_route, -inner_,
          words().say(subject_.now.seatpost->by_mock_up ? "sheet.drawing.by_probe"
                                                        : "sheet.drawing.by_mock_up",
                      {{"figure", one_decimal(*p_.other_route)}}),
          Weight::vital);
    }
    if (!subject_.now.seatpost->blockage_known) {
      tag_on_paper({tube_end_, -outer_ - line_stands}, words().at("sheet.drawing.not_probed"),
                   Weight::needed);
    }
  }

  // Only what the job calls it is cut short, not the figure behind it.
  [[nodiscard]] std::string name_of(const BlockagePlace& blockage) const {
    const auto& all = subject_.job.frame.blockages;
    const std::size_t row = blockage.number - 1;
    const std::string what = row < all.size() ? text::harmless(all[row].what) : std::string();
    const std::string number = std::to_string(blockage.number);
    const Type type = blockage.tells ? bold(tag_pt) : regular(tag_pt);
    return what.empty()
               ? words().say("sheet.drawing.blockage", {{"number", number}})
               : words().say("sheet.drawing.blockage_called",
                             {{"number", number}, {"what", clipped(type, widest_name_mm, what)}});
  }

  void add_blockage_tags() {
    for (const BlockagePlace& blockage : named_ones(p_)) {
      if (shown(blockage.at)) {
        tag(blockage.at, -inner_, name_of(blockage),
            blockage.tells ? Weight::vital : Weight::needed);
      } else {
        tag_on_paper({tube_end_, -outer_ - line_stands},
                     words().say("sheet.drawing.farther", {{"what", name_of(blockage)},
                                                           {"figure", one_decimal(blockage.at)}}),
                     blockage.tells ? Weight::vital : Weight::useful);
      }
    }
  }

  // ---- dimensions ----

  void add_measures() {
    measure(p_.rails, 0, "sheet.drawing.extension", one_decimal(-p_.rails), Weight::needed);
    if (cut()) {
      add_measures_of_cut();
    } else {
      add_measures_of_whole();
    }
    if (p_.hang > 0) {
      measure(p_.end, p_.end + p_.hang, "sheet.drawing.hang", one_decimal(p_.hang), Weight::useful);
    }
    const std::vector<BlockagePlace> named = named_ones(p_);
    if (!named.empty() && shown(named.front().at)) {
      measure(0, named.front().at, "sheet.drawing.depth", one_decimal(named.front().at),
              Weight::needed);
    }
  }

  void add_measures_of_cut() {
    const plan::Judgement& now = subject_.now;
    measure(0, p_.end, "sheet.drawing.insertion_after",
            one_decimal(now.seatpost->insertion.height.in_mm()), Weight::vital);
    measure(p_.end, p_.end_uncut, "sheet.drawing.cut", plain(now.at.in_mm()), Weight::vital);
    measure(p_.rails, p_.end, "sheet.drawing.remaining", plain(now.remaining->in_mm()),
            Weight::vital);
    add_measure_of_new_mark();
  }

  void add_measure_of_new_mark() {
    if (p_.new_mark) {
      measure(*p_.new_mark, p_.end, "sheet.drawing.new_mark",
              plain(subject_.now.seatpost->new_mark->from_lower_end.in_mm()), Weight::vital);
    }
  }

  void add_measures_of_whole() {
    measure(0, p_.end, "sheet.drawing.insertion", one_decimal(p_.end_uncut), Weight::vital);
    measure(p_.rails, p_.end, "sheet.drawing.post", plain(subject_.length()->nominal.in_mm()),
            Weight::needed);
    add_measure_of_new_mark();
    if (p_.old_mark && !p_.new_mark) {
      measure(*p_.old_mark, p_.end, "sheet.drawing.mark_up", plain(post_.mark->nominal.in_mm()),
              Weight::useful);
    }
  }

  const Subject& subject_;
  const plan::Post& post_;
  const PostPlaces& p_;
  double inner_, outer_, tube_end_;
};

Caption caption_of(const Subject& subject, const PostPlaces& p) {
  const text::Words& words = subject.words();
  Caption caption{words.at("sheet.drawing.post_title"), {}};
  if (subject.is_cut()) {
    caption.legend.push_back(words.at("sheet.drawing.legend_waste"));
  }
  if (p.old_mark && p.new_mark) {
    caption.legend.push_back(words.at("sheet.drawing.legend_void"));
  }
  if (p.ranges) {
    caption.legend.push_back(words.at("sheet.drawing.legend_saddle"));
  }
  if (p.blockages.size() > most_named) {
    caption.legend.push_back(
        words.say("sheet.drawing.legend_blockages",
                  {{"count", std::to_string(p.blockages.size() - most_named)}}));
  }
  return caption;
}

}  // namespace

Block seatpost_elevation(const Subject& subject, Room room) {
  const PostPlaces places = places_of(subject);
  const Extent extent{.from_mm = places.first,
                      .to_mm = places.last + seat_tube_below_mm,
                      .left_mm = saddle_deep_mm,
                      .right_mm = break_deep_mm,
                      .diameter_mm = subject.job.post.diameter->nominal.in_mm()};
  return drawn_to_scale(
      extent, [&](const Axis& axis) { return Picture(subject, places, axis).scene(); },
      caption_of(subject, places), subject.words(), room);
}

}  // namespace kerfmark::sheet
