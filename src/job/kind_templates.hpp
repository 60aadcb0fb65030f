#pragma once

#include <span>
#include <string_view>

#include "kerfmark/plan/keys.hpp"
#include "template_tables.hpp"

/// What the templates say above each table of a job, one kind in one file.
namespace kerfmark::job {

/// The table that a job may have several of.
inline constexpr std::string_view control_table = "controls";

/// Pictures are for those who want everything.
inline constexpr std::string_view picture = "picture";
inline constexpr std::string_view frame_picture = "frame, picture";

struct Section {
  std::string_view table;  ///< empty: the beginning
  std::string_view text;
};

struct KindTemplate {
  plan::Kind kind;
  std::span<const Section> sections;
};

extern const KindTemplate seatpost_template;
extern const KindTemplate steerer_template;
extern const KindTemplate handlebar_template;
extern const KindTemplate mast_template;

[[nodiscard]] const KindTemplate& template_of(plan::Kind kind);

}  // namespace kerfmark::job
