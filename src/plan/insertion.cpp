#include "kerfmark/plan/insertion.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "engine.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::plan {
namespace {

using measure::LengthEstimate;

// In the order of LineSeen.
constexpr auto words_for_the_line = std::to_array<std::string_view>({"above", "hidden", "none"});

// Gives each reading its row, with the doubt of the instrument.
class InstrumentReadings {
 public:
  explicit InstrumentReadings(std::string_view name) {
    instrument_ = instrument_named(name);
    require(instrument_ != nullptr && instrument_->dimension == measure::Dimension::length,
            "no such instrument for lengths");
  }

  LengthEstimate read(Length length, const char* name) {
    measure::Reading row;
    row.key = name;
    row.values_base = {length.in_mm()};
    row.half_width_base = instrument_->half_width_base;
    row.instrument = std::string(instrument_->name);
    readings_.push_back(std::move(row));
    return LengthEstimate::of_reading(length, readings_.size() - 1);
  }
  [[nodiscard]] const measure::Readings& readings() const { return readings_; }

 private:
  const Instrument* instrument_ = nullptr;
  measure::Readings readings_ = Job{}.readings;  // with the rows that every job has
};

// A post that comes down keeps its doubt: the guard stays what it is.
double spare_of(const JudgedLimit& limit) { return limit.at.margin - limit.at.guard; }

bool is_measured(const PostAsItStands& post) {
  return post.inserted || (post.length && post.exposed);
}

std::vector<Limit> limits_of(const PostAsItStands& post, const LengthEstimate& inserted,
                             InstrumentReadings& taken) {
  std::vector<Limit> limits;
  if (post.mark) {
    limits.push_back({Rule::mark, inserted, taken.read(*post.mark, "mark")});
  }
  if (post.minimum) {
    limits.push_back({Rule::post_minimum, inserted, *post.minimum});
  }
  if (post.diameter) {
    limits.push_back(
        {Rule::floor_round, inserted, *row_of(Rule::floor_round).figure * *post.diameter});
  }
  return limits;
}

Verdict verdict_of(const InsertionCheck& check) {
  const auto any = [&](measure::Status status) {
    return std::ranges::any_of(check.limits,
                               [&](const JudgedLimit& l) { return l.at.status == status; });
  };
  if (check.post.line == LineSeen::above || any(measure::Status::broken)) {
    return Verdict::reject;
  }
  return any(measure::Status::in_doubt) || !is_line_known(check) ? Verdict::hold : Verdict::keep;
}

// Readings one after the other: which operand of a sum comes first is the compiler's choice, and
// equal shares of doubt are told in the order of the readings.
LengthEstimate inserted_of(const PostAsItStands& post, InstrumentReadings& taken) {
  if (post.inserted) {
    return taken.read(*post.inserted, "inserted");
  }
  const LengthEstimate exposed = taken.read(*post.exposed, "exposed");
  return taken.read(*post.length, "length") - exposed;
}

void judge(InsertionCheck& check) {
  InstrumentReadings taken(check.post.instrument);
  const PostAsItStands& post = check.post;
  const LengthEstimate inserted = inserted_of(post, taken);
  const std::vector<Limit> limits = limits_of(post, inserted, taken);
  check.readings = taken.readings();
  check.inserted = inserted.nominal();
  check.within_mm = measure::worst_case(inserted.slopes(), taken.readings());
  check.limits =
      judge_as_it_stands(limits, taken.readings(), *key_at("measuring.coverage").spec.fallback);
  const auto least = std::ranges::min_element(check.limits, {}, spare_of);
  if (least != check.limits.end()) {
    check.decides = static_cast<std::size_t>(least - check.limits.begin());
    check.spare = measure::millimetres(spare_of(*least));
    least->governs = true;
  }
}

}  // namespace

std::span<const std::string_view> line_words() { return words_for_the_line; }

InsertionCheck check_insertion(const PostAsItStands& post) {
  require(is_measured(post) || post.line == LineSeen::above, "an insertion without its lengths");
  InsertionCheck check;
  check.post = post;
  if (is_measured(post)) {
    judge(check);
  }
  check.verdict = verdict_of(check);
  return check;
}

bool is_line_known(const InsertionCheck& check) {
  return check.post.mark.has_value() || check.post.minimum.has_value();
}

bool has_target(const InsertionCheck& check) {
  return check.decides.has_value() && is_line_known(check);
}

Length least_to_read(const InsertionCheck& check) {
  require(has_target(check), "a least insertion where nobody knows the line");
  return *check.inserted - check.spare;
}

bool contradicts_itself(const InsertionCheck& check) {
  const auto mark = std::ranges::find(check.limits, Rule::mark, &JudgedLimit::rule);
  if (mark == check.limits.end()) {
    return false;
  }
  return (check.post.line == LineSeen::above && mark->at.status == measure::Status::holds) ||
         (check.post.line == LineSeen::hidden && mark->at.status == measure::Status::broken);
}

bool is_too_short(const InsertionCheck& check) {
  const std::optional<Length> exposed = check.post.exposed;
  return has_target(check) && exposed && -check.spare.in_mm() > exposed->in_mm();
}

}  // namespace kerfmark::plan
