#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// A post as it stands in its frame, all by steel rule but the maker's minimum and the diameter,
/// which are exact. Either the inserted length or length and exposed are given, and at least one
/// of mark, minimum and diameter.
struct PostAsItStands {
  std::optional<Length> length;    ///< rail clamp centre to lower end
  std::optional<Length> exposed;   ///< rail clamp centre to collar edge
  std::optional<Length> inserted;  ///< collar edge to lower end
  std::optional<Length> mark;      ///< lower end up to the printed mark
  std::optional<Length> minimum;   ///< the maker's minimum insertion, of post or frame
  std::optional<Length> diameter;
};

/// keep, hold or reject: nothing is cut here.
struct InsertionCheck {
  PostAsItStands post;
  Length inserted;
  double within_mm = 0.0;  ///< worst case of the inserted length
  measure::Readings readings;
  std::vector<JudgedLimit> limits;
  Verdict verdict = Verdict::hold;
  std::size_t decides = 0;  ///< the limit with the least to spare, in `limits`
  /// What that limit has more than its doubt takes; below zero the post must come down by as much
  /// for every limit to hold.
  Length spare;
};

[[nodiscard]] InsertionCheck check_insertion(const PostAsItStands& post);

/// The least insertion, measured in the same way, at which every limit holds.
[[nodiscard]] Length least_to_read(const InsertionCheck& check);

/// Twice the diameter is a floor for all posts and no maker's word on this one.
[[nodiscard]] bool by_diameter_only(const InsertionCheck& check);

/// Whether the post would have to come down farther than it stands out, as far as that is known.
[[nodiscard]] bool is_too_short(const InsertionCheck& check);

}  // namespace kerfmark::plan
