#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "kerfmark/measure/estimate.hpp"
#include "kerfmark/measure/quantity.hpp"
#include "kerfmark/measure/reading.hpp"

/// A job as values: what was measured, chosen or stated for one cut. Names follow the job file;
/// datum and unit of each are in keys.hpp. An empty optional was not given and has no default.
namespace kerfmark::plan {

using measure::Angle;
using measure::Length;
using measure::Mass;

/// A value and the row of Job::readings it came from; a default has no row and no doubt.
template <class Q>
struct Measured {
  Q nominal;
  std::optional<measure::ReadingIndex> reading;
  bool operator==(const Measured&) const = default;
};

template <class Q>
using Maybe = std::optional<Measured<Q>>;

// The enumerators of each stand in the order of their words in keys.cpp.
enum class Kind { seatpost, steerer, handlebar, mast };
inline constexpr std::size_t number_of_kinds = 4;
enum class HeightMeasured { along_tube, straight, to_rails, extension };
enum class HeightFrom { bb, pedal_axle };
enum class Section { round, other };
enum class Material { carbon, aluminium, steel, titanium };
enum class Build { rigid, dropper, suspension };
enum class Cutting { allowed, forbidden, not_stated };
enum class Rising { down, up };
enum class Goes { over, into };

/// A set of kinds: to which of them a key or a limit belongs.
class Kinds {
 public:
  constexpr Kinds(Kind one) : bits_(bit(one)) {}  // NOLINT(google-explicit-constructor)
  [[nodiscard]] static constexpr Kinds every() { return Kinds((1U << number_of_kinds) - 1U); }
  [[nodiscard]] constexpr bool has(Kind kind) const { return (bits_ & bit(kind)) != 0; }
  friend constexpr Kinds operator|(Kinds a, Kinds b) { return Kinds(a.bits_ | b.bits_); }
  constexpr bool operator==(const Kinds&) const = default;

 private:
  explicit constexpr Kinds(unsigned bits) : bits_(bits) {}
  static constexpr unsigned bit(Kind kind) { return 1U << static_cast<unsigned>(kind); }

