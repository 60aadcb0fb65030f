#pragma once

#include <string>
#include <string_view>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::job {

/// What a template has for its reader to fill in. A job with this for a value is no job yet.
inline constexpr std::string_view left_open = "?";

/// Which keys a template has: those that most jobs need, or every key of the kind.
enum class TemplateKeys { usual, all };

/// A commented job file to fill in, made from the tables of keys and of help. What nobody may leave
/// as it stands is "?", which the reader refuses. Lines that begin with '#' and a letter or bracket
/// are keys and tables to be taken in; a value in them is a default, or "?" too.
[[nodiscard]] std::string job_template(plan::Kind kind, TemplateKeys keys);

/// What may be written for a key in a job such as this one, and when it must be: " In mm, from 0 to
/// 100; 2 unless given.", or nothing where there is nothing to say.
[[nodiscard]] std::string facts_about(const plan::Key& key, const plan::Job& job);

}  // namespace kerfmark::job
