#include "terminal.hpp"

#include <algorithm>
#include <charconv>
#include <string>
#include <string_view>

#include <sys/ioctl.h>
#include <unistd.h>

#include "environment.hpp"
#include "kerfmark/cli/files.hpp"

namespace kerfmark::cli {
namespace {

// Columns and lines of the terminal; nothing where output goes to none, or to one that does not
// say.
winsize size_of_output(bool terminal) {
  winsize size{};
  return terminal && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 ? size : winsize{};
}

std::size_t width_of(const winsize& size) {
  constexpr std::size_t usual = 80;
  if (size.ws_col > 0) {
    return size.ws_col;
  }
  const std::string_view columns = environment("COLUMNS");
  std::size_t width = 0;
  const auto [end, error] = std::from_chars(columns.data(), columns.data() + columns.size(), width);
  constexpr std::size_t widest = 1000;
  const bool whole = error == std::errc{} && end == columns.data() + columns.size();
  return whole && width > 0 ? std::min(width, widest) : usual;
}

// By the rule of POSIX.1-2017 8.2: the first of these that is not empty counts.
bool writes_utf8() {
  std::string locale;
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    if (locale.empty()) {
      locale = environment(name);
    }
  }
  std::ranges::transform(locale, locale.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  return locale.find("utf-8") != std::string::npos || locale.find("utf8") != std::string::npos;
}

}  // namespace

report::View view_of_output(bool no_colour) {
  const bool terminal = ::isatty(STDOUT_FILENO) != 0;
  const winsize size = size_of_output(terminal);
  report::View view;
  view.width = width_of(size);
  view.height = size.ws_row;
  view.utf8 = writes_utf8();
  const std::string_view forced = environment("CLICOLOR_FORCE");
  const bool wanted =
      (!forced.empty() && forced != "0") || (terminal && environment("TERM") != "dumb");
  view.colour = wanted && !no_colour && environment("NO_COLOR").empty();
  return view;
}

ProgressLine::ProgressLine(std::string_view what)
    : what_(what),
      terminal_(::isatty(STDERR_FILENO) != 0),
      began_(std::chrono::steady_clock::now()) {}

ProgressLine::~ProgressLine() { clear(); }

void ProgressLine::clear() {
  const std::lock_guard lock(telling_);
  if (shown_ > 0) {
    constexpr std::size_t behind = 10;  // ": 100 %" and then some
    (void)files::write_all(STDERR_FILENO, "\r" + std::string(what_.size() + behind, ' ') + "\r");
    shown_ = 0;
  }
}

void ProgressLine::tell(std::size_t done, std::size_t of) {
  using namespace std::chrono_literals;
  if (!terminal_ || std::chrono::steady_clock::now() - began_ < 1s) {
    return;
  }
  const std::size_t per_cent = 100 * done / of;
  const std::lock_guard lock(telling_);
  // Threads come out of order, and where trials are made anew there are more to come.
  if (per_cent > shown_) {
    shown_ = per_cent;
    (void)files::write_all(STDERR_FILENO, "\r" + what_ + ": " + std::to_string(per_cent) + " %");
  }
}

}  // namespace kerfmark::cli
