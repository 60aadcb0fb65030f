#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <string_view>

#include "kerfmark/sheet/pdf_canvas.hpp"
#include "kerfmark/trouble.hpp"

// glyph_page FACE FONT.ttf OUT.pdf < TEXT
//
// Prints one character a cell, for the test tests/sheet/glyphs, which knows the same grid. It is
// laid out in the pixels of a raster of 144 to the inch. FACE is regular or bold; TEXT has one
// character a line.

namespace {

namespace sheet = kerfmark::sheet;

constexpr double mm_in_pixel = 25.4 / 144;
constexpr double points_in_pixel = 72.0 / 144;
constexpr int cell_width_px = 160;
constexpr int cell_height_px = 112;
constexpr int pen_x_px = 60;  // where a character starts in its cell, from its upper left corner
constexpr int pen_y_px = 72;
constexpr int size_px = 48;
constexpr int columns = 7;
constexpr int rows = 14;

std::string whole_file(const char* path) {
  const std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  return bytes.str();
}

int print(std::string_view face_name, const char* font_path, const char* out_path) {
  const std::string font = whole_file(font_path);
  if (font.empty()) {
    std::cerr << "glyph_page: cannot read " << font_path << '\n';
    return 2;
  }
  const auto face = face_name == "bold" ? sheet::Face::bold : sheet::Face::regular;
  sheet::PdfCanvas canvas("Glyphs", "en", {font, font});
  canvas.start_page(sheet::a4);
  std::string character;
  int cell = 0;
  while (std::getline(std::cin, character)) {
    if (cell == columns * rows) {
      std::cerr << "glyph_page: no cell for " << character << '\n';
      return 2;
    }
    const int x_px = cell % columns * cell_width_px + pen_x_px;
    const int y_px = cell / columns * cell_height_px + pen_y_px;
    canvas.text({x_px * mm_in_pixel, y_px * mm_in_pixel}, face, size_px * points_in_pixel,
                character);
    ++cell;
  }
  std::ofstream out(out_path, std::ios::binary);
  out << canvas.bytes();
  out.close();
  return out ? 0 : 2;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::cerr << "glyph_page FACE FONT.ttf OUT.pdf < TEXT\n";
    return 2;
  }
  try {
    return print(argv[1], argv[2], argv[3]);
  } catch (const kerfmark::Trouble& trouble) {
    std::cerr << "glyph_page: " << trouble.what() << '\n';
    return 2;
  }
}
