#pragma once

#include <string>
#include <string_view>

#include "kerfmark/plan/job.hpp"
#include "kerfmark/plan/keys.hpp"

namespace kerfmark::job {

/// What a template has for its reader to fill in. A job with this for a value is no job yet.
inline constexpr std::string_view left_open = "?";

/// Whether nobody may pass over a key of a job of this kind, though the reader might let it go: it
/// has a default, or hangs on its table. The other answers stand for themselves.
[[nodiscard]] bool is_asked(const plan::Key& key, plan::Kind kind);
/// Whether most jobs of this kind say it: what is asked, and some more.
[[nodiscard]] bool is_usual(const plan::Key& key, plan::Kind kind);

/// Which keys a template has: those that most jobs need, or every key of the kind.
enum class TemplateKeys { usual, all };

/// A commented job file to fill in, made from the tables of keys and of help. What nobody may leave
/// as it stands is "?", which the reader refuses. Lines that begin with '#' and a letter or bracket
/// are keys and tables to be taken in; a value in them is a default, or "?" too.
[[nodiscard]] std::string job_template(plan::Kind kind, TemplateKeys keys);

/// What may be written for a key in a job such as this one, and when it must be: " In mm, from 0 to
/// 100; 2 unless given.", or nothing where there is nothing to say.
[[nodiscard]] std::string constraints_on(const plan::Key& key, const plan::Job& job);

}  // namespace kerfmark::job