  unsigned bits_;
};

struct Paperwork {
  std::string number, bike, owner, by, checked_by, date, notes;
  bool operator==(const Paperwork&) const = default;
};

struct Measuring {
  double coverage = 0.0;
  bool twice = false;
  bool operator==(const Measuring&) const = default;
};

struct Saw {
  Maybe<Length> kerf, within, step, wanted;
  bool operator==(const Saw&) const = default;
};

struct Saddle {
  Maybe<Length> height, lowest, highest;
  HeightMeasured measured = HeightMeasured::along_tube;
  HeightFrom from = HeightFrom::bb;
  Maybe<Length> crank, rail_to_top;
  Maybe<Length> near;  ///< of a mast: how far its lowest height may be missed
  bool operator==(const Saddle&) const = default;
};

struct Blockage {
  std::string what;
  Maybe<Length> depth, clearance;
  bool operator==(const Blockage&) const = default;
};

struct Frame {
  Maybe<Length> seat_tube;
  Maybe<Angle> seat_angle;
  Maybe<Length> axis_offset, bore, min_insertion, junction, clamp_below;
  std::vector<Blockage> blockages;
  Maybe<Length> head_tube, stack, reach;
  Maybe<Angle> head_angle;
  Maybe<Mass> max_rider, max_system;
  bool operator==(const Frame&) const = default;
};

struct Scale {
  Maybe<Length> zero_at, per_unit;
  Rising rising = Rising::down;
  bool operator==(const Scale&) const = default;
};

struct Post {
  Maybe<Length> length, mark;
  bool mark_unknown = false;
  Maybe<Length> diameter;
  Section section = Section::round;
  Build build = Build::rigid;
  Maybe<Length> setback, head, min_insertion, hang;
  std::optional<std::array<Length, 2>> grip;
  bool shim = false;
  Scale scale;
  bool operator==(const Post&) const = default;
};

/// What all kinds of part have in common: the maker's word on cutting and the maker's limits.
struct Part {
  std::optional<Material> material;
  std::optional<Cutting> cutting;
  Maybe<Length> max_cut, min_length;
  Maybe<Mass> max_rider, max_system;
  bool operator==(const Part&) const = default;
};

struct Steerer {
  Maybe<Length> length, diameter;
  bool threaded = false;
  bool operator==(const Steerer&) const = default;
};

struct Handlebar {
  Maybe<Length> width;        ///< end to end
  Maybe<Length> left, right;  ///< from the bike's middle plane to each end
  Maybe<Length> wanted, narrowest, widest;
  Maybe<Length> straight, grip_zone, to_mark;  ///< from an end inward, the shorter side
  Maybe<Length> air, min_width, diameter;
  bool operator==(const Handlebar&) const = default;
};

/// A grip, lever clamp or ring on one side of a handlebar, the fuller one.
struct Control {
  std::string what;
  Maybe<Length> width;
  bool operator==(const Control&) const = default;
};

/// The frame's own seat tube where it runs up to the saddle, from its datum upward.
struct Mast {
  Maybe<Length> length, keep, diameter;
  Section section = Section::round;
  bool operator==(const Mast&) const = default;
};

/// The head that sits on a mast and holds the rails.
struct Topper {
  Maybe<Length> rise;          ///< top of the mast up to the rail clamp centre, without spacers
  Maybe<Length> spacers_most;  ///< of spacers, or of pulling out
  std::optional<Goes> goes;
  Maybe<Length> grip, min_grip, setback;
  bool operator==(const Topper&) const = default;
};

struct Headset {
  Maybe<Length> lower, upper;
  bool operator==(const Headset&) const = default;
};

struct Stem {
  Maybe<Length> clamp, length;
  Maybe<Angle> angle;
  Maybe<Length> recess_max;
  bool operator==(const Stem&) const = default;
};

/// A list of rings, or one ring for a sum given as one number; empty: not given.
using Rings = std::optional<std::vector<Measured<Length>>>;

struct Spacers {
  Rings below, lowest, highest, above;
  std::vector<Length> on_hand;
  Maybe<Length> max_below, min_above, max_above;
  bool operator==(const Spacers&) const = default;
};

/// The rings on hand that come nearest to what was wished for the bar, each measured as rings are.
/// They take the place of those in Spacers; empty where nothing was wished.
struct WishedRings {
  Rings below, lowest, highest;
  bool operator==(const WishedRings&) const = default;
};

struct Cap {
  Maybe<Length> gap, gap_min, gap_max;
  bool operator==(const Cap&) const = default;
};

struct Expander {
  Maybe<Length> from, to;  ///< from the top of the steerer down; its rim does not count
  Maybe<Length> flange;    ///< what its rim adds on top of the steerer
  bool operator==(const Expander&) const = default;
};

struct Bar {
  Maybe<Length> height, lowest, highest;
  bool operator==(const Bar&) const = default;
};

struct MockUp {
  Maybe<Length> exposed_bottomed;
  bool hang_fitted = false;
  Maybe<Length> stands_proud;
  bool operator==(const MockUp&) const = default;
};

/// What was measured after the cut; it says nothing about the plan before it.
struct AsCut {
  /// What is left of the part, from its upper or lower datum to the new end; of a handlebar its
  /// width.
  Maybe<Length> length;
  Maybe<Length> offcut;        ///< of a handlebar the left one; of a mast the sum over all cuts
  Maybe<Length> offcut_right;  ///< of a handlebar
  Maybe<Length> kerf;
  Maybe<Length> gap;  ///< of a steerer, with the whole stack back in place
  std::string by, checked_by, date;
  [[nodiscard]] bool given() const { return length || gap; }
  bool operator==(const AsCut&) const = default;
};

struct Job {
  Kind kind{};
  Paperwork paperwork;
  Measuring measuring;
  Maybe<Mass> rider_mass;
  Maybe<Mass> system_mass;  ///< rider, bicycle and everything on it
  Saw saw;
  Part part;
  Saddle saddle;
  Frame frame;
  Post post;
  std::vector<Length> stock_lengths;
  Steerer steerer;
  Handlebar handlebar;
  std::vector<Control> controls;
  Mast mast;
  Topper topper;
  Headset headset;
  Stem stem;
  Spacers spacers;
  WishedRings wished;  ///< by complete()
  Cap cap;
  Expander expander;
  Bar bar;
  MockUp mock_up;
  AsCut as_cut;

  /// Two rows come with every job, then one for each value that was given.
  measure::Readings readings = {reserved_row("saw.within"), reserved_row("stock.lengths")};
  static constexpr measure::ReadingIndex saw_row = 0;    ///< the saw's own doubt
  static constexpr measure::ReadingIndex stock_row = 1;  ///< a new post, measured by steel rule

  static measure::Reading reserved_row(const char* key);

  /// Keys that the job left out and the shop's own file gave, where that changed a figure.
  std::vector<std::string> from_shop;
  /// Of the part before the cut.
  [[nodiscard]] const Maybe<Length>& length() const;
  /// The paperwork with who measured after the cut, and when, in place of who planned it.
  [[nodiscard]] Paperwork signed_last() const;
  bool operator==(const Job&) const = default;
};

/// The value with its doubt: slope 1 on its own reading, none if that is exact.
template <measure::Dimension D>
[[nodiscard]] measure::Estimate<D> estimate(const Measured<measure::Quantity<D>>& value,
                                            const measure::Readings& readings) {
  if (value.reading && readings[*value.reading].half_width_base > 0.0) {
    return measure::Estimate<D>::of_reading(value.nominal, *value.reading);
  }
  return value.nominal;
}

}  // namespace kerfmark::plan
