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
  Length inserted;
  double within_mm = 0.0;  ///< worst case of the inserted length
  std::vector<JudgedLimit> limits;
  Verdict verdict = Verdict::hold;
};

[[nodiscard]] InsertionCheck check_insertion(const PostAsItStands& post);

}  // namespace kerfmark::plan
