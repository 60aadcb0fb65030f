#include "cut_line.hpp"

#include <algorithm>
#include <vector>

#include "engine.hpp"
#include "kerfmark/measure/doubt.hpp"

namespace kerfmark::plan {
namespace {

using measure::combined;
using measure::grain;
using measure::LengthEstimate;
using measure::Slopes;

// A mark, and by which readings the cut that it makes may be off from the plan's: laid off from the
// end that stays, the whole length comes in; below the top of the stack, the gap goes out.
struct Way {
  MarkFrom from;
  Slopes cut_off_by;
};

// Readings with a row more for each mark, by steel rule.
class Marks {
 public:
  explicit Marks(const Job& job) : readings_(job.readings) {}

  [[nodiscard]] Slopes laid_off() {
    readings_.push_back(Job::reserved_row("stock.lengths"));
    readings_.back().half_width_base = readings_[Job::stock_row].half_width_base;
    return {{static_cast<std::uint32_t>(readings_.size() - 1), 1.0}};
  }
  [[nodiscard]] const measure::Readings& readings() const { return readings_; }

 private:
  measure::Readings readings_;
};

std::vector<Way> ways_of(const MarkDatums& part, Marks& marks) {
  std::vector<Way> ways;
  if (part.stays) {
    ways.push_back(
        {MarkFrom::end_that_stays, combined(1.0, part.stays->slopes(), 1.0, marks.laid_off())});
  }
  ways.push_back({MarkFrom::end_that_goes, marks.laid_off()});
  if (part.gap && part.gap->nominal() < Length{}) {
    // The stack is marked, then the gap laid off.
    const Slopes twice = combined(1.0, marks.laid_off(), 1.0, marks.laid_off());
    ways.push_back({MarkFrom::mock_up, combined(-1.0, part.gap->slopes(), 1.0, twice)});
  }
  return ways;
}

// The limit that is nearest to its guard at the cut.
const JudgedLimit* tightest(const Plan& plan) {
  const JudgedLimit* found = nullptr;
  const auto spare = [](const JudgedLimit& limit) {
    return as_change_of_cut(limit.at.margin - limit.at.guard, limit.row().slope);
  };
  for (const JudgedLimit& limit : plan.before.limits) {
    if (limit.row().sense() != Sense::fixed &&
        (found == nullptr || spare(limit) < spare(*found) - grain)) {
      found = &limit;
    }
  }
  return found;
}

double u_of(const Slopes& slopes, const Marks& marks) {
  return measure::standard_uncertainty(slopes, marks.readings());
}

// The mark that leaves the tightest limit the least doubt; the first on a tie.
std::size_t master_of(const std::vector<Way>& ways, const Plan& plan, const Marks& marks) {
  const JudgedLimit* limit = tightest(plan);
  if (limit == nullptr) {
    return 0;
  }
  const auto u_with = [&](const Way& way) {
    return u_of(combined(1.0, limit->slopes, limit->row().slope, way.cut_off_by), marks);
  };
  std::size_t best = 0;
  for (std::size_t i = 1; i < ways.size(); ++i) {
    best = u_with(ways[i]) < u_with(ways[best]) - grain ? i : best;
  }
  return best;
}

// Original − (remaining + offcut + kerf) is zero within its guard, the pieces measured like a new
// post (JCGM 106:2012 8.3).
double closure_allowed(const Job& job, const MarkDatums& part, Marks& marks) {
  Slopes sum = part.whole ? part.whole->slopes() : Slopes{};
  for (int piece = 0; piece < part.pieces; ++piece) {
    sum = combined(1.0, sum, -1.0, marks.laid_off());
  }
  return measure::guard(sum, marks.readings(), job.measuring.coverage);
}

}  // namespace

std::optional<CutLine> cut_line(const Job& job, const Plan& plan, const MarkDatums& part) {
  if (plan.before.at.in_mm() <= 0.0) {
    return std::nullopt;
  }
  Marks marks(job);
  const std::vector<Way> ways = ways_of(part, marks);
  const std::size_t master = master_of(ways, plan, marks);
  CutLine line;
  line.master = ways[master].from;
  // One mark alone is laid off a second time.
  double agree =
      job.measuring.coverage * u_of(combined(1.0, marks.laid_off(), -1.0, marks.laid_off()), marks);
  for (std::size_t i = 0; i < ways.size(); ++i) {
    if (i == master) {
      continue;
    }
    const double apart =
        job.measuring.coverage *
        u_of(combined(1.0, ways[master].cut_off_by, -1.0, ways[i].cut_off_by), marks);
    agree = line.confirm.empty() ? apart : std::min(agree, apart);
    line.confirm.push_back(ways[i].from);
  }
  const double at = plan.before.at.in_mm();
  const double less = plan.window ? std::max(0.0, at - plan.window->lo.in_mm()) : 0.0;
  const double more =
      !plan.window ? 0.0 : (plan.window->hi ? std::max(0.0, plan.window->hi->in_mm() - at) : agree);
  line.less_mm = std::min(agree, less);
  line.more_mm = std::min(agree, more);
  line.less_is_harmless = less >= agree - grain;
  line.more_is_harmless = more >= agree - grain;
  line.closure_allowed_mm = closure_allowed(job, part, marks);
  return line;
}

}  // namespace kerfmark::plan
