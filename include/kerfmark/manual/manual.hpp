#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/report/view.hpp"

/// The pages of the manual (templates/manual). Their sources are built in; what they list, keys and
/// limits for instance, comes from the tables of the program when a page is asked for.
namespace kerfmark::manual {

/// As a shell takes it: "--json", "-h, --help", or "FILE...".
struct Option {
  std::string names;
  std::string value;  ///< what goes with it, such as "PDF"; empty: nothing
  std::string what;
};

struct Command {
  std::string name;  ///< "plan", "record add"
  std::string what;
  std::vector<Option> options;
};

struct Page {
  std::string_view name;  ///< "kerfmark-plan"
  int section;            ///< of the manual: 1 commands, 5 files, 7 the rest
  std::string_view what;  ///< in one line
  std::string_view source;
};

/// The page of the program first, then those of its commands, then the others.
[[nodiscard]] std::span<const Page> pages();

/// What the user calls it: "limits", "plan", "record add" or the whole name. Null: there is none.
[[nodiscard]] const Page* page_about(std::string_view topic);

/// What a page is called when it is asked for: its name without the program's.
[[nodiscard]] std::string_view topic_of(const Page& page);

/// The page in the language of scdoc, every list in it filled in.
[[nodiscard]] std::string source_of(const Page& page, std::span<const Command> commands);

/// The page as lines for a terminal, as wide as that is.
[[nodiscard]] std::string on_terminal(const Page& page, std::span<const Command> commands,
                                      const report::View& view);

}  // namespace kerfmark::manual
