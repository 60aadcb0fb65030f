#include "json_parts.hpp"

namespace kerfmark::report {

void put(JsonLine& out, const std::optional<plan::Span>& span) {
  if (!span) {
    out.put(std::nullopt);
    return;
  }
  out.list([&] {
    out.put(span->lo);
    out.put(span->hi);
  });
}

void put(JsonLine& out, const plan::AtHeights& at) {
  out.object([&] {
    out.field("lowest", at.lowest);
    out.field("height", at.height);
    out.field("highest", at.highest);
  });
}

void add_saddle_range(JsonLine& out, const std::optional<plan::Span>& uncut,
                      const std::optional<plan::Span>& cut) {
  out.name("saddle_range_mm");
  out.object([&] {
    out.name("uncut");
    put(out, uncut);
    out.name("cut");
    put(out, cut);
  });
}

}  // namespace kerfmark::report
