#pragma once

#include <string>
#include <string_view>
#include <variant>

#include <toml++/toml.h>

namespace kerfmark::job {

/// Where a text stops being TOML, and what the parser says of it.
struct NotToml {
  toml::source_position begin;
  std::string description;
};

/// The table of a text. toml++ throws where it may, and gives a result where exceptions are
/// switched off, as on the page: this is the one place that knows.
[[nodiscard]] inline std::variant<toml::table, NotToml> table_of(std::string_view text) {
#if TOML_EXCEPTIONS
  try {
    return toml::parse(text);
  } catch (const toml::parse_error& error) {
    return NotToml{error.source().begin, std::string(error.description())};
  }
#else
  toml::parse_result result = toml::parse(text);
  if (!result) {
    return NotToml{result.error().source().begin, std::string(result.error().description())};
  }
  return std::move(result).table();
#endif
}

/// A text as TOML wants it: in double quotes, with escapes for what cannot stand in them.
[[nodiscard]] std::string quoted_text(std::string_view text);

/// The other way round: keys in alphabetical order, lines short enough to be read again. Times of
/// day have no form here.
[[nodiscard]] std::string text_of(const toml::table& root);

}  // namespace kerfmark::job
