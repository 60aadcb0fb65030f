#include "kerfmark/report/digest.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <vector>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/sha256.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::Key;
using plan::Length;

// Changes when a line would say something else of the same job, so that no two forms are mixed up.
constexpr std::string_view form = "kerfmark figures 1\n";

constexpr std::string_view after_the_cut = "as_cut";

// A nanometre holds an inch in 512ths and forgives what 25.4 leaves behind in binary.
std::string decimals(double value) {
  constexpr int places = 9;
  std::array<char, 64> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 std::chars_format::fixed, places)
                       .ptr;
  std::string text(buffer.data(), end);
  const bool nothing = text.find_first_not_of("-0.") == std::string::npos;
  return nothing && text.front() == '-' ? text.substr(1) : text;
}

// As every comparison of figures: an inch in decimals seldom hits a round default by its last bits.
bool same(double one, double other) {
  constexpr double forgiven = 1e-9;
  return std::abs(one - other) <= forgiven;
}

std::string listed(const std::vector<double>& values) {
  std::string list;
  for (const double value : values) {
    list += (list.empty() ? "" : ";") + decimals(value);
  }
  return list;
}

std::vector<double> in_mm(const std::vector<Length>& lengths) {
  std::vector<double> values;
  values.reserve(lengths.size());
  for (const Length length : lengths) {
    values.push_back(length.in_mm());
  }
  return values;
}

// One line for each value of a job that says something else than its default.
class Figures {
 public:
  explicit Figures(const Job& job) : job_(job) {}

  [[nodiscard]] std::string text();

 private:
  void add(const Key& key, std::size_t row, const std::string& path);
  void add_line(const std::string& path, const std::string& value) {
    lines_.push_back(path + "=" + value + "\n");
  }
  void add_unless(bool is_default, const std::string& path, const std::string& value) {
    if (!is_default) {
      add_line(path, value);
    }
  }

  // A value without a reading is a default; one whose reading has another key, an end of the range
  // of saddle heights, was not given either.
  template <class Q>
  void add_measured(const plan::Measured<Q>& value, std::optional<double> fallback,
                    const std::string& path) {
    if (!value.reading || job_.readings[*value.reading].key != path) {
      return;
    }
    const measure::Reading& reading = job_.readings[*value.reading];
    const bool is_default =
        fallback && reading.half_width_base == 0.0 &&
        std::ranges::all_of(reading.values_base, [&](double v) { return same(v, *fallback); });
    add_unless(is_default, path,
               listed(reading.values_base) + " within " + decimals(reading.half_width_base));
  }
  template <class Q>
  void add_measured(const plan::Maybe<Q>& value, const Key& key, std::size_t row,
                    const std::string& path) {
    if (key.spec.unknown != nullptr && key.spec.unknown(job_, row)) {
      add_line(path, "unknown");
    }
    if (value) {
      add_measured(*value, key.spec.fallback, path);
    }
  }
  void add_rings(const plan::Rings& rings, std::optional<double> fallback, const std::string& path);

  Job job_;  // slots lead into a job that may be changed
  std::vector<std::string> lines_;
};

void Figures::add_rings(const plan::Rings& rings, std::optional<double> fallback,
                        const std::string& path) {
  if (!rings) {
    return;
  }
  if (rings->empty()) {  // a sum of 0, which for some is the default
    add_unless(fallback == 0.0, path, "");
    return;
  }
  std::size_t number = 0;
  for (const auto& ring : *rings) {
    ++number;
    const bool sum = ring.reading && job_.readings[*ring.reading].key == path;
    add_measured(ring, fallback, sum ? path : path + "-" + std::to_string(number));
  }
}

void Figures::add(const Key& key, std::size_t row, const std::string& path) {
  const auto& fallback = key.spec.fallback;
  const auto add_value = [&](const auto& value) { add_measured(value, key, row, path); };
  std::visit(
      plan::BySlot{[&](plan::LengthSlot length) { add_value(length(job_, row)); },
                   [&](plan::AngleSlot angle) { add_value(angle(job_, row)); },
                   [&](plan::MassSlot mass) { add_value(mass(job_, row)); },
                   [&](plan::NumberSlot number) {
                     const double value = number(job_, row);
                     add_unless(fallback && same(value, *fallback), path, decimals(value));
                   },
                   [&](plan::FlagSlot flag) {
                     const bool value = flag(job_, row);
                     add_unless((value ? 1.0 : 0.0) == fallback, path, value ? "true" : "false");
                   },
                   [&](plan::PairSlot pair) {
                     if (const auto& ends = pair(job_, row)) {
                       add_line(path, listed({ends->at(0).in_mm(), ends->at(1).in_mm()}));
                     }
                   },
                   [&](plan::ListSlot list) {
                     const auto& lengths = list(job_, row);
                     add_unless(lengths.empty(), path, listed(in_mm(lengths)));
                   },
                   [&](plan::RingsSlot rings) { add_rings(rings(job_, row), fallback, path); },
                   [&](const plan::ChoiceSlot& choice) {
                     if (const auto word = choice.get(job_)) {
                       add_unless(static_cast<double>(*word) == fallback, path,
                                  std::string(choice.words[*word]));
                     }
                   },
                   [](plan::TextSlot) {},          // for people
                   [](plan::InstrumentsSlot) {}},  // what they change shows in half-widths
      key.slot);
}

std::string Figures::text() {
  for (const Key& key : plan::keys()) {
    const auto table = plan::table_of(key.path);
    if (!key.belongs_to(job_.kind) || table == after_the_cut) {
      continue;
    }
    if (plan::list_table(table) == nullptr) {
      add(key, 0, std::string(key.path));
      continue;
    }
    for (std::size_t row = 0; row < plan::rows_of(key, job_); ++row) {
      add(key, row,
          std::string(table) + "-" + std::to_string(row + 1) + "." +
              std::string(plan::name_of(key.path)));
    }
  }
  const plan::Instrument* rule = plan::instrument_named(plan::steel_rule);
  const double new_post = job_.readings[Job::stock_row].half_width_base;
  if (plan::key_at("stock.lengths").belongs_to(job_.kind)) {
    add_unless(same(new_post, rule->half_width_base), "stock.within", decimals(new_post));
  }
  std::ranges::sort(lines_);
  std::string text(form);
  for (const std::string& line : lines_) {
    text += line;
  }
  return text;
}

}  // namespace

std::string figures_of(const Job& job) { return Figures(job).text(); }

std::string digest_of_figures(const std::string& figures) {
  const std::string hex = text::sha256(figures);
  return hex.substr(0, 4) + "-" + hex.substr(4, 4);
}

std::string digest_of(const Job& job) { return digest_of_figures(figures_of(job)); }

}  // namespace kerfmark::report
