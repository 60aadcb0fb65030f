#pragma once

#include <optional>
#include <string>
#include <vector>

#include "kerfmark/job/shop.hpp"
#include "kerfmark/sheet/sheet.hpp"

/// Which shop file counts, and what a sheet is printed with.
namespace kerfmark::cli {

/// As typed; empty: not given.
struct SheetFlags {
  std::string paper, language, shop;
};

/// What is wrong with them, one complaint a line. They are about a sheet: without one they are
/// wrong.
[[nodiscard]] std::string complaints_about(const SheetFlags& flags, bool prints_a_sheet);

/// A shop file as it was read.
struct ShopFile {
  std::string path;  ///< empty: there is none, and nothing is the shop's own
  std::string text;
  job::Shop shop;
};

/// The shop file that counts: the one of the flag, else of KERFMARK_SHOP, else
/// kerfmark/shop.toml in the user's configuration folder, if it is there. Nothing where it is
/// wrong; standard error says what is. Throws Trouble where it cannot be read.
[[nodiscard]] std::optional<ShopFile> find_shop(const std::string& flag);

/// Where the shop keeps its register; empty: the shop file does not say.
[[nodiscard]] std::string register_of(const ShopFile& file);

/// What a sheet is printed on and in which language: as the flags say, else as the shop says, else
/// A4 and English.
struct SheetChoice {
  job::PaperSize paper = job::PaperSize::a4;
  std::string language;
};
/// Flags must have passed complaints_about().
[[nodiscard]] SheetChoice sheet_choice(const SheetFlags& flags, const job::Shop& shop);

/// Words of the language with the shop's own texts in it, where they are of that language; paper
/// and letterhead. Digest and record are left to the caller.
[[nodiscard]] sheet::SheetOptions sheet_options(const SheetChoice& choice, const job::Shop& shop);

/// A caution where the shop's own texts stay out of a sheet in another language.
[[nodiscard]] std::vector<std::string> texts_left_out(const SheetChoice& choice,
                                                      const ShopFile& file);

/// And one for each text with characters that the fonts lack.
[[nodiscard]] std::vector<std::string> texts_not_printable(const ShopFile& file);

/// The same for a shop file that was read, with a word on standard error on texts that are left out
/// or cannot be printed.
[[nodiscard]] sheet::SheetOptions options_for(const SheetFlags& flags, const ShopFile& file);

/// All of the above for one run: the shop file that counts, with a word on standard error on
/// texts that are left out or cannot be printed. Nothing where the shop file is wrong.
[[nodiscard]] std::optional<sheet::SheetOptions> options_for(const SheetFlags& flags);

}  // namespace kerfmark::cli
