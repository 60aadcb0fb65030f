#include "json_line.hpp"

#include <array>
#include <charconv>
#include <cmath>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::report {
namespace {

bool is_plain(char c) { return c >= ' ' && c <= '~' && c != '"' && c != '\\'; }

void append_unit(std::uint32_t unit, std::string& to) {
  constexpr std::string_view digits = "0123456789abcdef";
  to += "\\u";
  for (const unsigned shift : {12U, 8U, 4U, 0U}) {
    to += digits[(unit >> shift) & 0xFU];
  }
}

// RFC 8259, 7: a character beyond U+FFFF is a pair of surrogates.
void append_escaped(char32_t character, std::string& to) {
  constexpr auto short_forms =
      std::to_array<std::pair<char32_t, std::string_view>>({{'"', "\\\""},
                                                            {'\\', "\\\\"},
                                                            {'\b', "\\b"},
                                                            {'\f', "\\f"},
                                                            {'\n', "\\n"},
                                                            {'\r', "\\r"},
                                                            {'\t', "\\t"}});
  for (const auto& [plain, form] : short_forms) {
    if (character == plain) {
      to += form;
      return;
    }
  }
  constexpr std::uint32_t beyond = 0x10000;
  const auto code = static_cast<std::uint32_t>(character);
  if (code < beyond) {
    append_unit(code, to);
    return;
  }
  append_unit(0xD800U + ((code - beyond) >> 10U), to);
  append_unit(0xDC00U + ((code - beyond) & 0x3FFU), to);
}

}  // namespace

void append_nine_decimals(double value, std::string& to) {
  constexpr int places = 9;
  std::array<char, 400> buffer{};  // the largest double has 309 digits before its point
  char* const first = buffer.data();
  const char* end =
      std::to_chars(first, first + buffer.size(), value, std::chars_format::fixed, places).ptr;
  while (end[-1] == '0' && end[-2] != '.') {
    --end;
  }
  const std::string_view figure(first, static_cast<std::size_t>(end - first));
  to += figure == "-0.0" ? std::string_view("0.0") : figure;
}

void JsonLine::name(std::string_view name) {
  separate();
  line_ += '"';
  line_ += name;
  line_ += "\":";
  between_ = false;
}

void JsonLine::put(std::nullopt_t) { raw("null"); }

void JsonLine::put(double value) {
  if (!std::isfinite(value)) {
    put(std::nullopt);
    return;
  }
  separate();
  append_nine_decimals(value, line_);
  between_ = true;
}

void JsonLine::put(std::string_view text) {
  separate();
  line_ += '"';
  escape(text);
  line_ += '"';
  between_ = true;
}

void JsonLine::open(char bracket) {
  separate();
  line_ += bracket;
  between_ = false;
}

void JsonLine::close(char bracket) {
  line_ += bracket;
  between_ = true;
}

void JsonLine::raw(std::string_view json) {
  separate();
  line_ += json;
  between_ = true;
}

void JsonLine::separate() {
  if (between_) {
    line_ += ',';
  }
}

void JsonLine::escape(std::string_view utf8) {
  std::size_t plain = 0;
  while (plain < utf8.size() && is_plain(utf8[plain])) {
    ++plain;
  }
  line_ += utf8.substr(0, plain);
  for (const char32_t character : text::code_points(utf8.substr(plain))) {
    if (character < 0x80 && is_plain(static_cast<char>(character))) {
      line_ += static_cast<char>(character);
    } else {
      append_escaped(character, line_);
    }
  }
}

}  // namespace kerfmark::report
