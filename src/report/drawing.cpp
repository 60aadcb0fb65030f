#include "kerfmark/report/drawing.hpp"

#include "kerfmark/report/wording.hpp"
#include "kerfmark/text/printable.hpp"
#include "kind_reports.hpp"
#include "lines.hpp"
#include "side_view.hpp"

namespace kerfmark::report {
namespace {

std::string shown(const Sign& sign, const View& view) {
  return std::string(view.utf8 ? sign.utf8 : sign.ascii);
}

// Names side by side, none of them broken.
std::string brief_legend(const std::vector<Legend>& legend, const View& view) {
  std::string out;
  std::string line;
  for (const Legend& entry : legend) {
    const std::string one = "  " + shown(entry.sign, view) + " " + entry.name;
    if (!line.empty() && text::cells(line) + text::cells(one) > view.width) {
      out += line + "\n";
      line.clear();
    }
    line += one;
  }
  return out + line + "\n";
}

}  // namespace

std::string with_legend(const std::string& title, const Strip& strip,
                        const std::vector<Legend>& legend, Extent extent, const View& view,
                        const text::Words& words) {
  std::string out =
      wrapped("", title + ", 1 character = " + plain(strip.scale(), words) + " mm", view.width);
  out += strip.text();
  if (extent == Extent::brief) {
    return out + brief_legend(legend, view);
  }
  for (const Legend& entry : legend) {
    out += wrapped("  " + shown(entry.sign, view) + "  ", entry.name + entry.figure, view.width);
  }
  return out;
}

std::string side_view(const Telling& telling, Extent extent, const View& view) {
  return report_of(telling.job.kind).side_view(telling, extent, view);
}

}  // namespace kerfmark::report
