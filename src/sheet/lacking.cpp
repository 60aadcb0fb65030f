#include "lacking.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

#include "kerfmark/report/wording.hpp"
#include "kerfmark/sheet/pdf_canvas.hpp"

namespace kerfmark::sheet {
namespace {

// More of one text than this are counted: a whole text in another script names itself by its first.
constexpr std::size_t most_named = 12;

struct Script {
  char32_t first, last;
  std::string_view name;
};

// From the Unicode Standard, Blocks.txt, neighbours of one script joined.
constexpr auto scripts = std::to_array<Script>({
    {0x0300, 0x036F, "combining mark"},
    {0x0530, 0x058F, "Armenian"},
    {0x0590, 0x05FF, "Hebrew"},
    {0x0600, 0x06FF, "Arabic"},
    {0x0700, 0x074F, "Syriac"},
    {0x0750, 0x077F, "Arabic"},
    {0x0900, 0x097F, "Devanagari"},
    {0x0980, 0x09FF, "Bengali"},
    {0x0B80, 0x0BFF, "Tamil"},
    {0x0E00, 0x0E7F, "Thai"},
    {0x10A0, 0x10FF, "Georgian"},
    {0x1100, 0x11FF, "Hangul"},
    {0x2600, 0x27BF, "symbol"},
    {0x3000, 0x303F, "Chinese, Japanese or Korean punctuation"},
    {0x3040, 0x309F, "Hiragana"},
    {0x30A0, 0x30FF, "Katakana"},
    {0x3400, 0x4DBF, "Chinese character"},
    {0x4E00, 0x9FFF, "Chinese character"},
    {0xAC00, 0xD7AF, "Hangul"},
    {0xFB1D, 0xFB4F, "Hebrew"},
    {0xFB50, 0xFDFF, "Arabic"},
    {0xFE70, 0xFEFF, "Arabic"},
    {0x1F300, 0x1FAFF, "pictograph"},
    {0x20000, 0x2FA1F, "Chinese character"},
});

std::string named(char32_t point) {
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
  return script == scripts.end() ? name : name + " (" + std::string(script->name) + ")";
}

void look_at(std::string_view key, std::string_view text, std::vector<std::string>& found) {
  const std::vector<char32_t> points = PdfCanvas::unprintable(text);
  if (points.empty()) {
    return;
  }
  std::string sentence = std::string(key) + ": ";
  const std::size_t shown = std::min(points.size(), most_named);
  for (std::size_t i = 0; i < shown; ++i) {
    sentence += (i == 0 ? "" : ", ") + named(points[i]);
  }
  if (points.size() > shown) {
    sentence += " and " + std::to_string(points.size() - shown) + " more";
  }
  found.push_back(std::move(sentence));
}

}  // namespace

std::vector<std::string> lacking_characters(const plan::Job& job) {
  std::vector<std::string> found;
  const plan::Paperwork& p = job.paperwork;
  look_at("job.number", p.number, found);
  look_at("job.bike", p.bike, found);
  look_at("job.owner", p.owner, found);
  look_at("job.by", p.by, found);
  look_at("job.checked_by", p.checked_by, found);
  look_at("job.date", p.date, found);
  look_at("job.notes", p.notes, found);
  for (std::size_t i = 0; i < job.frame.blockages.size(); ++i) {
    look_at("frame.blockage-" + std::to_string(i + 1) + ".what", job.frame.blockages[i].what,
            found);
  }
  return found;
}

}  // namespace kerfmark::sheet
