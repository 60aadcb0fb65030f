#include <fstream>
#include <iostream>
#include <string>

#include <hpdf.h>

// bare_sheet REGULAR.ttf BOLD.ttf OUT.pdf < TEXT
//
// Nothing but the PDF library: one A4 page with the lines of a text in the two fonts of the sheet,
// a rule under each tenth line.

namespace {

constexpr float left_pt = 40;
constexpr float top_pt = 810;
constexpr float leading_pt = 9;
constexpr float size_pt = 8;

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::cerr << "bare_sheet REGULAR.ttf BOLD.ttf OUT.pdf < TEXT\n";
    return 2;
  }
  HPDF_Doc doc = HPDF_New(nullptr, nullptr);
  HPDF_UseUTFEncodings(doc);
  HPDF_SetCompressionMode(doc, HPDF_COMP_ALL);
  const char* const regular_name = HPDF_LoadTTFontFromFile(doc, argv[1], HPDF_TRUE);
  const char* const bold_name = HPDF_LoadTTFontFromFile(doc, argv[2], HPDF_TRUE);
  if (regular_name == nullptr || bold_name == nullptr) {
    std::cerr << "bare_sheet: a font cannot be read\n";
    return 2;
  }
  HPDF_Font regular = HPDF_GetFont(doc, regular_name, "UTF-8");
  HPDF_Font bold = HPDF_GetFont(doc, bold_name, "UTF-8");
  HPDF_Page page = HPDF_AddPage(doc);
  HPDF_Page_SetSize(page, HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
  int number = 0;
  for (std::string line; std::getline(std::cin, line); ++number) {
    const float y = top_pt - leading_pt * static_cast<float>(number % 88);
    HPDF_Page_BeginText(page);
    HPDF_Page_SetFontAndSize(page, number % 5 == 0 ? bold : regular, size_pt);
    HPDF_Page_TextOut(page, left_pt, y, line.c_str());
    HPDF_Page_EndText(page);
    if (number % 10 == 0) {
      HPDF_Page_MoveTo(page, left_pt, y - 2);
      HPDF_Page_LineTo(page, 555, y - 2);
      HPDF_Page_Stroke(page);
    }
  }
  const bool saved = HPDF_SaveToFile(doc, argv[3]) == HPDF_OK;
  HPDF_Free(doc);
  return saved ? 0 : 2;
}
