#include "band.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Verdict;

constexpr double band_height = 17.4;  // mm

// The sign of a verdict, for those who do not read the word: scissors, a tick, two bars, a cross.
void sign(Block& band, Verdict verdict, double grey) {
  const Spot spot{5, 12.6};
  if (verdict == Verdict::hold) {
    band.fill({6, 3.8, 9.4, 13.6}, grey);
    band.fill({12, 3.8, 15.4, 13.6}, grey);
    return;
  }
  band.text(spot, {Face::regular, 32, grey},
            verdict == Verdict::cut ? "✂"
            : plan::is_yes(verdict) ? "✓"
                                    : "✗");
}

}  // namespace

Block verdict_band(double width, Verdict verdict, const std::string& words,
                   const std::string& about) {
  Block band(width);
  const bool dark = verdict == Verdict::cut;
  const double ink = dark ? 1 : 0;
  if (dark) {
    band.fill({0, 0, width, band_height}, 0);
  } else {
    band.box({0.6, 0.6, width - 0.6, band_height - 0.6}, {.width_mm = 1.2});
  }
  if (plan::is_no(verdict)) {  // framed twice
    band.box({2.1, 2.1, width - 2.1, band_height - 2.1}, {.width_mm = 0.4});
  }
  sign(band, verdict, ink);
  const Type small{Face::bold, 11, ink};
  band.text_up_to({width - 5, 12.6}, small, about);
  const double left = 21;
  const double room =
      width - 5 - PdfCanvas::text_width_mm(small.face, small.size_pt, about) - 4 - left;
  double size = 30;
  while (size > 14 && PdfCanvas::text_width_mm(Face::bold, size, words) > room) {
    size -= 2;
  }
  band.text({left, 12.6}, {Face::bold, size, ink}, words);
  band.space(band_height);
  return band;
}

}  // namespace kerfmark::sheet
