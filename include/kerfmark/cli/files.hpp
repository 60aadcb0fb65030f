#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/files/draft.hpp"

namespace kerfmark::cli {

/// The bytes of a file, at most `most` + 1 of them, so that the reader can tell a file that is too
/// large. Pipes are read, folders refused. Throws Trouble.
[[nodiscard]] std::string read_whole(const std::string& path, std::size_t most);

/// Writes a file whole or not at all: into a temporary file beside it, flushed, then renamed over.
/// Throws Trouble and leaves what was there.
void write_whole(const std::string& path, const std::string& bytes);

/// The same, but never over something that is there already.
void create_whole(const std::string& path, const std::string& bytes);

/// Gives a draft that is whole its name, never over something that is there already.
void become_target(files::Draft& draft, const std::string& path);

/// Throws Trouble where there is something of that name, be it a link that leads nowhere.
void refuse_taken(const std::string& path);

/// Throws Trouble where an output would be one of the other files of its command, under whatever
/// name, whether those are there yet or not, or where standard output or error goes.
void refuse_shared(const std::string& output, const std::vector<std::string>& others);

/// Throws Trouble where a PDF must not be written: where it is shared as above, over something that
/// is no ordinary file or cannot be looked at, over a file that holds something else than a PDF.
void refuse_unless_pdf_may_go_to(const std::string& path, const std::vector<std::string>& others);

/// The one door to standard output, what others wrote in it made harmless. Throws Trouble.
void print(const std::string& text);

/// Likewise to standard error.
void say(const std::string& text);

}  // namespace kerfmark::cli
