#include "panel.hpp"

#include <utility>

#include "page.hpp"

namespace kerfmark::sheet {
namespace {

constexpr double title_height = 5.2;  // mm

}  // namespace

double Panel::height_mm() const { return title_height + text.height_mm() + 1.6; }

Panel set_in_panel(std::string_view text, std::string word, bool dark, double width_mm,
                   double size_pt) {
  return {set_in_lines(regular(size_pt), width_mm - 3.4, text), std::move(word), dark};
}

void put_panel(Block& block, const Panel& panel, double left, double right, double height_mm) {
  if (panel.dark) {
    block.fill({left, 0, right, title_height}, 0);
  } else {
    block.rule({left, title_height}, {right, title_height}, {.width_mm = 0.3});
  }
  block.box({left + 0.2, 0.2, right - 0.2, height_mm - 0.2}, {.width_mm = 0.4});
  block.text({left + 1.7, 3.9}, {Face::bold, 10, panel.dark ? 1.0 : 0.0}, panel.word);
  block.lines_at({left + 1.7, title_height + 0.6}, panel.text);
}

}  // namespace kerfmark::sheet
