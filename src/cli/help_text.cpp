#include "help_text.hpp"

#include <algorithm>
#include <utility>

#include "kerfmark/text/printable.hpp"

namespace kerfmark::cli {
namespace {

constexpr std::size_t step = 4;  // of what goes on below a name that leaves no room behind it

// Where what is said of a thing begins, behind its name and two blanks at least; 0: nothing is
// said, or the line is no entry of a list.
std::size_t text_begins(std::string_view line) {
  const std::size_t name = std::min(line.find_first_not_of(' '), line.size());
  const std::size_t gap = line.find("  ", name);
  return name == 0 || gap == std::string_view::npos
             ? 0
             : std::min(line.find_first_not_of(' ', gap), line.size());
}

// Words in lines of this width, the first behind `first`, the others set in.
std::string filled(std::string first, std::string_view words, std::size_t indent,
                   std::size_t width) {
  std::string out;
  std::string line = std::move(first);
  bool has_words = false;
  while (!words.empty()) {
    const std::size_t end = std::min(words.find(' '), words.size());
    const std::string_view word = words.substr(0, end);
    if (has_words && text::cells(line) + 1 + text::cells(word) > width) {
      out += line + "\n";
      line = std::string(indent, ' ');
      has_words = false;
    }
    line += (has_words ? " " : "") + std::string(word);
    has_words = true;
    words.remove_prefix(std::min(end + 1, words.size()));
  }
  return out + line + "\n";
}

std::string fitted_line(std::string_view line, std::size_t width) {
  const std::size_t begins = text_begins(line);
  if (begins == 0) {
    // A command to be typed, or copied, stays whole.
    return line.front() == ' ' ? std::string(line) + "\n" : filled("", line, 0, width);
  }
  if (begins <= width / 2) {
    return filled(std::string(line.substr(0, begins)), line.substr(begins), begins, width);
  }
  const std::size_t name = line.find_first_not_of(' ');
  const std::size_t ends = line.substr(0, begins).find_last_not_of(' ') + 1;
  return std::string(line.substr(0, ends)) + "\n" +
         filled(std::string(name + step, ' '), line.substr(begins), name + step, width);
}

// Lines that were broken for whoever reads the source, as one: behind a long line of a paragraph
// comes another that is not set in.
std::string joined(std::string_view help) {
  constexpr std::size_t long_line = 60;
  std::string out;
  bool goes_on = false;
  while (!help.empty()) {
    const std::size_t end = std::min(help.find('\n'), help.size());
    const std::string_view line = help.substr(0, end);
    const bool paragraph = !line.empty() && line.front() != ' ' && !line.starts_with("Usage:");
    if (goes_on && paragraph) {
      out.back() = ' ';
    }
    out += std::string(line) + "\n";
    goes_on = paragraph && line.size() > long_line;
    help.remove_prefix(std::min(end + 1, help.size()));
  }
  return out;
}

}  // namespace

std::string fitted(std::string_view help_as_it_is, std::size_t width) {
  constexpr std::size_t narrowest = 40;  // cells, common practice
  const std::size_t widest = std::max(width, narrowest);
  const std::string paragraphs = joined(help_as_it_is);
  std::string_view help = paragraphs;
  std::string out;
  while (!help.empty()) {
    const std::size_t end = help.find('\n');
    const std::string_view line = help.substr(0, end);
    out += text::cells(line) <= widest ? std::string(line) + "\n" : fitted_line(line, widest);
    help.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace kerfmark::cli
