#include "lacking.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

namespace kerfmark::sheet {
namespace {

// More of one text than this are counted: a whole text in another script names itself by its first.
constexpr std::size_t most_named = 12;

struct Script {
  char32_t first, last;
  std::string_view name;  // its word's key below sheet.page.script
};

// From the Unicode Standard, Blocks.txt, neighbours of one script joined.
constexpr auto scripts = std::to_array<Script>({
    {0x0300, 0x036F, "mark"},         {0x0530, 0x058F, "armenian"},
    {0x0590, 0x05FF, "hebrew"},       {0x0600, 0x06FF, "arabic"},
    {0x0700, 0x074F, "syriac"},       {0x0750, 0x077F, "arabic"},
    {0x0900, 0x097F, "devanagari"},   {0x0980, 0x09FF, "bengali"},
    {0x0B80, 0x0BFF, "tamil"},        {0x0E00, 0x0E7F, "thai"},
    {0x10A0, 0x10FF, "georgian"},     {0x1100, 0x11FF, "hangul"},
    {0x2600, 0x27BF, "symbol"},       {0x3000, 0x303F, "cjk_punctuation"},
    {0x3040, 0x309F, "hiragana"},     {0x30A0, 0x30FF, "katakana"},
    {0x3400, 0x4DBF, "chinese"},      {0x4E00, 0x9FFF, "chinese"},
    {0xAC00, 0xD7AF, "hangul"},       {0xFB1D, 0xFB4F, "hebrew"},
    {0xFB50, 0xFDFF, "arabic"},       {0xFE70, 0xFEFF, "arabic"},
    {0x1F300, 0x1FAFF, "pictograph"}, {0x20000, 0x2FA1F, "chinese"},
});

std::string named(char32_t point, const text::Words& words) {
  std::array<char, 8> buffer{};
  const auto end =
      std::to_chars(buffer.data(), buffer.data() + buffer.size(), std::uint32_t{point}, 16).ptr;
  std::string hex(buffer.data(), end);
  std::transform(hex.begin(), hex.end(), hex.begin(),
                 [](char c) { return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c; });
  std::string name = "U+" + std::string(hex.size() < 4 ? 4 - hex.size() : 0, '0') + hex;
  const auto script = std::find_if(scripts.begin(), scripts.end(), [&](const Script& s) {
    return s.first <= point && point <= s.last;
  });
  return script == scripts.end()
             ? name
             : name + " (" + words.at("sheet.page.script." + std::string(script->name)) + ")";
}

// Looks at text after text.
class UnprintableTexts {
 public:
  explicit UnprintableTexts(const text::Words& words) : words_(words) {}

  void check(const std::string& key, std::string_view text) {
    const std::vector<char32_t> points = PdfCanvas::unprintable(text);
    if (points.empty()) {
      return;
    }
    std::string list;
    const std::size_t shown = std::min(points.size(), most_named);
    for (std::size_t i = 0; i < shown; ++i) {
      list += (i == 0 ? "" : ", ") + named(points[i], words_);
    }
    if (points.size() > shown) {
      list = words_.say("sheet.page.and_more",
                        {{"list", list}, {"count", std::to_string(points.size() - shown)}});
    }
    found.push_back(key + ": " + list);
  }

  std::vector<std::string> found;

 private:
  const text::Words& words_;
};

}  // namespace

std::vector<std::string> lacking_in_names(const std::string& key,
                                          const std::vector<std::string>& names,
                                          const text::Words& words) {
  UnprintableTexts texts(words);
  for (std::size_t i = 0; i < names.size(); ++i) {
    texts.check(key + "-" + std::to_string(i + 1) + ".name", names[i]);
  }
  return texts.found;
}

std::vector<std::string> lacking_characters(const plan::Job& job, const SheetOptions& options) {
  UnprintableTexts texts(options.words);
  const plan::Paperwork& p = job.paperwork;
  texts.check("job.number", p.number);
  texts.check("job.bike", p.bike);
  texts.check("job.owner", p.owner);
  texts.check("job.by", p.by);
  texts.check("job.checked_by", p.checked_by);
  texts.check("job.date", p.date);
  texts.check("job.notes", p.notes);
  for (std::size_t i = 0; i < job.frame.blockages.size(); ++i) {
    texts.check("frame.blockage-" + std::to_string(i + 1) + ".what", job.frame.blockages[i].what);
  }
  const Letterhead& shop = options.shop;
  texts.check("shop.name", shop.name);
  texts.check("shop.line", shop.line);
  for (std::size_t i = 0; i < shop.steps.size(); ++i) {
    texts.check("shop.steps-" + std::to_string(i + 1), shop.steps[i]);
  }
  for (std::size_t i = 0; i < shop.notes.size(); ++i) {
    texts.check("shop.notes-" + std::to_string(i + 1), shop.notes[i]);
  }
  return texts.found;
}

}  // namespace kerfmark::sheet
