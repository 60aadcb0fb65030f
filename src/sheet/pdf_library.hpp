#pragma once

#include <map>
#include <memory>
#include <string_view>
#include <type_traits>

#include <hpdf.h>

/// libharu as the canvas needs it: errors that reach C++ as Trouble, and what has no public call.
namespace kerfmark::sheet {

/// A document of the library with its errors. C calls our handler, and no exception may pass
/// through C: the handler keeps the first error, and whoever called looks for it by check or made.
class PdfDocument {
 public:
  PdfDocument();

  [[nodiscard]] HPDF_Doc get() const { return document_.get(); }

  /// Throws Trouble when this call, or one before it, went wrong. The handler is not called for
  /// every error and not every error shows in a status, so both are looked at.
  void check(HPDF_STATUS status) const;

  /// What a call gave; throws Trouble when it gave nothing or went wrong.
  template <class Pointer>
  requires std::is_pointer_v<Pointer> Pointer checked(Pointer pointer)
  const {
    check(pointer != nullptr ? HPDF_OK : unknown_error());
    return pointer;
  }

 private:
  struct FirstError {
    HPDF_STATUS error = HPDF_OK;
    HPDF_STATUS detail = 0;
  };
  struct Free {
    void operator()(HPDF_Doc document) const { HPDF_Free(document); }
  };

  static void keep_first(HPDF_STATUS error, HPDF_STATUS detail, void* first);
  [[nodiscard]] HPDF_STATUS unknown_error() const;

  std::unique_ptr<FirstError> first_;  // outlives the document, which holds its address
  std::unique_ptr<HPDF_Doc_Rec, Free> document_;
};

/// The language of the document, a tag of BCP 47.
void set_language(const PdfDocument& document, std::string_view language);

/// A TrueType font out of memory, of which only what is printed is embedded, for texts in UTF-8.
/// The tag is six capitals.
[[nodiscard]] HPDF_Font load_font(const PdfDocument& document, std::string_view file,
                                  std::string_view subset_tag);

/// Lists the widths of the characters that are printed. The library lists every character that the
/// font file has, seven kilobytes a face that it does not compress; these suffice (ISO 32000-1,
/// 9.7.4.3).
void list_widths(const PdfDocument& document, HPDF_Font font,
                 const std::map<char32_t, int>& thousandths_of_em);

/// Says which character each code of the font stands for, so that text can be copied and searched.
/// The map that the library writes has an operator that belongs to other maps (begincidrange):
/// readers complain of it.
void map_to_unicode(const PdfDocument& document, HPDF_Font font,
                    const std::map<char32_t, int>& printed);

}  // namespace kerfmark::sheet
