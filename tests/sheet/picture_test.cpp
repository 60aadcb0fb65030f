#include "kerfmark/sheet/picture.hpp"

#include <string>

#include <doctest/doctest.h>

#include "kerfmark/sheet/form.hpp"
#include "svg_canvas.hpp"

namespace sheet = kerfmark::sheet;
using kerfmark::text::Words;

namespace {

std::string lit_part(const std::string& svg) { return svg.substr(svg.find("class=\"lit\"")); }

}  // namespace

TEST_CASE("each key with a letter is lit in the sketch by its letter alone") {
  for (const auto kind : sheet::form_kinds()) {
    const sheet::Letters letters = sheet::letters_of(kind);
    REQUIRE(letters.size() > 5);
    std::vector<std::string> all;
    for (const auto& [path, its_own] : letters) {
      all.push_back(path);
    }
    for (const auto& [path, its_own] : letters) {
      CAPTURE(path);
      const std::string lit = lit_part(sheet::sketch_as_svg(kind, all, path, Words()));
      CHECK(lit.find(">" + its_own + "</text>") != std::string::npos);
      for (const auto& [other, its_letter] : letters) {
        CHECK((other == path || lit.find(">" + its_letter + "</text>") == std::string::npos));
      }
    }
  }
}

TEST_CASE("nothing in a picture can be taken for markup") {
  sheet::SvgCanvas canvas;
  canvas.text({0, 0}, sheet::Face::regular, 9, "</text><script>\"&'", 0);
  const std::string svg = sheet::svg(10, 10, "<b>", canvas.elements());
  CHECK(svg.find("<script") == std::string::npos);
  CHECK(svg.find("<b>") == std::string::npos);
  CHECK(svg.find("&lt;/text&gt;&lt;script&gt;&quot;&amp;") != std::string::npos);
}

TEST_CASE("hatching stays inside its area") {
  sheet::SvgCanvas canvas;
  canvas.hatch({10, 20, 30, 25}, 2, {});
  // Lines across, square to them, of x + y from 30 to 55: (55 - 30) / (2 * sqrt(2)) = 8.8.
  CHECK(canvas.elements().size() >= 8);
  CHECK(canvas.elements().size() <= 9);
  for (const std::string& line : canvas.elements()) {
    const auto figure = [&](const std::string& name) {
      return std::stod(line.substr(line.find(" " + name + "=\"") + name.size() + 3));
    };
    CAPTURE(line);
    for (const char* x : {"x1", "x2"}) {
      CHECK(figure(x) >= 10);
      CHECK(figure(x) <= 30);
    }
    for (const char* y : {"y1", "y2"}) {
      CHECK(figure(y) >= 20);
      CHECK(figure(y) <= 25);
    }
  }
}
