#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "side_view.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::Judgement;
using plan::Length;

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

}  // namespace

std::string view_of_seatpost(const Telling& telling, Extent extent, const View& view) {
  const PostPlaces p = places_of(telling.job, telling.now);
  return with_legend("Side view, saddle left, lower end right", strip_of_post(p, view),
                     legend_of_post(telling, p), extent, view, telling.words);
}

}  // namespace kerfmark::report
