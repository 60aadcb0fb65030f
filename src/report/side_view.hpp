#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/report/telling.hpp"
#include "kerfmark/report/view.hpp"

/// What the side views of all kinds are drawn with.
namespace kerfmark::report {

/// What is drawn, in ASCII and where the terminal knows more.
struct Sign {
  std::string_view ascii;
  std::string_view utf8;
};

inline constexpr Sign blank{" ", " "};
inline constexpr Sign part{"=", "═"};
inline constexpr Sign waste{"/", "╱"};
inline constexpr Sign cut_line{"|", "┃"};
inline constexpr Sign wall{"-", "─"};
inline constexpr Sign collar{"C", "C"};
inline constexpr Sign blockage{"#", "█"};
inline constexpr Sign rails{"o", "●"};
inline constexpr Sign lowest{"l", "l"};
inline constexpr Sign highest{"h", "h"};
inline constexpr Sign new_mark{"N", "N"};
inline constexpr Sign old_mark{"x", "x"};
inline constexpr Sign hang{".", "░"};
inline constexpr Sign crown{"S", "S"};
inline constexpr Sign headset{"u", "u"};
inline constexpr Sign ring{"r", "r"};
inline constexpr Sign ring_edge{"|", "|"};
inline constexpr Sign stem{"M", "▒"};
inline constexpr Sign bend{":", ":"};
inline constexpr Sign datum{"D", "D"};
inline constexpr Sign inside{"#", "█"};
inline constexpr Sign expander{"e", "e"};

/// Rows of cells along one axis; places are millimetres from the left.
class Strip {
 public:
  Strip(double length_mm, const View& view) : utf8_(view.utf8) {
    const double cells_at_most = static_cast<double>(std::max<std::size_t>(view.width, 40) - 4);
    scale_ =
        *std::ranges::find_if(scales, [&](double s) { return length_mm / s <= cells_at_most; });
    columns_ = static_cast<std::size_t>(std::ceil(length_mm / scale_)) + 1;
  }

  void row() { rows_.emplace_back(columns_, blank); }

  // In the row started last, from one place up to another.
  void fill(double from_mm, double to_mm, const Sign& sign) {
    for (std::size_t i = column(from_mm); i < column(to_mm); ++i) {
      rows_.back()[i] = sign;
    }
  }
  void put(double at_mm, const Sign& sign) { rows_.back()[column(at_mm)] = sign; }

  [[nodiscard]] double scale() const { return scale_; }

  [[nodiscard]] std::string text() const {
    std::string out;
    for (const auto& cells : rows_) {
      std::string line = "  ";
      for (const Sign& sign : cells) {
        line += utf8_ ? sign.utf8 : sign.ascii;
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out += line + "\n";
    }
    return out;
  }

 private:
  // Millimetres a character; the last covers anything a job can hold on the narrowest page.
  static constexpr auto scales =
      std::to_array<double>({1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 1000});

  [[nodiscard]] std::size_t column(double mm) const {
    const double at =
        std::clamp(std::floor(mm / scale_ + 0.5), 0.0, static_cast<double>(columns_ - 1));
    return static_cast<std::size_t>(at);
  }

  bool utf8_;
  double scale_ = 1.0;
  std::size_t columns_ = 0;
  std::vector<std::vector<Sign>> rows_;
};

struct Legend {
  Sign sign;
  std::string name;
  std::string figure = {};  ///< goes on from the name, where there is one
};

/// The drawing with its legend below.
[[nodiscard]] std::string with_legend(const std::string& title, const Strip& strip,
                                      const std::vector<Legend>& legend, Extent extent,
                                      const View& view, const text::Words& words);

[[nodiscard]] inline bool cut_is_shown(const plan::Judgement& now) {
  return now.verdict == plan::Verdict::cut;
}

}  // namespace kerfmark::report
