#include "kerfmark/text/printable.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>

#include <utf8proc.h>

namespace kerfmark::text {
namespace {

constexpr utf8proc_int32_t replacement = 0xFFFD;
constexpr utf8proc_int32_t broken = -1;

std::string encoded(utf8proc_int32_t character) {
  std::array<utf8proc_uint8_t, 4> bytes{};
  const auto length = utf8proc_encode_char(character, bytes.data());
  std::string text;
  for (std::size_t i = 0; i < static_cast<std::size_t>(length); ++i) {
    text += static_cast<char>(bytes[i]);
  }
  return text;
}

// Calls `with(character, its bytes)` one by one; a byte that is no UTF-8 comes as `broken`.
void each(std::string_view utf8, auto&& with) {
  const std::vector<utf8proc_uint8_t> bytes(utf8.begin(), utf8.end());
  std::size_t at = 0;
  while (at < bytes.size()) {
    utf8proc_int32_t character = broken;
    const auto left = static_cast<utf8proc_ssize_t>(bytes.size() - at);
    const auto length = utf8proc_iterate(&bytes[at], left, &character);
    const std::size_t used = length > 0 ? static_cast<std::size_t>(length) : 1;
    with(length > 0 ? character : broken, utf8.substr(at, used));
    at += used;
  }
}

// Control characters have pictures of their own from U+2400.
utf8proc_int32_t harmless_character(utf8proc_int32_t character) {
  constexpr utf8proc_int32_t pictures = 0x2400;
  constexpr utf8proc_int32_t delete_character = 0x7F;
  constexpr utf8proc_int32_t delete_picture = 0x2421;
  if (character == broken) {
    return replacement;
  }
  if (character < ' ') {
    return pictures + character;
  }
  if (character == delete_character) {
    return delete_picture;
  }
  constexpr auto unseen = std::to_array({
      UTF8PROC_CATEGORY_CC,
      UTF8PROC_CATEGORY_CF,  // direction of writing, invisible joiners
      UTF8PROC_CATEGORY_CS,
      UTF8PROC_CATEGORY_ZL,
      UTF8PROC_CATEGORY_ZP,
  });
  const auto category = utf8proc_category(character);
  return std::ranges::find(unseen, category) == unseen.end() ? character : replacement;
}

struct Spelling {
  std::string_view sign;
  std::string_view ascii;
};

constexpr auto spellings = std::to_array<Spelling>({
    {"±", "+-"},  {"×", "x"},  {"°", " deg"}, {"Ø", "O"},  {"–", "-"},  {"—", "-"},    {"−", "-"},
    {"…", "..."}, {"≥", ">="}, {"≤", "<="},   {"’", "'"},  {"“", "\""}, {"”", "\""},   {"ß", "ss"},
    {"Æ", "AE"},  {"æ", "ae"}, {"ø", "o"},    {"Œ", "OE"}, {"œ", "oe"}, {"√", "sqrt"},
});

std::string decomposed(const std::string& utf8) {
  utf8proc_uint8_t* parts = nullptr;
  const std::vector<utf8proc_uint8_t> bytes(utf8.begin(), utf8.end());
  const auto options =
      static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_DECOMPOSE | UTF8PROC_COMPAT);
  const auto size =
      utf8proc_map(bytes.data(), static_cast<utf8proc_ssize_t>(bytes.size()), &parts, options);
  const std::unique_ptr<utf8proc_uint8_t, decltype(&std::free)> owner(parts, &std::free);
  return size < 0 ? utf8 : std::string(parts, parts + size);
}

}  // namespace

std::vector<Character> characters_of(std::string_view utf8) {
  std::vector<Character> characters;
  each(utf8, [&](utf8proc_int32_t character, std::string_view) {
    if (character == '\t') {
      characters.push_back({"\t", 1});
      return;
    }
    const auto shown = harmless_character(character);
    const int width = std::max(0, utf8proc_charwidth(shown));
    characters.push_back({encoded(shown), static_cast<std::size_t>(width)});
  });
  return characters;
}

std::u32string code_points(std::string_view utf8) {
  std::u32string points;
  each(utf8, [&](utf8proc_int32_t character, std::string_view) {
    points += static_cast<char32_t>(character == broken ? replacement : character);
  });
  return points;
}

std::string harmless(std::string_view utf8) {
  std::string shown;
  for (const Character& character : characters_of(utf8)) {
    shown += character.shown == "\t" ? std::string(" ") : character.shown;
  }
  return shown;
}

namespace {

// ECMA-48 8.3.117, select graphic rendition: bold, and bold in a colour, and back.
constexpr auto renditions = std::to_array<std::string_view>(
    {"\x1b[1m", "\x1b[1;31m", "\x1b[1;32m", "\x1b[1;33m", "\x1b[0m"});

std::string_view rendition_at_start(std::string_view utf8) {
  const auto found = std::ranges::find_if(
      renditions, [&](std::string_view rendition) { return utf8.starts_with(rendition); });
  return found == renditions.end() ? std::string_view{} : *found;
}

}  // namespace

std::string harmless_lines(std::string_view utf8, Colours colours) {
  if (std::ranges::all_of(utf8, [](char c) { return (c >= ' ' && c <= '~') || c == '\n'; })) {
    return std::string(utf8);
  }
  std::string shown;
  std::size_t start = 0;
  std::size_t at = 0;
  const auto keep = [&](std::string_view kept) {
    shown += harmless(utf8.substr(start, at - start));
    shown += kept;
    at += kept.size();
    start = at;
  };
  while (at < utf8.size()) {
    const std::string_view rendition =
        colours == Colours::of_reports ? rendition_at_start(utf8.substr(at)) : std::string_view{};
    if (!rendition.empty()) {
      keep(rendition);
    } else if (utf8[at] == '\n' || utf8[at] == '\t') {
      keep(utf8.substr(at, 1));
    } else {
      ++at;
    }
  }
  keep({});
  return shown;
}

std::size_t cells(std::string_view utf8) {
  // Most text is plain, and all of a report is measured.
  if (std::ranges::all_of(utf8, [](char c) { return c >= ' ' && c <= '~'; })) {
    return utf8.size();
  }
  std::size_t sum = 0;
  for (const Character& character : characters_of(utf8)) {
    sum += character.cells;
  }
  return sum;
}

std::string in_ascii(std::string_view utf8) {
  std::string spelt;
  each(utf8, [&](utf8proc_int32_t, std::string_view bytes) {
    const auto found = std::ranges::find(spellings, bytes, &Spelling::sign);
    spelt += found == spellings.end() ? bytes : found->ascii;
  });
  std::string out;
  each(decomposed(spelt), [&](utf8proc_int32_t character, std::string_view bytes) {
    constexpr utf8proc_int32_t first_beyond_ascii = 0x80;
    if (character >= 0 && character < first_beyond_ascii) {
      out += bytes;
    } else if (character == broken || utf8proc_charwidth(character) > 0) {
      out += '?';
    }
  });
  return out;
}

}  // namespace kerfmark::text
