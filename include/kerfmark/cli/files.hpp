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

/// How a command line calls standard input, among files to read, and standard output, among files
/// to write.
inline constexpr const char* standard = "-";

/// The same of a file or of standard input.
[[nodiscard]] std::string read_input(const std::string& path, std::size_t most);

/// What messages call them.
[[nodiscard]] std::string name_of_input(const std::string& path);
[[nodiscard]] std::string name_of_output(const std::string& path);

/// The files that were given, and for each folder among them its job files, *.toml, by their names;
/// as in the shell, none that begins with a dot. A folder without any stays as it is.
[[nodiscard]] std::vector<std::string> with_folders_opened(const std::vector<std::string>& given);

/// Throws Trouble where it is a folder: it has no job file in it.
void refuse_folder(const std::string& path);

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
/// is no ordinary file or cannot be looked at, over a file that holds something else than a PDF,
/// and on a terminal.
void refuse_unless_pdf_may_go_to(const std::string& path, const std::vector<std::string>& others);

/// The one door to standard output, what others wrote in it made harmless. Throws Trouble.
void print(const std::string& text);

/// Bytes that are no text, or text that is harmless already.
void print_as_it_is(std::string_view bytes);

/// Likewise to standard error.
void say(const std::string& text);

/// Prints, or where the command writes `output` to standard output, says it instead.
void print_beside(const std::string& output, const std::string& text);

/// "about: caution: …" for each.
void say_cautions(const std::string& about, const std::vector<std::string>& cautions);

}  // namespace kerfmark::cli
