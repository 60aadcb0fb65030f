#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "block.hpp"
#include "kerfmark/sheet/sheet.hpp"

/// What all pages have in common: their margins, a strip at the head with "page k of n", a strip at
/// the foot that tells one sheet from another, and the room between, which is what a page's block
/// fills.
namespace kerfmark::sheet {

/// Every printer reaches this far to the edge (common practice).
inline constexpr double page_margin_mm = 11;

struct Room {
  double width_mm = 0;
  double height_mm = 0;
};

/// The room between the strips: 188 mm wide on A4, the same on Letter, where the margins are wider.
[[nodiscard]] Room room_on(Paper paper);

/// What stands at the head and the foot of every page; both together are the PDF's title.
struct Strips {
  std::string title;  ///< of the document: head, right
  std::string mine;   ///< what tells this sheet from others: foot, left
};

/// Pages with their strips, in their order. Each block is as wide as the room and no higher.
[[nodiscard]] PrintedSheet printed(const std::vector<Block>& pages, const Strips& strips,
                                   const SheetOptions& options);

/// The title of a page and, at its right, what must not be forgotten while working from it; black
/// on a sheet that lets somebody cut.
[[nodiscard]] Block page_title(double width_mm, std::string_view title, std::string_view reminder,
                               bool dark);

[[nodiscard]] inline Type regular(double size_pt) { return {Face::regular, size_pt, 0}; }
[[nodiscard]] inline Type bold(double size_pt) { return {Face::bold, size_pt, 0}; }

}  // namespace kerfmark::sheet
