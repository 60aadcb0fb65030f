#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/plan.hpp"

namespace kerfmark::plan {

/// What is seen of the minimum-insertion line: above the collar, or not, as it is inside the frame;
/// or the post has none.
enum class LineSeen { above, hidden, none };
[[nodiscard]] std::span<const std::string_view> line_words();

/// A post as it stands in its frame, all by one instrument but the maker's minimum and the
/// diameter, which are exact. Either the inserted length or length and exposed are given; a post
/// whose line is seen above the collar needs neither.
struct PostAsItStands {
  std::optional<Length> length = {};    ///< rail clamp centre to lower end
  std::optional<Length> exposed = {};   ///< rail clamp centre to collar edge
  std::optional<Length> inserted = {};  ///< collar edge to lower end
  std::optional<Length> mark = {};      ///< lower end up to the printed mark
  std::optional<Length> minimum = {};   ///< the maker's minimum insertion, of post or frame
  std::optional<Length> diameter = {};
  std::optional<LineSeen> line = {};
  std::string_view instrument = steel_rule;  ///< one of instruments() for lengths
};

/// keep, hold or reject: nothing is cut here. With neither mark nor minimum nobody knows how much
/// must be in, so a keep is not possible; that the line is hidden is no figure, for a line that is
/// worn off is not seen either.
struct InsertionCheck {
  PostAsItStands post;
  std::optional<Length> inserted;
  double within_mm = 0.0;  ///< worst case of the inserted length
  measure::Readings readings;
  std::vector<JudgedLimit> limits;
  Verdict verdict = Verdict::hold;
  std::optional<std::size_t> decides;  ///< the limit with the least to spare, in `limits`
  /// What that limit has more than its doubt takes; below zero the post must come down by as much
  /// for every limit to hold.
  Length spare;
};

[[nodiscard]] InsertionCheck check_insertion(const PostAsItStands& post);

/// Whether it is known how much must be in: by the mark, or by the maker's figure. Twice the
/// diameter is a floor for all posts, and no figure to aim at.
[[nodiscard]] bool is_line_known(const InsertionCheck& check);

/// The same, of a post that was measured: its missing or spare millimetres are figures to go by.
[[nodiscard]] bool has_target(const InsertionCheck& check);

/// The least insertion, measured in the same way, at which every limit holds; only with a target.
[[nodiscard]] Length least_to_read(const InsertionCheck& check);

/// What is seen of the line and what was measured cannot both be right.
[[nodiscard]] bool contradicts_itself(const InsertionCheck& check);

/// Whether the post would have to come down farther than it stands out, as far as that is known.
[[nodiscard]] bool is_too_short(const InsertionCheck& check);

}  // namespace kerfmark::plan
