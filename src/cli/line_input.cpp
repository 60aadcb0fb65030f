#include "line_input.hpp"

#include <array>
#include <cerrno>
#include <cstdlib>
#include <memory>
#include <string_view>

#include <editline/readline.h>
#include <unistd.h>

#include "kerfmark/cli/files.hpp"

namespace kerfmark::cli {

LineInput::LineInput() : terminal_(::isatty(STDIN_FILENO) != 0 && ::isatty(STDOUT_FILENO) != 0) {}

std::optional<std::string> LineInput::next(const std::string& prompt) {
  if (terminal_) {
    const std::unique_ptr<char, decltype(&std::free)> line(::readline(prompt.c_str()), &std::free);
    return line ? std::optional<std::string>(line.get()) : std::nullopt;
  }
  auto line = next_of_file();
  print(prompt + line.value_or("") + "\n");
  return line;
}

std::optional<std::string> LineInput::next_of_file() {
  std::size_t end = read_.find('\n');
  while (end == std::string::npos) {
    std::array<char, 4096> block{};
    const ssize_t got = ::read(STDIN_FILENO, block.data(), block.size());
    if (got < 0 && errno == EINTR) {
      continue;
    }
    if (got <= 0) {
      break;
    }
    read_.append(block.data(), static_cast<std::size_t>(got));
    end = read_.find('\n');
  }
  if (read_.empty()) {
    return std::nullopt;
  }
  std::string line = read_.substr(0, end);
  read_.erase(0, end == std::string::npos ? end : end + 1);
  return line;
}

}  // namespace kerfmark::cli
