#pragma once

#include <cstddef>

namespace kerfmark::report {

/// What a text is printed on, as the shell knows it.
struct View {
  std::size_t width = 80;  ///< in cells; narrower than 40 is printed as 40
  bool utf8 = true;        ///< else everything is put into ASCII
  bool colour = false;     ///< ANSI colour as a help; never the only sign
  std::size_t height = 0;  ///< in lines; 0 where nothing scrolls away: a file, a pipe
};

/// How much of a report is wanted.
enum class Extent { brief, full };

}  // namespace kerfmark::report
