#include "kerfmark/plan/insertion.hpp"

#include <algorithm>

#include "engine.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::plan {
namespace {

using measure::LengthEstimate;

double steel_rule_half_width() {
  const auto found = std::ranges::find(instruments(), "steel rule", &Instrument::name);
  require(found != instruments().end(), "no steel rule among the instruments");
  return found->half_width_base;
}

// Gives each reading its row, with the doubt of a steel rule.
class ByRule {
 public:
  LengthEstimate read(Length length, const char* name) {
    measure::Reading row;
    row.key = name;
    row.values_base = {length.in_mm()};
    row.half_width_base = steel_rule_half_width();
    row.instrument = "steel rule";
    readings_.push_back(std::move(row));
    return LengthEstimate::of_reading(length, readings_.size() - 1);
  }
  [[nodiscard]] const measure::Readings& readings() const { return readings_; }

 private:
  measure::Readings readings_ = Job{}.readings;  // with the rows that every job has
};

// A post that comes down keeps its doubt: the guard stays what it is.
double spare_of(const JudgedLimit& limit) { return limit.at.margin - limit.at.guard; }

}  // namespace

InsertionCheck check_insertion(const PostAsItStands& post) {
  require(post.inserted || (post.length && post.exposed), "an insertion without its lengths");
  ByRule rule;
  const LengthEstimate inserted =
      post.inserted ? rule.read(*post.inserted, "inserted")
                    : rule.read(*post.length, "length") - rule.read(*post.exposed, "exposed");
  std::vector<Limit> limits;
  if (post.mark) {
    limits.push_back({Rule::mark, inserted, rule.read(*post.mark, "mark")});
  }
  if (post.minimum) {
    limits.push_back({Rule::post_minimum, inserted, *post.minimum});
  }
  if (post.diameter) {
    limits.push_back(
        {Rule::floor_round, inserted, *row_of(Rule::floor_round).figure * *post.diameter});
  }
  require(!limits.empty(), "an insertion without anything to hold it against");

  const double coverage = *key_at("measuring.coverage").facts.fallback;
  InsertionCheck check;
  check.post = post;
  check.readings = rule.readings();
  check.inserted = inserted.nominal();
  check.within_mm = measure::worst_case(inserted.slopes(), rule.readings());
  check.limits = judge_as_it_stands(limits, rule.readings(), coverage);
  const auto any = [&](measure::Status status) {
    return std::ranges::any_of(check.limits,
                               [&](const JudgedLimit& l) { return l.at.status == status; });
  };
  check.verdict = any(measure::Status::broken)     ? Verdict::reject
                  : any(measure::Status::in_doubt) ? Verdict::hold
                                                   : Verdict::keep;
  const auto least = std::ranges::min_element(check.limits, {}, spare_of);
  check.decides = static_cast<std::size_t>(least - check.limits.begin());
  check.spare = measure::millimetres(spare_of(*least));
  for (JudgedLimit& limit : check.limits) {
    limit.governs = &limit == &*least;
  }
  return check;
}

Length least_to_read(const InsertionCheck& check) { return check.inserted - check.spare; }

bool by_diameter_only(const InsertionCheck& check) {
  return std::ranges::all_of(
      check.limits, [](const JudgedLimit& limit) { return limit.rule == Rule::floor_round; });
}

bool is_too_short(const InsertionCheck& check) {
  const std::optional<Length> exposed = check.post.exposed;
  return exposed && -check.spare.in_mm() > exposed->in_mm();
}

}  // namespace kerfmark::plan
