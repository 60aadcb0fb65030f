#include "document.hpp"

#include <string>

#include "kerfmark/job/reader.hpp"
#include "toml_text.hpp"

namespace kerfmark::job {
namespace {

using measure::Place;

// How long the bytes of one UTF-8 character are, 0 where they are none (RFC 3629 3 and 4).
std::size_t length_of_character(std::string_view text) {
  const auto byte = [text](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
  };
  const auto goes_on = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  if (byte(0) < 0x80U) {
    return 1;
  }
  if (byte(0) >= 0xC2U && byte(0) <= 0xDFU) {
    return goes_on(1) ? 2 : 0;
  }
  if (byte(0) >= 0xE0U && byte(0) <= 0xEFU) {
    const bool overlong = byte(0) == 0xE0U && byte(1) < 0xA0U;
    const bool surrogate = byte(0) == 0xEDU && byte(1) > 0x9FU;
    return goes_on(1) && goes_on(2) && !overlong && !surrogate ? 3 : 0;
  }
  if (byte(0) >= 0xF0U && byte(0) <= 0xF4U) {
    const bool overlong = byte(0) == 0xF0U && byte(1) < 0x90U;
    const bool beyond = byte(0) == 0xF4U && byte(1) > 0x8FU;
    return goes_on(1) && goes_on(2) && goes_on(3) && !overlong && !beyond ? 4 : 0;
  }
  return 0;
}

bool check_lines(std::string_view text, FindingList& findings) {
  Place place{1, 1};
  std::size_t line_start = 0;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '\n') {
      place = {place.line + 1, 1};
      line_start = ++i;
      continue;
    }
    if (i - line_start >= most_bytes_in_a_line && text[i] != '\r') {
      findings.add(FindingCode::line_too_long, {place.line, 1}, "",
                   {{}, {}, {"finding.do.break_line"}});
      return false;
    }
    const std::size_t length = length_of_character(text.substr(i));
    if (length == 0) {
      findings.add(FindingCode::not_text, place, "", {{}, {}, {"finding.do.plain_text"}});
      return false;
    }
    i += length;
    ++place.column;
  }
  return true;
}

// Every second byte of its first line is 0, as Latin letters have it; with or without a mark.
bool is_utf16(std::string_view text) {
  constexpr std::size_t enough = 8;
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
    return true;
  }
  if (text.size() < enough) {
    return false;
  }
  for (const std::size_t first : {std::size_t{0}, std::size_t{1}}) {
    bool zeros = true;
    for (std::size_t i = first; i < enough; i += 2) {
      zeros = zeros && text[i] == '\0' && text[i ^ 1U] != '\0';
    }
    if (zeros) {
      return true;
    }
  }
  return false;
}

// The parser recurses into dotted keys without a limit of its own: short lines bound the depth.
bool is_fit_to_parse(std::string_view text, const Example& example, FindingList& findings) {
  if (text.size() > most_bytes) {
    findings.add(FindingCode::file_too_large, {1, 1}, "",
                 {{}, example.sort, {"finding.do.check_file"}});
    return false;
  }
  if (text.starts_with("%PDF-")) {
    findings.add(FindingCode::not_text, {1, 1}, "",
                 {{}, {}, {"finding.do.a_pdf", {{"what", example.sort}}}});
    return false;
  }
  if (is_utf16(text)) {
    findings.add(FindingCode::not_text, {1, 1}, "", {{}, {}, {"finding.do.utf16"}});
    return false;
  }
  return check_lines(text, findings);
}

}  // namespace

std::optional<toml::table> read_document(std::string_view text, const Example& example,
                                         FindingList& findings) {
  if (!is_fit_to_parse(text, example, findings)) {
    return std::nullopt;
  }
  auto read = table_of(text);
  if (const auto* wrong = std::get_if<NotToml>(&read)) {
    add_slip(text, {static_cast<int>(wrong->begin.line), static_cast<int>(wrong->begin.column)},
             wrong->description, example, findings);
    return std::nullopt;
  }
  return std::get<toml::table>(std::move(read));
}

}  // namespace kerfmark::job
