#include "band.hpp"

namespace kerfmark::sheet {
namespace {

using plan::Verdict;

// ---- measures in millimetres ----

constexpr double band_height = 17.4;
constexpr double baseline = 12.6;  // of all that stands in it
constexpr double inset = 5;        // of the sign, and of what it is about
constexpr double sign_pt = 32;
// The two bars of a hold.
constexpr Area left_bar{6, 3.8, 9.4, 13.6};
constexpr Area right_bar{12, 3.8, 15.4, 13.6};
constexpr double words_left = 21;
constexpr double words_to_about = 4;
constexpr double about_pt = 11;
// The words are as large as they fit.
constexpr double largest_pt = 30;
constexpr double least_pt = 14;
constexpr double step_pt = 2;
// A frame on its middle, and the second one of a reject.
constexpr double frame_inset = 0.6;
constexpr double second_inset = 2.1;
constexpr Pen frame{.width_mm = 1.2};
constexpr Pen second_frame{.width_mm = 0.4};

// The sign of a verdict, for those who do not read the word: scissors, a tick, two bars, a cross.
void sign(Block& band, Verdict verdict, double grey) {
  if (verdict == Verdict::hold) {
    band.fill(left_bar, grey);
    band.fill(right_bar, grey);
    return;
  }
  band.text({inset, baseline}, {Face::regular, sign_pt, grey},
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
    band.box({frame_inset, frame_inset, width - frame_inset, band_height - frame_inset}, frame);
  }
  if (plan::is_no(verdict)) {  // framed twice
    band.box({second_inset, second_inset, width - second_inset, band_height - second_inset},
             second_frame);
  }
  sign(band, verdict, ink);
  const Type small{Face::bold, about_pt, ink};
  band.text_up_to({width - inset, baseline}, small, about);
  const double room = width - inset - PdfCanvas::text_width_mm(small.face, small.size_pt, about) -
                      words_to_about - words_left;
  double size = largest_pt;
  while (size > least_pt && PdfCanvas::text_width_mm(Face::bold, size, words) > room) {
    size -= step_pt;
  }
  band.text({words_left, baseline}, {Face::bold, size, ink}, words);
  band.space(band_height);
  return band;
}

}  // namespace kerfmark::sheet
