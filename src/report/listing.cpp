#include "kerfmark/report/listing.hpp"

#include <algorithm>

#include "kerfmark/text/printable.hpp"
#include "lines.hpp"

namespace kerfmark::report {

std::string listing(std::span<const Listed> things, const View& view) {
  constexpr std::size_t narrowest = 40;  // cells, common practice
  std::size_t margin = 0;
  for (const Listed& thing : things) {
    margin = std::max(margin, text::cells(thing.mark));
  }
  std::string out;
  for (const Listed& thing : things) {
    out += wrapped(padded(text::harmless(thing.mark), margin + 2), text::harmless(thing.text),
                   std::max(view.width, narrowest));
  }
  return view.utf8 ? out : text::in_ascii(out);
}

}  // namespace kerfmark::report
