#pragma once

#include <array>
#include <optional>
#include <random>
#include <string>
#include <vector>

/// Random but plausible jobs, steered so that limits come out well kept, near their bound or
/// broken, for the laws and, printed, for the checks from outside. A job is kept as its tables and
/// keys, so that the same one can be written in another unit or in another order. The trigonometry
/// in here only chooses sensible figures to write; no check rests on it.
namespace random_job {

using Random = std::mt19937;

/// How many random jobs a law is tried on. A fifth under the sanitizers, where a job costs ten
/// times as much and another one runs no other code; fewer still where tests/mutate says so.
#if defined(RANDOM_JOB_SHARE)
inline constexpr unsigned share = RANDOM_JOB_SHARE;
#elif defined(__SANITIZE_ADDRESS__)
inline constexpr unsigned share = 5;
#else
inline constexpr unsigned share = 1;
#endif
constexpr unsigned jobs(unsigned count) { return count / share; }

enum class Unit { none, length, angle, mass };

struct Value {
  Unit unit = Unit::none;
  std::vector<double> numbers;  ///< in mm, deg or kg; one, several readings, or the items of a list
  bool list = false;            ///< rings, grip, stock: items, not readings
  std::optional<double> within = {};
  std::string instrument = {};
  std::string spelled = {};          ///< "cm", "in", "lb": so in a metric file too, as a text
  std::optional<double> again = {};  ///< rings: each has a second reading, higher by this
  std::string word = {};             ///< written as it stands, instead of a number
};

struct Entry {
  std::string key;
  Value value;
};

struct Table {
  std::string name;  ///< "post"; empty: the top of the file
  std::vector<Entry> entries;
  bool repeated = false;  ///< [[frame.blockage]], [[controls]]
};

using Tables = std::vector<Table>;

[[nodiscard]] Tables seatpost(Random& random);
[[nodiscard]] Tables steerer(Random& random);
[[nodiscard]] Tables handlebar(Random& random);
[[nodiscard]] Tables mast(Random& random);

/// One of each kind of part.
using Make = Tables (*)(Random&);
inline constexpr auto makers = std::to_array<Make>({seatpost, steerer, handlebar, mast});
/// In turn, kind by kind.
[[nodiscard]] inline Tables make(std::size_t turn, Random& random) {
  return makers.at(turn % makers.size())(random);
}

enum class Units { metric, imperial };

/// The job as TOML: plain numbers, or inches and pounds as text.
[[nodiscard]] std::string text_of(const Tables& tables, Units units = Units::metric);

/// The same job with its tables and the keys in them in another order; blockages and
/// controls keep theirs, which numbers them.
[[nodiscard]] Tables in_other_order(Tables tables, Random& random);

/// The same job with the rings of each list in another order.
[[nodiscard]] Tables with_rings_mixed(Tables tables, Random& random);

}  // namespace random_job
