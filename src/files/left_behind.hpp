#pragma once

#include <string>

/// Names that a draft has only for a while, so that none of them stays.
namespace kerfmark::files {

/// A name for a draft of this file, by chance: "cut.pdf.0123456789ab.new".
[[nodiscard]] std::string draft_name(const std::string& target);

/// Removes what killed programs of this user have left of drafts of this file in this folder. What
/// a living one works on is locked and stays.
void clear_left_behind(int folder, const std::string& target);

/// Locks a draft against the above; false when that came first.
[[nodiscard]] bool lock_draft(int descriptor, int folder, const std::string& name);

/// Removes the name when a signal ends the program. Gives a number for `stop_guarding`; negative
/// when too many are guarded already.
[[nodiscard]] int guard_name(int folder, const std::string& name);
void stop_guarding(int number);

}  // namespace kerfmark::files
