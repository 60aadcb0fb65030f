#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/job/template.hpp"
#include "kerfmark/plan/keys.hpp"

/// The tables of a job file as a template has them, for whoever fills one in.
namespace kerfmark::job {

/// The table that a job may have several of.
inline constexpr std::string_view blockage_table = "frame.blockage";

/// The keys of one table, in the order of the table of keys.
struct Table {
  std::string_view path;
  std::vector<const plan::Key*> keys;
};

/// Of a job with the choices that `plain` has: what the cut hangs on comes first.
[[nodiscard]] std::vector<Table> tables_for(const plan::Job& plain, TemplateKeys wanted);

/// A key that nobody may pass over, though it may have a default or hang on its table.
[[nodiscard]] bool is_asked_in(const plan::Key& key, const plan::Job& plain);

/// Its table cannot do without it, or without another one like it.
[[nodiscard]] bool hangs_on_table(const plan::Key& key);

/// As a job file has it; empty: none.
[[nodiscard]] std::string default_of(const plan::Key& key);

/// " In mm, from 0 to 100; 2 unless given.", without the default where it may not be taken.
[[nodiscard]] std::string constraints_of(const plan::Key& key, const plan::Job& plain,
                                         bool tells_default = true);

/// What stands behind the = of a key, in TOML; nothing: the key is left out.
using ValueOf = std::function<std::optional<std::string>(const plan::Key& key, std::size_t row)>;

/// The template with what most jobs need, filled in; `plain` has the kind, the choices and as many
/// blockages as there are.
[[nodiscard]] std::string filled_template(const plan::Job& plain, const ValueOf& value_of);

}  // namespace kerfmark::job
