#pragma once

#include <span>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "kerfmark/text/phrase.hpp"

namespace kerfmark::job {

/// For each key of a job file: how to measure it or where to find it, on one line, and what a line
/// of a job file may look like. Plain ASCII, as job files pass through all kinds of editors.
struct HelpRow {
  std::string_view path;
  std::string_view example;  ///< what may stand behind the =: the default where there is one
  std::string_view help;     ///< from where to where, by which instrument, within what
  std::string_view template_example = {};  ///< where another one suits a template
};
[[nodiscard]] std::span<const HelpRow> help_rows();

/// Empty for a path that has no row.
[[nodiscard]] std::string_view help_for(std::string_view path);
[[nodiscard]] std::string_view example_for(std::string_view path);
[[nodiscard]] std::string_view template_example_for(std::string_view path);

/// When a key is needed by choice, "with from = "pedal axle"", as "needed" goes on; of any other
/// key empty.
[[nodiscard]] text::Phrase needed_because(const plan::Key& key);

}  // namespace kerfmark::job
