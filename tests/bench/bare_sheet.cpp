#include <iostream>
#include <string>

#include <hpdf.h>

// bare_sheet REGULAR.ttf BOLD.ttf RULES OUT.pdf < TEXT
//
// Nothing but the PDF library: the lines of a text in the two fonts of the sheet, a new A4 page at
// each form feed, and on every page so many rules. What a sheet costs beyond it is ours.

namespace {

constexpr float left_pt = 40;
constexpr float right_pt = 555;
constexpr float top_pt = 810;
constexpr float leading_pt = 9;
constexpr float size_pt = 8;
constexpr int lines_on_page = 88;
constexpr float between_rules_pt = 3;
constexpr int rules_in_column = 250;

struct Pen {
  HPDF_Doc doc;
  HPDF_Font regular, bold;
  HPDF_Page page = nullptr;
  int number = 0;
};

void start_page(Pen& pen, int rules) {
  pen.page = HPDF_AddPage(pen.doc);
  HPDF_Page_SetSize(pen.page, HPDF_PAGE_SIZE_A4, HPDF_PAGE_PORTRAIT);
  HPDF_Page_SetLineWidth(pen.page, 0.5F);
  for (int i = 0; i < rules; ++i) {
    const float y = top_pt - between_rules_pt * static_cast<float>(i % rules_in_column);
    HPDF_Page_MoveTo(pen.page, left_pt, y);
    HPDF_Page_LineTo(pen.page, right_pt, y);
    HPDF_Page_Stroke(pen.page);
  }
  pen.number = 0;
}

void print(Pen& pen, const std::string& line) {
  const float y = top_pt - leading_pt * static_cast<float>(pen.number % lines_on_page);
  HPDF_Page_BeginText(pen.page);
  HPDF_Page_SetFontAndSize(pen.page, pen.number % 5 == 0 ? pen.bold : pen.regular, size_pt);
  HPDF_Page_TextOut(pen.page, left_pt, y, line.c_str());
  HPDF_Page_EndText(pen.page);
  ++pen.number;
}

int whole_number(const std::string& text) {
  int value = 0;
  for (const char digit : text) {
    value = 10 * value + (digit - '0');
  }
  return value;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) {
    std::cerr << "bare_sheet REGULAR.ttf BOLD.ttf RULES OUT.pdf < TEXT\n";
    return 2;
  }
  HPDF_Doc doc = HPDF_New(nullptr, nullptr);
  HPDF_UseUTFEncodings(doc);
  HPDF_SetCompressionMode(doc, HPDF_COMP_ALL);
  const char* const regular = HPDF_LoadTTFontFromFile(doc, argv[1], HPDF_TRUE);
  const char* const bold = HPDF_LoadTTFontFromFile(doc, argv[2], HPDF_TRUE);
  if (regular == nullptr || bold == nullptr) {
    std::cerr << "bare_sheet: a font cannot be read\n";
    return 2;
  }
  const int rules = whole_number(argv[3]);
  Pen pen{doc, HPDF_GetFont(doc, regular, "UTF-8"), HPDF_GetFont(doc, bold, "UTF-8")};
  start_page(pen, rules);
  for (std::string line; std::getline(std::cin, line);) {
    if (line.starts_with('\f')) {
      if (std::cin.peek() == std::char_traits<char>::eof()) {
        break;
      }
      start_page(pen, rules);
      line.erase(0, 1);
    }
    print(pen, line);
  }
  const bool saved = HPDF_SaveToFile(doc, argv[4]) == HPDF_OK;
  HPDF_Free(doc);
  return saved ? 0 : 2;
}
