#include "shop.hpp"

#include <algorithm>
#include <filesystem>
#include <string_view>

#include "environment.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/job/nearest.hpp"
#include "kerfmark/job/reader.hpp"
#include "kerfmark/register/register.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/text/words.hpp"
#include "known_words.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;

// The first is the program's own language, of the shop's texts too where it names no other.
std::string language_of(const job::Shop& shop) {
  return shop.language.empty() ? std::string(text::languages().front()) : shop.language;
}

std::string complaint_unless_known(std::string_view what, const std::string& word,
                                   std::span<const std::string_view> known) {
  return word.empty() || job::place_of_word(word, known) ? std::string{}
                                                         : unknown_word(what, word, known);
}

// By the XDG Base Directory Specification 0.8: $XDG_CONFIG_HOME, if it is an absolute path, else
// ~/.config. Empty: no home.
fs::path configuration_folder() {
  fs::path given(environment("XDG_CONFIG_HOME"));
  if (given.is_absolute()) {
    return given;
  }
  const fs::path home(environment("HOME"));
  return home.is_absolute() ? home / ".config" : fs::path{};
}

// A file that is not there, or in a folder that this user may not look into, is none; one that is
// there and cannot be read is trouble, as its steps and notes would be missing without a word.
std::string shop_of_user() {
  const fs::path folder = configuration_folder();
  if (folder.empty()) {
    return {};
  }
  const fs::path path = folder / "kerfmark" / "shop.toml";
  std::error_code error;
  return fs::exists(fs::symlink_status(path, error)) ? path.string() : std::string{};
}

std::string path_of_shop(const std::string& flag) {
  if (!flag.empty()) {
    return flag;
  }
  const std::string_view variable = environment("KERFMARK_SHOP");
  return variable.empty() ? shop_of_user() : std::string(variable);
}

sheet::Paper paper_of(job::PaperSize size) {
  switch (size) {
    case job::PaperSize::a4:
      return sheet::a4;
    case job::PaperSize::letter:
      return sheet::letter;
  }
  return sheet::a4;
}

}  // namespace

std::string complaints_about(const SheetFlags& flags, bool prints_a_sheet) {
  std::string complaints = complaint_unless_known("paper", flags.paper, job::paper_words()) +
                           complaint_unless_known("language", flags.language, text::languages());
  const bool any = !flags.paper.empty() || !flags.language.empty() || !flags.shop.empty();
  if (any && !prints_a_sheet) {
    complaints += std::string(flags.shop.empty() ? "--paper and --language"
                                                 : "--paper, --language and --shop") +
                  " are about a sheet: give --sheet too\n";
  }
  return complaints;
}

std::optional<ShopFile> find_shop(const std::string& flag) {
  ShopFile file;
  file.path = path_of_shop(flag);
  if (file.path.empty()) {
    return file;
  }
  file.text = read_whole(file.path, job::most_bytes);
  auto [shop, findings, left_out] = job::read_shop(file.text, file.path);
  say(job::with_source_lines(findings, left_out, file.text));
  if (!shop) {
    return std::nullopt;
  }
  file.shop = std::move(*shop);
  return file;
}

std::string register_of(const ShopFile& file) {
  if (file.shop.register_file.empty() || records::is_on_server(file.shop.register_file)) {
    return file.shop.register_file;
  }
  return (fs::path(file.path).parent_path() / file.shop.register_file).string();
}

SheetChoice sheet_choice(const SheetFlags& flags, const job::Shop& shop) {
  SheetChoice choice{shop.paper.value_or(job::PaperSize::a4), language_of(shop)};
  if (const auto paper = job::place_of_word(flags.paper, job::paper_words())) {
    choice.paper = static_cast<job::PaperSize>(*paper);
  }
  if (const auto language = job::place_of_word(flags.language, text::languages())) {
    choice.language = text::languages()[*language];
  }
  return choice;
}

sheet::SheetOptions sheet_options(const SheetChoice& choice, const job::Shop& shop) {
  sheet::SheetOptions options{.paper = paper_of(choice.paper),
                              .words = text::words_in(choice.language),
                              .shop = {shop.name, shop.line, shop.steps, shop.notes},
                              .digest = {},
                              .record = {}};
  if (choice.language == language_of(shop)) {
    for (const auto& [key, text] : shop.texts) {
      options.words.replace(key, text::harmless(text));
    }
  }
  return options;
}

std::vector<std::string> texts_left_out(const SheetChoice& choice, const ShopFile& file) {
  if (file.shop.texts.empty() || choice.language == language_of(file.shop)) {
    return {};
  }
  return {"texts: are in the language \"" + language_of(file.shop) +
          "\" and stay out of a sheet in \"" + choice.language + "\""};
}

std::vector<std::string> texts_not_printable(const ShopFile& file) {
  std::vector<std::string> cautions;
  for (const auto& [key, text] : file.shop.texts) {
    if (!sheet::PdfCanvas::unprintable(text).empty()) {
      cautions.push_back("texts." + key +
                         ": has characters that cannot be printed on the sheet; write it in Latin, "
                         "Greek or Cyrillic letters");
    }
  }
  return cautions;
}

sheet::SheetOptions options_for(const SheetFlags& flags, const ShopFile& file) {
  const SheetChoice choice = sheet_choice(flags, file.shop);
  say_cautions(file.path, texts_left_out(choice, file));
  say_cautions(file.path, texts_not_printable(file));
  return sheet_options(choice, file.shop);
}

std::optional<sheet::SheetOptions> options_for(const SheetFlags& flags) {
  const auto file = find_shop(flags.shop);
  return file ? std::optional(options_for(flags, *file)) : std::nullopt;
}

}  // namespace kerfmark::cli
