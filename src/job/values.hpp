#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <toml++/toml.h>

#include "finding_list.hpp"
#include "kerfmark/plan/keys.hpp"

/// Reading the forms that one value of a job file can have.
namespace kerfmark::job {

[[nodiscard]] measure::Place place_of(const toml::node& node);
[[nodiscard]] measure::Place place_of(const toml::key& key);

/// The entries of a table as they stand in the file, not by their names.
[[nodiscard]] std::vector<std::pair<const toml::key*, const toml::node*>> in_order_of_file(
    const toml::table& table);

/// "50 and 700 mm", as "between" goes on.
[[nodiscard]] text::Phrase words_for(const plan::Range& range, measure::Dimension dimension);

/// A number, text, flag or date as a file has it: 212.5, "lip", true; empty for all else.
[[nodiscard]] std::string literal(const toml::node& node);

/// The node as it may be named in a finding: 212.5, "lip", true, a list.
[[nodiscard]] text::Phrase shown(const toml::node& node);

/// Text in quotes, cut where it is too long for a message.
[[nodiscard]] std::string quoted(std::string_view text);

[[nodiscard]] std::vector<std::string> all_quoted(std::span<const std::string_view> texts);

/// "write a", "write a, b or c"; each as it stands.
[[nodiscard]] text::Phrase to_write(std::string what);
[[nodiscard]] text::Phrase one_to_write(const std::vector<std::string>& choices);

/// "300 mm", "73.5 deg", "80 kg", "2": a figure for people.
[[nodiscard]] std::string figure(double base, measure::Dimension dimension);

/// The instruments of one job: the built-in ones, changed and added to by the job.
class Instruments {
 public:
  struct Row {
    std::string name;
    measure::Dimension dimension = measure::Dimension::length;
    double half_width_base = 0.0;
    bool of_shop = false;  ///< the half-width is the shop's, and another than ours
  };

  Instruments();

  /// What was set so far is the shop's own.
  void are_of_shop();
  [[nodiscard]] const std::vector<Row>& rows() const { return rows_; }

  [[nodiscard]] const Row* named(std::string_view name) const;
  void set(Row row);
  [[nodiscard]] std::vector<std::string_view> names_for(measure::Dimension dimension) const;

 private:
  std::vector<Row> rows_;
};

/// No workshop has more (common practice).
inline constexpr std::size_t most_instruments = 64;

/// What may stand at a place of the file.
struct Wanted {
  std::string key;  ///< as findings and readings name it: "frame.blockage-2.depth"
  measure::Dimension dimension = measure::Dimension::length;
  std::optional<plan::Range> range;
  std::string_view instrument;  ///< unless the job names another; empty: exact
  bool may_be_unknown = false;  ///< for what a finding says would be right
};

/// A number in the base unit, or (but for a ratio) text with a unit; inside the range.
[[nodiscard]] std::optional<double> read_single(const toml::node& node, const Wanted& wanted,
                                                FindingList& findings);

/// Any form: a single value, a list of readings, or { read, within, with }.
[[nodiscard]] std::optional<measure::Reading> read_reading(const toml::node& node,
                                                           const Wanted& wanted,
                                                           const Instruments& instruments,
                                                           FindingList& findings);

/// `{ name = half-width, … }`, at most most_instruments.
void read_instruments(const toml::node& node, const std::string& key, Instruments& instruments,
                      FindingList& findings);

/// Text of at most `longest` characters.
[[nodiscard]] std::optional<std::string> read_text(const toml::node& node, const std::string& key,
                                                   std::size_t longest, FindingList& findings);

[[nodiscard]] std::optional<std::string> checked_text(const std::string& text, measure::Place place,
                                                      const std::string& key, std::size_t longest,
                                                      FindingList& findings);

[[nodiscard]] std::string date_text(const toml::date& date);

/// The number of the word in `words`.
[[nodiscard]] std::optional<std::size_t> read_word(const toml::node& node, const std::string& key,
                                                   std::span<const std::string_view> words,
                                                   FindingList& findings);

[[nodiscard]] std::optional<bool> read_flag(const toml::node& node, const std::string& key,
                                            FindingList& findings);

/// A list of single values; a finding when it is none.
[[nodiscard]] std::optional<std::vector<double>> read_list(const toml::node& node,
                                                           const Wanted& wanted,
                                                           FindingList& findings);

}  // namespace kerfmark::job
