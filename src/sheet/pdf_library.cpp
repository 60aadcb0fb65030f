#include "pdf_library.hpp"

#include <algorithm>
#include <cstddef>
#include <new>
#include <string>

#include <hpdf_doc.h>

#include "kerfmark/measure/invariant.hpp"
#include "kerfmark/trouble.hpp"

// What has no public call reaches into the library, whose insides change from version to version:
// here and nowhere else. They are known from 2.3.0 to 2.4; a newer one must be looked at first.
#if HPDF_VERSION_ID < 20300 || HPDF_VERSION_ID >= 20500
#error "libharu 2.3 or 2.4 is wanted: the functions below use its insides"
#endif

namespace kerfmark::sheet {
namespace {

// The library does not look everywhere whether it was given memory. A sheet takes some 3 MB of it;
// where there is not twice as much and more, none is begun.
void need_memory() {
  constexpr std::size_t enough = std::size_t{8} * 1024 * 1024;
  ::operator delete(::operator new(enough));
}

}  // namespace

PdfDocument::PdfDocument()
    : first_((need_memory(), std::make_unique<FirstError>())),
      document_(HPDF_New(keep_first, first_.get())) {
  checked(document_.get());
}

// Called from C code.
void PdfDocument::keep_first(HPDF_STATUS error, HPDF_STATUS detail, void* first) {
  auto* kept = static_cast<FirstError*>(first);
  if (kept->error == HPDF_OK) {
    *kept = {error, detail};
  }
}

// Nothing came, and nobody said why: only a lack of memory is that quiet.
HPDF_STATUS PdfDocument::unknown_error() const {
  const HPDF_STATUS known = document_ ? HPDF_GetError(document_.get()) : HPDF_OK;
  return known != HPDF_OK ? known : HPDF_FAILD_TO_ALLOC_MEM;
}

void PdfDocument::check(HPDF_STATUS status) const {
  const HPDF_STATUS error = first_->error != HPDF_OK ? first_->error : status;
  if (error == HPDF_OK) {
    return;
  }
  if (error == HPDF_FAILD_TO_ALLOC_MEM) {
    fail_with("make", "the PDF", "not enough memory");
  }
  fail_with("make", "the PDF",
            "libharu gave error " + std::to_string(error) + ", detail " +
                std::to_string(first_->error != HPDF_OK ? first_->detail : 0));
}

void set_language(const PdfDocument& document, std::string_view language) {
  HPDF_Doc pdf = document.get();
  const std::string tag(language);
  document.check(HPDF_Dict_Add(pdf->catalog, "Lang",
                               document.checked(HPDF_String_New(pdf->mmgr, tag.c_str(), nullptr))));
}

#if HPDF_VERSION_ID >= 20405

// The tag is the library's own there.
HPDF_Font load_font(const PdfDocument& document, std::string_view file,
                    std::string_view /*subset_tag*/) {
  const char* name = document.checked(
      HPDF_LoadTTFontFromMemory(document.get(), reinterpret_cast<const HPDF_BYTE*>(file.data()),
                                static_cast<HPDF_UINT>(file.size()), HPDF_TRUE));
  return document.checked(HPDF_GetFont(document.get(), name, "UTF-8"));
}

#else

HPDF_Font load_font(const PdfDocument& document, std::string_view file,
                    std::string_view subset_tag) {
  struct FreeStream {
    void operator()(HPDF_Stream stream) const { HPDF_Stream_Free(stream); }
  };
  HPDF_Doc pdf = document.get();
  std::unique_ptr<HPDF_Stream_Rec, FreeStream> stream(
      document.checked(HPDF_MemStream_New(pdf->mmgr, static_cast<HPDF_UINT>(file.size()))));
  document.check(HPDF_Stream_Write(stream.get(), reinterpret_cast<const HPDF_BYTE*>(file.data()),
                                   static_cast<HPDF_UINT>(file.size())));
  // From here on the font definition owns the stream, and frees it when it fails.
  HPDF_FontDef definition =
      document.checked(HPDF_TTFontDef_Load(pdf->mmgr, stream.release(), HPDF_TRUE));
  document.check(HPDF_Doc_RegisterFontDef(pdf, definition));
  std::string tag(subset_tag);
  HPDF_TTFontDef_SetTagName(definition, tag.data());
  return document.checked(HPDF_GetFont(pdf, definition->base_font, "UTF-8"));
}

#endif

void list_widths(const PdfDocument& document, HPDF_Font font,
                 const std::map<char32_t, int>& thousandths_of_em) {
  auto* descendants = document.checked(
      static_cast<HPDF_Array>(HPDF_Dict_GetItem(font, "DescendantFonts", HPDF_OCLASS_ARRAY)));
  auto* cid_font = document.checked(
      static_cast<HPDF_Dict>(HPDF_Array_GetItem(descendants, 0, HPDF_OCLASS_DICT)));
  auto* widths = document.checked(
      static_cast<HPDF_Array>(HPDF_Dict_GetItem(cid_font, "W", HPDF_OCLASS_ARRAY)));
  HPDF_Array_Clear(widths);
  HPDF_Array run = nullptr;
  char32_t next = 0;
  for (const auto& [point, width] : thousandths_of_em) {
    if (run == nullptr || point != next) {
      document.check(HPDF_Array_AddNumber(widths, static_cast<HPDF_INT32>(point)));
      run = document.checked(HPDF_Array_New(font->mmgr));
      document.check(HPDF_Array_Add(widths, run));
    }
    document.check(HPDF_Array_AddNumber(run, width));
    next = point + 1;
  }
}

namespace {

std::string four_hex_digits(char32_t point) {
  constexpr std::string_view digits = "0123456789ABCDEF";
  std::string text = "<";
  for (const unsigned shift : {12U, 8U, 4U, 0U}) {
    text += digits[(point >> shift) & 0xFU];
  }
  return text + ">";
}

// A ToUnicode CMap (ISO 32000-1, 9.10.3). Codes are UTF-16 of the basic plane, so each stands for
// itself.
std::string unicode_map(const std::map<char32_t, int>& printed) {
  constexpr std::size_t most_in_block = 100;  // the same, 9.7.5.4 by Adobe's technical note 5014
  std::string map =
      "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
      "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
      "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
      "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n";
  std::size_t left = printed.size();
  std::size_t left_in_block = 0;
  for (const auto& [point, width] : printed) {
    if (left_in_block == 0) {
      left_in_block = std::min(left, most_in_block);
      map += std::to_string(left_in_block) + " beginbfchar\n";
    }
    map += four_hex_digits(point) + " " + four_hex_digits(point) + "\n";
    --left;
    if (--left_in_block == 0) {
      map += "endbfchar\n";
    }
  }
  return map + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n";
}

}  // namespace

void map_to_unicode(const PdfDocument& document, HPDF_Font font,
                    const std::map<char32_t, int>& printed) {
  auto* entry = document.checked(
      static_cast<HPDF_Dict>(HPDF_Dict_GetItem(font, "ToUnicode", HPDF_OCLASS_DICT)));
  const std::string map = unicode_map(printed);
  HPDF_MemStream_FreeData(entry->stream);
  document.check(HPDF_Stream_Write(entry->stream, reinterpret_cast<const HPDF_BYTE*>(map.data()),
                                   static_cast<HPDF_UINT>(map.size())));
}

}  // namespace kerfmark::sheet
