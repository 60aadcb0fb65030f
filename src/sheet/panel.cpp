#include "panel.hpp"

#include <utility>

#include "page.hpp"

namespace kerfmark::sheet {
namespace {

// ---- measures in millimetres ----

constexpr double title_height = 5.2;
constexpr double title_drop = 3.9;  // of its baseline, below the upper edge
constexpr double title_pt = 10;
constexpr double inset = 1.7;  // of title and text
constexpr double above_text = 0.6;
constexpr double below_text = 1;
constexpr double frame_inset = 0.2;  // so that the frames of neighbours do not touch
constexpr Pen frame{.width_mm = 0.4};
constexpr Pen below_title{.width_mm = 0.3};

}  // namespace

double Panel::height_mm() const {
  return title_height + above_text + text.height_mm() + below_text;
}

Panel set_in_panel(std::string_view text, std::string word, bool dark, double width_mm,
                   double size_pt) {
  return {set_in_lines(regular(size_pt), width_mm - 2 * inset, text), std::move(word), dark};
}

void put_panel(Block& block, const Panel& panel, double left, double right, double height_mm) {
  if (panel.dark) {
    block.fill({left, 0, right, title_height}, 0);
  } else {
    block.rule({left, title_height}, {right, title_height}, below_title);
  }
  block.box({left + frame_inset, frame_inset, right - frame_inset, height_mm - frame_inset}, frame);
  block.text({left + inset, title_drop}, {Face::bold, title_pt, panel.dark ? 1.0 : 0.0},
             panel.word);
  block.lines_at({left + inset, title_height + above_text}, panel.text);
}

}  // namespace kerfmark::sheet
