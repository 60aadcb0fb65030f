#include "kerfmark/plan/sizes.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>
#include <tuple>
#include <utility>

#include "kind_rows.hpp"

namespace kerfmark::plan {
namespace {

using Bits = std::vector<std::uint64_t>;
constexpr std::size_t bits_in_a_word = 64;

bool has(const Bits& bits, std::size_t row) {
  return ((bits[row / bits_in_a_word] >> (row % bits_in_a_word)) & 1U) != 0;
}

void set(Bits& bits, std::size_t row) {
  bits[row / bits_in_a_word] |= std::uint64_t{1} << (row % bits_in_a_word);
}

// What is left of `bits` without `taken`.
Bits without(Bits bits, const Bits& taken) {
  for (std::size_t i = 0; i < bits.size(); ++i) {
    bits[i] &= ~taken[i];
  }
  return bits;
}

std::size_t count(const Bits& bits) {
  std::size_t sum = 0;
  for (const std::uint64_t word : bits) {
    sum += static_cast<std::size_t>(std::popcount(word));
  }
  return sum;
}

std::size_t common(const Bits& a, const Bits& b) {
  std::size_t sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    sum += static_cast<std::size_t>(std::popcount(a[i] & b[i]));
  }
  return sum;
}

// Rows that must be cut, and what comes off in all.
using Cost = std::pair<std::size_t, double>;

bool better(const SizeCell& one, const SizeCell& other) {
  return std::tuple(one.verdict != Verdict::keep, one.cut.in_mm()) <
         std::tuple(other.verdict != Verdict::keep, other.cut.in_mm());
}

// Sets of one size after another, from the smallest that could do: for the row that the fewest
// parts serve, each of these in turn.
class Search {
 public:
  Search(const SizeMatrix& matrix, Sawing sawing, std::size_t most_work)
      : matrix_(matrix), work_left_(most_work) {
    const std::size_t words = matrix.rows() / bits_in_a_word + 1;
    served_.assign(matrix.parts, Bits(words));
    open_.assign(words, 0);
    by_row_.resize(matrix.rows());
    for (std::size_t row = 0; row < matrix.rows(); ++row) {
      for (std::size_t part = 0; part < matrix.parts; ++part) {
        const Verdict verdict = matrix.at(row, part).verdict;
        if (is_yes(verdict) && (verdict != Verdict::cut || sawing == Sawing::allowed)) {
          set(served_[part], row);
          set(open_, row);
          by_row_[row].push_back(part);
        }
      }
    }
  }

  LeastSet run() {
    LeastSet found;
    best_ = greedy();
    const std::size_t enough = best_.size();
    for (std::size_t size = 1; size <= enough && work_left_ > 0; ++size) {
      best_cost_ = {};
      try_sets(open_, size);
      if (best_cost_) {
        break;
      }
      // None of this size, unless the search was given up before all of them were tried.
      proven_size_ = work_left_ > 0 ? size + 1 : size;
    }
    std::ranges::sort(best_);
    found.parts = best_;
    found.serves = serving(best_);
    found.proven = best_.size() <= std::max<std::size_t>(proven_size_, 1);
    return found;
  }

 private:
  // The part that serves most of what is open, until nothing is.
  [[nodiscard]] std::vector<std::size_t> greedy() const {
    std::vector<std::size_t> chosen;
    for (Bits open = open_; count(open) > 0;) {
      std::size_t most = 0;
      for (std::size_t part = 1; part < matrix_.parts; ++part) {
        most = common(served_[part], open) > common(served_[most], open) ? part : most;
      }
      chosen.push_back(most);
      open = without(std::move(open), served_[most]);
    }
    return chosen;
  }

  void try_sets(const Bits& open, std::size_t more) {
    const std::size_t work = matrix_.parts * open.size() + matrix_.rows();
    work_left_ = work_left_ < work ? 0 : work_left_ - work;
    if (work_left_ == 0) {
      return;
    }
    const std::size_t left = count(open);
    if (left == 0) {
      judge();
      return;
    }
    if (more == 0 || left > more * most_served(open)) {
      return;
    }
    for (const std::size_t part : by_row_[hardest(open)]) {
      chosen_.push_back(part);
      try_sets(without(open, served_[part]), more - 1);
      chosen_.pop_back();
    }
  }

  [[nodiscard]] std::size_t most_served(const Bits& open) const {
    std::size_t most = 0;
    for (const Bits& served : served_) {
      most = std::max(most, common(served, open));
    }
    return most;
  }

  [[nodiscard]] std::size_t hardest(const Bits& open) const {
    std::size_t hardest = by_row_.size();
    for (std::size_t row = 0; row < by_row_.size(); ++row) {
      if (has(open, row) &&
          (hardest == by_row_.size() || by_row_[row].size() < by_row_[hardest].size())) {
        hardest = row;
      }
    }
    return hardest;
  }

  [[nodiscard]] std::vector<std::optional<std::size_t>> serving(
      const std::vector<std::size_t>& parts) const {
    std::vector<std::optional<std::size_t>> serves(matrix_.rows());
    for (std::size_t row = 0; row < matrix_.rows(); ++row) {
      for (const std::size_t part : parts) {
        if (has(served_[part], row) &&
            (!serves[row] || better(matrix_.at(row, part), matrix_.at(row, *serves[row])))) {
          serves[row] = part;
        }
      }
    }
    return serves;
  }

  void judge() {
    std::vector<std::size_t> set = chosen_;
    std::ranges::sort(set);
    Cost cost;
    const auto serves = serving(set);
    for (std::size_t row = 0; row < serves.size(); ++row) {
      if (serves[row] && matrix_.at(row, *serves[row]).verdict == Verdict::cut) {
        ++cost.first;
        cost.second += matrix_.at(row, *serves[row]).cut.in_mm();
      }
    }
    if (!best_cost_ || std::tie(cost, set) < std::tie(*best_cost_, best_)) {
      best_cost_ = cost;
      best_ = std::move(set);
    }
  }

  const SizeMatrix& matrix_;
  std::size_t work_left_;
  std::vector<Bits> served_;                      // of each part, the rows
  std::vector<std::vector<std::size_t>> by_row_;  // of each row, the parts
  Bits open_;                                     // rows that any part serves
  std::vector<std::size_t> chosen_, best_;
  std::optional<Cost> best_cost_;
  std::size_t proven_size_ = 1;  // no set is smaller
};

}  // namespace

SizeCell cell_of(const Job& job, const Plan& plan) {
  const Judgement& judgement = plan.before;
  SizeCell cell;
  cell.verdict = judgement.verdict;
  if (cell.verdict == Verdict::cut) {
    cell.cut = judgement.at;
  }
  if (const auto heights = row_of(job.kind).heights_of_size; heights != nullptr) {
    cell.saddle = heights(judgement);
  }
  if (const JudgedLimit* limit = first_in_the_way(judgement); limit != nullptr) {
    cell.limit = limit->rule;
    cell.number = limit->number;
  }
  return cell;
}

SizeCell cell_of(const Job& job) { return cell_of(job, row_of(job.kind).plan(job)); }

LeastSet least_set(const SizeMatrix& matrix, Sawing sawing, std::size_t most_work) {
  return Search(matrix, sawing, most_work).run();
}

}  // namespace kerfmark::plan
