#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "kerfmark/plan/job.hpp"

/// The one table of job keys. The reader, the commented templates and the nearest-key suggestion
/// are made from it; what each is called and how it is measured stands under [key] in the files of
/// the languages.
namespace kerfmark::plan {

/// An instrument and the half-width that goes with it (mm or deg).
struct Instrument {
  std::string_view name;
  measure::Dimension dimension;
  double half_width_base;
  std::string_view origin;  ///< document and clause of its error limit, or "common practice"
};
[[nodiscard]] std::span<const Instrument> instruments();
/// Null: there is none of that name.
[[nodiscard]] const Instrument* instrument_named(std::string_view name);
/// The names of those that measure this.
[[nodiscard]] std::vector<std::string_view> instruments_for(measure::Dimension dimension);
inline constexpr std::string_view steel_rule = "steel rule";

/// Plausible values, both ends included, in base units (mm, deg, kg, 1).
struct Range {
  double least;
  double most;
};

// Where a key's value lives in a Job. `row` counts the rows of a list from 0; other keys ignore it.
using LengthSlot = Maybe<Length>& (*)(Job&, std::size_t row);
using AngleSlot = Maybe<Angle>& (*)(Job&, std::size_t row);
using MassSlot = Maybe<Mass>& (*)(Job&, std::size_t row);
using NumberSlot = double& (*)(Job&, std::size_t row);
using FlagSlot = bool& (*)(Job&, std::size_t row);
using TextSlot = std::string& (*)(Job&, std::size_t row);
using PairSlot = std::optional<std::array<Length, 2>>& (*)(Job&, std::size_t row);
using ListSlot = std::vector<Length>& (*)(Job&, std::size_t row);
/// Rings: one sum, or a list with a row of readings for each ring. The key's range is that of the
/// sum; an empty list is a sum of 0.
using RingsSlot = std::optional<std::vector<Measured<Length>>>& (*)(Job&, std::size_t row);
struct ChoiceSlot {
  std::span<const std::string_view> words;
  void (*set)(Job&, std::size_t word);
  std::optional<std::size_t> (*get)(Job&);  ///< empty: not chosen
};
/// `{ name = half-width, … }`: changes the table of instruments for this job.
struct InstrumentsSlot {};

using Slot = std::variant<LengthSlot, AngleSlot, MassSlot, NumberSlot, FlagSlot, TextSlot, PairSlot,
                          ListSlot, RingsSlot, ChoiceSlot, InstrumentsSlot>;

/// What is done with each sort of slot, for std::visit: a sort that has no function does not
/// compile.
template <class... Functions>
struct BySlot : Functions... {
  using Functions::operator()...;
};
template <class... Functions>
BySlot(Functions...) -> BySlot<Functions...>;

enum class Needed {
  no,
  always,
  in_its_table,  ///< when the table it stands in is given
  one_of_table,  ///< when that table is given, unless another key of it does that is marked so too
  by_choice,     ///< when KeySpec::needed_when says so
};

/// When a value is asked for or read, as a mechanic goes about it. What needs the bicycle whole
/// comes before what needs it apart: once the post or the fork is out, nobody can read it off
/// again.
enum class Stage { job, maker, bike, mock_up, tube, bench, shop, after, more };

/// A smaller place comes first within its stage; equal ones stand as in the table of keys.
struct Turn {
  Stage stage = Stage::more;
  int place = 0;
  auto operator<=>(const Turn&) const = default;
};

/// Whether a key is asked for that the reader might let go: it has a default, or hangs on its
/// table.
enum class Asked {
  seldom,      ///< it stands only where every key does
  usually,     ///< most jobs say it
  on_the_way,  ///< likewise; left out, a caution or another question stands for it
  of_everyone  ///< nobody may pass it over
};

/// What depends on how the saddle height is measured.
struct RangeAndInstrument {
  Range range;
  std::string_view instrument;
};

struct KeySpec {
  Needed needed = Needed::no;
  std::optional<Range> range = std::nullopt;
  std::optional<double> fallback = std::nullopt;  ///< base unit; of a choice, the word's number
  std::string_view instrument = "";               ///< empty: exact unless the job says otherwise
  bool (*needed_when)(const Job&) = nullptr;
  std::string_view needed_because = "";  ///< the name of its sentence, where it is by choice
  RangeAndInstrument (*range_and_instrument)(const Job&) = nullptr;  ///< overrides both
  Range (*range_of_kind)(Kind) = nullptr;                            ///< overrides the range
  FlagSlot unknown = nullptr;  ///< set when "unknown" is written for the value
  std::size_t longest = 0;     ///< of a text, in characters
  bool gone_once_cut = false;  ///< can be read only on the part before it is cut
  /// Another way to the same length must agree with it, also where that is not reckoned with.
  bool has_second_way = false;
  std::optional<Turn> turn = std::nullopt;  ///< unset: that of its table
  Asked asked = Asked::seldom;
  std::string_view extension_example = "";  ///< where the saddle height is measured as one
};

struct Key {
  std::string_view path;     ///< "post.length"; "frame.blockage.depth" for each [[frame.blockage]]
  std::string_view example;  ///< behind the = of a job file; the default where there is one
  Kinds kinds;
  Slot slot;
  KeySpec spec = {};

