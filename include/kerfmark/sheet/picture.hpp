#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/plan/insertion.hpp"
#include "kerfmark/plan/plan.hpp"
#include "kerfmark/text/words.hpp"

/// The drawings of the sheet and of the blank form as SVG, by the same code.
namespace kerfmark::sheet {

/// The part to scale, as on the first page of the sheet.
[[nodiscard]] std::string part_as_svg(const plan::Job& job, const plan::Plan& plan,
                                      const text::Words& words);

/// A post as it stands and was measured.
[[nodiscard]] std::string standing_as_svg(const plan::InsertionCheck& check,
                                          const text::Words& words);

/// The sketch of the blank form with the letters of these keys, the one of `lit` being lit. A key
/// that has no place in the picture is passed over.
[[nodiscard]] std::string sketch_as_svg(plan::Kind kind, const std::vector<std::string>& keys,
                                        std::string_view lit, const text::Words& words);

}  // namespace kerfmark::sheet
