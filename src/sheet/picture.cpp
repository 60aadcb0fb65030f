#include "kerfmark/sheet/picture.hpp"

#include <algorithm>

#include "elevation.hpp"
#include "insertion_elevation.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/statement.hpp"
#include "kerfmark/sheet/form.hpp"
#include "sketch.hpp"
#include "svg_canvas.hpp"

namespace kerfmark::sheet {
namespace {

// The room that the drawing has on the first page of an A4 sheet.
constexpr Room picture_room{188, 110};
constexpr Room standing_room{188, 58};

std::vector<std::string> elements_of(const Block& block) {
  SvgCanvas canvas;
  block.draw(canvas, {0, 0});
  return canvas.elements();
}

}  // namespace

std::string part_as_svg(const plan::Job& job, const plan::Plan& plan, const text::Words& words) {
  const SheetOptions options{.paper = a4, .words = words, .shop = {}, .digest = {}, .record = {}};
  const report::Statement says = report::statement_of({job, plan, words});
  const Block block = elevation({job, plan, plan.now(), options, says, {}}, picture_room);
  return svg(block.width_mm(), block.height_mm(), says.headline, elements_of(block));
}

std::string standing_as_svg(const plan::InsertionCheck& check, const text::Words& words) {
  const Block block = insertion_elevation(check, words, standing_room);
  return svg(block.width_mm(), block.height_mm(),
             report::insertion_statement(check, words).headline, elements_of(block));
}

std::string sketch_as_svg(plan::Kind kind, const std::vector<std::string>& keys,
                          std::string_view lit, const text::Words& words) {
  Letters all = letters_of(kind);
  // A height that is read off the post is measured elsewhere, by the same letter.
  const auto height = all.find("saddle.height");
  if (height != all.end() && std::ranges::find(keys, extension_place) != keys.end()) {
    all.emplace(extension_place, height->second);
    all.erase(height);
  }
  const auto asked = all.find(lit);
  Letters shown;
  for (const auto& place : all) {
    if (place.first != lit && std::ranges::find(keys, place.first) != keys.end()) {
      shown.insert(place);
    }
  }
  const std::vector<std::string> plain = elements_of(sketch_of(kind, shown).block());
  if (asked == all.end()) {
    return svg(sketch_width_mm, sketch_height_mm, words.at("sheet.blank.not_to_scale"), plain);
  }
  shown.insert(*asked);
  // What is drawn with the letter and not without it is what the letter stands for.
  std::vector<std::string> added = elements_of(sketch_of(kind, shown).block());
  for (const std::string& element : plain) {
    if (const auto same = std::ranges::find(added, element); same != added.end()) {
      added.erase(same);
    }
  }
  return svg(
      sketch_width_mm, sketch_height_mm,
      asked->second + ": " +
          words.at("key." + (asked->first == extension_place ? "saddle.height" : asked->first) +
                   ".label"),
      plain, added);
}

}  // namespace kerfmark::sheet