  [[nodiscard]] bool belongs_to(Kind kind) const;
  [[nodiscard]] std::optional<Range> range_for(const Job& job) const;
  [[nodiscard]] std::string_view instrument_for(const Job& job) const;
  /// False where that hangs on the table it stands in.
  [[nodiscard]] bool is_needed(const Job& job) const;
};

/// In the order in which a job file lists them.
[[nodiscard]] std::span<const Key> keys();
[[nodiscard]] const Key& key_at(std::string_view path);

/// A table of a job file, and when its keys have their turn.
struct KeyTable {
  std::string_view path;
  Turn turn;
};
/// In the order of a template: what the cut hangs on comes first, the extension and the blockage of
/// a post, the mock-up of a steerer; who and what comes last.
[[nodiscard]] std::span<const KeyTable> key_tables();
/// Of a key of the table; one that is not there has the last.
[[nodiscard]] Turn turn_of(std::string_view path);

/// A table that a job may have several of, [[frame.blockage]].
struct ListTable {
  std::string_view path;
  std::size_t most;
  std::size_t usual;  ///< more than that are rare
  std::size_t (*size)(const Job&);
  void (*resize)(Job&, std::size_t);
};
[[nodiscard]] std::span<const ListTable> list_tables();
/// Null: there is but one of that table.
[[nodiscard]] const ListTable* list_table(std::string_view path);

/// How many values this key has in a job: one, or one for each row of a list.
[[nodiscard]] std::size_t rows_of(const Key& key, const Job& job);

/// Calls visit with every Measured<…> that a job of its kind has: values that were given or have a
/// default, and each ring.
template <class Visit>
void for_every_measured(Job& job, Visit visit) {
  const auto visit_value = [&](auto& maybe) {
    if (maybe) {
      visit(*maybe);
    }
  };
  for (const Key& key : keys()) {
    for (std::size_t row = 0; key.belongs_to(job.kind) && row < rows_of(key, job); ++row) {
      std::visit(BySlot{[&](LengthSlot length) { visit_value(length(job, row)); },
                        [&](AngleSlot angle) { visit_value(angle(job, row)); },
                        [&](MassSlot mass) { visit_value(mass(job, row)); },
                        [&](RingsSlot rings) {
                          if (auto& list = rings(job, row)) {
                            std::ranges::for_each(*list, visit);
                          }
                        },
                        // read without an instrument, or no figure at all
                        [](NumberSlot) {}, [](PairSlot) {}, [](ListSlot) {}, [](FlagSlot) {},
                        [](TextSlot) {}, [](const ChoiceSlot&) {}, [](InstrumentsSlot) {}},
                 key.slot);
    }
  }
}

/// The tables of the parts' own keys, in the order of the kinds.
inline constexpr std::array<std::string_view, number_of_kinds> part_tables{"post", "steerer",
                                                                           "handlebar", "mast"};
[[nodiscard]] std::string_view table_of_part(Kind kind);
/// A key that every kind has in the table of its part: "cutting".
[[nodiscard]] const Key& key_of_part(Kind kind, std::string_view name);

/// The table and the last word of a path: "frame.blockage.depth" is {"frame.blockage", "depth"}.
[[nodiscard]] std::string_view table_of(std::string_view path);
[[nodiscard]] std::string_view name_of(std::string_view path);

/// The words of the key `kind`, in the order of the kinds, and that of one.
[[nodiscard]] std::span<const std::string_view> kind_words();
[[nodiscard]] std::string_view word(Kind kind);
[[nodiscard]] std::string words_of(Kinds kinds);  ///< "seatpost, steerer"

/// Half-widths of lengths and masses, and of angles, that a job may state.
inline constexpr Range half_widths_of_lengths{0.0, 20.0};
inline constexpr Range half_widths_of_angles{0.0, 5.0};
inline constexpr std::size_t most_blockages = 64;
inline constexpr std::size_t most_rings = 64;
inline constexpr std::size_t most_controls = 64;
inline constexpr Range one_ring{0.5, 60.0};

/// Gives every key that was not given its default (a saddle height's ends: the height itself), and
/// the two reserved rows of the readings their half-widths. To be called once, after reading.
void fill_defaults(Job& job, Length rule_half_width);

}  // namespace kerfmark::plan
