#include <algorithm>

#include "kerfmark/manual/manual.hpp"
#include "kerfmark/version.hpp"
#include "page_sources.hpp"
#include "tables.hpp"

namespace kerfmark::manual {
namespace {

constexpr std::string_view program = "kerfmark";
constexpr std::string_view wanted_table = "; table ";
constexpr std::string_view fence = "```";

// scdoc takes a backslash in a block that is printed as it stands for its own.
std::string with_backslashes(std::string_view line) {
  std::string doubled;
  for (const char c : line) {
    doubled += c == '\\' ? std::string("\\\\") : std::string(1, c);
  }
  return doubled;
}

// ```toml job.toml: what tests do with a block and a file, which a reader must know too.
std::string fence_of(std::string_view line) {
  const std::size_t name = line.find(' ');
  const std::string file =
      name == std::string_view::npos ? "" : std::string(line.substr(name + 1)) + ":\n\n";
  return file + std::string(fence) + "\n";
}

std::string expanded(std::string_view line, bool in_block, std::span<const Command> commands) {
  if (line.starts_with(fence)) {
    return fence_of(line);
  }
  if (in_block) {
    return with_backslashes(line) + "\n";
  }
  if (line.starts_with(wanted_table)) {
    return table(line.substr(wanted_table.size()), commands);
  }
  return std::string(line) + "\n";
}

// kerfmark-plan(1) "kerfmark 0.3.0"
std::string title(const Page& page) {
  return std::string(page.name) + "(" + std::to_string(page.section) + ") \"" +
         std::string(program) + " " + std::string(version) + "\"\n";
}

}  // namespace

std::span<const Page> pages() { return page_sources(); }

std::string_view topic_of(const Page& page) {
  return page.name == program ? page.name : page.name.substr(program.size() + 1);
}

const Page* page_about(std::string_view topic) {
  const std::string_view command = topic.substr(0, topic.find(' '));  // of "record add"
  const auto found = std::ranges::find_if(pages(), [&](const Page& page) {
    return page.name == topic || topic_of(page) == topic || topic_of(page) == command;
  });
  return found == pages().end() ? nullptr : &*found;
}

std::string source_of(const Page& page, std::span<const Command> commands) {
  std::string out = title(page);
  std::string_view rest = page.source.substr(page.source.find('\n') + 1);
  bool in_block = false;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    const std::string_view line = rest.substr(0, end);
    const bool is_fence = line.starts_with(fence);
    out += expanded(line, in_block, commands);
    in_block = in_block != is_fence;
    rest.remove_prefix(end + 1);
  }
  return out;
}

}  // namespace kerfmark::manual
